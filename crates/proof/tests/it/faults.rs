//! Faults planted by hand in a good program: each is caught, and the report names the place.

use proof::{Report, prove};

use crate::common::{BOARD, board};

/// The board's program with the first `from` after the comment `section` made `to`, and the line that changed.
fn planted(section: &str, from: &str, to: &str) -> (String, u32) {
    let start = BOARD.find(section).unwrap();
    let at = start + BOARD[start..].find(from).unwrap_or_else(|| panic!("no `{from}` after `{section}`"));
    let line = BOARD[..at].lines().count() + usize::from(BOARD[..at].ends_with('\n'));
    let text = format!("{}{}{}", &BOARD[..at], to, &BOARD[at + from.len()..]);
    (text, u32::try_from(line).unwrap())
}

/// Everything the report says, as `line rule`.
fn said(report: &Report) -> Vec<(u32, String)> {
    let faults = report.faults.iter().map(|f| (f.line, f.kind.id().to_owned()));
    let lines =
        report.findings.iter().flat_map(|f| std::iter::once(f.line).chain(f.given.clone()).map(|l| (l, f.rule)));
    faults.chain(lines.map(|(l, rule)| (l, rule.name().to_owned()))).collect()
}

#[track_caller]
fn caught(section: &str, from: &str, to: &str, rule: &str) -> Report {
    let (text, line) = planted(section, from, to);
    let report = prove(&text, &board());
    let said = said(&report);
    assert!(said.contains(&(line, rule.to_owned())), "line {line} {rule}: {from:?} made {to:?} gave\n{report}");
    report
}

#[test]
fn a_coordinate_moved_by_a_twentieth_of_a_millimetre() {
    let r = caught("GROOVE", "Y13.", "Y13.05", "gouge");
    assert!((r.gouge - 0.05).abs() < 1e-6 && (r.leftover - 0.05).abs() < 2e-3, "{r}");
    let r = caught("GROOVE", "Z-8.", "Z-8.05", "gouge");
    assert!((r.gouge - 0.05).abs() < 1e-6, "{r}");
    let r = caught("GROOVE", "Z-8.", "Z-7.95", "leftover");
    assert!((r.leftover - 0.05).abs() < 2e-3, "{r}");
    caught("POCKET", "G1 X23.", "G1 X22.95", "gouge");
    caught("POCKET", "G1 X23.", "G1 X23.05", "leftover");
    caught("POCKET", "X57. Y47.", "X57. Y47.05", "gouge");
    caught("HELIX", "Z-20.3 I-3.", "Z-19.95 I-3.", "leftover");
    caught("PECKS", "X180. Y30.", "X180.05 Y30.", "gouge");
    caught("PECKS", "Z-12.", "Z-12.05", "gouge");
}

#[test]
fn an_arc_turned_the_other_way() {
    caught("ARCH", "G3 X181.3688", "G2 X181.3688", "run-out");
    caught("ARCH", "G2 X125.02", "G3 X125.02", "run-out");
    let r = caught("HELIX", "G3 X103. Y40. I-3. J0. F2400.", "G3 X103. Y40. I3. J0. F2400.", "gouge");
    assert!((r.gouge - 6.0).abs() < 0.011, "{r}");
}
