//! The built-in designs and the demo order.

use design::{Job, System, Value};
use fault::Source;
use measure::inches;

#[test]
fn the_demo_order_resolves() {
    let order = Source::new("demo.toml", design::builtin::DEMO_ORDER);
    let (job, resolved) = Job::read(&order, &[], |_| Err("no".into())).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &resolved.system;
    assert_eq!((case.width, case.depth, case.height), (inches(42, 1), inches(16, 1), inches(60, 1)));
    assert_eq!(case.doors.as_ref().map(|d| d.field.len()), Some(2));

    let wider = job.resolve(&[("width", Value::Length(inches(44, 1)))]).unwrap_or_else(|f| panic!("{f}"));
    let System::PostAndRail(case) = &wider.system;
    assert_eq!(case.width, inches(44, 1));
}
