//! Lines and arcs in plan: points on them, distances to and between them, parallels. Exact up to rounding, about
//! 1e-12 mm at the size of a part.

use std::f64::consts::{PI, TAU};

/// A point in plan, mm.
pub(crate) type P2 = [f64; 2];

/// A straight stretch; start and end may coincide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Line {
    pub a: P2,
    pub b: P2,
}

/// A stretch of a circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Arc {
    pub c: P2,
    pub r: f64,
    /// Angle of the start, radians.
    pub start: f64,
    /// Counter-clockwise positive, at most a full turn.
    pub sweep: f64,
    pub a: P2,
    pub b: P2,
}

/// A line or an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Curve {
    Line(Line),
    Arc(Arc),
}

/// Least and greatest x and y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bounds {
    pub min: P2,
    pub max: P2,
}

pub(crate) fn sub(a: P2, b: P2) -> P2 {
    [a[0] - b[0], a[1] - b[1]]
}

pub(crate) fn dot(a: P2, b: P2) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

pub(crate) fn cross(a: P2, b: P2) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

pub(crate) fn dist(a: P2, b: P2) -> f64 {
    let d = sub(a, b);
    dot(d, d).sqrt()
}

impl Bounds {
    pub(crate) const NONE: Self = Self { min: [f64::INFINITY; 2], max: [f64::NEG_INFINITY; 2] };

    pub(crate) const fn of(p: P2) -> Self {
        Self { min: p, max: p }
    }

    pub(crate) fn with(self, p: P2) -> Self {
        Self {
            min: [self.min[0].min(p[0]), self.min[1].min(p[1])],
            max: [self.max[0].max(p[0]), self.max[1].max(p[1])],
        }
    }

    pub(crate) fn union(self, o: &Self) -> Self {
        self.with(o.min).with(o.max)
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self { min: [self.min[0] - by, self.min[1] - by], max: [self.max[0] + by, self.max[1] + by] }
    }

    pub(crate) fn meets(&self, o: &Self) -> bool {
        self.min[0] <= o.max[0] && o.min[0] <= self.max[0] && self.min[1] <= o.max[1] && o.min[1] <= self.max[1]
    }

    pub(crate) fn holds(&self, p: P2) -> bool {
        self.min[0] <= p[0] && p[0] <= self.max[0] && self.min[1] <= p[1] && p[1] <= self.max[1]
    }

    /// The four sides, counter-clockwise.
    pub(crate) fn sides(&self) -> [Curve; 4] {
        let [x0, y0] = self.min;
        let [x1, y1] = self.max;
        let p = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
        [0, 1, 2, 3].map(|i| Curve::line(p[i], p[(i + 1) % 4]))
    }
}

impl Arc {
    pub(crate) fn new(c: P2, r: f64, start: f64, sweep: f64) -> Self {
        Self { c, r, start, sweep, a: on_circle(c, r, start), b: on_circle(c, r, start + sweep) }
    }

    /// Whether the ray from the centre through `p` meets the arc.
    pub(crate) fn faces(&self, p: P2) -> bool {
        let size = self.sweep.abs();
        if size >= TAU - 1e-12 {
            return true;
        }
        let (s, u, v) = (sub(self.a, self.c), sub(p, self.c), sub(self.b, self.c));
        let side = self.sweep.signum();
        let (after, before) = (cross(s, u) * side >= 0.0, cross(u, v) * side >= 0.0);
        if size <= PI { after && before } else { after || before }
    }

    /// The parameter of the direction `angle`, from 0; beyond 1 when it is not on the arc.
    pub(crate) fn parameter(&self, angle: f64) -> f64 {
        let turned = (angle - self.start) * self.sweep.signum();
        turned.rem_euclid(TAU) / self.sweep.abs()
    }
}

fn on_circle(c: P2, r: f64, angle: f64) -> P2 {
    let (sin, cos) = libm::sincos(angle);
    [c[0] + r * cos, c[1] + r * sin]
}

impl Curve {
    pub(crate) const fn line(a: P2, b: P2) -> Self {
        Self::Line(Line { a, b })
    }

    pub(crate) fn arc(c: P2, r: f64, start: f64, sweep: f64) -> Self {
        Self::Arc(Arc::new(c, r, start, sweep))
    }

    pub(crate) fn circle(c: P2, r: f64) -> Self {
        Self::arc(c, r, 0.0, TAU)
    }

    pub(crate) const fn from(&self) -> P2 {
        match self {
            Self::Line(l) => l.a,
            Self::Arc(a) => a.a,
        }
    }

    pub(crate) const fn to(&self) -> P2 {
        match self {
            Self::Line(l) => l.b,
            Self::Arc(a) => a.b,
        }
    }

    pub(crate) fn length(&self) -> f64 {
        match self {
            Self::Line(l) => dist(l.a, l.b),
            Self::Arc(a) => a.r * a.sweep.abs(),
        }
    }

    /// The point at a parameter from 0 to 1.
    pub(crate) fn at(&self, t: f64) -> P2 {
        match self {
            Self::Line(l) => [l.a[0] + t * (l.b[0] - l.a[0]), l.a[1] + t * (l.b[1] - l.a[1])],
            Self::Arc(a) => on_circle(a.c, a.r, a.start + t * a.sweep),
        }
    }

    /// The stretch between two parameters, `s < t`.
    pub(crate) fn part(&self, s: f64, t: f64) -> Self {
        match self {
            _ if s <= 0.0 && t >= 1.0 => *self,
            Self::Line(_) => Self::line(self.at(s), self.at(t)),
            Self::Arc(a) => Self::arc(a.c, a.r, a.start + s * a.sweep, (t - s) * a.sweep),
        }
    }

    /// The unit vector to the left of the way along it, at a parameter; nothing for a mere point.
    pub(crate) fn left(&self, t: f64) -> Option<P2> {
        match self {
            Self::Line(l) => {
                let (d, n) = (sub(l.b, l.a), dist(l.a, l.b));
                (n > 0.0).then(|| [-d[1] / n, d[0] / n])
            }
            Self::Arc(a) => {
                let (sin, cos) = libm::sincos(a.start + t * a.sweep);
                let k = -a.sweep.signum();
                Some([k * cos, k * sin])
            }
        }
    }

    pub(crate) fn bounds(&self) -> Bounds {
        let ends = Bounds::of(self.from()).with(self.to());
        let Self::Arc(a) = self else { return ends };
        let extremes = [[a.r, 0.0], [0.0, a.r], [-a.r, 0.0], [0.0, -a.r]].map(|d| [a.c[0] + d[0], a.c[1] + d[1]]);
        extremes.into_iter().filter(|p| a.faces(*p)).fold(ends, Bounds::with)
    }

    /// The distance from a point.
    pub(crate) fn distance(&self, p: P2) -> f64 {
        match self {
            Self::Line(l) => {
                let (d, v) = (sub(l.b, l.a), sub(p, l.a));
                let n = dot(d, d);
                let t = if n > 0.0 { (dot(v, d) / n).clamp(0.0, 1.0) } else { 0.0 };
                dist(v, [t * d[0], t * d[1]])
            }
            Self::Arc(a) if a.faces(p) => (dist(a.c, p) - a.r).abs(),
            Self::Arc(a) => dist(a.a, p).min(dist(a.b, p)),
        }
    }

    /// The least distance between two curves; 0 where they meet.
    pub(crate) fn gap(&self, o: &Self) -> f64 {
        let ends =
            self.distance(o.from()).min(self.distance(o.to())).min(o.distance(self.from())).min(o.distance(self.to()));
        match (self, o) {
            (Self::Line(a), Self::Line(b)) => {
                if lines_cross(a, b) {
                    0.0
                } else {
                    ends
                }
            }
            (Self::Line(l), Self::Arc(a)) | (Self::Arc(a), Self::Line(l)) => ends.min(line_arc(l, a)),
            (Self::Arc(a), Self::Arc(b)) => ends.min(arc_arc(a, b)),
        }
    }
}

fn lines_cross(a: &Line, b: &Line) -> bool {
    let (d, e) = (sub(a.b, a.a), sub(b.b, b.a));
    let (p, q) = (cross(d, sub(b.a, a.a)), cross(d, sub(b.b, a.a)));
    let (r, s) = (cross(e, sub(a.a, b.a)), cross(e, sub(a.b, b.a)));
    p * q < 0.0 && r * s < 0.0
}

/// Where the inside of a line comes nearest to the inside of an arc: on the perpendicular from the centre, or where
/// they cross.
fn line_arc(l: &Line, a: &Arc) -> f64 {
    let d = sub(l.b, l.a);
    let n = dot(d, d);
    if n == 0.0 {
        return f64::INFINITY;
    }
    let t = dot(sub(a.c, l.a), d) / n;
    let foot = [l.a[0] + t * d[0], l.a[1] + t * d[1]];
    let off = dist(foot, a.c);
    let mut best = f64::INFINITY;
    if (0.0..=1.0).contains(&t) && off > 0.0 && a.faces(foot) {
        best = (off - a.r).abs();
    }
    if off < a.r {
        let half = ((a.r - off) * (a.r + off) / n).sqrt();
        for t in [t - half, t + half] {
            if (0.0..=1.0).contains(&t) && a.faces([l.a[0] + t * d[0], l.a[1] + t * d[1]]) {
                return 0.0;
            }
        }
    }
    best
}

/// The same for two arcs: on the line of their centres, or where they cross.
fn arc_arc(a: &Arc, b: &Arc) -> f64 {
    let d = sub(b.c, a.c);
    let apart = dot(d, d).sqrt();
    if apart < 1e-12 {
        return f64::INFINITY;
    }
    let u = [d[0] / apart, d[1] / apart];
    let mut best = f64::INFINITY;
    for s in [a.r, -a.r] {
        let p = [a.c[0] + s * u[0], a.c[1] + s * u[1]];
        for t in [b.r, -b.r] {
            let q = [b.c[0] + t * u[0], b.c[1] + t * u[1]];
            if a.faces(p) && b.faces(q) {
                best = best.min(dist(p, q));
            }
        }
    }
    let x = (apart * apart + a.r * a.r - b.r * b.r) / (2.0 * apart);
    if x.abs() < a.r {
        let y = ((a.r - x) * (a.r + x)).sqrt();
        for y in [y, -y] {
            let p = [a.c[0] + x * u[0] - y * u[1], a.c[1] + x * u[1] + y * u[0]];
            if a.faces(p) && b.faces(p) {
                return 0.0;
            }
        }
    }
    best
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(crate) fn any_curve() -> impl Strategy<Value = Curve> {
        let c = -20.0..20.0;
        prop_oneof![
            (c.clone(), c.clone(), c.clone(), c.clone()).prop_map(|(a, b, d, e)| Curve::line([a, b], [d, e])),
            (c.clone(), c, 0.5..15.0, -4.0..4.0, 0.05..TAU, any::<bool>())
                .prop_map(|(x, y, r, s, w, ccw)| { Curve::arc([x, y], r, s, if ccw { w } else { -w }) }),
        ]
    }

    proptest! {
        #[test]
        fn the_gap_is_the_least_over_many_points(a in any_curve(), b in any_curve()) {
            let n = 400;
            let sampled = (0..=n)
                .map(|i| b.distance(a.at(f64::from(i) / f64::from(n))))
                .fold(f64::INFINITY, f64::min);
            let gap = a.gap(&b);
            prop_assert!((gap - b.gap(&a)).abs() < 1e-9);
            prop_assert!(gap <= sampled + 1e-9);
            prop_assert!(gap >= sampled - a.length() / f64::from(n) - 1e-9, "gap {gap}, sampled {sampled}");
        }

        #[test]
        fn distance_is_the_least_over_many_points(a in any_curve(), x in -30.0..30.0, y in -30.0..30.0) {
            let n = 400;
            let sampled =
                (0..=n).map(|i| dist([x, y], a.at(f64::from(i) / f64::from(n)))).fold(f64::INFINITY, f64::min);
            let d = a.distance([x, y]);
            prop_assert!(d <= sampled + 1e-9 && d >= sampled - a.length() / f64::from(n) - 1e-9);
        }

        #[test]
        fn bounds_hold_the_curve_and_are_touched(a in any_curve()) {
            let b = a.bounds();
            let points: Vec<P2> = (0..=2000).map(|i| a.at(f64::from(i) / 2000.0)).collect();
            prop_assert!(points.iter().all(|p| b.grown(1e-9).holds(*p)));
            let seen = points.iter().fold(Bounds::NONE, |b, p| b.with(*p));
            let near = a.length() / 1000.0 + 1e-9;
            for i in 0..2 {
                prop_assert!(seen.min[i] - b.min[i] < near && b.max[i] - seen.max[i] < near);
            }
        }
    }
}
