//! The engine against a ray test that knows nothing of faces, and its own sums.

use case::Axis;
use nalgebra::Vector3;
use proptest::prelude::*;

use super::*;
use crate::solid::{Blank, Bounds};

/// A box as a body, and as what a ray meets.
fn boxes() -> impl Strategy<Value = Vec<[[f64; 3]; 2]>> {
    let corner = prop::array::uniform3(0_i32..12);
    let size = prop::array::uniform3(1_i32..8);
    let one = (corner, size).prop_map(|(c, s)| {
        let min = c.map(|v| f64::from(v) * 10.0);
        [min, std::array::from_fn(|i| min[i] + f64::from(s[i]) * 10.0)]
    });
    prop::collection::vec(one, 1..8)
}

fn body(solid: &Solid) -> Body<'_> {
    Body { solid, axes: Matrix3::identity(), origin: Vector3::zeros() }
}

/// How far the ray from `p` towards the eye runs within a box.
fn within(b: &[[f64; 3]; 2], p: Vector3<f64>, toward: Vector3<f64>) -> f64 {
    let (mut t0, mut t1) = (0.0_f64, f64::MAX);
    for i in 0..3 {
        if toward[i].abs() < 1e-12 {
            if p[i] <= b[0][i] || p[i] >= b[1][i] {
                return 0.0;
            }
            continue;
        }
        let (a, c) = ((b[0][i] - p[i]) / toward[i], (b[1][i] - p[i]) / toward[i]);
        t0 = t0.max(a.min(c));
        t1 = t1.min(a.max(c));
    }
    (t1 - t0).max(0.0)
}

/// The edges of a box that has a face towards the eye there.
fn edges_of(b: &[[f64; 3]; 2], toward: Vector3<f64>) -> Vec<[Vector3<f64>; 2]> {
    let mut out = Vec::new();
    for axis in Axis::ALL {
        let (u, v) = axis.others();
        for (iu, iv) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let seen = |other: Axis, side: usize| toward[other.index()] * (side as f64 * 2.0 - 1.0) > 1e-4;
            if !seen(u, iu) && !seen(v, iv) {
                continue;
            }
            let mut a = Vector3::from(b[0]);
            a[u.index()] = b[iu][u.index()];
            a[v.index()] = b[iv][v.index()];
            let mut c = a;
            c[axis.index()] = b[1][axis.index()];
            out.push([a, c]);
        }
    }
    out
}

fn length(strokes: &[&Stroke]) -> f64 {
    strokes.iter().flat_map(|s| s.path.segments()).map(|s| libm::hypot(s.to[0] - s.from[0], s.to[1] - s.from[1])).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Every point of an edge that the ray test finds in the open is drawn seen, and every drawn point is on an edge
    /// that is in the open there.
    #[test]
    fn what_is_seen_is_what_a_ray_finds(list in boxes(), azimuth in -80.0..80.0_f64, elevation in 5.0..80.0_f64) {
        let camera = Camera::oblique(azimuth, elevation);
        let solids: Vec<Solid> = list.iter().map(|b| {
            Blank { bounds: Bounds { min: b[0], max: b[1] }, prisms: Vec::new(), cut: None, broken: Vec::new() }.solid()
        }).collect();
        let bodies: Vec<Body<'_>> = solids.iter().map(body).collect();
        let picture = look(&camera, &bodies, |_| true);
        let on = |p: At, hidden: bool, near: f64| picture.strokes.iter().filter(|s| s.hidden == hidden).any(|s| {
            s.path.segments().any(|s| {
                let d = [s.to[0] - s.from[0], s.to[1] - s.from[1]];
                let q = [p[0] - s.from[0], p[1] - s.from[1]];
                let len = libm::hypot(d[0], d[1]);
                let along = (d[0] * q[0] + d[1] * q[1]) / len;
                let off = (d[0] * q[1] - d[1] * q[0]) / len;
                off.abs() < near && along > -near && along < len + near
            })
        });
        for b in &list {
            for [a, c] in edges_of(b, camera.toward) {
                for k in 0..7 {
                    let p = a + (c - a) * ((f64::from(k) + 0.37) / 7.0);
                    let seen = camera.matrix() * p;
                    let at = [seen.x, seen.y];
                    // Lifted a little towards the eye, so that the faces it lies on do not count.
                    let through: Vec<f64> = list.iter().map(|o| within(o, p + camera.toward * 1e-6, camera.toward)).collect();
                    let most = through.iter().copied().fold(0.0, f64::max);
                    if most < 1e-9 {
                        prop_assert!(on(at, false, 1e-2), "in the open but not drawn: {p:?}");
                    } else if most > 0.1 {
                        // What lies hidden under a seen line, or nearly, is not dashed.
                        prop_assert!(on(at, true, 1e-2) || on(at, false, 3e-2), "hidden and not drawn at all: {p:?}");
                    }
                }
            }
        }
        // The other way: the middle of each seen stroke must be open on some edge.
        for s in picture.strokes.iter().filter(|s| !s.hidden) {
            for seg in s.path.segments() {
                let middle = [(seg.from[0] + seg.to[0]) / 2.0, (seg.from[1] + seg.to[1]) / 2.0];
                let open = list.iter().flat_map(|b| edges_of(b, camera.toward)).any(|[a, c]| {
                    let (sa, sc) = (camera.matrix() * a, camera.matrix() * c);
                    let d = [sc.x - sa.x, sc.y - sa.y];
                    let q = [middle[0] - sa.x, middle[1] - sa.y];
                    let len2 = d[0] * d[0] + d[1] * d[1];
                    if len2 < 1e-9 { return false; }
                    let t = (d[0] * q[0] + d[1] * q[1]) / len2;
                    let off = (d[0] * q[1] - d[1] * q[0]).abs() / len2.sqrt();
                    let p = a + (c - a) * t;
                    off < 1e-2 && (-1e-3..=1.001).contains(&t)
                        && list.iter().all(|o| within(o, p + camera.toward * 1e-6, camera.toward) < 0.5)
                });
                prop_assert!(open, "drawn but not in the open: {middle:?}");
            }
        }
    }
}

#[test]
fn seen_and_hidden_sum_to_the_edges() {
    // A small box wholly behind a large one, and half of a third behind it; from the front.
    let blank =
        |min, max| Blank { bounds: Bounds { min, max }, prisms: Vec::new(), cut: None, broken: Vec::new() }.solid();
    let solids = [
        blank([0.0, 0.0, 0.0], [100.0, 10.0, 100.0]),
        blank([10.0, 20.0, 10.0], [30.0, 30.0, 40.0]),
        blank([80.0, 20.0, 20.0], [120.0, 30.0, 60.0]),
    ];
    let bodies: Vec<Body<'_>> = solids.iter().map(body).collect();
    let picture = look(&Camera::front(), &bodies, |_| true);
    let sum = |b: usize, hidden: bool| {
        length(&picture.strokes.iter().filter(|s| s.body == b && s.hidden == hidden).collect::<Vec<_>>())
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-3;
    assert!(near(sum(0, false), 400.0) && near(sum(0, true), 0.0));
    assert!(near(sum(1, false), 0.0) && near(sum(1, true), 100.0));
    assert!(near(sum(2, false), 80.0) && near(sum(2, true), 80.0));
}
