//! What is on a sheet: lines, arcs, filled shapes and lettering, each with its meaning, in named layers.
//!
//! Sheet frame: millimetres on the paper, x to the right, **y up**, origin at the sheet's lower left corner; angles in
//! degrees, counter-clockwise. A scene knows no case and no file format: every writer (SVG, and others that follow)
//! draws the same scene, and `check` reads it.

use crate::text::Text;

/// A point on the sheet, mm.
pub type At = [f64; 2];

/// What a line means; its width and dashes follow from that (ISO 128-2).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pen {
    /// A visible edge, and the edge of what a section cuts: continuous, wide.
    Outline,
    /// A visible edge of small import, such as the line where two flush parts meet: continuous, narrow.
    Fine,
    /// A hidden edge: dashed, narrow.
    Hidden,
    /// A centre line or an axis of symmetry: long dash and dot, narrow.
    Centre,
    /// Where a cutting plane stands: long dash and dot, wide (ISO 128-2, type 04.2); its ends are enough.
    Plane,
    /// What is not part of the piece, or stands elsewhere: long dash and two dots, narrow.
    Phantom,
    /// Dimension lines, extension lines and leaders: continuous, narrow.
    Dimension,
    /// Hatching of cut faces: continuous, narrower still.
    Hatch,
    /// Grain, glass and other texture: continuous, narrower still.
    Texture,
    /// The sheet's frame: continuous, wider than an outline.
    Frame,
    /// Lines inside tables and the title block: continuous, narrow.
    Rule,
}

impl Pen {
    /// Width in mm, for a sheet whose wide line is `wide` mm. Wide to narrow is 2 : 1 (ISO 128-2, from memory).
    pub fn width(self, wide: f64) -> f64 {
        match self {
            Self::Outline | Self::Plane => wide,
            Self::Frame => wide * std::f64::consts::SQRT_2,
            Self::Hatch | Self::Texture => wide / 2.0 / std::f64::consts::SQRT_2,
            _ => wide / 2.0,
        }
    }

    /// Lengths of dash, gap, dash, gap, … in mm for a line `width` mm wide; empty when continuous. Dash 12 d, gap 3 d,
    /// long dash 24 d, dot 0.5 d (ISO 128-2, from memory); the dot is drawn 1 d long so that a printer shows it.
    pub fn dashes(self, wide: f64) -> Vec<f64> {
        let d = self.width(wide);
        let pattern: &[f64] = match self {
            Self::Hidden => &[12.0, 3.0],
            Self::Centre | Self::Plane => &[24.0, 3.0, 1.0, 3.0],
            Self::Phantom => &[24.0, 3.0, 1.0, 3.0, 1.0, 3.0],
            _ => &[],
        };
        pattern.iter().map(|k| k * d).collect()
    }
}

/// A chain of lines and true arcs.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Its vertices; the bulge is tan(angle/4) of the arc to the next vertex, counter-clockwise positive, 0 for a line.
    pub vertices: Vec<(At, f64)>,
    /// The last vertex is joined to the first.
    pub closed: bool,
}

impl Path {
    /// A straight line.
    pub fn line(from: At, to: At) -> Self {
        Self::chain([from, to])
    }

    /// An open chain of straight lines.
    pub fn chain(points: impl IntoIterator<Item = At>) -> Self {
        Self { vertices: points.into_iter().map(|p| (p, 0.0)).collect(), closed: false }
    }

    /// A closed polygon.
    pub fn polygon(points: impl IntoIterator<Item = At>) -> Self {
        Self { closed: true, ..Self::chain(points) }
    }

    /// A rectangle.
    pub fn rectangle(r: &Rect) -> Self {
        Self::polygon(r.corners())
    }

    /// A circle, as two half circles.
    pub fn circle(centre: At, radius: f64) -> Self {
        let [x, y] = centre;
        Self { vertices: vec![([x - radius, y], 1.0), ([x + radius, y], 1.0)], closed: true }
    }

    /// One arc from point to point; `bulge` as in [`Path::vertices`].
    pub fn arc(from: At, to: At, bulge: f64) -> Self {
        Self { vertices: vec![(from, bulge), (to, 0.0)], closed: false }
    }

    /// Its sides: from, to and bulge of each.
    pub fn segments(&self) -> impl Iterator<Item = case::Segment> + '_ {
        let n = self.vertices.len();
        let count = if self.closed { n } else { n.saturating_sub(1) };
        (0..count).map(move |i| {
            let ((from, bulge), (to, _)) = (self.vertices[i], self.vertices[(i + 1) % n]);
            case::Segment { from, to, bulge }
        })
    }

    /// The path with every point mapped by a motion that may scale evenly; `mirrored` if the map turns left into right.
    #[must_use]
    pub fn mapped(&self, mirrored: bool, map: impl Fn(At) -> At) -> Self {
        let sign = if mirrored { -1.0 } else { 1.0 };
        Self { vertices: self.vertices.iter().map(|&(p, b)| (map(p), sign * b)).collect(), closed: self.closed }
    }

    /// Points along it that stay within `chord` mm of it; the first is repeated at the end of a closed path.
    pub fn flattened(&self, chord: f64) -> Vec<At> {
        let first = self.vertices.first().map(|v| v.0);
        first.into_iter().chain(self.segments().flat_map(|s| s.flattened(chord))).collect()
    }
}

impl From<&case::Outline> for Path {
    fn from(outline: &case::Outline) -> Self {
        Self { vertices: outline.0.iter().map(|v| ([v.u.mm(), v.v.mm()], v.bulge)).collect(), closed: true }
    }
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A path drawn with a pen.
    Line {
        /// Where.
        path: Path,
        /// With what meaning.
        pen: Pen,
    },
    /// The inside of closed paths (even-odd), black: arrowheads and dots.
    Fill(Vec<Path>),
    /// A line of lettering.
    Text(Text),
}

/// Things that belong together: a part in a view, the dimensions of a view, the title block.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Layer {
    /// Unique in the sheet; letters, digits, `-`, `_` and `.`.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// In the order in which they are drawn.
    pub items: Vec<Item>,
    /// Nothing of it is seen outside of this, if it is given.
    pub clip: Option<Rect>,
}

impl Layer {
    /// An empty layer.
    pub fn new(id: impl Into<String>, title: impl Into<String>) -> Self {
        Self { id: id.into(), title: title.into(), items: Vec::new(), clip: None }
    }

    /// Draws a path.
    pub fn draw(&mut self, pen: Pen, path: Path) {
        self.items.push(Item::Line { path, pen });
    }

    /// Draws a straight line.
    pub fn line(&mut self, pen: Pen, from: At, to: At) {
        self.draw(pen, Path::line(from, to));
    }

    /// Fills a closed path.
    pub fn fill(&mut self, path: Path) {
        self.items.push(Item::Fill(vec![path]));
    }

    /// The same, moved over the sheet.
    #[must_use]
    pub fn moved(&self, by: At) -> Self {
        let shift = |p: At| [p[0] + by[0], p[1] + by[1]];
        let path = |p: &Path| p.mapped(false, shift);
        let items = self.items.iter().map(|item| match item {
            Item::Line { path: p, pen } => Item::Line { path: path(p), pen: *pen },
            Item::Fill(paths) => Item::Fill(paths.iter().map(path).collect()),
            Item::Text(t) => Item::Text(Text { at: shift(t.at), ..t.clone() }),
        });
        let clip = self.clip.map(|r| r.moved(by));
        Self { id: self.id.clone(), title: self.title.clone(), items: items.collect(), clip }
    }

    /// Letters a text.
    pub fn letter(&mut self, text: Text) {
        self.items.push(Item::Text(text));
    }
}

/// Everything on one sheet.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Scene {
    /// In the order in which they are drawn.
    pub layers: Vec<Layer>,
}

/// A rectangle square to the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Lower left corner.
    pub min: At,
    /// Upper right corner.
    pub max: At,
}

impl Rect {
    /// From its lower left corner and its size.
    pub const fn new(min: At, width: f64, height: f64) -> Self {
        Self { min, max: [min[0] + width, min[1] + height] }
    }

    /// The least that holds all the points; of none, nothing that holds anything.
    pub fn around(points: &[At]) -> Self {
        let extreme = |i: usize, start: f64, of: fn(f64, f64) -> f64| points.iter().map(|p| p[i]).fold(start, of);
        Self {
            min: [0, 1].map(|i| extreme(i, f64::INFINITY, f64::min)),
            max: [0, 1].map(|i| extreme(i, f64::NEG_INFINITY, f64::max)),
        }
    }

    /// Width.
    pub const fn width(&self) -> f64 {
        self.max[0] - self.min[0]
    }

    /// Height.
    pub const fn height(&self) -> f64 {
        self.max[1] - self.min[1]
    }

    /// Middle.
    pub const fn centre(&self) -> At {
        [(self.min[0] + self.max[0]) / 2.0, (self.min[1] + self.max[1]) / 2.0]
    }

    /// Larger by `by` on every side; smaller when negative.
    #[must_use]
    pub const fn grown(&self, by: f64) -> Self {
        Self { min: [self.min[0] - by, self.min[1] - by], max: [self.max[0] + by, self.max[1] + by] }
    }

    /// The same elsewhere.
    #[must_use]
    pub const fn moved(&self, by: At) -> Self {
        Self { min: [self.min[0] + by[0], self.min[1] + by[1]], max: [self.max[0] + by[0], self.max[1] + by[1]] }
    }

    /// The least rectangle that holds both.
    #[must_use]
    pub const fn union(&self, o: &Self) -> Self {
        Self {
            min: [self.min[0].min(o.min[0]), self.min[1].min(o.min[1])],
            max: [self.max[0].max(o.max[0]), self.max[1].max(o.max[1])],
        }
    }

    /// They share an area.
    pub fn overlaps(&self, o: &Self) -> bool {
        (0..2).all(|i| self.min[i] < o.max[i] && o.min[i] < self.max[i])
    }

    /// The other lies in it.
    pub fn holds(&self, o: &Self) -> bool {
        (0..2).all(|i| self.min[i] <= o.min[i] && o.max[i] <= self.max[i])
    }

    /// Its corners, counter-clockwise from the lower left.
    pub const fn corners(&self) -> [At; 4] {
        [self.min, [self.max[0], self.min[1]], self.max, [self.min[0], self.max[1]]]
    }
}
