//! Whatever bytes come in, the reader ends, says where it stumbled, and holds no more than the text asks for.

use proof::reader::{Reading, read, read_twice};
use proof::{Claim, prove};
use proptest::prelude::*;

use crate::common::{BOARD, board};

/// A program with a bit of everything that the reader reads.
const MANY: &str = "%\n(ALL SORTS)\nN10 G20\nG17 G90 G94 G40 G49 G80\nG54\nT1 M6\nS18000 M3\nG43 H1\nG0 Z1.\nG0 X1. Y1.\n\
                    G99 G81 X1. Y1. Z-0.25 R0.1 F20.\nX2. L2\nG98 G83 X3. Z-0.5 R0.1 Q0.2\nG82 X4. Z-0.2 R0.1 P0.5\nG80\nG0 Z1.\n\
                    G4 P1.5\nG18\nG2 X5. Z1. I0.5 K0.\nG17\nG91\nG1 X1. Z-0.1 F30.\nG90\nG93\nG1 X0. F2.\nG94\nG3 X1. Y1. R2. F20.\n\
                    M8\nM9\nG61\n/G0 Z2.\nM0\nM5\nM30\n%\n";

/// More than this the reader may not hold for each byte that it was given: a move is about 200 bytes, and no byte of a
/// text makes more than one, canned cycles aside, which make 3000 a line at most.
fn is_in_bounds(text: &[u8], reading: &Reading) -> bool {
    let cycles = text.iter().any(|b| matches!(b, b'L' | b'l' | b'Q' | b'q'));
    let moves = reading.motions.len();
    let lines = 1 + text.iter().filter(|b| matches!(b, b'\n' | b'\r')).count();
    reading.faults.len() <= (4 * lines + 20).min(1002)
        && moves <= if cycles { 3010 * lines } else { 3 * text.len() + 3 }
}

/// Every fault has a place in the text, or is that of its missing end.
fn is_placed(text: &[u8], reading: &Reading) -> bool {
    let lines: Vec<&[u8]> = text.split(|b| *b == b'\n').collect();
    let plain = !text.contains(&b'\r');
    reading.faults.iter().all(|f| {
        let line = (f.line as usize).checked_sub(1).and_then(|l| lines.get(l));
        let long = |line: &&[u8]| f.column as usize <= line.len() + 1;
        f.line >= 1 && f.column >= 1 && (!plain || text.is_empty() || line.is_some_and(long))
    })
}

#[track_caller]
fn survives(text: &[u8]) {
    let reading = read(text);
    assert!(is_in_bounds(text, &reading), "{} moves of {} bytes", reading.motions.len(), text.len());
    assert!(is_placed(text, &reading), "{:?}", reading.faults);
    let finite = |v: &[f64; 3]| v.iter().all(|v| !v.is_nan());
    assert!(reading.motions.iter().all(|m| finite(&m.from) && finite(&m.to)));
}

/// One slip of a finger or of a disk.
fn slip() -> impl Strategy<Value = (prop::sample::Index, u8, Vec<u8>)> {
    let bytes = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..4),
        "[-+0-9.GXYZIJRFSTMNLPQ%/()#;\\[\\] \n]{0,6}".prop_map(String::into_bytes),
        prop::sample::select(vec![
            "1e9",
            "99999999999999999999",
            "-0.",
            "G91",
            "L999999999",
            "Q0.000001",
            "\u{feff}",
            "\r\n"
        ])
        .prop_map(|s: &str| s.as_bytes().to_vec()),
    ];
    (any::<prop::sample::Index>(), 0_u8..6, bytes)
}

fn slipped(text: &str, slips: &[(prop::sample::Index, u8, Vec<u8>)]) -> Vec<u8> {
    let mut out = text.as_bytes().to_vec();
    for (at, gone, new) in slips {
        let at = at.index(out.len() + 1);
        let end = (at + usize::from(*gone)).min(out.len());
        out.splice(at..end, new.iter().copied());
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 768, ..ProptestConfig::default() })]

    #[test]
    fn bytes(text in prop::collection::vec(any::<u8>(), 0..400)) {
        survives(&text);
    }

    #[test]
    fn letters_and_figures(text in "([GXYZIJKRFSTMNLPQHABCDEO][-+]?[0-9]{0,3}[.]?[0-9]{0,3} ?|[\n(%/)#;]){0,80}") {
        survives(text.as_bytes());
    }

    #[test]
    fn good_programs_that_slipped(board in any::<bool>(), slips in prop::collection::vec(slip(), 1..6)) {
        let text = slipped(if board { BOARD } else { MANY }, &slips);
        survives(&text);
        let [first, again] = read_twice(&text);
        prop_assert_eq!(first.lines, again.lines);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    /// The whole proof, on whatever is left of a good program.
    #[test]
    fn the_proof_ends_too(slips in prop::collection::vec(slip(), 1..4)) {
        let text = String::from_utf8_lossy(&slipped(BOARD, &slips)).into_owned();
        let report = prove(&text, &board());
        prop_assert!(report.findings.iter().all(|f| f.line <= report.lines));
        prop_assert!(!report.gouge.is_nan() && !report.leftover.is_nan() && report.findings.len() <= 12 * 32);
    }
}

#[test]
fn a_program_of_all_sorts_is_read_as_it_is() {
    let reading = read(MANY.as_bytes());
    let ids: Vec<_> = reading.faults.iter().map(|f| (f.line, f.kind.id())).collect();
    assert_eq!(ids, [(31, "block-delete")], "{:?}", reading.faults);
    assert!(reading.motions.len() > 30);
}

#[test]
fn a_cycle_that_repeats_for_ever_is_refused_at_its_word() {
    for (from, to) in [("L2", "L60000"), ("Q0.2", "Q0.00001"), ("Z-0.5 R0.1 Q0.2", "Z-99999999. R0.1 Q0.01")] {
        let text = MANY.replace(from, to);
        let reading = read(text.as_bytes());
        let line = text.lines().position(|l| l.contains(to)).unwrap() + 1;
        assert!(reading.faults.iter().any(|f| f.line as usize == line), "{to}: {:?}", reading.faults);
        assert!(reading.motions.len() < 1000);
    }
}

#[test]
fn figures_beyond_all_measure_do_no_harm() {
    let claim: Claim = board();
    for word in ["X99999999999999999999.", "Y-99999999999999999999.", "Z-99999999999999999999.", "X0.00000000000000001"]
    {
        let report = prove(&BOARD.replacen("X205.", word, 1).replacen("X23.", word, 1), &claim);
        assert!(!report.is_proven(), "{word}");
        assert!(report.gouge.is_finite() || !report.findings.is_empty(), "{word}: {report}");
    }
}
