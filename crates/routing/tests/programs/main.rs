//! Whole programs: over small parts made by hand, and over the built-in designs.

mod fixture;
mod machined;
mod random;
mod words;

use case::Case;
use measure::Unit;
use routing::{Arcs, Controller, Machine, Routing, ToolTable, route};

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
            let (job, resolved) = design::Job::read(&order, &[], |_| unreachable!()).unwrap_or_else(|f| panic!("{f}"));
            case::solve(&job, &resolved)
        })
        .collect()
}

/// What the proof by the other crate, which shares no code with routing, finds wrong.
fn refusals(r: &Routing) -> Vec<String> {
    let mut refused = Vec::new();
    for p in &r.programs {
        let claim = serde_json::to_value(&p.claim).and_then(serde_json::from_value).unwrap_or_else(|e| panic!("{e}"));
        let figures = proof::prove(&p.text, &claim).figures();
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
