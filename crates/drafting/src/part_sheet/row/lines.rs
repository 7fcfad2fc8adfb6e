//! The lines of a view on the sheet: what is seen, what is left of the blank, breaks and centre lines.

use case::Axis;

use super::super::broken::break_line;
use super::super::feature::Shape;
use super::{CENTRE_OVER, DASHED, INK, Row};
use crate::view::Stroke;
use paper::scene::{At, Layer, Path, Pen, Rect};

impl Row<'_> {
    /// What the cuts have left nothing of along the blank's own outline, in the picture's mm.
    pub(super) fn blank(&self) -> Vec<Path> {
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
    pub(super) fn on_sheet(&self, path: &Path, at: At) -> Vec<Path> {
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

    /// The hidden edges that the scale lets one tell apart.
    pub(super) fn dashed(&self) -> impl Iterator<Item = &Stroke> {
        self.view.hidden.iter().filter(|h| h.width * self.scale.ratio >= DASHED).map(|h| &h.stroke)
    }

    pub(super) fn draw_breaks(&self, layer: &mut Layer, at: At) {
        for x in self.scale.breaks().flatten() {
            layer.draw(Pen::Dimension, break_line(at[0] + x, [at[1], at[1] + self.size[1]]));
        }
    }

    /// Centre lines of holes; one line through a row of them.
    pub(super) fn centres(&self) -> Vec<[At; 2]> {
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
