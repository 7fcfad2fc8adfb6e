//! Good programs are proven, with the figures that a pencil gives.

use crate::common::{BOARD, board};
use crate::referee::{Verdict, judge};
use proof::prove;

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
