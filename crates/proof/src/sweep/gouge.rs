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
    /// Where the tool's tip is when it enters most.
    pub at: P2,
    pub z: f64,
    pub slab: usize,
}

/// Every stretch that enters what must stay by more than `least`, and the deepest entry of all.
pub(crate) fn gouges(plan: &Plan, path: &[Stretch], least: f64) -> (Vec<Gouge>, f64) {
    let mut seen = Seen::default();
    let mut found = Vec::new();
    let mut worst: f64 = 0.0;
    for (i, s) in path.iter().enumerate() {
        // Straight up, the tool stays where it has been.
        let rises = s.z[1] >= s.z[0] && matches!(s.curve, Curve::Line(l) if l.a == l.b);
        if s.blind || rises || s.lowest() >= plan.top - LEVEL || !s.bounds.grown(s.r).meets(&plan.stock) {
            continue;
        }
        if let Some((depth, slab)) = depth(plan, s, &mut seen) {
            worst = worst.max(depth);
            if depth > least {
                let (at, z) = place(plan, s, slab);
                found.push(Gouge { stretch: i, depth, at, z, slab });
            }
        }
    }
    (found, worst)
}

/// How deep a stretch enters what must stay, and in which slab most; nothing if it does not.
fn depth(plan: &Plan, s: &Stretch, seen: &mut Seen) -> Option<(f64, usize)> {
    let lowest = s.lowest();
    let first = plan.slabs.iter().position(|slab| lowest < slab.high - LEVEL)?;
    let level = s.z[0] == s.z[1];
    // How far aside it enters, slab by slab.
    let mut sides = Vec::new();
    for (k, slab) in plan.slabs.iter().enumerate().skip(first) {
        let free_below = level && sides.last() == Some(&0.0);
        if k > first && slab.nested && free_below {
            break;
        }
        let part = s.below(slab.high - LEVEL);
        sides.push(part.map_or(0.0, |part| entered(plan, slab, &part, s.r, seen)));
    }
    // Out of a slab: aside, or up into another one and aside there, or up into the air.
    let depth = |k: usize| {
        let z = lowest.max(plan.slabs[first + k].low);
        let above = sides.iter().enumerate().skip(k);
        let out = above.map(|(j, side)| libm::hypot(*side, (plan.slabs[first + j].low - z).max(0.0)));
        out.fold(plan.top - z, f64::min)
    };
    let failing = (0..sides.len()).filter(|k| sides[*k] > 0.0).map(|k| (depth(k), first + k));
    failing.max_by(|a, b| a.0.total_cmp(&b.0))
}

/// How far the tool's edge reaches into what must stay, sideways; 0 if it does not.
fn entered(plan: &Plan, slab: &Slab, part: &Curve, r: f64, seen: &mut Seen) -> f64 {
    let mut nearest = f64::INFINITY;
    slab.walls.near(&part.bounds().grown(r), seen, |_, wall| {
        nearest = nearest.min(wall.curve.gap(part));
        nearest > 0.0
    });
    if nearest > 0.0 && plan.class(slab, part.from()) != Class::Keep {
        return (r - nearest).max(0.0);
    }
    r + farthest_inside(plan, slab, part)
}

/// How far the centre itself gets inside what must stay: halves the stretch where more might be found, since along it
/// the depth changes no faster than the place. At most 0.01 mm too much.
fn farthest_inside(plan: &Plan, slab: &Slab, part: &Curve) -> f64 {
    const FINE: f64 = 0.01;
    const MOST: u32 = 4096;
    let depth = |t: f64| {
        let p = part.at(t);
        let walls = slab.walls.all.iter().map(|w| w.curve.distance(p)).fold(f64::INFINITY, f64::min);
        if plan.class(slab, p) == Class::Keep { walls } else { -walls }
    };
    let mut best: f64 = 0.0;
    let mut open = vec![([0.0, 1.0], f64::INFINITY)];
    let mut tried = 0;
    while let Some(([s, t], bound)) = open.pop() {
        if bound <= best + FINE {
            continue;
        }
        if tried == MOST {
            best = best.max(bound);
            continue;
        }
        tried += 1;
        let middle = f64::midpoint(s, t);
        let here = depth(middle);
        best = best.max(here);
        let bound = bound.min(here + (t - s) / 2.0 * part.length());
        open.extend([([s, middle], bound), ([middle, t], bound)]);
    }
    best + FINE
}

/// About where along a stretch the tool enters most, from a slab upward.
fn place(plan: &Plan, s: &Stretch, slab: usize) -> (P2, f64) {
    const PLACES: u32 = 64;
    let [from, to] = s.range_below(plan.slabs[slab].high - LEVEL).unwrap_or([0.0, 1.0]);
    let here = &plan.slabs[slab];
    let entry = |p: P2, z: f64| {
        let walls = here.walls.all.iter().map(|w| w.curve.distance(p)).fold(f64::INFINITY, f64::min);
        if plan.class(here, p) != Class::Keep {
            return (s.r - walls).min(here.high - z);
        }
        let above = plan.slabs.iter().skip(slab).find(|k| plan.class(k, p) != Class::Keep);
        (s.r + walls).min(above.map_or(plan.top, |k| k.low) - z)
    };
    let places = (0..=PLACES).map(|i| from + (to - from) * f64::from(i) / f64::from(PLACES));
    let places = places.map(|t| (s.curve.at(t), s.height(t)));
    let deepest = places.map(|(p, z)| (entry(p, z), p, z)).max_by(|a, b| a.0.total_cmp(&b.0));
    deepest.map_or((s.curve.from(), s.lowest()), |(_, p, z)| (p, z))
}
