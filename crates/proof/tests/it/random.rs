//! Random claims and random paths: the proof and the referee by points agree.

use proof::{Box3, Claim, Prism, Rule, prove};
use proptest::prelude::*;

use crate::common::{bit, board, cut};
use crate::referee::{confirms, judge};

const HEAD: &str = "G21 G17 G90 G94 G40 G49 G80 G54\nS18000 M3 F1000\nG0 Z10.\n";

/// A path: starts somewhere, then lines and arcs at random places and depths.
fn path() -> impl Strategy<Value = String> {
    let place = (-6.0..66.0_f64, -6.0..46.0_f64);
    let depth = prop::sample::select(vec![-2.0, -4.0, -5.0, -7.5]);
    let step = prop_oneof![
        (place.clone(), depth.clone()).prop_map(|((x, y), z)| format!("G1 X{x:.3} Y{y:.3}\nG1 Z{z}\n")),
        (place.clone(), depth.clone()).prop_map(|((x, y), z)| format!("G1 X{x:.3} Y{y:.3} Z{z}\n")),
        (place.clone(), -15.0..15.0_f64, -15.0..15.0_f64, any::<bool>(), depth).prop_map(|((x, y), i, j, cw, z)| {
            let g = if cw { 2 } else { 3 };
            format!("G1 X{x:.3} Y{y:.3}\nG1 Z{z}\nG{g} X{x:.3} Y{y:.3} I{i:.3} J{j:.3}\n")
        }),
        (place.clone(), place.clone(), 1.02..4.0_f64, any::<bool>()).prop_map(|((x, y), (u, v), k, cw)| {
            let g = if cw { 2 } else { 3 };
            let r = libm::hypot(u - x, v - y) / 2.0 * k + 0.1;
            format!("G1 X{x:.3} Y{y:.3}\nG{g} X{u:.3} Y{v:.3} R{r:.3}\n")
        }),
    ];
    (place, prop::collection::vec(step, 1..7))
        .prop_map(|((x, y), steps)| format!("{HEAD}G0 X{x:.3} Y{y:.3}\nG1 Z-2.\n{}G0 Z10.\nM5\nM2\n", steps.concat()))
}

fn claim() -> impl Strategy<Value = Claim> {
    let depth = prop::sample::select(vec![-2.0, -4.0, -5.0, -7.5]);
    // Whole millimetres, so that no wall is thinner than what the referee's points can see.
    let whole = |from: i32, to: i32| (from..to).prop_map(f64::from);
    // Hardly wider than the bit is too narrow for the referee to find the place for the bit's centre.
    let size = |to: i32| (4..to).prop_map(|w| f64::from(if (6..8).contains(&w) { w + 2 } else { w }));
    let rectangle = (whole(0, 50), whole(0, 30), size(40), size(30), depth.clone())
        .prop_map(|(x, y, w, h, z)| Prism::block(&Box3::new([x, (x + w).min(60.0)], [y, (y + h).min(40.0)], [z, 0.0])));
    let round =
        (whole(5, 55), whole(5, 35), size(30), depth).prop_map(|(x, y, d, z)| Prism::round([x, y], d, [z, 0.0]));
    prop::collection::vec(prop_oneof![rectangle, round], 1..5).prop_map(|prisms| Claim {
        stock: Box3::new([0.0, 60.0], [0.0, 40.0], [-10.0, 0.0]),
        cuts: prisms.into_iter().enumerate().map(|(i, p)| cut(&format!("c{i}"), p)).collect(),
        tools: vec![bit(1, 6.0)],
        run_out: 100.0,
        ..board()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 60, ..ProptestConfig::default() })]
    #[test]
    fn the_proof_sees_what_the_referee_sees(text in path(), claim in claim(), seed in 0_u32..1000) {
        let report = prove(&text, &claim);
        prop_assume!(report.faults.is_empty());
        let seen = judge(&text, &claim, 300, seed);
        prop_assert!(report.gouge > seen.gouge - 0.005, "{seen:?}\n{report}\n{text}");
        prop_assert!(report.leftover > seen.leftover - 0.005, "{seen:?}\n{report}\n{text}");
        for f in &report.findings {
            let (reach, gouge) = match f.rule {
                Rule::Gouge => (3.2, true),
                Rule::Leftover => (f.figure.clamp(0.05, 3.0), false),
                _ => continue,
            };
            let confirmed = f.figure < 0.3 || confirms(&text, &claim, f.at.unwrap(), reach, gouge);
            prop_assert!(confirmed, "false alarm: {f}\n{report}\n{text}");
        }
    }
}
