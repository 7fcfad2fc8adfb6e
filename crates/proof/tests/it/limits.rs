//! Every check from both sides: just inside its limit it says nothing, just outside it speaks.

use proof::{Box3, Claim, Cut, Prism, Report, Rule, TextUnit, ToolKind, Vertex, prove};

use crate::common::{board, cut};

/// A groove from air to air, 8 mm deep, by a bit of 6 mm: zero at the board's corner, 200 × 80 × 20 mm.
const GROOVE: &str = "G21\nG17 G90 G94 G40 G49 G80\nG54\nS18000 M3\nG0 Z30.\nG0 X-5. Y13.\nG0 Z2.\nG1 Z-8. F600.\n\
                      G1 X205. F2400.\nG0 Z30.\nM5\nM2\n";

fn groove() -> Claim {
    let prism = Prism::block(&Box3::new([0.0, 200.0], [10.0, 16.0], [-8.0, 0.0]));
    Claim { cuts: vec![cut("groove", prism)], ..board() }
}

fn found(report: &Report, rule: Rule) -> bool {
    report.findings.iter().any(|f| f.rule == rule)
}

/// The first claim is proven; the second brings the rule.
#[track_caller]
fn both(text: &str, good: &Claim, bad: &Claim, rule: Rule) {
    let report = prove(text, good);
    assert!(report.is_proven(), "{report}");
    let report = prove(text, bad);
    assert!(found(&report, rule), "no {}: {report}", rule.name());
}

/// The first text is proven; the second brings the rule.
#[track_caller]
fn both_texts(good: &str, bad: &str, claim: &Claim, rule: Rule) {
    let report = prove(good, claim);
    assert!(report.is_proven(), "{report}");
    let report = prove(bad, claim);
    assert!(found(&report, rule), "no {}: {report}", rule.name());
}

fn with_tool(change: impl Fn(&mut proof::Tool)) -> Claim {
    let mut claim = groove();
    claim.tools.iter_mut().for_each(change);
    claim
}

#[test]
fn a_clamp_is_cleared_by_the_tool_and_by_its_holder() {
    let clamp = |y: f64, top: f64| Claim { clamps: vec![Box3::new([50.0, 70.0], [y, 60.0], [-20.0, top])], ..groove() };
    // The tool's edge runs at y = 16.
    both(GROOVE, &clamp(16.0, 20.0), &clamp(15.99, 20.0), Rule::Clamp);
    // 35 mm above the tip, at Z27, the holder is 20 mm in radius.
    both(GROOVE, &clamp(30.0, 27.0), &clamp(30.0, 27.01), Rule::Clamp);
    both(GROOVE, &clamp(33.0, 29.0), &clamp(32.99, 29.0), Rule::Clamp);
}

#[test]
fn the_holder_stays_above_the_stock_and_the_flutes_reach_down() {
    both(GROOVE, &with_tool(|t| t.stick_out = 8.0), &with_tool(|t| t.stick_out = 7.99), Rule::Holder);
    both(GROOVE, &with_tool(|t| t.flute = 8.0), &with_tool(|t| t.flute = 7.99), Rule::Flute);
}

/// Down to `z` over 40 mm, and back and forth at the bottom.
fn ramped(z: f64) -> String {
    format!(
        "G21\nG17 G90 G94 G40 G49 G80\nG54\nS18000 M3\nG0 Z30.\nG0 X50. Y40.\nG0 Z2.\nG1 Z0. F600.\nG1 X90. Z{z}\n\
         G1 X50. F2400.\nG0 Z30.\nM5\nM2\n"
    )
}

#[test]
fn a_bit_that_cannot_plunge_ramps_no_steeper_than_it_may() {
    let claim = |z: f64| {
        let at = |x, y, bulge| Vertex { x, y, bulge };
        let outline = vec![at(50.0, 37.0, 0.0), at(90.0, 37.0, 1.0), at(90.0, 43.0, 0.0), at(50.0, 43.0, 1.0)];
        let mut claim = Claim { cuts: vec![cut("slot", Prism { outline, z_top: 0.0, z_bottom: z })], ..board() };
        claim.tools.iter_mut().for_each(|t| (t.plunges, t.ramp) = (false, 5.0));
        claim
    };
    // tan 5° × 40 mm = 3.4995 mm.
    assert!(prove(&ramped(-3.49), &claim(-3.49)).is_proven(), "{}", prove(&ramped(-3.49), &claim(-3.49)));
    assert!(found(&prove(&ramped(-3.51), &claim(-3.51)), Rule::Plunge));
    // Straight down beside the stock is no plunge, within it is one.
    both_texts(
        GROOVE,
        &GROOVE.replace("X-5.", "X5."),
        &with_tool(|t| (t.plunges, t.ramp) = (false, 5.0)),
        Rule::Plunge,
    );
}

#[test]
fn a_drill_goes_up_and_down_only() {
    let hole =
        "G21\nG17 G90 G94 G40 G49 G80\nG54\nS18000 M3\nG0 Z30.\nG0 X50. Y40.\nG0 Z2.\nG1 Z-5. F600.\nG0 Z30.\nM5\nM2\n";
    let prism = Prism::round([50.0, 40.0], 6.0, [-5.0, 0.0]);
    let mut claim = Claim { cuts: vec![cut("hole", prism)], ..board() };
    claim.tools.iter_mut().for_each(|t| t.kind = ToolKind::Drill);
    both_texts(hole, &hole.replace("G0 Z30.\nM5", "G1 X50.5 F2400.\nG0 Z30.\nM5"), &claim, Rule::Sideways);
}

#[test]
fn speeds_and_feeds_keep_to_their_ranges() {
    // One hundredth over is rounding.
    let claim = groove();
    let said = |from: &str, to: &str| GROOVE.replace(from, to);
    both_texts(&said("S18000", "S24240"), &said("S18000", "S24250"), &claim, Rule::Speed);
    both_texts(&said("S18000", "S7921"), &said("S18000", "S7919"), &claim, Rule::Speed);
    both_texts(&said("F2400.", "F4040."), &said("F2400.", "F4041."), &claim, Rule::Feed);
    both_texts(&said("F2400.", "F297."), &said("F2400.", "F296."), &claim, Rule::Feed);
    both_texts(&said("F600.", "F1010."), &said("F600.", "F1011."), &claim, Rule::Feed);
    let slow = |feed: f64| Claim { machine: proof::Machine { feed, ..groove().machine }, ..groove() };
    both(GROOVE, &slow(2400.0), &slow(2370.0), Rule::Feed);
}

#[test]
fn the_machine_s_travel_the_run_out_and_the_spoilboard_are_kept() {
    let travel = |axis: usize, mm: f64| {
        let mut claim = groove();
        claim.machine.travel[axis] = mm;
        claim
    };
    both(GROOVE, &travel(0, 210.0), &travel(0, 209.99), Rule::Travel);
    both(GROOVE, &travel(2, 38.0), &travel(2, 37.99), Rule::Travel);
    let run_out = |run_out: f64| Claim { run_out, ..groove() };
    both(GROOVE, &run_out(8.0), &run_out(7.99), Rule::RunOut);
    let prism = Prism::block(&Box3::new([0.0, 200.0], [10.0, 16.0], [-20.0, 0.0]));
    let through = |spoilboard: f64| Claim {
        cuts: vec![Cut { through: true, ..cut("groove", prism.clone()) }],
        // What it leaves on one side is held by clamps, which the proof takes for a piece that comes loose.
        tabs: vec![],
        spoilboard,
        ..board()
    };
    let deep = GROOVE.replace("Z-8.", "Z-20.5");
    assert!(!found(&prove(&deep, &through(0.5)), Rule::Spoilboard));
    assert!(found(&prove(&deep, &through(0.49)), Rule::Spoilboard));
}

#[test]
fn rapid_moves_stay_out_of_the_wood() {
    let over = |z: &str| GROOVE.replace("G0 Z30.\nM5", &format!("G0 Z{z}\nG0 X100. Y60.\nG0 Z30.\nM5"));
    both_texts(&over("0."), &over("-0.01"), &groove(), Rule::Rapid);
    // Back along the groove that has just been cut is no harm.
    both_texts(
        &GROOVE.replace("G0 Z30.\nM5", "G0 X-5.\nG0 Z30.\nM5"),
        &GROOVE.replace("G1 X205. F2400.\nG0", "G1 X100. F2400.\nG0 X205.\nG0"),
        &groove(),
        Rule::Rapid,
    );
}

#[test]
fn a_hundredth_of_a_millimetre_is_none() {
    let moved = |y: &str| GROOVE.replace("Y13.", y);
    both_texts(&moved("Y13.007"), &moved("Y13.0101"), &groove(), Rule::Gouge);
    both_texts(&GROOVE.replace("Z-8.", "Z-7.992"), &GROOVE.replace("Z-8.", "Z-7.988"), &groove(), Rule::Leftover);
}

/// A square of that side cut free at (60, 20) with kerfs of 6 mm outside it, over bridges in two of its sides or one.
fn freed(side: f64, bridges: &[f64], [long, high]: [f64; 2]) -> Report {
    let (x0, x1, y0, y1) = (57.0, 63.0 + side, 17.0, 23.0 + side);
    let mut text = String::from("G21\nG17 G90 G94 G40 G49 G80\nG54\nS18000 M3 F900.\nG0 Z30.\n");
    text += &format!("G0 X{x0} Y{y0}\nG0 Z2.\nG1 Z-20.\n");
    let top = -20.0 + high;
    for y in [y0, y1] {
        if bridges.contains(&y) {
            let middle = f64::midpoint(x0, x1);
            // The tool's radius stays off on both sides.
            let (a, b) = (middle - long / 2.0 - 3.0, middle + long / 2.0 + 3.0);
            text += &if y == y0 {
                format!("G1 X{a}\nG1 Z{top}\nG1 X{b}\nG1 Z-20.\nG1 X{x1}\nG1 Y{y1}\n")
            } else {
                format!("G1 X{b}\nG1 Z{top}\nG1 X{a}\nG1 Z-20.\nG1 X{x0}\nG1 Y{y0}\n")
            };
        } else {
            text += &if y == y0 { format!("G1 X{x1}\nG1 Y{y1}\n") } else { format!("G1 X{x0}\nG1 Y{y0}\n") };
        }
    }
    text += "G0 Z30.\nM5\nM2\n";
    let block = |x: [f64; 2], y: [f64; 2], z: [f64; 2]| Prism::block(&Box3::new(x, y, z));
    let middle = f64::midpoint(x0, x1);
    let tab = |y: &f64| block([middle - long / 2.0, middle + long / 2.0], [y - 3.0, y + 3.0], [-20.0, top]);
    let kerf = block([x0 - 3.0, x1 + 3.0], [y0 - 3.0, y1 + 3.0], [-20.0, 0.0]);
    let claim = Claim {
        cuts: vec![],
        elsewhere: vec![proof::Other { prism: kerf, relieves: false }],
        tabs: bridges.iter().map(tab).collect(),
        ..board()
    };
    prove(&text, &claim)
}

#[test]
fn what_is_cut_free_is_held_by_two_bridges_that_hold() {
    let (low, high) = (17.0, 23.0 + 40.0);
    let good = freed(40.0, &[low, high], [6.0, 3.0]);
    assert!(good.is_proven(), "{good}");
    for (bridges, size) in
        [(&[low] as &[f64], [6.0, 3.0]), (&[], [6.0, 3.0]), (&[low, high], [4.99, 3.0]), (&[low, high], [6.0, 1.99])]
    {
        let report = freed(40.0, bridges, size);
        assert!(found(&report, Rule::Tab), "{bridges:?} {size:?}: {report}");
    }
    for size in [[5.0, 3.0], [6.0, 2.0]] {
        let report = freed(40.0, &[low, high], size);
        assert!(!found(&report, Rule::Tab), "{size:?}: {report}");
    }
    // A chip of less than a square centimetre need not be held; the report names the line that frees what must be.
    assert!(!found(&freed(8.0, &[], [6.0, 3.0]), Rule::Tab));
    let loose = freed(12.0, &[], [6.0, 3.0]);
    let finding = loose.findings.iter().find(|f| f.rule == Rule::Tab).unwrap();
    assert_eq!((finding.line, finding.what.as_str()), (12, "no bridge holds a piece of 12 × 12 mm that is cut free"));
}

#[test]
fn a_second_run_does_the_same() {
    // It leaves steps in force; whether the next run is wrong hangs on its own head.
    let left = GROOVE.replace("M5", "M5\nG91");
    both_texts(&left, &left.replace(" G90", ""), &groove(), Rule::Again);
    // From where the first run ends back to its start, over a clamp.
    let claim = Claim { clamps: vec![Box3::new([90.0, 110.0], [5.0, 9.0], [-20.0, 20.0])], ..groove() };
    let claim = Claim { tools: claim.tools.into_iter().map(|t| proof::Tool { holder: 7.0, ..t }).collect(), ..claim };
    let end = |z: &str| {
        let home = "G0 Z30.\nG0 X205. Y-5.\nM5";
        GROOVE.replace("G0 Z30.\nM5", home).replacen("G0 Z30.\nG0 X-5. Y13.", &format!("G0 Z{z}\nG0 X-5. Y13."), 1)
    };
    both_texts(&end("30."), &end("15."), &claim, Rule::Clamp);
}

#[test]
fn unit_and_work_offset_are_those_of_the_set_up_sheet() {
    let inch = Claim { unit: Some(TextUnit::Inch), ..groove() };
    both(GROOVE, &groove(), &inch, Rule::Units);
    let other = Claim { work_offset: Some("G55".into()), ..groove() };
    both(GROOVE, &groove(), &other, Rule::Offset);
    let any = Claim { unit: None, work_offset: None, ..groove() };
    assert!(prove(&GROOVE.replace("G54", "G55"), &any).is_proven());
}

#[test]
fn every_mode_must_be_set_before_it_counts() {
    for (word, id) in [
        ("G21", "units-assumed"),
        ("G90", "distance-assumed"),
        ("G94", "feed-mode-assumed"),
        ("G40", "radius-assumed"),
        ("G49", "length-assumed"),
        ("G54", "system-assumed"),
        ("M3", "spindle-off"),
        ("F600.", "no-feed"),
        ("G0 Z30.\nG0 X", "z-unknown"),
    ] {
        let text = if id == "z-unknown" { GROOVE.replacen(word, "G0 X", 1) } else { GROOVE.replacen(word, "", 1) };
        let report = prove(&text, &groove());
        let ids: Vec<_> = report.faults.iter().map(|f| f.kind.id()).collect();
        assert!(ids.contains(&id), "{word}: {ids:?}");
    }
    // The plane counts for arcs only, and a canned cycle's end is no mode that a motion code leaves open.
    assert!(prove(&GROOVE.replace("G17 ", ""), &groove()).is_proven());
    assert!(prove(&GROOVE.replace(" G80", ""), &groove()).is_proven());
}
