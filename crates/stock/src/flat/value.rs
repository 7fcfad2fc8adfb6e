//! The most value from one blank, not all parts need be on it.

use super::place::place;
use super::search::{Search, State};
use super::table::Table;
use super::{Blank, Part, Placed};
use crate::effort::{self, Effort, Limits, Progress, Report};
use crate::random::Random;

/// Steps until the workers first meet.
const QUANTUM: u64 = 50_000_000;
/// Rounds of the search between two looks at the work left.
const ROUNDS: u64 = 1_000_000;
/// Up to so many sums along a side the table is exact, and with it the bound.
const SUMS: usize = 1200;

/// What [`value`] found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filled {
    /// The parts on the blank.
    pub parts: Vec<Placed>,
    /// What they are worth.
    pub value: i64,
    /// Nothing is worth more.
    pub bound: i64,
}

/// Fills one blank with the most value that the work allows; no part more often than its count.
#[must_use]
pub fn value(parts: &[Part], blank: &Blank, limits: &Limits<'_>, report: Report<'_>) -> Filled {
    let mut effort = Effort::new(limits.work, limits.stop);
    let values: Vec<i64> = parts.iter().map(|p| p.value).collect();
    let table = Table::new(parts, &values, blank.w, blank.h, SUMS, &mut effort);
    let mut filled = Filled { parts: Vec::new(), value: 0, bound: bound(parts, blank) };
    if table.exact {
        filled.bound = filled.bound.min(whole(table.value(blank.w, blank.h)));
    }
    let tree = table.tree(parts, &values, blank.w, blank.h);
    let all: i64 = parts.iter().map(|p| p.value * p.count as i64).sum();
    let unit = filled.bound.max(1) as f64;
    let single = [Blank { count: 1, cost: 1, ..blank.clone() }];
    let searching = |random: Random| Search::new(parts, &single, random).for_value(unit);
    let mut best = searching(Random::new(limits.seed, 0)).follow(&[&tree], 0, 1, &mut effort);
    let mut starts: Vec<State> = vec![best.clone(); limits.threads.max(1)];
    let mut tell = |best: &State, effort: &Effort<'_>| {
        report(Progress { best: all - best.waiting_value, bound: filled.bound, work: effort.done() });
    };
    tell(&best, &effort);
    let mut round = 0;
    while all - best.waiting_value < filled.bound && !effort.over() {
        let job = |worker: usize, effort: &mut Effort<'_>| {
            let number = (round * limits.threads.max(1) + worker + 1) as u64;
            let mut state = starts[worker].clone();
            searching(Random::new(limits.seed, number)).improve(&mut state, 1, ROUNDS, effort);
            state
        };
        let settled = |state: &State| all - state.waiting_value >= filled.bound;
        starts = effort::share(limits, &mut effort, QUANTUM * (round as u64 + 1), job, settled);
        for state in &starts {
            if state.waiting_value < best.waiting_value {
                best = state.clone();
                tell(&best, &effort);
            }
        }
        round += 1;
    }
    for sheet in &best.sheets {
        filled.parts = place(&sheet.tree, parts, blank).unwrap_or_default();
    }
    filled.value = all - best.waiting_value;
    filled
}

/// No more value than by area at the best rate, part after part.
fn bound(parts: &[Part], blank: &Blank) -> i64 {
    let mut order: Vec<&Part> =
        parts.iter().filter(|p| p.ways().any(|(w, h, _)| w <= blank.w && h <= blank.h)).collect();
    order.sort_by(|a, b| (b.value * a.area()).cmp(&(a.value * b.area())));
    let (mut room, mut value) = (blank.w * blank.h, 0);
    for part in order {
        let n = (room / part.area()).min(i64::try_from(part.count).unwrap_or(i64::MAX));
        room -= n * part.area();
        value += n * part.value;
        if i64::try_from(part.count).is_ok_and(|count| n < count) {
            return value + room * part.value / part.area();
        }
    }
    value
}

#[expect(clippy::cast_possible_truncation, reason = "values are whole and far below 2⁵³")]
const fn whole(x: f64) -> i64 {
    x as i64
}
