//! The limits of orders, found with the dry fit: each end builds, the next division of the ruler does not and for the
//! reason given, and what lies between builds.

use case::limits::{End, Range, Stop, limits};
use case::{Level, proven};
use design::{Job, Resolved, Value};
use dryfit::check;
use fault::Source;
use measure::{Length, inches, mm};

use crate::given::Dice;

fn job(design: &str, head: &str, settings: &[&str]) -> (Job, Resolved) {
    let text = format!("design = \"{design}\"\n{head}\n");
    let settings: Vec<String> = settings.iter().map(ToString::to_string).collect();
    let read = Job::read(&Source::new("order.toml", &text), &settings, |_| Err("no file".into()));
    read.unwrap_or_else(|faults| panic!("{faults}"))
}

/// The rules that stop an order with one parameter changed; a fault's words where it cannot even be worked out.
fn stops(job: &Job, name: &str, value: &Value) -> Result<Vec<&'static str>, Vec<String>> {
    match job.resolve(&[(name, value.clone())]) {
        Err(faults) => Err(faults.iter().map(|f| f.what.clone()).collect()),
        Ok(resolved) => {
            let findings = proven(&resolved, &check).findings;
            Ok(findings.iter().filter(|f| f.level == Level::Stop).map(|f| f.rule).collect())
        }
    }
}

fn next(value: &Value, step: Length, up: bool) -> Option<Value> {
    match value {
        Value::Length(l) => Some(Value::Length(if up { *l + step } else { *l - step })),
        Value::Count(n) => if up { n.checked_add(1) } else { n.checked_sub(1) }.map(Value::Count),
        _ => None,
    }
}

fn the_end_holds(job: &Job, name: &str, end: &End, step: Length, up: bool) {
    let here = stops(job, name, &end.value);
    assert_eq!(here.as_deref(), Ok(&[] as &[&str]), "{name} = {:?} is said to build", end.value);
    // There is no count below nothing.
    let Some(beyond) = next(&end.value, step, up) else { return };
    let there = stops(job, name, &beyond);
    match (&end.stop, there) {
        (Stop::Own, Err(faults)) => assert!(faults[0].contains(&format!("`{name}` is ")), "{faults:?}"),
        (Stop::Fault(what), Err(faults)) => assert_eq!(*what, faults[0]),
        (Stop::Finding(f), Ok(rules)) => assert_eq!(rules.first(), Some(&f.rule), "{name} = {beyond:?}"),
        (stop, there) => panic!("{name} = {beyond:?} is said to be stopped by {stop:?}, and is by {there:?}"),
    }
}

fn between(dice: &mut Dice, low: &Value, high: &Value) -> Value {
    match (low, high) {
        (Value::Length(a), Value::Length(b)) => Value::Length(Length::from_mm(dice.between([*a, *b]))),
        (Value::Count(a), Value::Count(b)) => Value::Count(a + dice.upto(b - a + 1)),
        _ => panic!("{low:?} to {high:?}"),
    }
}

/// All parameters of an order; says how many ends a finding sets.
fn every_limit_holds(design: &str, head: &str, settings: &[&str]) -> usize {
    let (job, resolved) = job(design, head, settings);
    let step = resolved.order.ruler.step;
    let (now, all) = limits(&job, &resolved, &check);
    assert!(now.is_none(), "{design} {settings:?} builds");
    assert_eq!(all.len(), resolved.parameters.len());
    let mut dice = Dice(1042);
    let mut by_findings = 0;
    for l in &all {
        let p = &l.parameter;
        match &l.range {
            Range::Between(ends) => {
                for (end, up) in ends.iter().zip([false, true]) {
                    the_end_holds(&job, &p.name, end, step, up);
                    by_findings += usize::from(matches!(end.stop, Stop::Finding(_)));
                }
                for _ in 0..3 {
                    let value = between(&mut dice, &ends[0].value, &ends[1].value);
                    let stops = stops(&job, &p.name, &value);
                    assert_eq!(stops.as_deref(), Ok(&[] as &[&str]), "{design}: {} = {value:?}", p.name);
                }
            }
            Range::Each(values) => {
                for (value, stop) in values {
                    let builds = stops(&job, &p.name, value) == Ok(Vec::new());
                    assert_eq!(builds, stop.is_none(), "{design}: {} = {value:?}", p.name);
                }
                assert!(values.iter().any(|(value, stop)| *value == p.value && stop.is_none()));
            }
            Range::Any => assert!(matches!(p.value, Value::Word(_)) && p.of.is_empty(), "{}", p.name),
            Range::None => panic!("{design}: no {} builds", p.name),
        }
    }
    by_findings
}

#[test]
fn every_limit_of_every_design_holds() {
    assert!(every_limit_holds("glazed-case", "ruler = \"1/16 in\"", &[]) >= 3);
    every_limit_holds("low-cupboard", "ruler = \"1/16 in\"", &["doors=1"]);
    every_limit_holds("open-shelves", "unit = \"mm\"\nruler = \"1 mm\"", &["fixed_shelves=2"]);
}

/// A value between two divisions of the ruler is where the search begins, and may be an end itself.
#[test]
fn a_value_off_the_ruler_is_looked_about() {
    let (job, resolved) = job("low-cupboard", "ruler = \"1/16 in\"", &["depth=457.3 mm", "shelves=0"]);
    let (_, all) = limits(&job, &resolved, &check);
    let depth = all.iter().find(|l| l.parameter.name == "depth").expect("a depth");
    let Range::Between(ends) = &depth.range else { panic!("{depth:?}") };
    assert_eq!([&ends[0].value, &ends[1].value], [&Value::Length(inches(12, 1)), &Value::Length(inches(26, 1))]);
}

/// An order that does not build is told what would: for each parameter the nearest range, or that none does.
#[test]
fn an_order_that_does_not_build_is_told_what_would() {
    // Shelves too close to tip.
    let (job, resolved) = job("glazed-case", "ruler = \"1 mm\"\nunit = \"mm\"", &["shelves=5"]);
    let (now, all) = limits(&job, &resolved, &check);
    assert!(matches!(&now, Some(Stop::Finding(f)) if f.rule == "shelf-out"), "{now:?}");
    let of = |name: &str| &all.iter().find(|l| l.parameter.name == name).expect("a parameter").range;
    assert!(matches!(of("shelves"), Range::Between(ends) if ends[1].value == Value::Count(4)), "{:?}", of("shelves"));
    assert!(matches!(of("arch"), Range::Each(values) if values.iter().all(|(_, stop)| stop.is_some())));
    let Range::Between(ends) = of("width") else { panic!("{:?}", of("width")) };
    assert!(matches!(ends[1].value, Value::Length(l) if l < mm(1066)), "narrower it builds: {ends:?}");
    the_end_holds(&job, "width", &ends[1], mm(1), true);
}
