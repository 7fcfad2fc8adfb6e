//! What the tool takes from wood that must stay.
//!
//! A tool of radius r whose centre runs along a curve enters what must stay exactly if the curve comes nearer to it than
//! r. How deep is measured as the farthest that any wood wrongly removed lies from room that may be empty: sideways at
//! its own height, or up and sideways where that is nearer (a floor cut too deep is 0.05 mm wrong, however wide it is).
//! The figure never falls short; it is exact for a wall or a floor that is overrun, and for thin webs it can exceed.

use super::curve::{Curve, P2};
use super::grid::Seen;
use super::path::Stretch;
use super::region::{Class, LEVEL, Plan, Slab};

/// Wood that must stay, removed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gouge {
    /// Index of the stretch.
    pub stretch: usize,
    /// mm.
    pub depth: f64,
    /// A place of the tool's centre.
    pub at: P2,
    pub z: f64,
    /// The nearest of the claim's cuts that is open there, if one is.
    pub slab: usize,
}

/// Every stretch that enters what must stay by more than `least`, and the deepest entry of all.
pub(crate) fn gouges(plan: &Plan, path: &[Stretch], least: f64) -> (Vec<Gouge>, f64) {
    let mut seen = Seen::default();
    let mut found = Vec::new();
    let mut worst: f64 = 0.0;
    for (i, s) in path.iter().enumerate() {
        if s.blind || s.lowest() >= plan.top - LEVEL || !s.bounds.grown(s.r).meets(&plan.stock) {
            continue;
        }
        if let Some(g) = gouge(plan, s, i, &mut seen) {
            worst = worst.max(g.depth);
            if g.depth > least {
                found.push(g);
            }
        }
    }
    (found, worst)
}

fn gouge(plan: &Plan, s: &Stretch, stretch: usize, seen: &mut Seen) -> Option<Gouge> {
    let lowest = s.lowest();
    let first = plan.slabs.iter().position(|slab| lowest < slab.high - LEVEL)?;
    let mut failing: Option<(usize, f64, f64)> = None;
    let mut depth = 0.0_f64;
    let mut at = s.curve.from();
    for (k, slab) in plan.slabs.iter().enumerate().skip(first) {
        let Some((_, z, best)) = &mut failing else {
            if k > first && slab.nested && s.z[0] == s.z[1] {
                break;
            }
            let Some(part) = s.below(slab.high - LEVEL) else { continue };
            let side = entered(plan, slab, &part, s.r, seen);
            if side > 0.0 {
                let z = lowest.max(slab.low);
                failing = Some((k, z, side.min(plan.top - z)));
                at = part.at(0.5);
            }
            continue;
        };
        // Up into this slab and then aside.
        let up = slab.low - *z;
        if up >= *best {
            break;
        }
        let side = s.below(slab.high - LEVEL).map_or(0.0, |part| entered(plan, slab, &part, s.r, seen));
        *best = best.min(libm::hypot(side, up));
    }
    let (slab, z, best) = failing?;
    depth = depth.max(best);
    Some(Gouge { stretch, depth, at, z, slab })
}

/// How far the tool's edge reaches into what must stay, sideways; 0 if it does not.
fn entered(plan: &Plan, slab: &Slab, part: &Curve, r: f64, seen: &mut Seen) -> f64 {
    let mut nearest = f64::INFINITY;
    slab.walls.near(&part.bounds().grown(r), seen, |_, wall| {
        nearest = nearest.min(wall.curve.gap(part));
        nearest > 0.0
    });
    let probes = [0.0, 0.5, 1.0].map(|t| part.at(t));
    let within = |p: &&P2| plan.class(slab, **p) == Class::Keep;
    if nearest > 0.0 && !within(&&probes[0]) {
        return (r - nearest).max(0.0);
    }
    let deep = probes.iter().filter(within).map(|p| {
        let walls = slab.walls.all.iter().map(|w| w.curve.distance(*p));
        walls.fold(f64::INFINITY, f64::min)
    });
    r + deep.fold(0.0, f64::max)
}
