//! Whole programs: over small parts made by hand, and over the built-in designs.

mod fixture;
mod machined;

use case::Case;
use measure::Unit;
use routing::{Machine, Routing, ToolTable, route};

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

#[test]
fn the_built_in_designs_are_cut_as_asked() {
    for case in designs() {
        check(&case, &routed(&case, &Machine::default()));
    }
}
