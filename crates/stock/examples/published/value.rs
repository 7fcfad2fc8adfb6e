//! The most value from one sheet.

use serde_json::Value;
use stock::flat::value::value;
use stock::flat::{Blank, Blemish, Part};
use stock::{Limits, Report, check};

use crate::read::{count, int, list};
use crate::tally::Outcome;

pub(crate) fn solve(instance: &Value, limits: &Limits<'_>, report: Report<'_>) -> Outcome {
    let (w, h) = (int(&instance["bin"], "w"), int(&instance["bin"], "h"));
    let blemishes = list(instance, "defects").iter().map(|d| {
        let (x0, y0) = (int(d, "x"), int(d, "y"));
        Blemish { x0, y0, x1: x0 + int(d, "w"), y1: y0 + int(d, "h"), hidden_use: false }
    });
    let blank = Blank { w, h, cost: 1, count: 1, best: false, blemishes: blemishes.collect() };
    let unbounded = instance["variant"]["copies"] == "unbounded";
    let part = |i: &Value| {
        let (pw, ph) = (int(i, "w"), int(i, "h"));
        let most = usize::try_from((w / pw) * (h / ph)).unwrap_or(0);
        Part {
            w: pw,
            h: ph,
            turns: false,
            count: if unbounded { most } else { count(i, "qty") },
            value: i["value"].as_i64().unwrap_or(pw * ph),
            shows: true,
            together: false,
        }
    };
    let parts: Vec<Part> = list(instance, "items").iter().map(part).collect();
    let found = value(&parts, &blank, limits, report);
    let checked = check::blank(&blank, &parts, &found.parts);
    assert!(checked.is_ok(), "{} is laid out wrongly: {checked:?}", instance["name"]);
    assert_eq!(found.parts.iter().map(|p| parts[p.kind].value).sum::<i64>(), found.value);
    let known = int(&instance["known"], "value");
    assert!(found.bound >= known, "{} bound {} below {known}", instance["name"], found.bound);
    Outcome { found: found.value, known, bound: found.bound, ..Outcome::default() }
}
