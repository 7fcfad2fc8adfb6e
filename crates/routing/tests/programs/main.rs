//! Whole programs: over small parts made by hand, and over the built-in designs.

mod fixture;
mod machined;
mod nest;
mod orders;
mod random;
mod snapshots;
mod words;

use case::{Case, Likeness, Part, PartId};
use measure::{Unit, mm};
use routing::{Arcs, Controller, Machine, Program, Routing, ToolTable, route};

fn routed(case: &Case, machine: &Machine) -> Routing {
    route(case, machine, &ToolTable::default())
}

fn hand_made(unit: Unit) -> Case {
    let post = fixture::post();
    let mirror = fixture::mirrored(&post, 4);
    fixture::case(unit, vec![post, fixture::rail(), fixture::shelf(), mirror])
}

fn designs() -> Vec<Case> {
    design::builtin::DESIGNS
        .iter()
        .map(|(name, _)| {
            let order = fault::Source::new("order.toml", format!("design = \"{name}\"\n"));
            let (_, resolved) = design::Job::read(&order, &[], |_| unreachable!()).unwrap_or_else(|f| panic!("{f}"));
            case::build(&resolved)
        })
        .collect()
}

/// The proof by the other crate, which shares no code with routing.
fn figures(p: &Program) -> proof::Figures {
    let claim = serde_json::to_value(&p.claim).and_then(serde_json::from_value).unwrap_or_else(|e| panic!("{e}"));
    proof::prove(&p.text, &claim).figures()
}

/// What the proofs find wrong.
fn refusals(r: &Routing) -> Vec<String> {
    let mut refused = Vec::new();
    for p in &r.programs {
        let figures = figures(p);
        refused.extend(figures.refused.iter().map(|f| format!("{}: {f}", p.file)));
    }
    refused
}

#[track_caller]
fn proven(r: &Routing) {
    let refused = refusals(r);
    assert!(refused.is_empty(), "{} refused:\n{}", refused.len(), refused.join("\n"));
}

#[test]
fn the_built_in_designs_are_proven() {
    for case in designs() {
        let r = routed(&case, &Machine::default());
        proven(&r);
        r.programs.iter().for_each(words::agree);
    }
}

#[test]
fn two_estimates_of_the_run_time_agree_on_a_day_s_work() {
    let r = routed(&hand_made(Unit::Millimetre), &Machine::default());
    // The proof knows of no change of tool between files.
    let ours: f64 = r.programs.iter().map(|p| p.seconds - p.claim.machine.tool_change).sum();
    let theirs: f64 = r.programs.iter().map(|p| figures(p).seconds).sum();
    assert!((theirs / ours - 1.0).abs() < 0.1, "{ours} s and {theirs} s");
}

#[test]
fn likes_share_a_program_and_a_mirror_image_has_its_own() {
    let post = fixture::post();
    let twin = Part { id: PartId(2), same_as: Some(Likeness { part: post.id, mirrored: false }), ..post.clone() };
    let mirror = fixture::mirrored(&post, 3);
    let r = routed(&fixture::case(Unit::Millimetre, vec![post, twin, mirror]), &Machine::default());
    let served = |id: u32| r.programs.iter().filter(|p| p.parts.contains(&PartId(id))).count();
    assert_eq!((served(1), served(2), served(3)), (4, 4, 4));
    assert_eq!(r.programs.len(), 8);
    assert!(r.sheets[0].text.contains("2 to make"));
}

#[test]
fn what_the_machine_cannot_take_is_told_with_what_would_do() {
    let case = fixture::case(Unit::Millimetre, vec![fixture::post(), fixture::rail()]);
    let short = Machine { travel: [mm(1200), mm(800), mm(90)], daylight: mm(130), ..Machine::default() };
    let r = routed(&case, &short);
    let why = |part: &str, cut: &str| {
        let found = r.by_hand.iter().find(|b| b.part == part && b.cut.as_deref() == Some(cut));
        found.map_or("made", |b| b.why.as_str())
    };
    assert!(why("P01", "P01.1").contains("1700 mm x 45 mm is more than the machine's travel"));
    assert!(why("P01", "P01.1").contains("in two clampings, or cut it by hand"));
    // The groove in the rail's edge wants the rail on its edge; the tenons are cut with it lying flat.
    assert!(why("P02", "P02.9").contains("too tall under the spindle"), "{}", why("P02", "P02.9"));
    assert_eq!(why("P02", "P02.1"), "made");
    // With a spindle that stays high, a through cut is out of reach.
    let high = Machine { daylight: mm(320), ..Machine::default() };
    let r = routed(&fixture::case(Unit::Millimetre, vec![fixture::shelf()]), &high);
    assert!(r.programs.is_empty());
    assert!(r.by_hand[0].why.contains("does not reach down by"), "{}", r.by_hand[0].why);
    let r = routed(&case, &short);
    assert!(r.findings.iter().any(|f| f.rule == "not-routed" && f.parts == [PartId(1)]));
}

#[test]
fn much_waste_is_cut_off_and_held_by_bridges() {
    let r = routed(&fixture::case(Unit::Millimetre, vec![fixture::apron()]), &Machine::default());
    assert_eq!(r.programs[0].claim.tabs.len(), 3 + 4, "one every 250 mm, and one on each side of the cut-out");
    assert!(r.sheets[0].text.contains("held by 7 bridges"));
    proven(&r);
}

#[test]
fn every_controller_gets_what_it_takes() {
    let plain = Controller::default();
    let controllers = [
        Controller { tool_change: true, length_offset: true, percent: true, m30: true, ..plain },
        Controller { canned_cycles: true, line_numbers: true, ..plain },
        Controller { arcs: Arcs::Half, decimals_mm: 3, decimals_inch: 4, ..plain },
        Controller { arcs: Arcs::Quadrant, ..plain },
        Controller { arcs: Arcs::None, ..plain },
    ];
    for controller in controllers {
        for unit in [Unit::Millimetre, Unit::Inch] {
            let machine = Machine { controller, ..Machine::default() };
            let r = routed(&hand_made(unit), &machine);
            proven(&r);
            r.programs.iter().for_each(words::agree);
        }
    }
}

#[track_caller]
fn check(case: &Case, r: &Routing) {
    assert!(!r.programs.is_empty());
    for p in &r.programs {
        let read = machined::read(p);
        machined::no_gouge(case, p, &read);
        machined::no_leftover(case, p, &read);
    }
}

#[test]
fn hand_made_parts_are_cut_as_asked() {
    for unit in [Unit::Millimetre, Unit::Inch] {
        let case = hand_made(unit);
        check(&case, &routed(&case, &Machine::default()));
    }
}
