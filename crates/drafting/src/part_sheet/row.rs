//! One face of a part on the sheet: what is seen of it, running dimensions from the datum below and beside it, and
//! labels above.

use std::collections::BTreeMap;

use case::{Axis, Part};
use measure::{Length, Ruler};

use super::broken::{Broken, break_line};
use super::face::Face;
use super::feature::{Feature, Place, Shape};
use super::label::{self, Label, Placed};
use crate::dimension::{Along, Running, Stop, figure};
use crate::scene::{At, Layer, Path, Pen, Rect};
use crate::text::{self, Text};
use crate::view::Stroke;

/// What a row shows, before its scale is known.
#[derive(Clone, Debug)]
pub(crate) struct View<'a> {
    pub(crate) face: Face,
    pub(crate) title: String,
    /// The features that are dimensioned here; each in one view of the part only.
    pub(crate) features: Vec<&'a Feature<'a>>,
    /// More that is labelled here: where, in mm of the part on the two axes, and what is written.
    pub(crate) remarks: Vec<(At, String)>,
    /// The part's size to the right and up the sheet is dimensioned here.
    pub(crate) overall: [bool; 2],
    /// What is seen of the face.
    pub(crate) strokes: Vec<Stroke>,
}

/// A view at a scale.
#[derive(Clone, Debug)]
pub(crate) struct Row<'a> {
    view: &'a View<'a>,
    part: &'a Part,
    scale: Broken,
    /// Of the face on the sheet.
    size: [f64; 2],
    /// Below, to the left and to the right, from the foot of the face's left side.
    running: Vec<Running>,
    labels: Vec<Placed>,
    /// Height of the labels' and the title's foot.
    line: f64,
    /// All that it covers, from the foot of the face's left side.
    pub(crate) bounds: Rect,
}

/// From the left or right side of a view to its running figures, mm.
const BESIDE: f64 = 9.0;
/// From its foot down to them, mm.
const BELOW: f64 = 8.0;
/// How far a centre line passes its hole, mm.
const CENTRE_OVER: f64 = 2.0;
/// Ink is on a line if it is so near, mm of the part.
const INK: f64 = 1e-3;
/// A feature whose leader would run so far through the view is labelled within it, mm.
const DEEP: f64 = 20.0;
/// Labels may spread so far to the right of a small view, mm.
const SPREAD: f64 = 110.0;
/// Height of a view's title, mm.
const TITLE: f64 = 3.5;
/// From the datum's corner out to its mark's rim, mm.
const DATUM: f64 = 1.0;

impl<'a> Row<'a> {
    pub(crate) fn new(view: &'a View<'a>, part: &'a Part, scale: &Broken, ruler: &Ruler) -> Self {
        let face = view.face;
        let mut scale = scale.clone();
        if face.right.axis != Axis::X {
            scale = Broken::whole(part.size[face.right.axis.index()].mm(), scale.ratio);
        }
        let size = [scale.length(), part.size[face.up.axis.index()].mm() * scale.ratio];
        let mut row = Self {
            view,
            part,
            scale,
            size,
            running: Vec::new(),
            labels: Vec::new(),
            line: 0.0,
            bounds: Rect::new([0.0, 0.0], size[0], size[1]),
        };
        row.dimension(ruler);
        row.bounds = row.running.iter().filter_map(Running::bounds).fold(row.bounds, |r, b| r.union(&b));
        row.line = (size[1] + label::RISE).max(row.bounds.max[1] + 2.0);
        row.label(ruler);
        row.bounds.max[1] = row.line + TITLE;
        let right = row.labels.iter().map(Placed::right).fold(row.bounds.min[0] + row.title_width(), f64::max);
        row.bounds.max[0] = row.bounds.max[0].max(right);
        row
    }

    /// A name for its layers.
    fn id(&self) -> String {
        let dir = self.view.face.dir;
        let axis = ["x", "y", "z"][dir.axis.index()];
        format!("{axis}-{}", if dir.positive { "high" } else { "low" })
    }

    /// A place of the part to the right and up the sheet.
    fn right(&self, u: Length) -> f64 {
        let right = self.view.face.right;
        if right.positive { self.scale.place(u.mm()) } else { self.size[0] - u.mm() * self.scale.ratio }
    }

    fn up(&self, v: Length) -> f64 {
        self.view.face.height(v.mm(), self.part.size) * self.scale.ratio
    }

    fn title_width(&self) -> f64 {
        text::width(&self.view.title, TITLE)
    }

    /// The rectangle round a feature's place on the sheet.
    fn rect(&self, place: &Place<'_>) -> Rect {
        let [u, v] = [self.view.face.right, self.view.face.up].map(|d| place.bounds.along(d.axis));
        let (x, y) = (u.map(|u| self.right(u)), v.map(|v| self.up(v)));
        Rect { min: [x[0].min(x[1]), y[0].min(y[1])], max: [x[0].max(x[1]), y[0].max(y[1])] }
    }

    fn dimension(&mut self, ruler: &Ruler) {
        let (right, up) = (self.view.face.right.axis, self.view.face.up.axis);
        let (whole, tall) = (self.part.size[right.index()], self.part.size[up.index()]);
        let mut along = BTreeMap::from([(Length::ZERO, 0.0)]);
        let mut beside = [BTreeMap::from([(Length::ZERO, 0.0)]), BTreeMap::new()];
        let mut mark = |axis: Axis, at: Length, rect: &Rect, left: bool, round: bool| {
            let over = if round { CENTRE_OVER } else { 0.0 };
            if axis == right {
                let foot = if round { rect.min[1] - over } else { self.foot(at).unwrap_or(rect.min[1]) };
                let from = along.entry(at).or_insert(foot);
                *from = from.min(foot);
            } else {
                let own = if left { rect.min[0] - over } else { rect.max[0] + over };
                let start = if round { own } else { self.side(at, left).unwrap_or(own) };
                let from = beside[usize::from(!left)].entry(at).or_insert(start);
                *from = if left { from.min(start) } else { from.max(start) };
            }
        };
        for f in &self.view.features {
            let told = f.told();
            let round = matches!(f.shape, Shape::Hole(_));
            let first = self.rect(told[0]);
            let left = (first.min[0] + first.max[0]) / 2.0 <= self.size[0] / 2.0 + 1e-6;
            for place in &told {
                let rect = self.rect(place);
                for u in told_places(f, place, right).into_iter().filter(|u| *u < whole) {
                    mark(right, u, &rect, left, round);
                }
            }
            let nearest = if left { &told[..f.across] } else { &told[told.len() - f.across..] };
            for place in nearest {
                let rect = self.rect(place);
                for v in told_places(f, place, up).into_iter().filter(|v| *v < tall) {
                    mark(up, v, &rect, left, round);
                }
            }
        }
        if self.view.overall[0] {
            along.insert(whole, self.foot(whole).unwrap_or(0.0));
        }
        if self.view.overall[1] {
            beside[0].insert(tall, self.side(tall, true).unwrap_or(0.0));
        }
        let [low, mut high] = beside;
        high.retain(|v, _| !low.contains_key(v));
        let stops = |marks: &BTreeMap<Length, f64>, place: &dyn Fn(Length) -> f64| {
            let stop = |(v, from): (&Length, &f64)| (Stop { at: place(*v), from: *from }, figure(ruler, *v));
            let mut stops: Vec<(Stop, String)> = marks.iter().map(stop).collect();
            stops.sort_by(|a, b| a.0.at.total_cmp(&b.0.at));
            stops
        };
        let mut below = Running { along: Along::Across, line: -BELOW, stops: stops(&along, &|u| self.right(u)) };
        let left = Running { along: Along::Up, line: -BESIDE, stops: stops(&low, &|v| self.up(v)) };
        let right = Running { along: Along::Up, line: self.size[0] + BESIDE, stops: stops(&high, &|v| self.up(v)) };
        // Spread figures beside the view may reach down to those below it.
        for (side, view) in [(&left, 0.0), (&right, self.size[0])] {
            if let (Some(a), Some(b)) = (side.bounds(), below.bounds()) {
                // With the lines that lead to them.
                let a = a.union(&Rect { min: [view, a.max[1]], max: [view, a.max[1]] }).grown(1.5);
                if a.overlaps(&b) {
                    below.line -= b.max[1] - a.min[1];
                }
            }
        }
        self.running = vec![below, left];
        if !right.stops.is_empty() {
            self.running.push(right);
        }
    }

    /// The lowest and the leftmost or rightmost ink on a line across the view or along it, on the sheet.
    fn foot(&self, at: Length) -> Option<f64> {
        let face = self.view.face;
        let on = self.ends().filter(|p| (p[0] - at.mm()).abs() < INK).map(|p| face.height(p[1], self.part.size));
        on.reduce(f64::min).map(|y| y * self.scale.ratio)
    }

    fn side(&self, at: Length, left: bool) -> Option<f64> {
        let on = self.ends().filter(|p| (p[1] - at.mm()).abs() < INK).map(|p| self.right(Length::from_mm(p[0])));
        on.reduce(if left { f64::min } else { f64::max })
    }

    /// The ends of all lines seen, in the part's mm on the face's two axes.
    fn ends(&self) -> impl Iterator<Item = At> + '_ {
        let sign = |d: case::Dir| if d.positive { 1.0 } else { -1.0 };
        let (su, sv) = (sign(self.view.face.right), sign(self.view.face.up));
        let seen = self.view.strokes.iter().filter(|s| !s.hidden);
        seen.flat_map(|s| &s.path.vertices).map(move |(p, _)| [p[0] * su, p[1] * sv])
    }

    fn label(&mut self, ruler: &Ruler) {
        let mut labels: Vec<Label> = Vec::new();
        for f in &self.view.features {
            let deep = label::depth(f, self.part.size, self.view.face, ruler);
            let shown = if f.pitch().is_some() { 1 } else { f.places.len() };
            // Of several across the grain, the uppermost.
            let skip = if self.view.face.up.positive { f.across - 1 } else { 0 };
            for (k, place) in f.places.iter().skip(skip).step_by(f.across).take(shown).enumerate() {
                let (tip, dotted) = self.tip(f, place, &labels);
                labels.push(Label { tip, dotted, words: label::wordings(f, &deep, k == 0, ruler) });
            }
        }
        for ([u, v], says) in &self.view.remarks {
            let tip = [self.right(Length::from_mm(*u)), self.up(Length::from_mm(*v))];
            labels.push(Label { tip, dotted: true, words: [says.clone(), says.clone(), says.clone()] });
        }
        // What lies deep in a view is labelled there, if there is a place clear of all lines, and of the leaders to the
        // labels above.
        let (mut deep, mut high): (Vec<_>, Vec<_>) = labels.into_iter().partition(|l| self.size[1] - l.tip[1] > DEEP);
        let lines = if deep.is_empty() { Vec::new() } else { self.lines() };
        let view = Rect::new([0.0, 0.0], self.size[0], self.size[1]);
        let breaks: Vec<[f64; 2]> = self.breaks().collect();
        let inside = loop {
            let leaders = high.iter().map(|l| [l.tip, [l.tip[0], self.size[1]]]);
            let lines: Vec<[At; 2]> = lines.iter().copied().chain(leaders).collect();
            let mut placed: Vec<Placed> = Vec::new();
            let failed = deep.iter().position(|l| {
                let found = label::inside(l, &view, &lines, &breaks, &placed);
                placed.extend(found.clone());
                found.is_none()
            });
            match failed {
                Some(at) => high.push(deep.remove(at)),
                None => break placed,
            }
        };
        let from = (self.bounds.min[0] + self.title_width() + 4.0).max(0.0);
        let to = self.bounds.max[0].max(self.size[0]);
        self.labels = inside;
        self.labels.extend(label::over(high, [self.size[1], self.line], from, to, SPREAD));
    }

    /// All lines that a text within the view must keep clear of.
    fn lines(&self) -> Vec<[At; 2]> {
        let strokes = self.view.strokes.iter().flat_map(|s| self.on_sheet(&s.path, [0.0, 0.0]));
        let mut lines: Vec<[At; 2]> =
            strokes.flat_map(|p| p.flattened(0.5).windows(2).map(|w| [w[0], w[1]]).collect::<Vec<_>>()).collect();
        for r in &self.running {
            lines.extend(r.stops.iter().map(|(s, _)| [r.along.point(s.at, s.from), r.along.point(s.at, r.line)]));
        }
        for [a, b] in self.scale.breaks() {
            lines.extend([a - 1.0, a + 1.0, b - 1.0, b + 1.0].map(|x| [[x, 0.0], [x, self.size[1]]]));
        }
        lines.extend(self.centres());
        lines
    }

    /// Where a leader from above best meets a feature: a dot where nothing else is cut, or an arrow on the upper edge
    /// of what is too small for a dot, and of holes and curves.
    fn tip(&self, f: &Feature<'_>, place: &Place<'_>, taken: &[Label]) -> (At, bool) {
        let rect = self.rect(place);
        if f.is_curved() || rect.height().min(rect.width()) < 2.4 {
            return ([rect.centre()[0], rect.max[1]], false);
        }
        let others: Vec<Rect> = self
            .view
            .features
            .iter()
            .filter(|o| o.letter != f.letter)
            .flat_map(|o| o.places.iter().map(|p| self.rect(p)))
            .filter(|o| !o.holds(&rect))
            .collect();
        let free = |p: &At| {
            let dot = Rect { min: *p, max: *p }.grown(0.8);
            let level =
                |r: &Running| r.along == Along::Across || r.stops.iter().all(|(s, _)| (s.at - p[1]).abs() > 0.8);
            others.iter().all(|o| !o.overlaps(&dot))
                && self.running.iter().all(level)
                && self.breaks().all(|b| p[0] < b[0] || b[1] < p[0])
                && taken.iter().all(|l| (l.tip[0] - p[0]).abs() > 1.5)
        };
        let spots = [0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95].into_iter().flat_map(|x| {
            [0.5, 0.7, 0.85, 0.3, 0.15].map(|y| [rect.min[0] + x * rect.width(), rect.min[1] + y * rect.height()])
        });
        (spots.clone().find(free).unwrap_or(rect.centre()), true)
    }

    /// The breaks of this view, with a little room.
    fn breaks(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.scale.breaks().map(|[a, b]| [a - 2.0, b + 2.0])
    }

    /// Draws it with the foot of the face's left side at `at`: the view on one layer, the dimensions on another.
    pub(crate) fn draw(&self, at: At) -> [Layer; 2] {
        let id = self.id();
        let mut view = Layer::new(format!("{id}-view"), self.view.title.clone());
        let mut dims = Layer::new(format!("{id}-dimensions"), format!("Dimensions of {}", self.view.title));
        for stroke in &self.view.strokes {
            let pen = if stroke.hidden { Pen::Hidden } else { Pen::Outline };
            for path in self.on_sheet(&stroke.path, at) {
                view.draw(pen, path);
            }
        }
        for path in self.blank() {
            for path in self.on_sheet(&path, at) {
                view.draw(Pen::Phantom, path);
            }
        }
        self.draw_breaks(&mut view, at);
        for line in self.centres() {
            let [a, b] = line.map(|p| [p[0] + at[0], p[1] + at[1]]);
            view.line(Pen::Centre, a, b);
        }
        let face = self.view.face;
        let corner = [self.right(Length::ZERO), self.up(Length::ZERO)];
        if face.right.axis == Axis::X {
            dims.draw(Pen::Dimension, Path::circle([at[0] + corner[0], at[1] + corner[1]], DATUM));
        }
        for running in &self.running {
            moved(running, at).draw(&mut dims);
        }
        for label in &self.labels {
            label.draw(&mut dims, at);
        }
        let title = [at[0] + self.bounds.min[0], at[1] + self.line];
        dims.letter(Text::new(title, TITLE, self.view.title.clone()));
        [view, dims]
    }

    /// What the cuts have left nothing of along the blank's own outline, in the picture's mm.
    fn blank(&self) -> Vec<Path> {
        let face = self.view.face;
        // Against its axis, a direction runs from minus the size to 0.
        let ends = [face.right, face.up].map(|d| {
            let size = self.part.size[d.axis.index()].mm();
            if d.positive { [0.0, size] } else { [-size, 0.0] }
        });
        let mut out = Vec::new();
        for (along, side) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let across = 1 - along;
            let level = ends[across][side];
            let mut covered: Vec<[f64; 2]> = self
                .view
                .strokes
                .iter()
                .filter(|s| !s.hidden)
                .flat_map(|s| s.path.segments())
                .filter(|s| s.bulge == 0.0 && [s.from, s.to].iter().all(|p| (p[across] - level).abs() < INK))
                .map(|s| [s.from[along].min(s.to[along]), s.from[along].max(s.to[along])])
                .collect();
            covered.sort_by(|a, b| a[0].total_cmp(&b[0]));
            let [mut done, end] = ends[along];
            covered.push([end, end]);
            for [from, to] in covered {
                if from - done > INK {
                    let point = |v: f64| if along == 0 { [v, level] } else { [level, v] };
                    out.push(Path::line(point(done), point(from)));
                }
                done = done.max(to);
            }
        }
        out
    }

    /// A path of the picture on the sheet, without what lies in breaks.
    fn on_sheet(&self, path: &Path, at: At) -> Vec<Path> {
        let face = self.view.face;
        let whole = |d: case::Dir| if d.positive { 0.0 } else { self.part.size[d.axis.index()].mm() };
        let (du, dv) = (whole(face.right), whole(face.up));
        let map = |p: At| {
            let x = if face.right.axis == Axis::X { self.scale.place(p[0]) } else { (p[0] + du) * self.scale.ratio };
            [at[0] + x, at[1] + (p[1] + dv) * self.scale.ratio]
        };
        if face.right.axis != Axis::X || self.scale.kept().len() == 1 {
            return vec![path.mapped(false, map)];
        }
        let points = path.flattened(0.02);
        let (low, high) = points.iter().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p[0]), h.max(p[0])));
        let mut out = Vec::new();
        for [from, to] in self.scale.kept() {
            if *from <= low + 1e-6 && high <= to + 1e-6 {
                return vec![path.mapped(false, map)];
            }
            for w in points.windows(2) {
                if let Some([a, b]) = clipped([w[0], w[1]], *from, *to) {
                    out.push(Path::line(map(a), map(b)));
                }
            }
        }
        out
    }

    fn draw_breaks(&self, layer: &mut Layer, at: At) {
        for x in self.scale.breaks().flatten() {
            layer.draw(Pen::Dimension, break_line(at[0] + x, [at[1], at[1] + self.size[1]]));
        }
    }

    /// Centre lines of holes; one line through a row of them.
    fn centres(&self) -> Vec<[At; 2]> {
        let mut lines = Vec::new();
        for f in self.view.features.iter().filter(|f| matches!(f.shape, Shape::Hole(_))) {
            let level = |from: &Rect, to: &Rect| {
                let y = from.centre()[1];
                [[from.min[0] - CENTRE_OVER, y], [to.max[0] + CENTRE_OVER, y]]
            };
            let rects: Vec<Rect> = f.places.iter().map(|p| self.rect(p)).collect();
            if f.pitch().is_some() {
                let last = rects.len() - f.across;
                lines.extend((0..f.across).map(|i| level(&rects[i], &rects[last + i])));
            } else {
                lines.extend(rects.iter().map(|r| level(r, r)));
            }
            for (place, r) in f.places.iter().zip(&rects) {
                let middle = place.start(self.view.face.right.axis, f.shape);
                if self.view.face.right.axis != Axis::X || self.scale.shows(middle.mm()) {
                    let x = r.centre()[0];
                    lines.push([[x, r.min[1] - CENTRE_OVER], [x, r.max[1] + CENTRE_OVER]]);
                }
            }
        }
        lines
    }
}

/// The places of a feature on an axis that make it: middle of a hole, ends of a box, corners of anything else; of a
/// curve its ends, its rise being told on its label.
fn told_places(f: &Feature<'_>, place: &Place<'_>, axis: Axis) -> Vec<Length> {
    let [low, high] = place.bounds.along(axis);
    match f.shape {
        Shape::Hole(_) => vec![place.start(axis, f.shape)],
        Shape::Free if f.is_curved() && axis != Axis::X => vec![],
        Shape::Free if f.face().axis != axis && !f.is_curved() => {
            let first = f.face().axis.others().0 == axis;
            place.outline.0.iter().map(|v| if first { v.u } else { v.v }).collect()
        }
        _ => vec![low, high],
    }
}

fn moved(running: &Running, at: At) -> Running {
    let (along, square) = match running.along {
        Along::Across => (at[0], at[1]),
        Along::Up => (at[1], at[0]),
    };
    let stops =
        running.stops.iter().map(|(s, f)| (Stop { at: s.at + along, from: s.from + square }, f.clone())).collect();
    Running { along: running.along, line: running.line + square, stops }
}

/// The part of a line whose x lies in a range.
fn clipped([a, b]: [At; 2], from: f64, to: f64) -> Option<[At; 2]> {
    let (low, high) = (a[0].min(b[0]), a[0].max(b[0]));
    if high < from || low > to {
        return None;
    }
    let at = |x: f64| {
        let t = if (b[0] - a[0]).abs() < 1e-12 { 0.0 } else { (x - a[0]) / (b[0] - a[0]) };
        [x, a[1] + t * (b[1] - a[1])]
    };
    if (b[0] - a[0]).abs() < 1e-9 {
        return Some([a, b]);
    }
    let ends = [at(low.max(from)), at(high.min(to))];
    (ends[0][0] < ends[1][0]).then_some(ends)
}
