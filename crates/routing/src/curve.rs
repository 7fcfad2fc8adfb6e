//! Lines and arcs in the plane of a setup, in millimetres: distance, crossing, offset, parts.
//!
//! The vocabulary of everything above it that moves a tool: walls, rows, finishing passes are all curves. Only what
//! those need; no general geometry library.

use case::Segment;

/// A point of the plane.
pub(crate) type P2 = [f64; 2];

/// Lengths below this are nothing, in mm: a hundred times finer than the last digit of a program.
pub(crate) const TINY: f64 = 1e-6;

pub(crate) fn add(a: P2, b: P2) -> P2 {
    [a[0] + b[0], a[1] + b[1]]
}
pub(crate) fn sub(a: P2, b: P2) -> P2 {
    [a[0] - b[0], a[1] - b[1]]
}
pub(crate) fn scale(a: P2, k: f64) -> P2 {
    [a[0] * k, a[1] * k]
}
pub(crate) fn dot(a: P2, b: P2) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
pub(crate) fn cross(a: P2, b: P2) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
pub(crate) fn dist(a: P2, b: P2) -> f64 {
    libm::hypot(a[0] - b[0], a[1] - b[1])
}
/// Turned a quarter to the left.
pub(crate) fn left(a: P2) -> P2 {
    [-a[1], a[0]]
}

/// A directed piece of a line or of a circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Curve {
    Line {
        from: P2,
        to: P2,
    },
    /// `start` in radians from +x; `sweep` signed, counter-clockwise positive.
    Arc {
        centre: P2,
        radius: f64,
        start: f64,
        sweep: f64,
    },
}

/// `[x min, y min, x max, y max]`.
pub(crate) type Bounds = [f64; 4];

/// Whether two bounds come within `gap` of one another.
pub(crate) fn near(a: &Bounds, b: &Bounds, gap: f64) -> bool {
    a[0] <= b[2] + gap && b[0] <= a[2] + gap && a[1] <= b[3] + gap && b[1] <= a[3] + gap
}

impl From<Segment> for Curve {
    fn from(s: Segment) -> Self {
        s.arc().map_or(Self::Line { from: s.from, to: s.to }, |a| Self::Arc {
            centre: a.centre,
            radius: a.radius,
            start: a.start,
            sweep: a.sweep,
        })
    }
}

impl Curve {
    /// A whole turn or a part of it about `centre`, from `start`.
    pub(crate) const fn arc(centre: P2, radius: f64, start: f64, sweep: f64) -> Self {
        Self::Arc { centre, radius, start, sweep }
    }

    pub(crate) fn at(&self, t: f64) -> P2 {
        match *self {
            Self::Line { from, to } => [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])],
            Self::Arc { centre, radius, start, sweep } => polar(centre, radius, start + t * sweep),
        }
    }

    pub(crate) fn start(&self) -> P2 {
        self.at(0.0)
    }

    pub(crate) fn end(&self) -> P2 {
        self.at(1.0)
    }

    pub(crate) fn length(&self) -> f64 {
        match *self {
            Self::Line { from, to } => dist(from, to),
            Self::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// Unit direction of travel at `t`; +x for a line of no length.
    pub(crate) fn tangent(&self, t: f64) -> P2 {
        match *self {
            Self::Line { from, to } => {
                let l = dist(from, to);
                if l > 0.0 { scale(sub(to, from), 1.0 / l) } else { [1.0, 0.0] }
            }
            Self::Arc { start, sweep, .. } => {
                let a = start + t * sweep;
                let s = sweep.signum();
                [-s * libm::sin(a), s * libm::cos(a)]
            }
        }
    }

    pub(crate) fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Arc { centre, radius, start, sweep } => {
                Self::Arc { centre, radius, start: start + sweep, sweep: -sweep }
            }
        }
    }

    /// The piece between two parameters.
    pub(crate) fn part(&self, a: f64, b: f64) -> Self {
        match *self {
            Self::Line { from, to } => {
                // The ends stay bit for bit where they are.
                Self::Line {
                    from: if a == 0.0 { from } else { self.at(a) },
                    to: if b == 1.0 { to } else { self.at(b) },
                }
            }
            Self::Arc { centre, radius, start, sweep } => {
                Self::Arc { centre, radius, start: start + a * sweep, sweep: (b - a) * sweep }
            }
        }
    }

    /// The parallel curve at `d` to the left; nothing where an arc would shrink to nothing.
    pub(crate) fn offset(&self, d: f64) -> Option<Self> {
        match *self {
            Self::Line { from, to } => {
                let n = scale(left(self.tangent(0.0)), d);
                Some(Self::Line { from: add(from, n), to: add(to, n) })
            }
            Self::Arc { centre, radius, start, sweep } => {
                let r = radius - d * sweep.signum();
                (r > TINY).then_some(Self::Arc { centre, radius: r, start, sweep })
            }
        }
    }

    /// Least distance from a point.
    pub(crate) fn distance(&self, p: P2) -> f64 {
        match *self {
            Self::Line { from, to } => {
                let d = sub(to, from);
                let l2 = dot(d, d);
                let t = if l2 > 0.0 { (dot(sub(p, from), d) / l2).clamp(0.0, 1.0) } else { 0.0 };
                dist(p, add(from, scale(d, t)))
            }
            Self::Arc { centre, radius, start, sweep } => {
                let v = sub(p, centre);
                let turned = turn_from(start, sweep, libm::atan2(v[1], v[0]));
                if turned <= sweep.abs() {
                    (libm::hypot(v[0], v[1]) - radius).abs()
                } else {
                    dist(p, self.start()).min(dist(p, self.end()))
                }
            }
        }
    }

    pub(crate) fn bounds(&self) -> Bounds {
        let (a, b) = (self.start(), self.end());
        let mut out = [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])];
        if let Self::Arc { centre, radius, start, sweep } = *self {
            for quarter in 0..4 {
                let angle = f64::from(quarter) * std::f64::consts::FRAC_PI_2;
                if turn_from(start, sweep, angle) <= sweep.abs() {
                    let p = polar(centre, radius, angle);
                    out = [out[0].min(p[0]), out[1].min(p[1]), out[2].max(p[0]), out[3].max(p[1])];
                }
            }
        }
        out
    }

    /// Parameters in 0..1 where this curve meets the unbounded line or whole circle that `other` lies on; touching
    /// counts. A superset of the crossings with `other` itself.
    pub(crate) fn meets(&self, other: &Self, out: &mut Vec<f64>) {
        match *other {
            Self::Line { from, .. } => self.meets_line(from, other.tangent(0.0), out),
            Self::Arc { centre, radius, .. } => self.meets_circle(centre, radius, out),
        }
    }

    pub(crate) fn meets_line(&self, p: P2, dir: P2, out: &mut Vec<f64>) {
        match *self {
            Self::Line { from, to } => {
                let d = sub(to, from);
                let k = cross(d, dir);
                if k.abs() > 1e-12 * dist(from, to) {
                    push(out, cross(sub(p, from), dir) / k);
                }
            }
            Self::Arc { centre, radius, .. } => {
                let off = cross(dir, sub(centre, p));
                let half = half_chord(radius, off);
                let foot = add(centre, scale([dir[1], -dir[0]], off));
                for s in half {
                    self.push_angle(out, sub(add(foot, scale(dir, s)), centre));
                }
            }
        }
    }

    pub(crate) fn meets_circle(&self, c: P2, r: f64, out: &mut Vec<f64>) {
        match *self {
            Self::Line { from, to } => {
                let l = dist(from, to);
                if l <= 0.0 {
                    return;
                }
                let dir = self.tangent(0.0);
                let along = dot(sub(c, from), dir);
                for s in half_chord(r, cross(dir, sub(c, from))) {
                    push(out, (along + s) / l);
                }
            }
            Self::Arc { centre, radius, .. } => {
                let d = sub(c, centre);
                let l = libm::hypot(d[0], d[1]);
                if l < TINY {
                    return;
                }
                // From this circle's centre to the foot of the common chord.
                let foot = (l * l + radius * radius - r * r) / (2.0 * l);
                let u = scale(d, 1.0 / l);
                for s in half_chord(radius, foot) {
                    self.push_angle(out, add(scale(u, foot), scale(left(u), s)));
                }
            }
        }
    }

    fn push_angle(&self, out: &mut Vec<f64>, v: P2) {
        if let Self::Arc { start, sweep, .. } = *self {
            push(out, turn_from(start, sweep, libm::atan2(v[1], v[0])) / sweep.abs());
        }
    }
}

/// The point at an angle on a circle.
pub(crate) fn polar(centre: P2, radius: f64, angle: f64) -> P2 {
    [centre[0] + radius * libm::cos(angle), centre[1] + radius * libm::sin(angle)]
}

/// How far one turns from `start`, in the direction of `sweep`, to reach `angle`: 0 up to a whole turn.
fn turn_from(start: f64, sweep: f64, angle: f64) -> f64 {
    let tau = std::f64::consts::TAU;
    let turned = ((angle - start) * sweep.signum()).rem_euclid(tau);
    if tau - turned < 1e-12 { 0.0 } else { turned }
}

/// Both halves of the chord at `off` from the centre; one touching point counts, a near miss too.
fn half_chord(radius: f64, off: f64) -> impl Iterator<Item = f64> {
    let q = radius * radius - off * off;
    let half = (q > -1e-7 * radius.max(1.0)).then(|| q.max(0.0).sqrt());
    half.into_iter().flat_map(|h| [-h, h])
}

fn push(out: &mut Vec<f64>, t: f64) {
    if t > 0.0 && t < 1.0 {
        out.push(t);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    fn met(a: &Curve, b: &Curve) -> Vec<P2> {
        let mut t = Vec::new();
        a.meets(b, &mut t);
        t.sort_by(f64::total_cmp);
        t.into_iter().map(|t| a.at(t)).collect()
    }

    #[test]
    fn curves_meet_where_a_compass_says() {
        let line = Curve::Line { from: [-10.0, 3.0], to: [10.0, 3.0] };
        let circle = Curve::arc([0.0, 0.0], 5.0, 0.0, 2.0 * PI);
        for (p, x) in met(&line, &circle).iter().zip([-4.0, 4.0]) {
            assert!(dist(*p, [x, 3.0]) < 1e-12);
        }
        let mut found = met(&circle, &line);
        found.sort_by(|a, b| a[0].total_cmp(&b[0]));
        assert!(dist(found[0], [-4.0, 3.0]) < 1e-12 && dist(found[1], [4.0, 3.0]) < 1e-12);
        let other = Curve::arc([6.0, 0.0], 5.0, 0.0, 2.0 * PI);
        for p in met(&circle, &other) {
            assert!((p[0] - 3.0).abs() < 1e-12 && (p[1].abs() - 4.0).abs() < 1e-12);
        }
    }

    #[test]
    fn distance_to_an_arc_minds_its_ends() {
        let quarter = Curve::arc([0.0, 0.0], 5.0, 0.0, FRAC_PI_2);
        assert!((quarter.distance([3.0, 4.0 + 1.25]) - (libm::hypot(3.0, 5.25) - 5.0)).abs() < 1e-12);
        assert!((quarter.distance([5.0, -2.0]) - 2.0).abs() < 1e-12);
        assert!((quarter.reversed().distance([5.0, -2.0]) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn an_offset_keeps_its_distance_on_the_left() {
        for c in [
            Curve::Line { from: [0.0, 0.0], to: [3.0, 4.0] },
            Curve::arc([1.0, 1.0], 5.0, 0.3, 1.0),
            Curve::arc([1.0, 1.0], 5.0, 0.3, -1.0),
        ] {
            let o = c.offset(2.0).unwrap();
            let (p, q) = (c.at(0.4), o.at(0.4));
            assert!((c.distance(q) - 2.0).abs() < 1e-12);
            assert!(cross(c.tangent(0.4), sub(q, p)) > 0.0);
        }
        assert!(Curve::arc([0.0, 0.0], 2.0, 0.0, 1.0).offset(2.0).is_none());
    }
}
