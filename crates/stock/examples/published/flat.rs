//! Sheets and boards: fewest, or least area.

use serde_json::Value;
use stock::flat::sheets::{Sheets, sheets};
use stock::flat::{Blank, Part};
use stock::{Limits, Report, check};

use crate::read::{count, int, list};
use crate::tally::Outcome;

/// The parts of an instance; `turns` where a part does not say itself whether it may be turned.
pub(crate) fn parts(instance: &Value, turns: bool) -> Vec<Part> {
    list(instance, "items")
        .iter()
        .map(|i| {
            let (w, h) = (int(i, "w"), int(i, "h"));
            Part {
                w,
                h,
                turns: i["rotate"].as_bool().unwrap_or(turns),
                count: count(i, "qty"),
                value: w * h,
                shows: true,
                together: false,
            }
        })
        .collect()
}

/// The sheet of an instance, as many as are wanted.
pub(crate) fn blank(instance: &Value) -> Blank {
    let (w, h) = (int(&instance["bin"], "w"), int(&instance["bin"], "h"));
    Blank { w, h, cost: 1, count: 100_000, best: false, blemishes: vec![] }
}

pub(crate) fn solve(instance: &Value, turned: bool, limits: &Limits<'_>, report: Report<'_>) -> Outcome {
    let (parts, blanks) = (parts(instance, turned), [blank(instance)]);
    let found = sheets(&parts, &blanks, limits, report);
    recount(&instance["name"], &parts, &blanks, &found);
    let other = list(instance, "known_other").iter().find(|k| k["variant"] == serde_json::json!({"rotation": true}));
    let known = int(if turned { other.unwrap_or(&instance["known"]) } else { &instance["known"] }, "bins");
    assert!(found.bound <= known, "{} bound {} above {known}", instance["name"], found.bound);
    Outcome { found: found.cost, known, bound: found.bound, ..Outcome::default() }
}

/// Checks every sheet and all quantities.
pub(crate) fn recount(name: &Value, parts: &[Part], blanks: &[Blank], found: &Sheets) {
    let mut left: Vec<usize> = parts.iter().map(|p| p.count).collect();
    for used in &found.used {
        let checked = check::blank(&blanks[used.blank], parts, &used.parts);
        assert!(checked.is_ok(), "{name} is laid out wrongly: {checked:?}");
        used.parts.iter().for_each(|p| left[p.kind] -= 1);
    }
    assert_eq!(left, found.missing, "{name}: quantities");
}
