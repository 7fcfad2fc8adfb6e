//! Good programs are proven, with the figures that a pencil gives.

use crate::common::{BOARD, board, cut};
use crate::referee::{Verdict, judge};
use proof::{Box3, Claim, Prism, Report, Rule, Vertex, prove};

#[test]
fn the_board_is_proven() {
    let report = prove(BOARD, &board());
    assert!(report.is_proven(), "{report}");
    assert!(report.gouge < 1e-4 && report.leftover == 0.0, "{report}");
    // Four corners of the pocket keep the bit's radius: (√2 - 1) × 3 mm.
    assert_eq!(report.corners_by_cut().len(), 1, "{:?}", report.fillets);
    let (cut, corners, size) = report.corners_by_cut()[0];
    assert_eq!((cut, corners), ("pocket", 4));
    assert!((size - 3.0 * (2_f64.sqrt() - 1.0)).abs() < 1e-6, "{size}");
}

#[test]
fn the_referee_agrees_on_the_board() {
    assert_eq!(judge(BOARD, &board(), 4000, 0), Verdict { gouge: 0.0, leftover: 0.0 });
    let half = BOARD.replace("G1 Z-8. F600.\nG1 X-5. F2400.\n", "");
    let seen = judge(&half, &board(), 4000, 0);
    assert_eq!(seen.gouge, 0.0);
    assert!(seen.leftover >= 2.0, "the lower half of the groove is missing: {seen:?}");
}

/// A board with one cut and a straight pass at a depth, by a bit of 6 mm.
fn pass(prism: Prism, from: [f64; 2], to: [f64; 2], z: f64) -> Report {
    let claim = Claim { cuts: vec![cut("c", prism)], ..board() };
    let [[a, b], [c, d]] = [from, to];
    let text = format!(
        "G21\nG17 G90 G94 G40 G49 G80\nG54\nS18000 M3\nG0 Z10.\nG0 X{a} Y{b}\nG0 Z2.\nG1 Z{z} F600.\nG1 X{c} Y{d}\n\
         G0 Z10.\nM5\nM2\n"
    );
    prove(&text, &claim)
}

#[test]
fn a_hole_that_touches_the_edge_opens_no_more_of_it_than_it_touches() {
    // The circle touches y = 80 at x = 100; far from there the edge is as solid as ever.
    let hole = || Prism::round([100.0, 70.0], 20.0, [-5.0, 0.0]);
    let report = pass(hole(), [20.0, 82.5], [40.0, 82.5], -5.0);
    assert!((report.gouge - 0.5).abs() < 1e-9, "{report}");
    assert_eq!(pass(hole(), [20.0, 83.0], [40.0, 83.0], -5.0).gouge, 0.0);
}

#[test]
fn a_strip_that_halving_an_odd_length_leaves_is_no_wall() {
    let at = |x, y| Vertex { x, y, bulge: 0.0 };
    // A notch in the outline, one nanometre wide.
    let thin = [
        at(0.0, 30.0),
        at(200.0, 30.0),
        at(200.0, 33.0),
        at(100.0, 33.0),
        at(100.0, 33.000_001),
        at(200.0, 33.000_001),
    ];
    let outline = thin.into_iter().chain([at(200.0, 36.0), at(0.0, 36.0)]).collect();
    let report = pass(Prism { outline, z_top: 0.0, z_bottom: -5.0 }, [-4.0, 33.0], [204.0, 33.0], -5.0);
    assert!(report.is_proven(), "{report}");
}

#[test]
fn a_groove_as_wide_as_its_bit_has_no_corners_and_a_stopped_one_has_two() {
    let groove = |x: [f64; 2]| Prism::block(&Box3::new(x, [30.0, 36.0], [-5.0, 0.0]));
    let through = pass(groove([0.0, 200.0]), [-4.0, 33.0], [204.0, 33.0], -5.0);
    assert!(through.is_proven() && through.fillets.is_empty(), "{through}");
    let stopped = pass(groove([0.0, 150.0]), [-4.0, 33.0], [147.0, 33.0], -5.0);
    assert!(stopped.is_proven(), "{stopped}");
    assert_eq!(stopped.fillets.len(), 2, "{:?}", stopped.fillets);
    let short = pass(groove([0.0, 150.0]), [-4.0, 33.0], [146.98, 33.0], -5.0);
    assert!((short.leftover - 0.02).abs() < 0.002, "{short}");
}

#[test]
fn a_cut_that_the_bit_cannot_enter_is_not_passed_over() {
    let narrow = Prism::block(&Box3::new([20.0, 150.0], [30.0, 35.9], [-5.0, 0.0]));
    let report = pass(narrow, [-4.0, 89.0], [204.0, 89.0], -5.0);
    assert!(report.findings.iter().any(|f| f.rule == Rule::Unreached), "{report}");
}
