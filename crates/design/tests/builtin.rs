//! The built-in designs and the demo order.

use design::{Job, System, Value, builtin};
use fault::Source;
use measure::inches;

#[test]
fn the_demo_order_resolves_and_resolves_anew() {
    let (job, resolved) = design::demo(&[]).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &resolved.system;
    assert_eq!((case.width, case.depth, case.height), (inches(42, 1), inches(16, 1), inches(60, 1)));
    assert_eq!(case.doors.as_ref().map(|d| d.field.len()), Some(2));

    let wider = job.resolve(&[("width", Value::Length(inches(44, 1)))]).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &wider.system;
    assert_eq!(case.width, inches(44, 1));
}

#[test]
fn the_command_line_wins_over_the_order() {
    let settings = ["width=1200 mm".to_owned(), "pegs=false".to_owned()];
    let (_, resolved) = design::demo(&settings).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &resolved.system;
    assert_eq!((case.width, case.pegs.is_none()), (measure::mm(1200), true));
}

#[test]
fn a_new_order_of_each_design_builds_as_it_is_and_with_every_line_in_force() {
    for (name, _) in builtin::DESIGNS {
        let order = design::new_order(name, |_| unreachable!()).unwrap_or_else(|f| panic!("{f}"));
        let read = |text: String| {
            let read = Job::read(&Source::new("order.toml", text), &[], |_| unreachable!());
            read.unwrap_or_else(|f| panic!("{f}")).1
        };
        let plain = read(order.clone());
        let in_force: String = order.lines().map(|l| format!("{}\n", uncommented(l))).collect();
        let full = read(in_force);
        assert_eq!(plain.system, full.system, "{name}");
        assert!(full.parameters.iter().all(|p| p.ordered), "{name}");
    }
}

/// A line `#key = value` without its mark; comments proper have a space after it.
fn uncommented(line: &str) -> &str {
    line.strip_prefix('#').filter(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase())).unwrap_or(line)
}

#[test]
fn texts_for_people() {
    insta::assert_snapshot!("designs", design::designs(None));
    insta::assert_snapshot!(
        "new",
        design::new_order("glazed-case", |_| unreachable!()).unwrap_or_else(|f| panic!("{f}"))
    );
}
