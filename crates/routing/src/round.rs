//! Ways along the sides of a region: where a tool's centre runs when its edge follows the walls.

use crate::curve::{Curve, P2, TINY, add, cross, dist, left, scale, sub};
use crate::path::{Pen, Rate};
use crate::pocket::Cutting;
use crate::region::Region;
use crate::wall::{Chain, Field};

/// A run of curves that follow on one another.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub(crate) curves: Vec<Curve>,
    pub(crate) closed: bool,
}

/// The ways along the sides at a distance, as far as the tool gets, run on into the open at their ends.
pub(crate) fn rounds(field: &Field, sides: &[Chain], distance: f64, cut: &Cutting) -> Vec<Run> {
    let mut out = Vec::new();
    for chain in sides {
        let n = chain.curves.len();
        let mut parallel: Vec<Curve> = Vec::new();
        for (i, c) in chain.curves.iter().enumerate() {
            parallel.extend(c.offset(distance));
            let next = if i + 1 < n { Some(&chain.curves[i + 1]) } else { chain.closed.then(|| &chain.curves[0]) };
            parallel.extend(next.and_then(|next| rolled(c, next, distance)));
        }
        let mut pieces: Vec<Curve> = Vec::new();
        for p in &parallel {
            pieces.extend(field.clear(p, distance).into_iter().map(|[s, e]| p.part(s, e)));
        }
        let mut runs: Vec<Run> = Vec::new();
        for p in pieces {
            match runs.last_mut() {
                Some(r) if r.curves.last().is_some_and(|l| dist(l.end(), p.start()) < 1e-4) => r.curves.push(p),
                _ => runs.push(Run { curves: vec![p], closed: false }),
            }
        }
        if chain.closed {
            close(&mut runs);
        }
        for mut run in runs {
            if !run.closed {
                run_on(field, &mut run, distance, cut);
            }
            out.push(run);
        }
    }
    out
}

/// The roll of the tool round a corner that stands into the region.
fn rolled(c: &Curve, next: &Curve, distance: f64) -> Option<Curve> {
    let (t, u) = (c.tangent(1.0), next.tangent(0.0));
    let turn = cross(t, u);
    if turn > -1e-9 {
        return None;
    }
    let (n, m) = (left(t), left(u));
    let start = libm::atan2(n[1], n[0]);
    let sweep = libm::atan2(cross(n, m), n[0] * m[0] + n[1] * m[1]);
    Some(Curve::arc(c.end(), distance, start, sweep))
}

/// Joins the last run of a closed chain to its first, if they meet.
fn close(runs: &mut Vec<Run>) {
    let meet = |a: &Run, b: &Run| match (a.curves.last(), b.curves.first()) {
        (Some(l), Some(f)) => dist(l.end(), f.start()) < 1e-4,
        _ => false,
    };
    if let [only] = runs.as_mut_slice() {
        only.closed = meet(only, only);
    } else if runs.len() > 1 && meet(&runs[runs.len() - 1], &runs[0]) {
        let mut last = runs.pop().map(|r| r.curves).unwrap_or_default();
        last.append(&mut runs[0].curves);
        runs[0].curves = last;
    }
}

/// Prolongs both ends straight on, as far as that is clear.
fn run_on(field: &Field, run: &mut Run, distance: f64, cut: &Cutting) {
    let over = cut.radius + cut.run;
    let (Some(first), Some(last)) = (run.curves.first().copied(), run.curves.last().copied()) else { return };
    let end = last.end();
    let on = Curve::Line { from: end, to: add(end, scale(last.tangent(1.0), over)) };
    if let Some([a, b]) = field.clear(&on, distance).first().copied()
        && a * over < 2.0 * TINY
    {
        run.curves.push(on.part(0.0, b));
    }
    let start = first.start();
    let back = Curve::Line { from: start, to: sub(start, scale(first.tangent(0.0), over)) };
    if let Some([a, b]) = field.clear(&back, distance).first().copied()
        && a * over < 2.0 * TINY
    {
        run.curves.insert(0, back.part(0.0, b).reversed());
    }
}

/// Follows the walls about corners once more at a lesser depth, where they open on something shallower: what the bit
/// must leave in such a corner it need not leave all the way up. `field` is that of the lesser depth, `lower` that of
/// the region's own; the region has been cleared.
pub(crate) fn open_corners(pen: &mut Pen, field: &Field, lower: &Field, region: &Region, depth: f64, cut: &Cutting) {
    let kept = corners(&field.chains(region));
    let opened: Vec<P2> =
        corners(&lower.chains(region)).into_iter().filter(|c| !kept.iter().any(|k| dist(*k, *c) < TINY)).collect();
    if opened.is_empty() {
        return;
    }
    for run in rounds(field, &field.sides(region), cut.radius, cut) {
        for mut part in about(&run, &opened, 3.0 * cut.radius) {
            // In where the region has been cleared, out where it may not be.
            let (Some(first), Some(last)) = (part.first(), part.last()) else { continue };
            if !region.contains(first.start()) && region.contains(last.end()) {
                part = part.iter().rev().map(Curve::reversed).collect();
            }
            pen.down(part[0].start(), -depth);
            part.iter().for_each(|c| pen.along(c, -depth, Rate::Cut));
        }
    }
    pen.lift();
}

/// The stretches of a run that lie within a distance of any of some places.
fn about(run: &Run, places: &[P2], distance: f64) -> Vec<Vec<Curve>> {
    let mut out: Vec<Vec<Curve>> = Vec::new();
    for c in &run.curves {
        let mut stops = vec![0.0, 1.0];
        places.iter().for_each(|p| c.meets_circle(*p, distance, &mut stops));
        stops.sort_by(f64::total_cmp);
        for w in stops.windows(2).filter(|w| w[1] - w[0] > TINY) {
            let middle = c.at((w[0] + w[1]) / 2.0);
            if !places.iter().any(|p| dist(*p, middle) < distance) {
                continue;
            }
            let piece = c.part(w[0], w[1]);
            match out.last_mut() {
                Some(stretch) if stretch.last().is_some_and(|l| dist(l.end(), piece.start()) < 1e-4) => {
                    stretch.push(piece)
                }
                _ => out.push(vec![piece]),
            }
        }
    }
    out
}

/// Rolls about the ends of walls into openings that are too narrow for the tool, as far as it gets: each starts where
/// the tool leaves the wall.
pub(crate) fn pokes(field: &Field, chains: &[Chain], cut: &Cutting) -> Vec<Curve> {
    use std::f64::consts::PI;
    let mut out = Vec::new();
    for chain in chains.iter().filter(|c| !c.closed) {
        let (Some(first), Some(last)) = (chain.curves.first(), chain.curves.last()) else { continue };
        let ends = [(last.end(), left(last.tangent(1.0)), -PI), (first.start(), left(first.tangent(0.0)), PI)];
        for (end, n, sweep) in ends.into_iter().filter(|(end, ..)| !field.in_air(*end, 0.0, -1e-3)) {
            let roll = Curve::arc(end, cut.radius, libm::atan2(n[1], n[0]), sweep);
            if let Some([a, b]) = field.clear(&roll, cut.radius).first().copied()
                && a * roll.length() < 2.0 * TINY
                && b < 0.4
            {
                out.push(roll.part(0.0, b));
            }
        }
    }
    out.retain(|c| c.length() > 0.02);
    out
}

/// Inside corners of walls that a round tool cannot reach into.
pub(crate) fn corners(chains: &[Chain]) -> Vec<P2> {
    let mut out = Vec::new();
    for chain in chains {
        let n = chain.curves.len();
        let joints = if chain.closed { n } else { n.saturating_sub(1) };
        let is_corner = |i: &usize| cross(chain.curves[*i].tangent(1.0), chain.curves[(i + 1) % n].tangent(0.0)) > 1e-3;
        out.extend((0..joints).filter(is_corner).map(|i| chain.curves[i].end()));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::{Outline, Vertex};
    use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
    use measure::mm;

    fn corner(u: i64, v: i64, bulge: f64) -> Vertex {
        Vertex { u: mm(u), v: mm(v), bulge }
    }

    /// Total length of the last rounds in a closed region, by us and by a library of arc polylines.
    fn lengths(outline: &[Vertex], radius: f64) -> [f64; 2] {
        let region = Region::new(&Outline(outline.to_vec()));
        let field = Field::new(vec![&region], [-500.0, -500.0, 500.0, 500.0]);
        let cut = Cutting { radius, allowance: 0.3, step: radius, pass: 5.0, ramp: 0.1, run: 1.0, plunges: true };
        let ours = rounds(&field, &field.sides(&region), radius, &cut);
        assert!(ours.iter().all(|r| r.closed));
        let mut line = Polyline::new_closed();
        outline.iter().for_each(|v| line.add(v.u.mm(), v.v.mm(), v.bulge));
        let theirs = line.parallel_offset(radius);
        let length = |r: &Run| r.curves.iter().map(Curve::length).sum::<f64>();
        [ours.iter().map(length).sum(), theirs.iter().map(PlineSource::path_length).sum()]
    }

    #[test]
    fn rounds_are_as_long_as_a_library_s_offsets() {
        let mortise = [corner(0, 0, 0.0), corner(60, 0, 0.0), corner(60, 12, 0.0), corner(0, 12, 0.0)];
        let with_a_step = [
            corner(0, 0, 0.0),
            corner(80, 0, 0.0),
            corner(80, 50, 0.0),
            corner(40, 50, 0.0),
            corner(40, 25, 0.0),
            corner(0, 25, 0.0),
        ];
        let under_an_arch = [corner(0, 0, 0.0), corner(100, 0, 0.3), corner(0, 0, 0.0)];
        let slot = [corner(0, 0, 0.0), corner(50, 0, 1.0), corner(50, 20, 0.0), corner(0, 20, 1.0)];
        let waisted = [corner(0, 0, 0.0), corner(90, 0, -0.2), corner(90, 60, 0.0), corner(0, 60, -0.2)];
        for (outline, radius) in [
            (&mortise[..], 3.175),
            (&mortise[..], 4.7625),
            (&with_a_step[..], 4.0),
            (&with_a_step[..], 6.35),
            (&under_an_arch[..2], 6.0),
            (&slot[..], 3.0),
            (&waisted[..], 6.35),
        ] {
            let [ours, theirs] = lengths(outline, radius);
            assert!((ours - theirs).abs() < 1e-6 && ours > 0.0, "{outline:?} {radius}: {ours} {theirs}");
        }
    }
}
