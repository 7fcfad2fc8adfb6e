//! Bars: fewest of one length.

use serde_json::Value;
use stock::linear::{Kind, bars};
use stock::{Limits, Report};

use crate::read::{count, int, list};
use crate::tally::Outcome;

/// The parts of an instance.
pub(crate) fn kinds(instance: &Value) -> Vec<Kind> {
    list(instance, "items").iter().map(|i| Kind { length: int(i, "length"), count: count(i, "qty") }).collect()
}

pub(crate) fn solve(instance: &Value, limits: &Limits<'_>, report: Report<'_>) -> Outcome {
    let length = int(&instance["bin"], "length");
    let kinds = kinds(instance);
    let found = bars(length, &kinds, limits, report);
    let found = found.unwrap_or_else(|long| panic!("{}: part {} is too long", instance["name"], long.kind));
    let known = int(&instance["known"], "bins");
    for bar in &found.bars {
        assert!(bar.iter().map(|&k| kinds[k].length).sum::<i64>() <= length, "too full");
    }
    for (k, kind) in kinds.iter().enumerate() {
        assert_eq!(found.bars.iter().flatten().filter(|&&p| p == k).count(), kind.count, "quantities");
    }
    let (found, bound) = (found.bars.len() as i64, found.bound as i64);
    assert!(bound <= known, "{} bound {bound} above {known}", instance["name"]);
    Outcome { found, known, bound, ..Outcome::default() }
}
