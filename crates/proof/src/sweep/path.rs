//! The tool's path as curves in plan with a height at each end: what the sweep works on.

use crate::claim::Tool;
use crate::reader::{Motion, Plane};

use super::curve::{Arc, Bounds, Curve, P2};

/// Arcs that do not lie in the XY plane are taken as straight lines that stay within this of them, mm.
pub(crate) const CHORD: f64 = 0.0005;

/// One stretch of a move, by one tool.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stretch {
    pub curve: Curve,
    /// Of the curve alone.
    pub bounds: Bounds,
    /// Height of the tool's full diameter at start and end, mm: the tip for a flat end.
    pub z: [f64; 2],
    /// The tool's radius.
    pub r: f64,
    /// Index of the move.
    pub motion: usize,
    pub rapid: bool,
    /// Where it comes from is unknown.
    pub blind: bool,
}

impl Stretch {
    pub(crate) const fn lowest(&self) -> f64 {
        self.z[0].min(self.z[1])
    }

    pub(crate) const fn highest(&self) -> f64 {
        self.z[0].max(self.z[1])
    }

    /// Height at a parameter.
    pub(crate) fn height(&self, t: f64) -> f64 {
        self.z[0] + t * (self.z[1] - self.z[0])
    }

    /// The parameters between which it runs below a height, and none if that is nowhere.
    pub(crate) fn range_below(&self, level: f64) -> Option<[f64; 2]> {
        let [a, b] = self.z;
        match (a <= level, b <= level) {
            (true, true) => Some([0.0, 1.0]),
            (false, false) => None,
            (true, false) => Some([0.0, (level - a) / (b - a)]),
            (false, true) => Some([(level - a) / (b - a), 1.0]),
        }
    }

    /// The part of the curve that runs below a height.
    pub(crate) fn below(&self, level: f64) -> Option<Curve> {
        self.range_below(level).map(|[s, t]| self.curve.part(s, t))
    }
}

/// The stretches of all moves. `tool_of` finds a tool by its number; a move without one is left out.
pub(crate) fn stretches<'t>(motions: &[Motion], tool_of: impl Fn(u32) -> Option<&'t Tool>) -> Vec<Stretch> {
    let mut out = Vec::with_capacity(motions.len());
    let mut last: Option<(u32, f64, f64)> = None;
    for (motion, m) in motions.iter().enumerate() {
        let (r, point) = match last {
            Some((number, r, point)) if number == m.tool => (r, point),
            _ => {
                let Some(t) = tool_of(m.tool) else { continue };
                last = Some((m.tool, t.radius(), t.point_height()));
                (t.radius(), t.point_height())
            }
        };
        let mut add = |curve: Curve, z: [f64; 2]| {
            let z = z.map(|z| z + point);
            out.push(Stretch { curve, bounds: curve.bounds(), z, r, motion, rapid: m.rapid, blind: m.blind != 0 });
        };
        let flat = |p: [f64; 3]| [p[0], p[1]];
        match m.arc {
            None => add(Curve::line(flat(m.from), flat(m.to)), [m.from[2], m.to[2]]),
            Some(a) if a.plane == Plane::Xy => {
                let (from, to) = (flat(m.from), flat(m.to));
                let arc = Arc { c: a.centre, r: a.radius, start: a.start, sweep: a.sweep, a: from, b: to };
                add(Curve::Arc(arc), [m.from[2], m.to[2]]);
            }
            Some(_) => {
                let points = chords(m);
                for w in points.windows(2) {
                    add(Curve::line(flat(w[0]), flat(w[1])), [w[0][2], w[1][2]]);
                }
            }
        }
    }
    out
}

/// Points along an arc of any plane, near enough that the chords stay within [`CHORD`] of it.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count, bounded above")]
fn chords(m: &Motion) -> Vec<[f64; 3]> {
    let Some(a) = m.arc else { return vec![m.from, m.to] };
    let step = 2.0 * libm::acos((1.0 - CHORD / a.radius).clamp(-1.0, 1.0));
    let n = (a.sweep.abs() / step).ceil().clamp(1.0, 20_000.0) as usize;
    let [u, v, w] = a.plane.axes();
    let mut out = vec![m.from];
    for i in 1..n {
        let t = i as f64 / n as f64;
        let (sin, cos) = libm::sincos(a.start + t * a.sweep);
        let mut p = [0.0; 3];
        p[u] = a.centre[0] + a.radius * cos;
        p[v] = a.centre[1] + a.radius * sin;
        p[w] = m.from[w] + t * (m.to[w] - m.from[w]);
        out.push(p);
    }
    out.push(m.to);
    out
}

/// The plan distance between a curve and a rectangle; 0 where they meet.
pub(crate) fn gap_to_box(c: &Curve, b: &Bounds) -> f64 {
    let p: P2 = c.from();
    if b.holds(p) {
        return 0.0;
    }
    b.sides().iter().map(|s| s.gap(c)).fold(f64::INFINITY, f64::min)
}
