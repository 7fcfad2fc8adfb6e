//! Shaped edges as true arcs: segmental, elliptical, ogee and stepped, each by span and rise.
//!
//! A curve runs from its right springing to its left one, over the crown, so that closed by the springing line it is
//! a counter-clockwise outline: the wood that an arch takes away. Lengths in mm; vertices are rounded to the
//! nanometre, which moves an arc by less than a millionth of its tolerance.

use design::spec::CurveKind;
use measure::Length;

use crate::outline::{Outline, Vertex};

/// The waste under a curve over `span`, its left springing at the origin, its crown at `rise` above the u axis.
///
/// # References
/// Three-centred arch for a given side radius, and the reverse curve between parallel tangents, R = (L² + H²)/4H:
/// plane geometry, derived; the tests check them against tabled arches.
pub(crate) fn waste(kind: CurveKind, span: Length, rise: Length) -> Outline {
    let (s, h) = (span.mm(), rise.mm());
    let quarter = libm::tan(std::f64::consts::FRAC_PI_8);
    // (u, v, bulge of the segment that leaves it), right springing first.
    let line: Vec<[f64; 3]> = match kind {
        CurveKind::Segmental => vec![[s, 0.0, 2.0 * h / s]],
        CurveKind::Elliptical => {
            let (side, crown) = three_centred(s / 2.0, h);
            let (c, k) = ([s / 2.0 - side, 0.0], [0.0, h - crown]);
            let turn = libm::atan2(c[1] - k[1], c[0] - k[0]);
            let join = [c[0] + side * libm::cos(turn), side * libm::sin(turn)];
            let arch = libm::tan((std::f64::consts::FRAC_PI_2 - turn) / 2.0);
            let end = libm::tan(turn / 4.0);
            vec![[s, 0.0, end], [s / 2.0 + join[0], join[1], arch], [s / 2.0 - join[0], join[1], end]]
        }
        CurveKind::Ogee => {
            let turn = libm::atan(2.0 * h / s);
            let end = -libm::tan(turn / 2.0);
            vec![[s, 0.0, end], [0.75 * s, h / 2.0, 2.0 * h / s], [0.25 * s, h / 2.0, end]]
        }
        CurveKind::Stepped => {
            let r = h / 3.0;
            vec![
                [s, 0.0, quarter],
                [s - r, r, -quarter],
                [s - 2.0 * r, 2.0 * r, quarter],
                [s - 3.0 * r, h, 0.0],
                [3.0 * r, h, quarter],
                [2.0 * r, 2.0 * r, -quarter],
                [r, r, quarter],
            ]
        }
    };
    let mut vertices = vec![Vertex { u: Length::ZERO, v: Length::ZERO, bulge: 0.0 }];
    vertices.extend(line.into_iter().map(|[u, v, bulge]| Vertex {
        u: Length::from_mm(u),
        v: Length::from_mm(v),
        bulge,
    }));
    Outline(vertices)
}

/// Side and crown radius of the three-centred arch that the draughtsman's bisector gives for half span `a` and rise
/// `h`: the one whose two radii differ least in ratio.
fn three_centred(a: f64, h: f64) -> (f64, f64) {
    if h >= a {
        return (a, a);
    }
    let diagonal = libm::hypot(a, h);
    let side = (diagonal - (a - h)) / 2.0 * diagonal / a;
    (side, (a * a + h * h - 2.0 * a * side) / (2.0 * (h - side)))
}

/// The greatest rise that a curve can have over a span.
pub(crate) fn greatest_rise(kind: CurveKind, span: Length) -> Length {
    match kind {
        CurveKind::Segmental | CurveKind::Elliptical | CurveKind::Stepped => span.half(),
        CurveKind::Ogee => span / 4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{inches, mm};

    fn arc_radius(o: &Outline, segment: usize) -> f64 {
        o.segments().nth(segment).and_then(|s| s.arc()).expect("an arc").radius
    }

    /// R = s²/8h + h/2: 48 in by 6 in gives 51 in; 600 mm by 75 mm gives 637.5 mm (worked from the circle's equation;
    /// the rule in that form stands in builders' handbooks, from memory).
    #[test]
    fn segmental_radius() {
        assert!((arc_radius(&waste(CurveKind::Segmental, inches(48, 1), inches(6, 1)), 1) / 25.4 - 51.0).abs() < 1e-6);
        assert!((arc_radius(&waste(CurveKind::Segmental, mm(600), mm(75)), 1) - 637.5).abs() < 1e-5);
    }

    /// With half span 24, rise 16 and side radius 8 the crown radius is 28 (derived: both circles are tangent where
    /// the line of centres meets them).
    #[test]
    fn elliptical_arcs_are_tangent_and_reach_the_crown() {
        let o = waste(CurveKind::Elliptical, mm(480), mm(100));
        assert_eq!(o.bounds(), [[mm(0), mm(480)], [mm(0), mm(100)]]);
        let arcs: Vec<_> = o.segments().filter_map(|s| s.arc()).collect();
        assert_eq!(arcs.len(), 3);
        for pair in arcs.windows(2) {
            let turn = (pair[0].start + pair[0].sweep - pair[1].start).rem_euclid(std::f64::consts::TAU);
            assert!(turn.min(std::f64::consts::TAU - turn) < 1e-6);
        }
        // Between the ellipse's own area and the same with 2 % more.
        let ellipse = std::f64::consts::PI * 240.0 * 100.0 / 2.0;
        assert!((o.area() / ellipse - 1.0).abs() < 0.02);
    }

    /// R = (L² + H²)/4H for a reverse curve between parallel tangents, L half the span.
    #[test]
    fn ogee_radius() {
        let o = waste(CurveKind::Ogee, mm(400), mm(60));
        assert!((arc_radius(&o, 1) - (200.0 * 200.0 + 60.0 * 60.0) / 240.0).abs() < 1e-5);
        assert_eq!(o.bounds()[1], [mm(0), mm(60)]);
    }

    #[test]
    fn every_kind_closes_symmetrically() {
        for kind in [CurveKind::Segmental, CurveKind::Elliptical, CurveKind::Ogee, CurveKind::Stepped] {
            let o = waste(kind, mm(300), mm(45));
            let m = o.mapped(true, |u, v| (mm(300) - u, v));
            assert!((o.area() - m.area()).abs() < 1e-9 && o.area() > 0.0);
            assert_eq!(o.bounds(), m.bounds());
            assert_eq!(o.bounds()[1][1], mm(45));
        }
    }
}
