//! `casewright limits`: how far each parameter of an order can be changed while the others are kept, and what stops it
//! there, as a table for people or as JSON.

use std::fmt::Write as _;

use case::limits::{End, Limits, Range, Stop, limits};
use case::model;
use design::Value;
use measure::Unit;
use serde_json::{Value as Json, json};

use crate::args::OrderArgs;
use crate::outcome::Failure;
use crate::{input, report};

/// Prints the limits; of an order that does not build too, since they say what would.
pub(crate) fn run(order: &OrderArgs, as_json: bool) -> Result<(), Failure> {
    let input = input::read(order)?;
    let (now, found) = limits(&input.job, &input.resolved, &dryfit::check);
    let order = &input.resolved.order;
    let text = if as_json {
        let all: Vec<Json> = found.iter().map(|l| as_object(l, order.unit)).collect();
        let step = Value::Length(order.ruler.step).show(order.unit);
        report::json(
            0,
            json!({ "builds": now.is_none(), "stop": now.map(|s| stop_json(&s)), "step": step, "limits": all }),
        )
    } else {
        let title = &input.resolved.design.title;
        let words = match &now {
            None => format!("{title}: it can be built as ordered.\n"),
            Some(stop) => format!("{title}: it cannot be built as ordered: {}.\n", why(stop)),
        };
        words + &in_words(&found, order.unit)
    };
    report::print(&text)?;
    Ok(())
}

fn as_object(l: &Limits, unit: Unit) -> Json {
    let p = &l.parameter;
    let end = |end: &End| {
        json!({
            "value": end.value.show(unit),
            "stop": stop_json(&end.stop),
            "again": end.again.as_ref().map(|v| v.show(unit)),
        })
    };
    let mut object = json!({ "name": p.name, "kind": p.kind.to_string(), "value": p.value.show(unit) });
    match &l.range {
        Range::Between(ends) => {
            object["least"] = end(&ends[0]);
            object["most"] = end(&ends[1]);
        }
        Range::Each(values) => {
            let each =
                values.iter().map(|(v, stop)| json!({ "value": v.show(unit), "stop": stop.as_ref().map(stop_json) }));
            object["each"] = each.collect();
        }
        Range::Any => object["any"] = true.into(),
        Range::None => object["none"] = true.into(),
    }
    object
}

fn stop_json(stop: &Stop) -> Json {
    match stop {
        Stop::Own => json!({ "by": "design" }),
        Stop::Fault(what) => json!({ "by": "fault", "what": what }),
        Stop::Finding(f) => json!({ "by": "finding", "finding": model::Finding::from(&**f) }),
        Stop::Nothing => json!({ "by": "nothing" }),
    }
}

const HEAD: [&str; 6] = ["parameter", "ordered", "builds from", "stopped by", "to", "stopped by"];

fn in_words(found: &[Limits], unit: Unit) -> String {
    let mut rows = vec![HEAD.map(String::from)];
    let mut notes = String::new();
    for l in found {
        let (name, now) = (&l.parameter.name, l.parameter.value.show(unit));
        let row = |cells: [String; 4]| {
            let [a, b, c, d] = cells;
            [name.clone(), now.clone(), a, b, c, d]
        };
        let mut note = |at: String, stop: &Stop| {
            if matches!(stop, Stop::Fault(_) | Stop::Finding(_)) {
                // Writing to a string cannot fail.
                let _ = writeln!(notes, "{name} {at}: {}", why(stop));
            }
        };
        rows.push(match &l.range {
            Range::Between(ends) => {
                for (end, beyond) in ends.iter().zip(["under", "over"]) {
                    let again = end.again.as_ref().map(|v| format!(", but {} builds again", v.show(unit)));
                    note(format!("{beyond} {}{}", end.value.show(unit), again.unwrap_or_default()), &end.stop);
                }
                let [least, most] = &**ends;
                row([least.value.show(unit), by(&least.stop), most.value.show(unit), by(&most.stop)])
            }
            Range::Each(values) => {
                let builds: Vec<_> =
                    values.iter().filter(|(_, stop)| stop.is_none()).map(|(v, _)| v.show(unit)).collect();
                for (value, stop) in values {
                    if let Some(stop) = stop {
                        note(value.show(unit), stop);
                    }
                }
                let none = || if builds.is_empty() { "none".into() } else { builds.join(", ") };
                row([none(), String::new(), String::new(), String::new()])
            }
            Range::Any => row(["any".into(), String::new(), String::new(), String::new()]),
            Range::None => row(["none".into(), String::new(), String::new(), String::new()]),
        });
    }
    let notes = if notes.is_empty() { notes } else { format!("\n{notes}") };
    format!("Each parameter by itself, with what else is ordered kept:\n\n{}{notes}", aligned(&rows))
}

/// In a table: the rule, or whose limit it is.
fn by(stop: &Stop) -> String {
    match stop {
        Stop::Own => "the design".into(),
        Stop::Fault(_) => "see below".into(),
        Stop::Finding(f) => f.rule.into(),
        Stop::Nothing => "nothing yet".into(),
    }
}

fn why(stop: &Stop) -> String {
    match stop {
        Stop::Own => "the design's own limit".into(),
        Stop::Fault(what) => what.clone(),
        Stop::Finding(f) => format!("{} [{}]; found {}, limit {}", f.what, f.rule, f.figure, f.limit),
        Stop::Nothing => "nothing as far as was tried".into(),
    }
}

/// Cells in columns. The words of a choice may be many, and set no column's width.
fn aligned(rows: &[[String; 6]]) -> String {
    let alone = |row: &[String; 6]| row[4].is_empty();
    let wide = |k: usize| {
        let cells = rows.iter().filter(|row| k < 2 || !alone(row)).map(|row| row[k].chars().count());
        cells.max().unwrap_or(0)
    };
    let widths: [usize; 6] = std::array::from_fn(wide);
    let line = |row: &[String; 6]| {
        let cells: Vec<String> = row.iter().zip(widths).map(|(cell, wide)| format!("{cell:wide$}")).collect();
        format!("{}\n", cells.join("  ").trim_end())
    };
    rows.iter().map(line).collect()
}
