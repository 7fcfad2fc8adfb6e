//! The reader against NISTIR 6556: what is read, what is refused, and where.

use proof::reader::{Class, Feature, Motion, read};

/// Sets everything that a program must set, on line 1 and 2, and stands at X0 Y0 Z10.
const HEAD: &str = "G21 G17 G90 G94 G40 G49 G80 G54\nS18000 M3 F1000 G0 Z10\nG0 X0 Y0\n";

/// The faults of `body` after [`HEAD`], as `line:column id` with lines counted from the body's first, in order.
#[track_caller]
fn check(body: &str, expected: &[&str]) {
    let text = format!("{HEAD}{body}\nM2\n");
    let found: Vec<String> =
        read(text.as_bytes()).faults.iter().map(|f| format!("{}:{} {}", f.line - 3, f.column, f.kind.id())).collect();
    assert_eq!(found, expected, "{body}");
}

#[track_caller]
fn moves(body: &str) -> Vec<Motion> {
    let text = format!("{HEAD}{body}\nM2\n");
    let r = read(text.as_bytes());
    assert_eq!(r.faults, [], "{body}");
    r.motions.into_iter().filter(|m| m.line > 3).collect()
}

#[test]
fn legal_lines() {
    for body in [
        // 3.3: spaces and case mean nothing, not even within a number; blank lines are ignored.
        "g1x +0. 12 34y 7",
        "",
        " \t ",
        "G 1 X 1 0",
        // 3.3.1: line numbers repeat and run backwards.
        "N00010 G1 X1\nN10 G1 X2\nN5 X3",
        "n 1 2 g1 x1",
        // Word order is free.
        "X5 G1 F100",
        "(A) G1 (B) X1 (C)",
        "G1.00001 X1",
        // 3.5.3: a full circle needs an axis word.
        "G3 X0 I-10",
        "G2 X10 Y0 R5",
        "G4 P0.5",
        "T1 M6\nG49 G0 Z10 M3\nG1 X3",
        "M6 T1\nM3\nG43 H1 Z20",
        "G61\nG64\nG61.1",
        "M7\nM9\nM8\nM9\nM48\nM49",
        "G4 P1 G1 X3",
        "G98 G81 X1 Y1 Z-1 R1\nX2\nG80",
        "G99 G83 X1 Z-3 R1 Q1 L3\nG80",
    ] {
        check(body, &[]);
    }
}

#[test]
fn carriage_returns_end_lines() {
    let text = format!("{HEAD}G1 X1\nG1 X2\nM2").replace('\n', "\r");
    assert_eq!(read(text.as_bytes()).faults, []);
    let r = read(text.replace('\r', "\r\n").as_bytes());
    assert_eq!((r.faults.len(), r.lines, r.motions.len()), (0, 6, 4));
}

#[test]
fn illegal_lines() {
    for (body, expected) in [
        ("G1 X1e2", "1:6 exponent"),
        ("O1000", "1:1 no-such-word"),
        ("E3", "1:1 no-such-word"),
        ("G1 X1 U2", "1:7 no-such-word"),
        ("G1 X.", "1:4 no-digits"),
        ("G1 X--1", "1:4 no-digits"),
        ("G1 X1.2.3", "1:8 two-points"),
        ("G1 X1 ; cut", "1:7 semicolon"),
        ("G1 X1 (a (b) c)", "1:10 nested-comment"),
        ("G1 X1 (a", "1:7 open-comment"),
        ("G1 X1 a)", "1:7 no-digits"),
        ("G1 X1 )", "1:7 stray-parenthesis"),
        ("G1 X1 $", "1:7 bad-character"),
        ("G1 X#1", "1:5 parameter"),
        ("#1=3", "1:1 parameter"),
        ("G1 X[1+2]", "1:5 expression"),
        ("N10 /G0 X1", "1:5 late-block-delete"),
        ("G0 X1 N10", "1:7 late-line-number"),
        ("N100000 G0 X1", "1:1 bad-line-number"),
        ("N000001 G0 X1", "1:1 bad-line-number"),
        ("N1.5 G0 X1", "1:1 bad-line-number"),
        ("N-1 G0 X1", "1:1 bad-line-number"),
        ("G0 X1 X2", "1:7 repeated-word"),
        ("G0 G1 X1", "1:4 same-group"),
        ("M3 M5", "1:4 same-group"),
        ("M7 M8", "1:4 same-group"),
        ("M0 M6 M3 M7 M48", "1:13 many-m"),
        ("G1.5 X1", "1:1 unknown-g"),
        ("G73 X1 Z-1 R1 Q1", "1:1 unknown-g"),
        ("G91.1", "1:1 unknown-g"),
        ("G95", "1:1 unknown-g"),
        ("M12", "1:1 unknown-m"),
        ("M1.5", "1:1 not-whole"),
        ("M100", "1:1 unknown-m"),
        ("T1.5", "1:1 not-whole"),
        ("T-1", "1:1 negative"),
        ("S-1", "1:1 negative"),
        ("F-1", "1:1 negative"),
        ("G1 F600", "1:1 no-axis"),
        ("G80 X1", "1:5 no-motion"),
        ("G0 X1 I1", "1:7 unused-word"),
        ("G1 X1 P1", "1:7 unused-word"),
        ("G1 X1 Q1", "1:7 unused-word"),
        ("G1 X1 R1", "1:7 unused-word"),
        ("G1 X1 L1", "1:7 unused-word"),
        ("G1 X1 H1", "1:7 unused-word"),
        ("G1 X1 D1", "1:7 unused-word"),
        ("G1 X1 A1", "1:7 rotary-axis"),
        ("G4", "1:1 no-dwell-time"),
        ("G4 P-1", "1:4 negative"),
        ("G43", "1:1 no-offset-number"),
        ("G64 P0.1", "1:5 unused-word"),
        ("F0 G1 X1", "1:7 no-feed"),
        ("%", "1:1 percent"),
        ("G0 X1 %", "1:7 percent"),
    ] {
        check(body, &[expected]);
    }
}

#[test]
fn the_rest_of_the_language_is_refused_by_name() {
    for body in
        ["G10 L2 P1 X0", "G28 Z0", "G30", "G53 G0 Z0", "G92 X0", "G92.1", "G41 D1", "G42", "G38.2 Z-1", "G84 Z1"]
    {
        let text = format!("{HEAD}{body}\nM2\n");
        let r = read(text.as_bytes());
        assert_eq!(r.faults.len(), 1, "{body}");
        assert_eq!(r.faults[0].kind.class(), Class::Subset, "{body}");
        assert!(r.faults[0].kind.to_string().starts_with('G'), "{}", r.faults[0]);
    }
}

#[test]
fn the_longest_line_has_253_characters() {
    // The reference interpreter takes 253 and refuses 254; NISTIR 6556, 3.3 says 256 with the line end.
    check(&format!("({})", "A".repeat(251)), &[]);
    check(&format!("({})", "A".repeat(252)), &["1:254 line-too-long"]);
}

#[test]
fn columns_count_characters() {
    check("(Ü Ö) G1 X1 $", &["1:13 bad-character"]);
    let r = read(format!("{HEAD}(Ü)\nM2").as_bytes());
    assert_eq!(r.uses(Feature::NotAscii).map(|p| (p.line, p.column)), Some((4, 2)));
}

#[test]
fn arcs_that_the_standard_refuses() {
    for (body, expected) in [
        ("G3 I-10", "1:1 no-axis"),
        ("G3 Z-1 I-10", "1:4 arc-no-axis"),
        ("G3 X-20", "1:4 arc-no-centre"),
        ("G3 X-20 R10 I-10", "1:9 arc-two-formats"),
        ("G3 X-20 I-10 K1", "1:14 arc-third-offset"),
        ("G3 X-20.0021 I-10", "1:4 arc-radii"),
        ("G3 X-20 I0", "1:4 arc-zero-radius"),
        ("G3 X0 R10", "1:4 arc-no-chord"),
        ("G3 X20 R9.9999", "1:4 arc-short-radius"),
        ("G3 X0.0001 Y0.0001 I0 J10", "1:4 arc-tiny-chord"),
    ] {
        check(body, &[expected]);
    }
    // In inches the tolerance is 0.0002 in, that is 0.00508 mm.
    check("G20\nF40\nG3 X-2.00019 I-1", &[]);
    check("G20\nF40\nG3 X-2.00021 I-1", &["3:4 arc-radii"]);
}

#[test]
fn cycles_that_the_standard_refuses() {
    for (body, expected) in [
        ("G98 G81", "1:5 no-axis"),
        ("G98 G81 X1 Z-1", "1:9 cycle-word"),
        ("G98 G81 X1 R1", "1:9 cycle-word"),
        ("G98 G82 X1 R1 Z-1", "1:9 cycle-word"),
        ("G98 G83 X1 R1 Z-1", "1:9 cycle-word"),
        ("G98 G83 X1 R1 Z-1 Q0", "1:9 cycle-peck"),
        ("G98 G81 X1 R-2 Z-1", "1:9 cycle-below"),
        ("G98 G81 X1 R1 Z-1 L0", "1:19 cycle-repeats"),
        ("G98 G81 X1 R1 Z-1 P1", "1:19 unused-word"),
        ("G93 G98 G81 X1 R1 Z-1", "1:13 cycle-inverse-time"),
        ("G18 G98 G81 X1 R1 Z-1", "1:13 cycle-plane"),
    ] {
        check(body, &[expected]);
    }
    // R, Z, P and Q are forgotten when another cycle begins (3.5.16).
    check("G98 G81 X1 R1 Z-1\nG82 X2 Z-1 P1", &["2:5 cycle-word"]);
    check("G98 G81 X1 R-1 Z-1", &[]);
}

#[test]
fn what_the_reference_interpreter_lets_through() {
    for (text, expected) in [
        ("G17 G90 G94 G40 G49 G54\nS9 M3 F9\nG0 Z9\nM2", vec!["3:4 units-assumed"]),
        ("G21 G17 G94 G40 G49 G54\nS9 M3 F9\nG0 Z9\nM2", vec!["3:4 distance-assumed"]),
        ("G21 G17 G90 G94 G49 G54\nS9 M3 F9\nG0 Z9\nM2", vec!["3:4 radius-assumed"]),
        ("G21 G17 G90 G94 G40 G54\nS9 M3 F9\nG0 Z9\nM2", vec!["3:4 length-assumed"]),
        ("G21 G17 G90 G94 G40 G49\nS9 M3 F9\nG0 Z9\nM2", vec!["3:4 system-assumed"]),
        ("G21 G17 G90 G94 G40 G49 G54\nS9 M3 F9\nZ9\nM2", vec!["3:1 motion-assumed"]),
        ("G21 G90 G94 G40 G49 G54\nS9 M3 F9\nG0 Z9\nX0Y0\nG3 X2 I1\nM2", vec!["5:4 plane-assumed"]),
        ("G21 G17 G90 G40 G49 G54\nS9 M3 F9\nG0 Z9\nX0Y0\nG1 X2\nM2", vec!["5:4 feed-mode-assumed"]),
        ("G21 G17 G90 G94 G40 G49 G54\nS9 M3 F9\nG0 X9\nZ1\nM2", vec!["3:4 z-unknown"]),
        ("G21 G17 G90 G94 G40 G49 G54\nS9 M3 F9\nG0 Z1\nG1 X9\nM2", vec!["4:4 position-unknown"]),
        ("G21 G17 G91 G94 G40 G49 G54\nS9 M3 F9\nG0 Z1\nM2", vec!["3:4 position-unknown"]),
    ] {
        let found: Vec<String> = read(text.as_bytes())
            .faults
            .iter()
            .map(|f| {
                assert_eq!(f.kind.class(), Class::Chance);
                format!("{}:{} {}", f.line, f.column, f.kind.id())
            })
            .collect();
        assert_eq!(found, expected, "{text}");
    }
    for (body, expected) in [
        ("M5 G1 X1", "1:7 spindle-off"),
        ("S0 G1 X1", "1:7 spindle-still"),
        ("M4 G1 X1", "1:7 spindle-backward"),
        ("G20 G1 X1\nX2", "1:8 feed-of-other-units"),
        ("M6", "1:1 no-tool-selected"),
        ("G99 F0 G81 X1 R1 Z-1\nX2", "1:12 cycle-no-feed"),
        ("/G1 X1", "1:1 block-delete"),
        ("T1 M6\nM3\nG43 H2 Z10", "3:5 offset-of-other-tool"),
        ("T1 M6\nM3 G49\nG0 X1", "3:4 z-unknown"),
        ("G55", "1:1 second-system"),
        ("M30\nG1 X1", "2:1 after-end"),
    ] {
        check(body, &[expected]);
    }
    check("G93 G1 X1 F2\nX2\nG94 G1 X3", &["2:1 no-inverse-feed", "3:8 feed-of-other-mode"]);
}

#[test]
fn a_tool_change_stops_the_spindle() {
    // NISTIR 6556, 3.6.3.
    check("T1 M6\nG49 G0 Z10\nG1 X1\nX2\nM3\nX3", &["3:4 spindle-off"]);
}

#[test]
fn percent_marks_come_in_pairs() {
    let body = "G21\n";
    for (text, expected) in [
        (format!("{body}M2\n"), vec![]),
        (format!("{body}M30\n\n \n"), vec![]),
        (format!("%\n{body}%\n"), vec![]),
        (format!("\n % \n{body}M2\n%\n"), vec![]),
        (body.to_owned(), vec!["1:1 no-end"]),
        (String::new(), vec!["1:1 no-end"]),
        (format!("%\n{body}"), vec!["2:1 percent-unpaired"]),
        (format!("%\n{body}M2\n"), vec!["3:1 percent-unpaired"]),
        (format!("{body}M2\n%\n"), vec!["3:1 after-end"]),
        (format!("%\n{body}%\nG0 X1\nG0 X2\n"), vec!["4:1 after-end"]),
    ] {
        let found: Vec<String> =
            read(text.as_bytes()).faults.iter().map(|f| format!("{}:{} {}", f.line, f.column, f.kind.id())).collect();
        assert_eq!(found, expected, "{text:?}");
    }
}

#[test]
fn a_fault_does_not_make_the_next_line_one() {
    check("G1 X5 Q1\nX6\nG3 X-20 I-10.1\nG1 X1", &["1:7 unused-word", "3:4 arc-radii"]);
}

#[test]
fn order_of_execution() {
    // 3.8: F before the units, M5 before the motion, M6 before M3.
    let m = moves("G1 X1 F500");
    assert_eq!((m[0].feed, m[0].rpm), (500.0, 18000.0));
    let m = moves("T3 M3 M6 S9000\nG49 G0 Z5\nG1 X1");
    assert_eq!((m[1].tool, m[1].rpm), (3, 9000.0));
}

#[test]
fn units_and_distance_modes() {
    let m = moves("G20 F10\nF10 G1 X1\nG91 X1 Y2\nG90 X1");
    assert_eq!(m.iter().map(|m| m.to).collect::<Vec<_>>(), [[25.4, 0.0, 10.0], [50.8, 50.8, 10.0], [25.4, 50.8, 10.0]]);
    assert_eq!(m[0].feed, 254.0);
}

#[test]
fn inverse_time() {
    // 3.5.19: F2 is half a minute for the move.
    let m = moves("G93 G1 X100 F2");
    assert_eq!(m[0].feed, 200.0);
}

#[test]
fn a_helix_is_fed_along_itself() {
    let m = moves("G2 X0 Y0 Z-6 I30 J0");
    let turn = 2.0 * std::f64::consts::PI * 30.0;
    assert!((m[0].length() - libm::hypot(turn, 16.0)).abs() < 1e-9);
}

#[test]
fn pecks_of_the_worked_example() {
    // NISTIR 6556, 3.5.16 with the reference's back-off of 0.254 mm: 6 mm pecks to Z-16 from R2, G99, start at Z10.
    let m = moves("G99 G83 X5 Y5 Z-16 R2 Q6");
    let path: Vec<(bool, f64)> = m.iter().map(|m| (m.rapid, m.to[2])).collect();
    let expected = [
        (true, 10.0),
        (true, 2.0),
        (false, -4.0),
        (true, 2.0),
        (true, -3.746),
        (false, -10.0),
        (true, 2.0),
        (true, -9.746),
        (false, -16.0),
        (true, 2.0),
    ];
    assert_eq!(path, expected);
    let fed: f64 = m.iter().filter(|m| !m.rapid).map(Motion::length).sum();
    assert!((fed - 18.508).abs() < 1e-9);
}

#[test]
fn cycles_return_and_repeat() {
    // 3.5.20: G98 returns to where it began if that is above R. 3.5.16: L repeats the step in G91.
    let m = moves("G98 G81 X5 Y5 Z-3 R2\nG91 X10 L2 R-8 Z-5\nG80");
    let path: Vec<[f64; 3]> = m.iter().map(|m| m.to).collect();
    assert_eq!(path[3], [5.0, 5.0, 10.0]);
    assert_eq!(path[4..8], [[15.0, 5.0, 10.0], [15.0, 5.0, 2.0], [15.0, 5.0, -3.0], [15.0, 5.0, 10.0]]);
    assert_eq!(path[8], [25.0, 5.0, 10.0]);
    let m = moves("G0 Z1\nG99 G81 X5 Y5 Z-3 R2");
    assert_eq!(m[1].to, [0.0, 0.0, 2.0], "below R it first goes up to R");
}

#[test]
fn dwell_and_stops_are_counted() {
    let r = read(format!("{HEAD}G4 P1.5\nG99 G82 X1 Z-1 R1 P0.5\nX2\nM0\nM2").as_bytes());
    assert_eq!((r.faults.len(), r.dwell, r.stops), (0, 2.5, vec![7]));
}

#[test]
fn features_tell_where_they_are_first_used() {
    let r = read(format!("{HEAD}N5 G2 X10. R5.\nM7\nT1 M6\nM3 G43 H1 G0 Z5.\nG2 X10. I5.\nM2").as_bytes());
    assert_eq!(r.faults, []);
    let line = |f| r.uses(f).map(|p| p.line);
    assert_eq!(line(Feature::LineNumber), Some(4));
    assert_eq!(line(Feature::RadiusArc), Some(4));
    assert_eq!(line(Feature::Coolant), Some(5));
    assert_eq!(line(Feature::ToolChange), Some(6));
    assert_eq!(line(Feature::LengthOffset), Some(7));
    assert_eq!(line(Feature::FullCircle), Some(8));
    assert_eq!(line(Feature::NoPoint), Some(2));
    assert_eq!(line(Feature::CannedCycle), None);
}
