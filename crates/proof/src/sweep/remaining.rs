//! What is left of the stock at a moment of the program: whether a tool, a holder or a rapid move would touch it.

use super::cover::{Cover, TIE};
use super::curve::{Bounds, Curve, P2};
use super::grid::Seen;
use super::leftover::SLACK;
use super::path::{Stretch, gap_to_box};
use super::region::{LEVEL, SLIVER};
use super::within::{Gaps, border, crossings, within};

/// The stock, as the path takes it away.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Remaining<'a> {
    pub stock: Bounds,
    pub top: f64,
    pub path: &'a [Stretch],
}

impl Remaining<'_> {
    /// Whether a disc of radius `r` that moves along a curve at height `z`, or anything of it above that, touches stock
    /// that the first `before` stretches have left.
    pub(crate) fn touched(&self, curve: &Curve, r: f64, z: f64, before: usize) -> bool {
        let r = r - SLACK;
        if z >= self.top - LEVEL || r <= 0.0 || gap_to_box(curve, &self.stock) >= r {
            return false;
        }
        let level = z + LEVEL;
        let recent = self.path[..before].iter().rev().take(16).filter(|s| !s.rapid && !s.blind);
        if recent.filter_map(|s| Some((s.below(level)?, s.r))).any(|(c, big)| holds(&c, big + SLACK - r, curve)) {
            return false;
        }
        let room = curve.bounds().grown(r);
        let cover = Cover::new(&self.path[..before], level, &room);
        if cover.all.iter().any(|s| holds(&s.curve, s.r + SLACK - r, curve)) {
            return false;
        }
        !self.is_covered(curve, r, &cover)
    }

    /// The stadium of radius `r` about a curve, as far as it lies over the stock, is within the cover.
    fn is_covered(&self, curve: &Curve, r: f64, cover: &Cover) -> bool {
        let mut seen = Seen::default();
        let mut gaps = Gaps::default();
        let mut covered = true;
        border(curve, r, |x| {
            cover.uncovered(&x, SLACK, &mut seen, &mut gaps);
            covered &= !gaps.0.iter().any(|g| self.over_stock(&x, *g));
        });
        for side in self.stock.sides() {
            cover.uncovered(&side, SLACK, &mut seen, &mut gaps);
            within(&side, curve, r - TIE, |s, t| {
                covered &= !gaps.0.iter().any(|g| (g[1].min(t) - g[0].max(s)) * side.length() > SLIVER);
            });
        }
        for i in 0..cover.all.len() {
            cover.border_of(i, SLACK, &mut seen, &mut gaps, |x, gaps| {
                within(x, curve, r - TIE, |s, t| {
                    covered &= !gaps.0.iter().any(|g| self.over_stock(x, [g[0].max(s), g[1].min(t)]));
                });
            });
        }
        covered
    }

    /// Whether any of a stretch of `x` lies over the stock.
    fn over_stock(&self, x: &Curve, [s, t]: [f64; 2]) -> bool {
        let mut stops = vec![s, t];
        for side in self.stock.sides() {
            crossings(x, &side, |v| stops.extend((s < v && v < t).then_some(v)));
        }
        stops.sort_by(f64::total_cmp);
        stops
            .windows(2)
            .any(|w| (w[1] - w[0]) * x.length() > SLIVER && self.stock.holds(x.at(f64::midpoint(w[0], w[1]))))
    }
}

/// A stadium of radius `r` about `big` holds the curve `small`, for sure. A straight stadium is convex, so the ends of
/// a line decide, or the corners of a box that holds an arc; a bent one holds what is a part of its own curve.
fn holds(big: &Curve, r: f64, small: &Curve) -> bool {
    if r < 0.0 {
        return false;
    }
    let near = |p: P2, by: f64| big.distance(p) <= by;
    match (big, small) {
        (Curve::Line(_), _) => {
            let b = small.bounds();
            match small {
                Curve::Line(l) => near(l.a, r) && near(l.b, r),
                Curve::Arc(_) => b.sides().iter().all(|s| near(s.from(), r)),
            }
        }
        (Curve::Arc(_), Curve::Line(l)) => l.a == l.b && near(l.a, r),
        (Curve::Arc(a), Curve::Arc(b)) => {
            a.c == b.c && a.r == b.r && [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().all(|t| near(small.at(t), 1e-9))
        }
    }
}
