//! Which stretches of a curve lie within a distance of another: the one primitive that the sweep is made of.
//!
//! A flat-ended tool that moves along a curve clears, in plan, all that lies within its radius of the curve; a tool's
//! centre keeps off a wall where it is not within its radius of it. Both questions, asked along a third curve, have
//! exact answers: the borders are where it crosses the parallels of the curve and the circles about its ends, and
//! between two borders one point decides for all.

use super::curve::{Arc, Curve, Line, P2, cross, dist, dot, sub};

/// Parameters at which something may change, at most so many.
const MOST: usize = 20;

/// Stretches of a curve still in question, as intervals of its parameter, in order.
#[derive(Clone, Debug, Default)]
pub(crate) struct Gaps(pub Vec<[f64; 2]>);

struct Roots {
    at: [f64; MOST],
    n: usize,
}

impl Roots {
    fn add(&mut self, t: f64) {
        if t > 0.0 && t < 1.0 && self.n < MOST {
            self.at[self.n] = t;
            self.n += 1;
        }
    }

    /// 0, the roots in order, 1.
    fn sorted(&mut self) -> &[f64] {
        // Room for both ends is kept: there are 16 roots at most.
        self.at[self.n] = 0.0;
        self.at[self.n + 1] = 1.0;
        let all = &mut self.at[..self.n + 2];
        all.sort_unstable_by(f64::total_cmp);
        all
    }
}

/// Calls `found` with each stretch of `x` that lies nearer than `r` to `e`, in order.
pub(crate) fn within(x: &Curve, e: &Curve, r: f64, mut found: impl FnMut(f64, f64)) {
    let mut roots = Roots { at: [0.0; MOST], n: 0 };
    circle(x, e.from(), r, &mut roots);
    match e {
        Curve::Line(l) => {
            if l.a != l.b {
                circle(x, l.b, r, &mut roots);
                parallels(x, l, r, &mut roots);
            }
        }
        Curve::Arc(a) => {
            circle(x, a.b, r, &mut roots);
            circle(x, a.c, a.r + r, &mut roots);
            circle(x, a.c, (a.r - r).abs(), &mut roots);
            // The ends lie on the circle only as nearly as the text says, so the distance may jump across their radii.
            parallels(x, &Line { a: a.c, b: a.a }, 0.0, &mut roots);
            parallels(x, &Line { a: a.c, b: a.b }, 0.0, &mut roots);
        }
    }
    let mut open: Option<[f64; 2]> = None;
    let mut last = 0.0;
    for &t in &roots.sorted()[1..] {
        if t > last && e.distance(x.at(f64::midpoint(last, t))) < r {
            open = Some(open.map_or([last, t], |o| [o[0], t]));
        } else if t > last
            && let Some([s, u]) = open.take()
        {
            found(s, u);
        }
        last = t;
    }
    if let Some([s, u]) = open {
        found(s, u);
    }
}

/// Where `x` meets a circle.
fn circle(x: &Curve, c: P2, r: f64, roots: &mut Roots) {
    match x {
        Curve::Line(l) => {
            let d = sub(l.b, l.a);
            let n = dot(d, d);
            if n == 0.0 {
                return;
            }
            let v = sub(c, l.a);
            let off = cross(d, v).abs() / n.sqrt();
            if off < r {
                let (mid, half) = (dot(d, v) / n, ((r - off) * (r + off) / n).sqrt());
                roots.add(mid - half);
                roots.add(mid + half);
            }
        }
        Curve::Arc(a) => {
            let d = sub(c, a.c);
            let apart = dot(d, d).sqrt();
            if apart < 1e-12 || apart > a.r + r || apart < (a.r - r).abs() {
                return;
            }
            let along = (apart * apart + a.r * a.r - r * r) / (2.0 * apart);
            about(a, d, along, roots);
        }
    }
}

/// Where `x` meets the two parallels of a line, which count as endless.
fn parallels(x: &Curve, l: &Line, r: f64, roots: &mut Roots) {
    let d = sub(l.b, l.a);
    let n = dot(d, d).sqrt();
    let normal = [-d[1] / n, d[0] / n];
    let height = |p: P2| dot(normal, sub(p, l.a));
    match x {
        Curve::Line(m) => {
            let (h0, h1) = (height(m.a), height(m.b));
            if h0 != h1 {
                roots.add((r - h0) / (h1 - h0));
                roots.add((-r - h0) / (h1 - h0));
            }
        }
        Curve::Arc(a) => {
            let h = height(a.c);
            for side in [r, -r] {
                if (side - h).abs() <= a.r {
                    about(a, normal, side - h, roots);
                }
            }
        }
    }
}

/// The two places of an arc's circle that lie `along` from its centre in a direction.
fn about(a: &Arc, direction: P2, along: f64, roots: &mut Roots) {
    let across = ((a.r - along) * (a.r + along)).max(0.0).sqrt();
    let (middle, half) = (libm::atan2(direction[1], direction[0]), libm::atan2(across, along));
    roots.add(a.parameter(middle - half));
    roots.add(a.parameter(middle + half));
}

/// Where `x` crosses `y`: candidates of its parameter, some of them beyond the ends of `y`.
pub(crate) fn crossings(x: &Curve, y: &Curve, mut found: impl FnMut(f64)) {
    let mut roots = Roots { at: [0.0; MOST], n: 0 };
    match y {
        Curve::Line(l) if l.a != l.b => parallels(x, l, 0.0, &mut roots),
        Curve::Line(_) => {}
        Curve::Arc(a) => circle(x, a.c, a.r, &mut roots),
    }
    roots.at[..roots.n].iter().for_each(|t| found(*t));
}

impl Gaps {
    /// The whole curve.
    pub(crate) fn whole(&mut self) {
        self.0.clear();
        self.0.push([0.0, 1.0]);
    }

    /// Takes an interval away; what remains of a stretch is dropped when it is shorter than `least`.
    pub(crate) fn cut(&mut self, from: f64, to: f64, least: f64) {
        let mut i = 0;
        while i < self.0.len() {
            let [s, t] = self.0[i];
            if to <= s || from >= t {
                i += 1;
                continue;
            }
            let (before, after) = ((from - s > least).then_some([s, from]), (t - to > least).then_some([to, t]));
            match (before, after) {
                (None, None) => {
                    self.0.remove(i);
                }
                (Some(one), None) | (None, Some(one)) => {
                    self.0[i] = one;
                    i += 1;
                }
                (Some(one), Some(other)) => {
                    self.0[i] = one;
                    self.0.insert(i + 1, other);
                    i += 2;
                }
            }
        }
    }

    /// Takes away what lies nearer than `r` to `e`.
    pub(crate) fn cut_within(&mut self, x: &Curve, e: &Curve, r: f64, least: f64) {
        within(x, e, r, |s, t| self.cut(s, t, least));
    }
}

/// Adds the border of all that lies within `r` of a curve, as curves; parts of it can lie inside.
pub(crate) fn border(e: &Curve, r: f64, mut found: impl FnMut(Curve)) {
    use std::f64::consts::{FRAC_PI_2, PI, TAU};
    match e {
        Curve::Line(l) => {
            let d = sub(l.b, l.a);
            let n = dist(l.a, l.b);
            if n < 1e-9 {
                found(Curve::circle(l.a, r));
                return;
            }
            let o = [-d[1] / n * r, d[0] / n * r];
            let add = |p: P2, k: f64| [p[0] + k * o[0], p[1] + k * o[1]];
            found(Curve::line(add(l.a, 1.0), add(l.b, 1.0)));
            found(Curve::line(add(l.a, -1.0), add(l.b, -1.0)));
            let angle = libm::atan2(d[1], d[0]);
            found(Curve::arc(l.b, r, angle - FRAC_PI_2, PI));
            found(Curve::arc(l.a, r, angle + FRAC_PI_2, PI));
        }
        Curve::Arc(a) => {
            found(Curve::arc(a.c, a.r + r, a.start, a.sweep));
            if a.r > r {
                found(Curve::arc(a.c, a.r - r, a.start, a.sweep));
            }
            if a.sweep.abs() < TAU - 1e-12 {
                // Half circles beyond the ends: outward by the way along the arc.
                let (first, last) = (a.start, a.start + a.sweep);
                let (at_a, at_b) = if a.sweep > 0.0 { (first + PI, last) } else { (first, last + PI) };
                found(Curve::arc(a.a, r, at_a, PI));
                found(Curve::arc(a.b, r, at_b, PI));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sweep::curve::tests::any_curve;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn within_says_what_distances_say(x in any_curve(), e in any_curve(), r in 0.1..12.0) {
            let mut inside = Vec::new();
            within(&x, &e, r, |s, t| inside.push([s, t]));
            for i in 0..=200 {
                let t = f64::from(i) / 200.0;
                let d = e.distance(x.at(t));
                let said = inside.iter().any(|[a, b]| *a <= t && t <= *b);
                prop_assert!(said == (d < r) || (d - r).abs() < 1e-6, "at {t}: {d} against {r}, {inside:?}");
            }
        }

        #[test]
        fn the_border_is_where_the_distance_is_reached(e in any_curve(), r in 0.1..12.0, turn in 0.0..1.0) {
            let mut curves = Vec::new();
            border(&e, r, |c| curves.push(c));
            for c in &curves {
                for i in 0..=40 {
                    prop_assert!(e.distance(c.at(f64::from(i) / 40.0)) <= r + 1e-9);
                }
            }
            // From far outside towards the curve, the border is met no later than the distance falls below r.
            let target = e.at(0.3);
            let (sin, cos) = libm::sincos(turn * std::f64::consts::TAU);
            let ray = Curve::line([target[0] + 200.0 * cos, target[1] + 200.0 * sin], target);
            let mut first = f64::INFINITY;
            for c in &curves {
                crossings(&ray, c, |t| if c.distance(ray.at(t)) < 1e-6 { first = first.min(t) });
            }
            let mut inside = f64::INFINITY;
            within(&ray, &e, r, |s, _| inside = inside.min(s));
            prop_assert!((first - inside).abs() * 200.0 < 1e-3, "border at {first}, inside from {inside}");
        }
    }
}
