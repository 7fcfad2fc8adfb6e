//! Faces by their sums: a closed surface has no resultant, and holds the volume that is left.

use case::{Cut, Dir, Material, Outline, PartId, Placement, Purpose, Role};
use measure::{Length, mm};
use proptest::prelude::*;

use super::*;

fn part(size: [Length; 3], cuts: Vec<Cut>) -> Part {
    Part {
        id: PartId(1),
        name: "board".into(),
        role: Role::Rail,
        assembly: "case".into(),
        material: Material::solid("oak"),
        size,
        placement: Placement { origin: [Length::ZERO; 3], axes: [Dir::PX, Dir::PY, Dir::PZ] },
        cuts,
        edges: Vec::new(),
        same_as: None,
    }
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

/// Resultant of the area, and volume, of a surface.
fn sums(solid: &Solid) -> ([f64; 3], f64) {
    let mut resultant = [0.0; 3];
    let mut volume = 0.0;
    for face in &solid.faces {
        let mut area = 0.0;
        for (k, ring) in face.rings.iter().enumerate() {
            let mut twice = [0.0; 3];
            for i in 0..ring.len() {
                let (a, b) = (minus(ring[i].at, ring[0].at), minus(ring[(i + 1) % ring.len()].at, ring[0].at));
                for (j, t) in twice.iter_mut().enumerate() {
                    let (p, q) = ((j + 1) % 3, (j + 2) % 3);
                    *t += a[p] * b[q] - a[q] * b[p];
                }
            }
            let size = (0..3).map(|j| twice[j] * face.normal[j]).sum::<f64>().abs() / 2.0;
            area += if k == 0 { size } else { -size };
        }
        let from_origin: f64 = (0..3).map(|j| face.rings[0][0].at[j] * face.normal[j]).sum();
        volume += from_origin * area / 3.0;
        for (j, r) in resultant.iter_mut().enumerate() {
            *r += area * face.normal[j];
        }
    }
    (resultant, volume)
}

fn random_cuts() -> impl Strategy<Value = Vec<Cut>> {
    let one =
        (0..6_usize, 0_i64..10, 1_i64..6, 0_i64..10, 1_i64..6, 1_i64..11).prop_map(|(face, u, du, v, dv, depth)| Cut {
            purpose: Purpose::Mortise,
            joint: None,
            from: Dir::ALL[face],
            outline: Outline::rectangle([mm(u * 10), mm((u + du) * 10)], [mm(v * 10), mm((v + dv) * 10)]),
            depth: mm(depth * 10),
        });
    prop::collection::vec(one, 0..6)
}

proptest! {
    #[test]
    fn faces_close_round_what_the_cuts_leave(cuts in random_cuts()) {
        let part = part([mm(100); 3], cuts);
        let solid = Blank::of(&part, 0.1, |_| true).solid();
        let left = (0..1000).filter(|i| {
            let p = [i % 10, i / 10 % 10, i / 100].map(|k| mm(k * 10 + 5));
            !part.cuts.iter().any(|c| {
                let b = c.bounds(part.size);
                (0..3).all(|k| b.min[k] < p[k] && p[k] < b.max[k])
            })
        });
        let (resultant, volume) = sums(&solid);
        prop_assert!((volume - left.count() as f64 * 1000.0).abs() < 1.0, "{volume}");
        prop_assert!(resultant.iter().all(|r| r.abs() < 0.1), "{resultant:?}");
    }
}

#[test]
fn a_hole_and_an_arch_take_their_areas_and_show_no_facets() {
    let hole = Cut {
        purpose: Purpose::KnobHole,
        joint: None,
        from: Dir::PZ,
        outline: Outline::circle([mm(50), mm(60)], mm(20)),
        depth: mm(20),
    };
    let solid = Blank::of(&part([mm(100), mm(80), mm(20)], vec![hole]), 0.01, |_| true).solid();
    let (resultant, volume) = sums(&solid);
    let expected = (8000.0 - std::f64::consts::PI * 100.0) * 20.0;
    assert!((volume - expected).abs() < 20.0, "{volume} {expected}");
    assert!(resultant.iter().all(|r| r.abs() < 0.1));
    // On the walls of the hole only the rims are edges; on the two faces the rims follow the circle.
    for face in &solid.faces {
        let curved = face.normal[2].abs() < 0.5
            && face.rings[0].iter().all(|b| libm::hypot(b.at[0] - 50.0, b.at[1] - 60.0) < 10.1);
        let edges: Vec<_> = face.rings.iter().flatten().collect();
        if curved {
            assert_eq!(edges.iter().filter(|e| e.smooth.is_some()).count(), 2);
        } else if face.normal[2].abs() > 0.5 {
            assert!(face.rings[1].iter().all(|e| e.circle.is_some()));
        }
    }
}

#[test]
fn every_part_of_the_demo_is_closed() {
    for part in &crate::fixture::demo(&[]).parts {
        let (resultant, volume) = sums(&Blank::of(part, 0.1, |_| true).solid());
        let whole: f64 = part.size.iter().map(|l| l.mm()).product();
        assert!(volume > 0.2 * whole && volume <= whole * 1.000_001, "{}: {volume} of {whole}", part.name);
        // A micrometre of skin on a metre of wall.
        assert!(resultant.iter().all(|r| r.abs() < 2.0), "{}: {resultant:?}", part.name);
    }
}

#[test]
fn a_section_shows_what_the_plane_meets() {
    let groove = Cut {
        purpose: Purpose::Groove,
        joint: None,
        from: Dir::PY,
        outline: Outline::rectangle([mm(-5), mm(105)], [mm(6), mm(14)]),
        depth: mm(10),
    };
    let blank = Blank::of(&part([mm(100), mm(80), mm(20)], vec![groove]), 0.1, |_| true);
    let left = blank.beyond(Dir::PX, 40.0).unwrap();
    let solid = left.solid();
    let cut: Vec<_> = solid.faces.iter().filter(|f| f.cut).collect();
    assert_eq!(cut.len(), 1);
    assert_eq!(cut[0].rings[0].len(), 8);
    assert!((sums(&solid).1 - 40.0 * (80.0 * 20.0 - 8.0 * 10.0)).abs() < 1.0);
    assert!(blank.beyond(Dir::PX, 0.0).is_none());
    assert_eq!(blank.beyond(Dir::PX, 100.0).unwrap().cut, None);
}
