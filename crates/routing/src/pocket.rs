//! Clearing a region to its depth: level by level in rows with a little left on the walls, then once round the walls at
//! full depth, climbing, to the exact size.
//!
//! Why it takes all that the tool can reach: let q be a place for the tool's centre that covers a point p of the region.
//! If the way from q to p leaves the places where the centre may be, p is within a radius of their border, which the
//! last round follows. If not, the centre may be at p itself, with more than a radius round it, and the rows are
//! less than a radius apart.

use crate::curve::{Curve, P2, TINY, add, dist, left, scale};
use crate::path::{Pen, Rate};
use crate::region::Region;
use crate::round::{Run, pokes, rounds};
use crate::wall::{Chain, Field};

/// How one tool clears, in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cutting {
    /// The tool's radius.
    pub(crate) radius: f64,
    /// Left on the walls for the last round.
    pub(crate) allowance: f64,
    /// Between rows.
    pub(crate) step: f64,
    /// Most depth of one pass.
    pub(crate) pass: f64,
    /// Rise over run of the steepest ramp.
    pub(crate) ramp: f64,
    /// How far the tool's edge clears the blank where it runs out.
    pub(crate) run: f64,
    /// It may go straight down where there is no room to ramp.
    pub(crate) plunges: bool,
}

/// Why a region could not be cleared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NoEntry;

/// Clears `region` down to `depth`; the field must be that of its depth.
pub(crate) fn pocket(pen: &mut Pen, field: &Field, region: &Region, depth: f64, cut: &Cutting) -> Result<(), NoEntry> {
    let (chains, sides) = (field.chains(region), field.sides(region));
    let room = field.room(region, &chains);
    let slack = ((room - 2.0 * cut.radius) / 2.0).max(0.0);
    // Rows leave steps where a wall is not square to them; a round at each level takes those away.
    let skew = chains.iter().flat_map(|c| &c.curves).any(|c| !square(c));
    // Where a bend or a throat leaves no room for the allowance, less is left, or nothing; and where no row fits at all,
    // the rounds are all there is.
    let plan = [1.0, 0.25, 0.0].into_iter().map(|share| {
        let allowance = cut.allowance.min(slack) * share;
        let rough = cut.radius + allowance;
        let rows = rows(field, region, &sides, rough, cut);
        let each_level = if skew || rows.is_empty() { rounds(field, &sides, rough, cut) } else { Vec::new() };
        (allowance, rows, each_level)
    });
    let Some((allowance, rows, each_level)) = plan.into_iter().find(|(_, a, b)| !a.is_empty() || !b.is_empty()) else {
        return Err(NoEntry);
    };
    let rough = cut.radius + allowance;
    let mut upper = 0.0;
    for z in levels(depth, cut.pass) {
        let mut work: Vec<Run> = rows.iter().map(|r| Run { curves: vec![*r], closed: false }).collect();
        let ended_here = |p: P2| rows.last().is_some_and(|l| touches(l, p)) && !field.in_air(p, cut.radius, 0.0);
        if pen.down_at().is_some_and(|p| ended_here([p[0], p[1]])) {
            work.reverse();
        }
        work.extend(each_level.iter().cloned());
        for run in work {
            follow(pen, field, &run, [upper, z], rough, cut)?;
        }
        upper = z;
    }
    if allowance > 1e-3 {
        for run in rounds(field, &sides, cut.radius, cut) {
            finish(pen, field, &run, -depth, cut, allowance);
        }
    }
    for poke in pokes(field, &chains, cut) {
        pen.down(poke.start(), -depth);
        pen.along(&poke, -depth, Rate::Cut);
        pen.along(&poke.reversed(), -depth, Rate::Cut);
    }
    pen.lift();
    Ok(())
}

/// Heights of the passes, the last one exact.
pub(crate) fn levels(depth: f64, pass: f64) -> Vec<f64> {
    let n = ((depth - 1e-6) / pass).ceil().max(1.0);
    let mut out = Vec::new();
    let mut k = 1.0;
    while k < n {
        out.push(-depth * k / n);
        k += 1.0;
    }
    out.push(-depth);
    out
}

fn square(c: &Curve) -> bool {
    match c {
        Curve::Line { from, to } => (from[0] - to[0]).abs() < TINY || (from[1] - to[1]).abs() < TINY,
        Curve::Arc { .. } => false,
    }
}

fn touches(c: &Curve, p: P2) -> bool {
    dist(c.start(), p) < 1e-3 || dist(c.end(), p) < 1e-3
}

/// Straight rows over the region along its longest wall, the one farthest from that wall first.
fn rows(field: &Field, region: &Region, sides: &[Chain], rough: f64, cut: &Cutting) -> Vec<Curve> {
    let walls: Vec<&Curve> = sides.iter().flat_map(|c| &c.curves).filter(|c| square(c)).collect();
    let longest = walls.iter().copied().max_by(|a, b| a.length().total_cmp(&b.length()));
    // `a` runs along the rows, `b` across them.
    let a = match longest {
        Some(w) => usize::from((w.start()[0] - w.end()[0]).abs() < TINY),
        None => usize::from(region.height() > region.width()),
    };
    let b = 1 - a;
    let walled = |at: f64| walls.iter().any(|w| (w.start()[b] - at).abs() < TINY && (w.end()[b] - at).abs() < TINY);
    let (low, high) = (region.bounds[b], region.bounds[b + 2]);
    let (reach, full) = (0.8 * cut.radius, 0.95 * cut.radius);
    let (first, last) = match (walled(low), walled(high)) {
        (true, true) => (low + rough, high - rough),
        // Where one row beside the wall takes in the open side, it is enough.
        (true, false) => (low + rough, if low + rough >= high - full { low + rough } else { high - reach }),
        (false, true) => (if high - rough <= low + full { high - rough } else { low + reach }, high - rough),
        (false, false) => (low + reach, high - reach),
    };
    let (first, last) = if first > last { ((first + last) / 2.0, (first + last) / 2.0) } else { (first, last) };
    let span = last - first;
    // A strip that the last round covers anyway needs one row only.
    let n = if span < 0.1 * cut.radius { 0.0 } else { (span / cut.step).ceil() };
    let mut stations = Vec::new();
    let mut k = 0.0;
    while k <= n {
        stations.push(if n == 0.0 { (first + last) / 2.0 } else { first + span * k / n });
        k += 1.0;
    }
    let over = cut.radius + cut.run;
    let row = |across: f64| {
        let end = |x: f64| {
            let mut p = [across; 2];
            p[a] = x;
            p
        };
        let row = Curve::Line { from: end(region.bounds[a] - over), to: end(region.bounds[a + 2] + over) };
        let parts = field.clear(&row, rough).into_iter().map(move |[s, e]| row.part(s, e));
        parts.filter(|r| reaches(region, r, cut.radius)).collect::<Vec<_>>()
    };
    let mut out: Vec<Curve> = stations.into_iter().flat_map(row).collect();
    if longest.is_some_and(|w| w.start()[b] - low < high - w.start()[b]) {
        out.reverse();
    }
    out
}

/// Whether a tool that follows the curve takes anything from the region.
fn reaches(region: &Region, c: &Curve, radius: f64) -> bool {
    (0..=16).map(|i| c.at(f64::from(i) / 16.0)).any(|p| region.contains(p) || region.distance(p) < radius - 0.01)
}

/// Follows a run at a level of which the one above has been cleared.
fn follow(
    pen: &mut Pen,
    field: &Field,
    run: &Run,
    [upper, z]: [f64; 2],
    rough: f64,
    cut: &Cutting,
) -> Result<(), NoEntry> {
    let (Some(first), Some(last)) = (run.curves.first(), run.curves.last()) else { return Ok(()) };
    let reversed = || run.curves.iter().rev().map(Curve::reversed).collect::<Vec<_>>();
    let here = pen.down_at();
    let airy = |p: P2| field.in_air(p, cut.radius, 0.5 * cut.run);
    let backwards = match here {
        Some(p) => !run.closed && dist(last.end(), [p[0], p[1]]) < dist(first.start(), [p[0], p[1]]),
        None => airy(last.end()) && !airy(first.start()),
    };
    let curves = if backwards { reversed() } else { run.curves.clone() };
    let start = curves[0].start();
    if let Some(p) = here {
        let link = Curve::Line { from: [p[0], p[1]], to: start };
        let level = (p[2] - z).abs() < TINY;
        if level && field.is_clear(&link, rough) {
            pen.line(start);
            curves.iter().for_each(|c| pen.along(c, z, Rate::Cut));
            return Ok(());
        }
        if (p[2] - upper).abs() < TINY && link.length() > 1e-3 && field.is_clear(&link, rough) {
            pen.line(start);
        } else if link.length() > 1e-3 || p[2] < z {
            pen.lift();
        }
    }
    if airy(start) {
        if pen.down_at().is_some() {
            pen.sink(z, Rate::Plunge)
        } else {
            pen.down(start, z)
        }
        curves.iter().for_each(|c| pen.along(c, z, Rate::Cut));
        return Ok(());
    }
    if pen.down_at().is_none() {
        pen.down(start, upper);
    }
    // Down along the first curve, to and fro, then along it once more at the level.
    let fall = curves[0].length() * cut.ramp;
    let legs = ((upper - z) / fall).ceil();
    if legs > 24.0 || fall < TINY {
        if !cut.plunges {
            return Err(NoEntry);
        }
        pen.sink(z, Rate::Plunge);
    } else {
        // A single curve may be followed back from its far end; a longer run starts where it starts.
        let single = curves.len() == 1 && !run.closed;
        let legs = if single || legs % 2.0 == 0.0 { legs } else { legs + 1.0 };
        let mut k = 1.0;
        while k <= legs {
            let leg = if k % 2.0 == 1.0 { curves[0] } else { curves[0].reversed() };
            pen.along(&leg, upper + (z - upper) * k / legs, Rate::Ramp);
            k += 1.0;
        }
        if legs % 2.0 == 1.0 {
            pen.along(&curves[0].reversed(), z, Rate::Cut);
            return Ok(());
        }
    }
    curves.iter().for_each(|c| pen.along(c, z, Rate::Cut));
    Ok(())
}

/// The last round along a run at full depth: in and out on a quarter circle, or from the air.
fn finish(pen: &mut Pen, field: &Field, run: &Run, z: f64, cut: &Cutting, allowance: f64) {
    let mut curves = run.curves.clone();
    if run.closed {
        start_in_the_middle(&mut curves);
    }
    let (Some(first), Some(last)) = (curves.first().copied(), curves.last().copied()) else { return };
    let airy = |p: P2| field.in_air(p, cut.radius, 0.5 * cut.run);
    let start = first.start();
    if airy(start) {
        pen.down(start, z);
    } else {
        let lead = leads(&first, 0.0, cut, allowance).into_iter().find(|l| field.is_clear(l, cut.radius));
        let lead = lead.unwrap_or(Curve::Line { from: start, to: start });
        let entry = lead.start();
        let linked = pen.down_at().filter(|p| {
            let link = Curve::Line { from: [p[0], p[1]], to: entry };
            (p[2] - z).abs() < TINY && field.is_clear(&link, cut.radius)
        });
        if linked.is_some() {
            pen.line(entry)
        } else {
            pen.down(entry, z)
        }
        if lead.length() > TINY {
            pen.along(&lead, z, Rate::Cut);
        }
    }
    curves.iter().for_each(|c| pen.along(c, z, Rate::Cut));
    if !airy(last.end()) {
        let out = leads(&last, 1.0, cut, allowance).into_iter().map(|l| l.reversed());
        if let Some(out) = out.into_iter().find(|l| field.is_clear(l, cut.radius)) {
            pen.along(&out, z, Rate::Cut);
        }
    }
}

/// Quarter circles that meet the curve at an end from inside the region, the widest first, then a straight step.
/// Those for the end 1 are to be walked backwards.
fn leads(c: &Curve, end: f64, cut: &Cutting, allowance: f64) -> Vec<Curve> {
    let (p, t) = (c.at(end), c.tangent(end));
    let n = left(t);
    let along = if end == 0.0 { t } else { scale(t, -1.0) };
    let quarter = |r: f64| {
        let centre = add(p, scale(n, r));
        let start = scale(along, -1.0);
        let sweep = std::f64::consts::FRAC_PI_2 * if end == 0.0 { 1.0 } else { -1.0 };
        Curve::arc(centre, r, libm::atan2(start[1], start[0]), sweep)
    };
    let step = Curve::Line { from: add(p, scale(n, allowance)), to: p };
    [0.5 * cut.radius, 0.25 * cut.radius, allowance].map(quarter).into_iter().chain([step]).collect()
}

/// Turns a closed run so that it starts in the middle of its longest curve.
fn start_in_the_middle(curves: &mut Vec<Curve>) {
    let longest = (0..curves.len()).max_by(|&i, &j| curves[i].length().total_cmp(&curves[j].length()));
    if let Some(i) = longest {
        curves.rotate_left(i);
        let c = curves[0];
        curves[0] = c.part(0.5, 1.0);
        curves.push(c.part(0.0, 0.5));
    }
}
