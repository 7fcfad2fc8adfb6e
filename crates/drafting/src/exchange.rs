//! Parts for those who cut elsewhere: every face that is worked, its cuts in layers by purpose and depth (DXF).
//!
//! A face is seen from outside, as on the part's sheet: the grain to the right, an end with the part's y up. The first
//! stands with its lower left corner at the origin, the others above it. Layers are named
//! `FACE_PURPOSE_DEPTH`, or `FACE_PURPOSE_THROUGH`, depths in the order's unit from the blank's face.

use case::{Case, Dir, Outline, Part, Profile};
use measure::{Length, Unit};

use crate::part_sheet::{self, Face, face};
use paper::Dxf;
use paper::number::number;
use paper::scene::{At, Item, Layer, Path, Pen, Rect};
use paper::text::Text;

/// A file for another program.
#[derive(Clone, Debug)]
pub struct Exchange {
    /// Stem of its name: `P25`.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// The file.
    pub text: String,
}

/// Between two faces, mm.
const APART: f64 = 60.0;
/// Height of the titles, mm.
const TITLE: f64 = 10.0;

/// The first of each kind of part that is more than a squared blank.
pub fn part_outlines(case: &Case) -> Vec<Exchange> {
    let kinds = case.kinds().into_iter().filter(|(part, _)| !part.cuts.is_empty() || !part.edges.is_empty());
    kinds
        .map(|(part, likes)| Exchange {
            name: part.id.to_string(),
            title: format!("{}  {}", part_sheet::numbers(&likes), part.name),
            text: outlines(case, part, &likes),
        })
        .collect()
}

fn outlines(case: &Case, part: &Part, likes: &[&Part]) -> String {
    let unit = case.order.unit;
    let mut dxf = Dxf::new(unit);
    let mut foot = 0.0;
    for dir in [Dir::PZ, Dir::NZ, Dir::PY, Dir::NY, Dir::NX, Dir::PX] {
        let cuts = || part.cuts.iter().filter(|c| c.from == dir);
        let edges = || part.edges.iter().filter(|e| e.faces[0] == dir);
        if cuts().next().is_none() && edges().next().is_none() {
            continue;
        }
        let name = face::title(part, face::name(case, likes, dir), dir);
        let seen = Seen { face: Face::of(dir), size: part.size, foot };
        let [width, height] = seen.extent();
        dxf.draw(&format!("{name}_blank"), &Path::rectangle(&Rect::new([0.0, foot], width, height)));
        let title = format!("{}  {}, {name}", part_sheet::numbers(likes), part.name);
        dxf.letter("titles", &Text::new([0.0, foot + height + TITLE], TITLE, title));
        for cut in cuts() {
            let depth = if part.is_through(cut) { "through".into() } else { decimal(cut.depth, unit) };
            dxf.draw(&format!("{name}_{}_{depth}", cut.purpose.name()), &seen.outline(&cut.outline));
        }
        for edge in edges() {
            let (profile, by) = match edge.profile {
                Profile::Round { radius } => ("round", radius),
                Profile::Chamfer { width } => ("chamfer", width),
                Profile::Raise { width, .. } => ("raise", width),
            };
            if let Some(line) = seen.arris(edge) {
                dxf.draw(&format!("{name}_{profile}_{}", decimal(by, unit)), &line);
            }
        }
        foot += height + APART;
    }
    dxf.text()
}

/// A face where it stands in the drawing.
struct Seen {
    face: Face,
    size: [Length; 3],
    foot: f64,
}

impl Seen {
    fn extent(&self) -> At {
        [self.face.right, self.face.up].map(|d| self.size[d.axis.index()].mm())
    }

    /// A place along one of the part's directions, from the side of the view where it is nil.
    fn along(&self, d: Dir, at: f64) -> f64 {
        if d.positive { at } else { self.size[d.axis.index()].mm() - at }
    }

    fn outline(&self, outline: &Outline) -> Path {
        let Face { dir, right, up } = self.face;
        // Outlines are told in the two other axes in the order x, y, z.
        let swapped = dir.axis.others().0 != right.axis;
        let mirrored = swapped ^ !right.positive ^ !up.positive;
        Path::from(outline).mapped(mirrored, |[u, v]| {
            let (x, y) = if swapped { (v, u) } else { (u, v) };
            [self.along(right, x), self.foot + self.along(up, y)]
        })
    }

    /// The line of an arris on its face.
    fn arris(&self, edge: &case::Edge) -> Option<Path> {
        let Face { right, up, .. } = self.face;
        let beside = edge.faces[1];
        let along = [right, up].into_iter().find(|d| d.axis != beside.axis)?;
        let level = if beside.positive { self.size[beside.axis.index()].mm() } else { 0.0 };
        let end = |at: Length| {
            let of = |d: Dir| self.along(d, if d.axis == along.axis { at.mm() } else { level });
            [of(right), self.foot + of(up)]
        };
        Some(Path::line(end(edge.from), end(edge.to)))
    }
}

/// A pattern's own lines and lettering, full size about its own origin; what a line means is the name of its layer.
pub(crate) fn pattern<'a>(layers: impl IntoIterator<Item = &'a Layer>, unit: Unit) -> String {
    let mut dxf = Dxf::new(unit);
    for layer in layers {
        for item in &layer.items {
            match item {
                Item::Line { pen: Pen::Hatch, .. } | Item::Fill(_) => {}
                Item::Line { path, pen } => {
                    let kind = match pen {
                        Pen::Hidden => "-hidden",
                        Pen::Centre | Pen::Plane => "-centre",
                        Pen::Dimension => "-dimensions",
                        Pen::Texture => "-stations",
                        _ => "",
                    };
                    dxf.draw(&format!("{}{kind}", layer.id), path);
                }
                Item::Text(text) => dxf.letter(&format!("{}-words", layer.id), text),
            }
        }
    }
    dxf.text()
}

fn decimal(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Inch => number(length.inches(), 4),
        Unit::Millimetre => number(length.mm(), 3),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looking at a face from outside, its directions to the right and up and the one out of it turn the usual way.
    #[test]
    fn no_face_is_seen_in_a_mirror() {
        for dir in [Dir::PX, Dir::NX, Dir::PY, Dir::NY, Dir::PZ, Dir::NZ] {
            let Face { right, up, .. } = Face::of(dir);
            assert_eq!(case::frame::cross(right, up), dir, "{}", dir.name());
        }
    }
}
