//! A closed outline of lines and arcs, and whether a point lies inside it.

use crate::claim::Vertex;

use super::curve::{Arc, Bounds, Curve, P2};

/// A closed outline.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    pub sides: Vec<Curve>,
    pub bounds: Bounds,
    rising: Vec<Rising>,
}

/// A piece of outline that only rises or only falls, for counting crossings of a level ray.
#[derive(Clone, Copy, Debug)]
struct Rising {
    low: f64,
    high: f64,
    shape: Shape,
}

#[derive(Clone, Copy, Debug)]
enum Shape {
    /// A point and the run per rise.
    Line(P2, f64),
    /// Centre, radius, and +1 for the right half of the circle.
    Arc(P2, f64, f64),
}

impl Outline {
    pub(crate) fn new(vertices: &[Vertex]) -> Self {
        let n = vertices.len();
        let sides: Vec<Curve> = (0..n)
            .filter_map(|i| {
                let (a, b) = (vertices[i], vertices[(i + 1) % n]);
                side([a.x, a.y], [b.x, b.y], a.bulge)
            })
            .collect();
        let bounds = sides.iter().fold(Bounds::NONE, |b, c| b.union(&c.bounds()));
        let mut rising = Vec::new();
        for c in &sides {
            rise(c, &mut rising);
        }
        Self { sides, bounds, rising }
    }

    /// Whether a point lies inside; on the border it may go either way.
    pub(crate) fn holds(&self, p: P2) -> bool {
        if !self.bounds.holds(p) {
            return false;
        }
        let to_the_right = self.rising.iter().filter(|r| {
            r.low <= p[1]
                && p[1] < r.high
                && match r.shape {
                    Shape::Line(a, run) => a[0] + (p[1] - a[1]) * run > p[0],
                    Shape::Arc(c, radius, half) => {
                        let dy = p[1] - c[1];
                        c[0] + half * (radius * radius - dy * dy).max(0.0).sqrt() > p[0]
                    }
                }
        });
        to_the_right.count() % 2 == 1
    }
}

fn side(a: P2, b: P2, bulge: f64) -> Option<Curve> {
    if a == b || ![a[0], a[1], b[0], b[1], bulge].iter().all(|v| v.is_finite()) {
        return None;
    }
    if bulge.abs() < 1e-12 {
        return Some(Curve::line(a, b));
    }
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let k = (1.0 - bulge * bulge) / (4.0 * bulge);
    let c = [f64::midpoint(a[0], b[0]) - k * dy, f64::midpoint(a[1], b[1]) + k * dx];
    let v = [a[0] - c[0], a[1] - c[1]];
    let (r, start) = (libm::hypot(v[0], v[1]), libm::atan2(v[1], v[0]));
    Some(Curve::Arc(Arc { c, r, start, sweep: 4.0 * libm::atan(bulge), a, b }))
}

fn rise(c: &Curve, out: &mut Vec<Rising>) {
    let piece = |a: P2, b: P2, shape| Rising { low: a[1].min(b[1]), high: a[1].max(b[1]), shape };
    match c {
        Curve::Line(l) if l.a[1] == l.b[1] => {}
        Curve::Line(l) => out.push(piece(l.a, l.b, Shape::Line(l.a, (l.b[0] - l.a[0]) / (l.b[1] - l.a[1])))),
        Curve::Arc(a) => {
            // Cut at the highest and the lowest point of the circle, where it turns back.
            let (top, bottom) = ([a.c[0], a.c[1] + a.r], [a.c[0], a.c[1] - a.r]);
            let quarter = std::f64::consts::FRAC_PI_2;
            let mut stops = vec![(0.0, a.a), (1.0, a.b)];
            stops.extend([(quarter, top), (-quarter, bottom)].map(|(angle, p)| (a.parameter(angle), p)));
            stops.retain(|(t, _)| (0.0..=1.0).contains(t));
            stops.sort_by(|x, y| x.0.total_cmp(&y.0));
            for w in stops.windows(2).filter(|w| w[0].1[1] != w[1].1[1]) {
                let middle = c.at(f64::midpoint(w[0].0, w[1].0));
                let half = if middle[0] >= a.c[0] { 1.0 } else { -1.0 };
                out.push(piece(w[0].1, w[1].1, Shape::Arc(a.c, a.r, half)));
            }
        }
    }
}
