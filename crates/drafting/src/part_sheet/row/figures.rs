//! The running dimensions of a view, each from ink that is seen.

use std::collections::BTreeMap;

use case::Axis;
use measure::{Length, Ruler};

use super::super::feature::{Feature, Place, Shape};
use super::{CENTRE_OVER, INK, Row};
use paper::dimension::{Along, Running, Stop, figure};
use paper::scene::{At, Rect};

/// From the left or right side of a view to its running figures, mm.
const BESIDE: f64 = 9.0;
/// From its foot down to them, mm.
const BELOW: f64 = 8.0;
/// So far over the running figures their lines may be slanted, mm.
const SLANTED: f64 = 6.0;

impl Row<'_> {
    pub(super) fn dimension(&mut self, ruler: &Ruler) {
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
            if let (Some(a), Some(mut b)) = (side.bounds(), below.bounds()) {
                // Figures below that are spread under these come with their slanted lines.
                if a.min[0] < b.max[0] && b.min[0] < a.max[0] {
                    b.max[1] += SLANTED;
                }
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
        self.view.strokes.iter().flat_map(|s| &s.path.vertices).map(move |(p, _)| [p[0] * su, p[1] * sv])
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
