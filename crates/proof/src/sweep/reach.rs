//! Where a tool can get: the places for its centre, and what it touches from there.

use super::cover::TIE;
use super::curve::{Bounds, Curve, P2};
use super::grid::Seen;
use super::region::{Class, Plan, SLIVER, Slab};
use super::within::{Gaps, border};

/// Where the centre of a tool of one radius may be in a slab, as its border, found wall by wall when asked for.
#[derive(Clone, Debug)]
pub(crate) struct Reach {
    r: f64,
    border: Vec<Option<Vec<Curve>>>,
    seen: [Seen; 2],
}

impl Reach {
    pub(crate) fn new(r: f64, walls: usize) -> Self {
        Self { r, border: vec![None; walls], seen: Default::default() }
    }

    /// A place, about, where the tool can touch the piece; nothing if it cannot.
    pub(crate) fn touch(&mut self, plan: &Plan, slab: &Slab, piece: &Curve) -> Option<P2> {
        let (r, p) = (self.r, piece.at(0.5));
        if !(r > 0.0 && r.is_finite()) || plan.class(slab, p) != Class::Keep && self.is_clear(slab, p) {
            return Some(p);
        }
        // The nearest place for the centre is within r of the piece, and a wall within r of that. A wall that the tool
        // can run along lies at just r.
        let mut walls = Vec::new();
        slab.walls.near(&piece.bounds().grown(2.0 * r + SLIVER), &mut self.seen[0], |i, _| {
            walls.push(i);
            true
        });
        walls.into_iter().find_map(|i| {
            if self.border[i].is_none() {
                self.border[i] = Some(self.border_at(plan, slab, i));
            }
            let from = self.border[i].iter().flatten().find(|c| c.gap(piece) < r + SLIVER)?;
            Some(nearest(piece, from))
        })
    }

    /// No wall is nearer than r.
    fn is_clear(&mut self, slab: &Slab, p: P2) -> bool {
        let mut clear = true;
        slab.walls.near(&Bounds::of(p).grown(self.r), &mut self.seen[0], |_, w| {
            clear = w.curve.distance(p) >= self.r;
            clear
        });
        clear
    }

    fn border_at(&mut self, plan: &Plan, slab: &Slab, wall: usize) -> Vec<Curve> {
        let mut out = Vec::new();
        let mut gaps = Gaps::default();
        let own = &slab.walls.all[wall].curve;
        let is_arc = matches!(own, Curve::Arc(_));
        border(own, self.r, |x| {
            gaps.whole();
            slab.walls.near(&x.bounds().grown(self.r), &mut self.seen[1], |j, w| {
                if j != wall || is_arc {
                    gaps.cut_within(&x, &w.curve, self.r - TIE, SLIVER);
                }
                !gaps.0.is_empty()
            });
            for [s, t] in gaps.0.drain(..) {
                let piece = x.part(s, t);
                if plan.class(slab, piece.at(0.5)) != Class::Keep {
                    out.push(piece);
                }
            }
        });
        out
    }
}

/// About the place of a curve that is nearest to another.
fn nearest(x: &Curve, to: &Curve) -> P2 {
    const PLACES: u32 = 32;
    let places = (0..=PLACES).map(|i| x.at(f64::from(i) / f64::from(PLACES)));
    places.map(|p| (to.distance(p), p)).min_by(|a, b| a.0.total_cmp(&b.0)).map_or(x.from(), |(_, p)| p)
}
