//! Random orders over the built-in designs: every program of every one is proven.

use case::{Case, Level};
use design::{Job, Kind, Parameter, Value, builtin};
use fault::Source;
use measure::{Length, Unit, inches, mm};
use proptest::prelude::*;
use routing::{Machine, ToolTable, route};

use crate::refusals;

/// A value of a parameter, `share` of the way through its range.
fn value(p: &Parameter, share: f64, unit: Unit) -> Option<Value> {
    let step = if unit == Unit::Inch { inches(1, 32) } else { mm(1) };
    match (&p.least, &p.most) {
        (Some(Value::Length(least)), Some(Value::Length(most))) => {
            let at = Length::from_mm(least.mm() + share * (most.mm() - least.mm())).rounded_to(step);
            Some(Value::Length(at.clamp(*least, *most)))
        }
        (Some(Value::Count(least)), Some(Value::Count(most))) => {
            Some(Value::Count((*least..=*most).min_by_key(|n| {
                let at = *least as f64 + share * (most - least) as f64;
                Length::from_mm((at - *n as f64).abs())
            })?))
        }
        _ if p.kind == Kind::Choice => {
            let n = p.of.len() as f64;
            let at = (0..p.of.len()).rfind(|i| *i as f64 <= share * n)?;
            p.of.get(at).cloned().map(Value::Word)
        }
        _ => matches!(p.value, Value::Switch(_)).then_some(Value::Switch(share < 0.5)),
    }
}

/// A random order, if it can be built: each parameter within the range that those before it leave.
fn random(design: &str, unit: Unit, shares: &[f64]) -> Option<Case> {
    let text = format!("design = \"{design}\"\nunit = \"{unit}\"\n");
    let read = Job::read(&Source::new("order.toml", text), &[], |_| Err("there is none".into()));
    let (job, mut resolved) = read.unwrap_or_else(|f| panic!("{f}"));
    let mut set: Vec<(String, Value)> = Vec::new();
    for (i, share) in shares.iter().enumerate().take(resolved.parameters.len()) {
        let p = &resolved.parameters[i];
        let Some(v) = value(p, *share, unit) else { continue };
        set.push((p.name.clone(), v));
        let changed: Vec<(&str, Value)> = set.iter().map(|(n, v)| (n.as_str(), v.clone())).collect();
        match job.resolve(&changed) {
            Ok(r) => resolved = r,
            Err(_) => drop(set.pop()),
        }
    }
    let case = case::build(&resolved);
    case.findings.iter().all(|f| f.level < Level::Stop).then_some(case)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_program_of_an_order_is_proven(
        design in 0..builtin::DESIGNS.len(),
        metric in any::<bool>(),
        shares in prop::collection::vec(0.0..1.0, 20),
    ) {
        let unit = if metric { Unit::Millimetre } else { Unit::Inch };
        let Some(case) = random(builtin::DESIGNS[design].0, unit, &shares) else { return Ok(()) };
        let r = route(&case, &Machine::default(), &ToolTable::default());
        let refused = refusals(&r);
        prop_assert!(refused.is_empty(), "{:?}\n{}", case.order.parameters, refused.join("\n"));
    }
}
