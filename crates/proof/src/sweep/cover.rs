//! What has been cleared at one height: stadiums about stretches of path, and whether they cover a region.

use super::curve::{Bounds, Curve, P2};
use super::grid::{Grid, Seen};
use super::path::Stretch;
use super::region::SLIVER;
use super::within::{Gaps, border};

/// A point this near to a border counts as on it, mm. A border of one stadium is hidden by another only where it lies
/// deeper inside than this, so that of two stadiums that share a border neither hides the other's.
pub(crate) const TIE: f64 = 1e-7;

/// A stadium: all within `r` of a curve.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stadium {
    pub curve: Curve,
    pub r: f64,
    /// Of the whole stadium.
    pub bounds: Bounds,
}

/// The region cleared at a height.
#[derive(Clone, Debug)]
pub(crate) struct Cover {
    pub all: Vec<Stadium>,
    grid: Grid,
}

impl Cover {
    /// By all feed moves among the first `count` stretches, at a height, as far as they touch `room`.
    pub(crate) fn new(path: &[Stretch], level: f64, room: &Bounds) -> Self {
        let mut all: Vec<Stadium> = Vec::new();
        for s in path {
            if s.rapid || s.blind || s.lowest() > level || !s.bounds.grown(s.r).meets(room) {
                continue;
            }
            let Some(curve) = s.below(level) else { continue };
            if all.last().is_some_and(|l| l.curve == curve && l.r == s.r) {
                continue;
            }
            all.push(Stadium { curve, r: s.r, bounds: curve.bounds().grown(s.r) });
        }
        let grid = Grid::new(&all.iter().map(|s| (s.curve, s.r)).collect::<Vec<_>>());
        Self { all, grid }
    }

    /// The stadiums that can touch a box, until `found` says stop (false).
    pub(crate) fn near(&self, b: &Bounds, seen: &mut Seen, mut found: impl FnMut(usize, &Stadium) -> bool) {
        self.grid.near(b, seen, |i| if self.all[i].bounds.meets(b) { found(i, &self.all[i]) } else { true });
    }

    /// The stretches of `x` that no stadium, grown by `slack`, covers.
    pub(crate) fn uncovered(&self, x: &Curve, slack: f64, seen: &mut Seen, gaps: &mut Gaps) {
        gaps.whole();
        self.near(&x.bounds().grown(slack), seen, |_, s| {
            gaps.cut_within(x, &s.curve, s.r + slack, SLIVER);
            !gaps.0.is_empty()
        });
    }

    /// The border of all stadiums together, each grown by `slack`, as far as stadium `i` bears it: calls `found` with a
    /// curve and the stretches of it that count.
    pub(crate) fn border_of(
        &self,
        i: usize,
        slack: f64,
        seen: &mut Seen,
        gaps: &mut Gaps,
        mut found: impl FnMut(&Curve, &mut Gaps),
    ) {
        let own = &self.all[i];
        let is_arc = matches!(own.curve, Curve::Arc(_));
        border(&own.curve, own.r + slack, |x| {
            gaps.whole();
            self.near(&x.bounds().grown(slack), seen, |j, s| {
                // The border of a straight stadium never runs inside itself; that of a bent one can.
                if j != i || is_arc {
                    gaps.cut_within(&x, &s.curve, s.r + slack - TIE, SLIVER);
                }
                !gaps.0.is_empty()
            });
            if !gaps.0.is_empty() {
                found(&x, gaps);
            }
        });
    }

    /// How far a point lies from the cleared region, and the nearest stadium; looks within `reach` first.
    pub(crate) fn distance(&self, p: P2, reach: f64, seen: &mut Seen) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        let better = |best: &mut Option<(f64, usize)>, i: usize, s: &Stadium| {
            let d = s.curve.distance(p) - s.r;
            if best.is_none_or(|b| d < b.0) {
                *best = Some((d, i));
            }
        };
        self.near(&Bounds::of(p).grown(reach), seen, |i, s| {
            better(&mut best, i, s);
            true
        });
        if best.is_some_and(|b| b.0 <= reach) {
            return best;
        }
        self.all.iter().enumerate().for_each(|(i, s)| better(&mut best, i, s));
        best
    }
}
