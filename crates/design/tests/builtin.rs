//! The built-in designs and the demo order.

use design::{Job, Resolved, System, Value, builtin};
use fault::Source;
use measure::inches;

fn read(order: &std::sync::Arc<Source>, settings: &[String]) -> (Job, Resolved) {
    // The one file that a new order names so that it is read here: a shop's woods, none yet.
    let read = Job::read(order, settings, |path| match path {
        "woods.toml" => Ok(Source::new(path, "")),
        _ => Err(format!("{path} is not built in")),
    });
    read.unwrap_or_else(|faults| panic!("{faults}"))
}

fn demo(settings: &[String]) -> (Job, Resolved) {
    read(&Source::new("demo.toml", builtin::DEMO_ORDER), settings)
}

#[test]
fn the_demo_order_resolves_and_resolves_anew() {
    let (job, resolved) = demo(&[]);
    let System::PostAndRail(case) = &resolved.system;
    assert_eq!((case.width, case.depth, case.height), (inches(42, 1), inches(16, 1), inches(60, 1)));
    assert_eq!(case.doors.as_ref().map(|d| d.field.len()), Some(2));
    let revisions = resolved.order.revisions.iter().map(|r| (r.number.as_str(), r.date.as_str()));
    assert_eq!(revisions.collect::<Vec<_>>(), [("A", "2026-11-05"), ("B", "2026-11-09")]);

    let wider = job.resolve(&[("width", Value::Length(inches(44, 1)))]).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &wider.system;
    assert_eq!(case.width, inches(44, 1));
}

#[test]
fn the_command_line_wins_over_the_order() {
    let settings = ["width=1200 mm".to_owned(), "pegs=false".to_owned()];
    let (_, resolved) = demo(&settings);
    let System::PostAndRail(case) = &resolved.system;
    assert_eq!((case.width, case.pegs.is_none()), (measure::mm(1200), true));
}

#[test]
fn a_new_order_of_each_design_builds_as_it_is_and_with_every_line_in_force() {
    for (name, _) in builtin::DESIGNS {
        let (_, as_it_is) = read(&design::plain_order(name), &[]);
        let order = design::blank_order(&as_it_is, name);
        let (_, plain) = read(&Source::new("order.toml", order.as_str()), &[]);
        assert_eq!((&plain.system, &plain.order), (&as_it_is.system, &as_it_is.order), "{name}");

        let in_force: String = order.lines().map(|l| format!("{}\n", uncommented(l))).collect();
        let (_, full) = read(&Source::new("order.toml", in_force), &[]);
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
    let resolved = |name: &str| read(&design::plain_order(name), &[]).1;
    let all: Vec<String> = builtin::DESIGNS.iter().map(|(name, _)| design::description(&resolved(name))).collect();
    insta::assert_snapshot!("designs", all.join("\n"));
    insta::assert_snapshot!("new", design::blank_order(&resolved("glazed-case"), "glazed-case"));
}
