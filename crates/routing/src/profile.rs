//! A through outline with much waste: only a kerf along its walls is cut, and the offcut stays held by bridges, so that
//! nothing flies when it comes free. The bridges are sawn and flushed by hand.

use crate::curve::{Curve, P2, TINY, add, dist, left, scale, sub};
use crate::path::{Pen, Rate};
use crate::pocket::{Cutting, levels};
use crate::region::Region;
use crate::round::{Run, rounds};
use crate::wall::{Chain, Field};

/// Waste as broad as this, in mm, and as so many diameters of the bit, is cut off rather than cleared.
const BROAD: (f64, f64) = (60.0, 4.0);

/// A bridge's length along the wall and height, in mm. Common practice, no source.
pub(crate) const LONG: f64 = 10.0;
pub(crate) const HIGH: f64 = 3.0;

/// How far the tool keeps off a bridge's ends, in mm.
const CLEAR: f64 = 1.0;

/// Between bridges, in mm.
const APART: f64 = 250.0;

/// What is cut of a region, and what is left standing.
#[derive(Clone, Debug)]
pub(crate) struct Kerf {
    /// Closed outlines of what is cut above the bridges.
    pub(crate) above: Vec<Vec<Curve>>,
    /// Closed outlines of what is cut between them: the tool's own round at both ends.
    pub(crate) between: Vec<Vec<Curve>>,
    /// The bridges: four corners each.
    pub(crate) tabs: Vec<[P2; 4]>,
    /// Their upper side, from the top of the stock down.
    pub(crate) top: f64,
}

/// Whether a through cut of a stock so high is one for a kerf.
pub(crate) fn is_broad(region: &Region, radius: f64, height: f64) -> bool {
    let least = region.width().min(region.height());
    least > BROAD.0 && least > BROAD.1 * 2.0 * radius && height > 2.0 * HIGH
}

/// Cuts along the walls of a region through a stock of that height, down to `depth`; nothing, if there is no place for
/// two bridges.
pub(crate) fn profile(
    pen: &mut Pen,
    field: &Field,
    region: &Region,
    height: f64,
    depth: f64,
    cut: &Cutting,
) -> Option<Kerf> {
    let sides = field.sides(region);
    let tabs: Vec<[P2; 4]> = sides.iter().flat_map(|c| bridges(&c.curves, cut.radius, APART)).collect();
    if tabs.len() < 2 {
        return None;
    }
    let top = height - HIGH;
    let held = Held { tabs: &tabs, keep: cut.radius + CLEAR, top, climb: true };
    // A way in beside the blank takes nothing, though it may run along its edge.
    let beside = |c: &Curve| [0.0, 0.5, 1.0].into_iter().all(|t| field.in_air(c.at(t), cut.radius, 0.0));
    let free = held.follow(pen, field, &sides, depth, cut).into_iter().filter(|c| !beside(c));
    let between = free.filter_map(|c| swept(&c, cut.radius)).collect();
    let wide = 2.0 * cut.radius;
    let inner = rounds(field, &sides, wide, &Cutting { run: -cut.radius, ..*cut });
    let above = sides.iter().zip(&inner).map(|(side, inner)| {
        let back = inner.curves.iter().rev().map(Curve::reversed);
        side.curves.iter().copied().chain(back).collect()
    });
    Some(Kerf { above: above.collect(), between, tabs, top })
}

/// What holds a piece while a kerf is cut along it, and which way one goes round.
pub(crate) struct Held<'a> {
    pub(crate) tabs: &'a [[P2; 4]],
    /// How far the tool's centre keeps off the bridges, in mm.
    pub(crate) keep: f64,
    /// Their upper side, from the top of the stock down.
    pub(crate) top: f64,
    /// Climbing, rather than against the turning of the bit.
    pub(crate) climb: bool,
}

impl Held<'_> {
    /// Cuts along sides down to `depth`: level by level with a little left on the walls, then once at full depth to the
    /// exact size. What of the last round runs between the bridges.
    pub(crate) fn follow(
        &self,
        pen: &mut Pen,
        field: &Field,
        sides: &[Chain],
        depth: f64,
        cut: &Cutting,
    ) -> Vec<Curve> {
        let way = |run: &Run| {
            let back = || run.curves.iter().rev().map(Curve::reversed).collect();
            let curves = if self.climb { run.curves.clone() } else { back() };
            Way::new(&Run { curves, closed: run.closed }, self.tabs, self.keep)
        };
        let finish = rounds(field, sides, cut.radius, cut);
        let mut free = Vec::new();
        for (i, run) in rounds(field, sides, cut.radius + cut.allowance, cut).iter().enumerate() {
            let rough = way(run);
            let mut upper = 0.0;
            for (k, z) in levels(depth, cut.pass).into_iter().enumerate() {
                // Open ways are followed to and fro, from one end's air to the other's.
                let rough = if k % 2 == 1 && !run.closed { rough.reversed() } else { rough.clone() };
                rough.follow(pen, field, [upper, z], self.top, cut);
                upper = z;
            }
            if let Some(last) = finish.get(i) {
                if !run.closed {
                    pen.lift();
                }
                let last = way(last);
                last.follow(pen, field, [-depth, -depth], self.top, cut);
                free.extend(last.pieces.iter().filter(|(_, bridge)| !bridge).map(|(c, _)| *c));
            }
            pen.lift();
        }
        free
    }
}

/// What a round tool sweeps on its way along a curve; nothing where it turns on the spot.
fn swept(c: &Curve, radius: f64) -> Option<Vec<Curve>> {
    let (right, left_side) = (c.offset(-radius)?, c.offset(radius)?.reversed());
    let cap = |from: P2, centre: P2| {
        let v = sub(from, centre);
        Curve::arc(centre, radius, libm::atan2(v[1], v[0]), std::f64::consts::PI)
    };
    Some(vec![right, cap(right.end(), c.end()), left_side, cap(left_side.end(), c.start())])
}

/// Bridges on a chain of walls, clear of corners and no farther apart than that: each across the kerf, its corners
/// counter-clockwise.
pub(crate) fn bridges(curves: &[Curve], radius: f64, apart: f64) -> Vec<[P2; 4]> {
    let room = LONG + 4.0 * radius + 4.0;
    let mut out = Vec::new();
    for c in curves.iter().filter(|c| c.length() > room) {
        let n = (c.length() / apart).ceil();
        let mut k = 0.5;
        while k < n {
            let (p, t) = (c.at(k / n), c.tangent(k / n));
            let (along, across) = (scale(t, LONG / 2.0), scale(left(t), 2.0 * radius));
            let (a, b) = (sub(p, along), add(p, along));
            out.push([a, b, add(b, across), add(a, across)]);
            k += 1.0;
        }
    }
    out
}

/// A run cut where bridges begin and end.
#[derive(Clone)]
struct Way {
    /// Pieces, and whether a bridge is below.
    pieces: Vec<(Curve, bool)>,
}

impl Way {
    /// Of a run, over bridges from which the tool's centre keeps so far.
    fn new(run: &Run, tabs: &[[P2; 4]], keep: f64) -> Self {
        let sides = |tab: &[P2; 4]| -> [Curve; 4] {
            let tab = *tab;
            std::array::from_fn(|i| Curve::Line { from: tab[i], to: tab[(i + 1) % 4] })
        };
        let sides: Vec<Curve> = tabs.iter().flat_map(sides).collect();
        let mut pieces: Vec<(Curve, bool)> = Vec::new();
        for c in &run.curves {
            let mut stops = vec![0.0, 1.0];
            for side in &sides {
                side.offset(-keep).iter().for_each(|o| c.meets(o, &mut stops));
                c.meets_circle(side.start(), keep, &mut stops);
            }
            stops.sort_by(f64::total_cmp);
            let mut from: Option<(f64, bool)> = None;
            for w in stops.windows(2).filter(|w| (w[1] - w[0]) * c.length() > TINY) {
                let middle = c.at((w[0] + w[1]) / 2.0);
                let bridge = sides.iter().any(|side| side.distance(middle) < keep);
                match from {
                    Some((start, before)) if before != bridge => {
                        pieces.push((c.part(start, w[0]), before));
                        from = Some((w[0], bridge));
                    }
                    Some(_) => {}
                    None => from = Some((w[0], bridge)),
                }
            }
            pieces.extend(from.map(|(start, bridge)| (c.part(start, 1.0), bridge)));
        }
        if run.closed
            && let Some(free) = pieces.iter().position(|(_, bridge)| !bridge)
        {
            pieces.rotate_left(free);
        }
        Self { pieces }
    }

    fn reversed(&self) -> Self {
        Self { pieces: self.pieces.iter().rev().map(|(c, bridge)| (c.reversed(), *bridge)).collect() }
    }

    /// Follows it at `z`, over the bridges no deeper than `top`; all is cleared down to `upper`.
    fn follow(&self, pen: &mut Pen, field: &Field, [upper, z]: [f64; 2], top: f64, cut: &Cutting) {
        let Some((first, _)) = self.pieces.first() else { return };
        let start = first.start();
        match pen.down_at() {
            Some(p) if dist([p[0], p[1]], start) < 2.0 * cut.allowance + TINY => pen.line(start),
            _ => pen.down(start, if field.in_air(start, cut.radius, 0.5 * cut.run) { z } else { upper }),
        }
        let legs = ((upper - z) / (first.length() * cut.ramp)).ceil();
        if field.in_air(start, cut.radius, 0.5 * cut.run) || legs > 24.0 {
            pen.sink(z, Rate::Plunge);
        } else if upper - z > TINY {
            let legs = if legs % 2.0 == 0.0 { legs } else { legs + 1.0 };
            let mut k = 1.0;
            while k <= legs {
                let leg = if k % 2.0 == 1.0 { *first } else { first.reversed() };
                pen.along(&leg, upper + (z - upper) * k / legs, Rate::Ramp);
                k += 1.0;
            }
        }
        for (c, bridge) in &self.pieces {
            let level = if *bridge { z.max(-top) } else { z };
            pen.level(level);
            pen.along(c, level, Rate::Cut);
        }
    }
}
