//! A cut as seen from above: a closed region of the setup's plane, in millimetres.

use case::Outline;

use crate::curve::{Bounds, Curve, P2};

/// A closed region, its boundary counter-clockwise.
#[derive(Clone, Debug)]
pub(crate) struct Region {
    pub(crate) curves: Vec<Curve>,
    pub(crate) bounds: Bounds,
    /// The boundary once more, cut where arcs turn back, for [`Region::contains`].
    rising: Vec<Rising>,
}

/// A piece of boundary that only rises or only falls.
#[derive(Clone, Copy, Debug)]
struct Rising {
    low: f64,
    high: f64,
    kind: Kind,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// A point and the run per rise.
    Line(P2, f64),
    /// Centre, radius, and +1 for the right half of the circle.
    Arc(P2, f64, f64),
}

impl Region {
    /// The outline must already be in program coordinates.
    pub(crate) fn new(outline: &Outline) -> Self {
        let curves: Vec<Curve> = outline.segments().map(Curve::from).collect();
        let none = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let bounds = curves
            .iter()
            .map(Curve::bounds)
            .fold(none, |a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])]);
        // Neighbours must end at one height to the last bit, so the heights are those of the outline's corners and not
        // those that an arc's angles give.
        let rising = outline.segments().zip(&curves).flat_map(|(s, c)| rising(c, s.from[1], s.to[1])).collect();
        Self { curves, bounds, rising }
    }

    /// Whether a point lies inside; a point on the boundary may go either way.
    pub(crate) fn contains(&self, p: P2) -> bool {
        let b = &self.bounds;
        if p[0] < b[0] || p[0] > b[2] || p[1] < b[1] || p[1] > b[3] {
            return false;
        }
        let right = self.rising.iter().filter(|r| {
            r.low <= p[1]
                && p[1] < r.high
                && match r.kind {
                    Kind::Line(a, run) => a[0] + (p[1] - a[1]) * run > p[0],
                    Kind::Arc(c, radius, side) => {
                        let dy = p[1] - c[1];
                        c[0] + side * (radius * radius - dy * dy).max(0.0).sqrt() > p[0]
                    }
                }
        });
        right.count() % 2 == 1
    }

    /// Least distance from a point to the boundary.
    pub(crate) fn distance(&self, p: P2) -> f64 {
        self.curves.iter().map(|c| c.distance(p)).fold(f64::INFINITY, f64::min)
    }

    pub(crate) const fn width(&self) -> f64 {
        self.bounds[2] - self.bounds[0]
    }

    pub(crate) const fn height(&self) -> f64 {
        self.bounds[3] - self.bounds[1]
    }

    /// Centre and radius, if the boundary is one whole circle.
    pub(crate) fn as_circle(&self) -> Option<(P2, f64)> {
        let mut found: Option<(P2, f64)> = None;
        let mut turned = 0.0;
        for c in &self.curves {
            let Curve::Arc { centre, radius, sweep, .. } = *c else { return None };
            if found.is_some_and(|(f, r)| crate::curve::dist(f, centre) > 1e-5 || (r - radius).abs() > 1e-5) {
                return None;
            }
            found = Some((centre, radius));
            turned += sweep;
        }
        found.filter(|_| (turned - std::f64::consts::TAU).abs() < 1e-6)
    }
}

fn rising(c: &Curve, from: f64, to: f64) -> Vec<Rising> {
    match *c {
        Curve::Line { from: a, to: b } => {
            if from == to {
                return Vec::new();
            }
            let run = (b[0] - a[0]) / (to - from);
            vec![Rising { low: from.min(to), high: from.max(to), kind: Kind::Line(a, run) }]
        }
        Curve::Arc { centre, radius, .. } => {
            let mut cuts = vec![0.0, 1.0];
            c.meets_line(centre, [0.0, 1.0], &mut cuts);
            cuts.sort_by(f64::total_cmp);
            cuts.windows(2)
                .filter_map(|w| {
                    let height = |t: f64| {
                        if t == 0.0 {
                            from
                        } else if t == 1.0 {
                            to
                        } else {
                            c.at(t)[1]
                        }
                    };
                    let (a, b) = (height(w[0]), height(w[1]));
                    let side = if c.at((w[0] + w[1]) / 2.0)[0] > centre[0] { 1.0 } else { -1.0 };
                    (a != b).then_some(Rising { low: a.min(b), high: a.max(b), kind: Kind::Arc(centre, radius, side) })
                })
                .collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Vertex;
    use measure::{Length, mm};

    #[test]
    fn a_circle_holds_its_own_diameter() {
        let r = Region::new(&Outline::circle([mm(10), mm(10)], mm(8)));
        assert!(r.contains([10.0, 10.0]) && r.contains([6.5, 10.0]) && r.contains([10.0, 13.9]));
        assert!(!r.contains([13.0, 13.0]) && !r.contains([5.9, 10.0]));
        let (c, radius) = r.as_circle().unwrap();
        assert!(crate::curve::dist(c, [10.0, 10.0]) < 1e-9 && (radius - 4.0).abs() < 1e-9);
    }

    #[test]
    fn an_arch_holds_what_is_under_it() {
        // A chord of 100 along y = 0 and an arc of rise 10 above it, walked counter-clockwise.
        let bulge = libm::tan(libm::atan(10.0 / 50.0));
        let at = |u, bulge| Vertex { u: mm(u), v: mm(0), bulge };
        let r = Region::new(&Outline(vec![at(0, 0.0), at(100, bulge)]));
        assert!((r.height() - 10.0).abs() < 1e-6);
        assert!(r.contains([50.0, 9.9]) && !r.contains([50.0, 10.1]) && !r.contains([5.0, 9.0]));
        assert!(r.as_circle().is_none());
    }
    #[test]
    fn a_level_through_the_corners_of_an_ogee_goes_in_and_out_as_often() {
        let at = |u: i64, v: i64, bulge| Vertex { u: Length::from_nm(u), v: Length::from_nm(v), bulge };
        // From a cupboard's rail: reversing arcs that meet at 11.1125 mm.
        let r = Region::new(&Outline(vec![
            at(57_150_000, 0, 0.0),
            at(680_243_750, 0, -0.035_623_524_847_602_67),
            at(524_470_313, 11_112_500, 0.071_337_579_617_834_39),
            at(212_923_438, 11_112_500, -0.035_623_524_847_602_67),
        ]));
        assert!(!r.contains([111.0, 11.1125]) && !r.contains([600.0, 11.1125]));
        assert!(r.contains([300.0, 11.1125]));
    }
}
