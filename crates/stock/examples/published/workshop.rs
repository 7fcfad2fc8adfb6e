//! The workshop instances: boards with defects, and sheets with kerf and trim. Sizes in tenths of a millimetre.

use serde_json::Value;
use stock::flat::sheets::sheets;
use stock::flat::{Blank, Blemish, Part};
use stock::{Limits, Report};

use crate::flat::recount;
use crate::read::{count, int, list};
use crate::tally::Outcome;

/// A length in millimetres under a key, in tenths.
fn tenths(value: &Value, key: &str) -> i64 {
    format!("{:.0}", value[key].as_f64().unwrap_or(0.0) * 10.0).parse().unwrap_or(0)
}

pub(crate) fn solve(instance: &Value, limits: &Limits<'_>, report: Report<'_>) -> Outcome {
    let kerf = tenths(instance, "kerf");
    let part = |i: &Value| {
        let (w, h) = (tenths(i, "w") + kerf, tenths(i, "h") + kerf);
        Part {
            w,
            h,
            turns: i["rotate"].as_bool().unwrap_or(false),
            count: count(i, "qty"),
            value: w * h,
            shows: true,
            together: false,
        }
    };
    let parts: Vec<Part> = list(instance, "items").iter().map(part).collect();
    let end = tenths(instance, "end_trim");
    let board = |b: &Value| {
        let blemish = |d: &Value| {
            let (x, y) = (tenths(d, "x") - end, tenths(d, "y"));
            Blemish { x0: x + kerf, y0: y + kerf, x1: x + tenths(d, "w"), y1: y + tenths(d, "h"), hidden_use: false }
        };
        Blank {
            w: tenths(b, "w") - 2 * end + kerf,
            h: tenths(b, "h") + kerf,
            cost: tenths(b, "w") * tenths(b, "h") / 100,
            count: count(b, "qty"),
            best: false,
            blemishes: list(b, "defects").iter().map(blemish).collect(),
        }
    };
    let trim = tenths(instance, "trim");
    let blanks: Vec<Blank> = match list(instance, "stocks") {
        [] => vec![Blank {
            w: tenths(&instance["bin"], "w") - 2 * trim + kerf,
            h: tenths(&instance["bin"], "h") - 2 * trim + kerf,
            cost: 1,
            count: 1000,
            best: false,
            blemishes: vec![],
        }],
        boards => boards.iter().map(board).collect(),
    };
    let found = sheets(&parts, &blanks, limits, report);
    recount(&instance["name"], &parts, &blanks, &found);
    assert!(found.missing.iter().all(|&n| n == 0), "{}: {:?} are missing", instance["name"], found.missing);
    let known = &instance["known"];
    let known = int(known, if known["board_area"].is_i64() { "board_area" } else { "bins" });
    Outcome { found: found.cost, known, bound: found.bound, ..Outcome::default() }
}
