//! The most value from one blank, not all parts need be on it.

use super::counted::Counted;
use super::flawed::Flawed;
use super::place::place;
use super::search::{Search, State};
use super::table::Table;
use super::tree::Tree;
use super::{Blank, Part, Placed};
use crate::check;
use crate::effort::{self, Effort, Limits, Progress, Report};
use crate::random::Random;

/// Steps until the workers first meet.
const QUANTUM: u64 = 50_000_000;
/// Rounds of the search between two looks at the work left.
const ROUNDS: usize = 1_000_000_000;
/// Up to so many sums along a side the table is exact, and with it the bound.
const SUMS: usize = 700;

/// Work at most on a first layout of a blank with blemishes.
const FIRST: u64 = 100_000_000;
/// Work at most on prices.
const PRICING: u64 = 1_500_000_000;
/// Prices tried at most.
const TURNS: u32 = 200;
/// Every how manieth round starts from a cutting that keeps the numbers of the parts.
const COUNTED: usize = 3;
/// Steps for short searches, or for a long one, before the other kind has its turn.
const TURN: u64 = 500_000_000;
/// The same for the kind that found the best layout so far.
const LEADER: u64 = 3_000_000_000;
/// What a long search may lose at first, in parts of middling worth.
const WARMTH: f64 = 0.2;
/// Cuttings that it keeps for each size of rectangle, and sums along a side at most.
const COUNTED_KEPT: usize = 3;
const COUNTED_SUMS: usize = 300;
/// Layouts kept to go on from.
const POOL: usize = 12;

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
    let mut table = Table::new(parts, &values, blank.w, blank.h, SUMS, &mut effort);
    let mut filled = Filled { parts: Vec::new(), value: 0, bound: bound(parts, blank) };
    if table.exact {
        filled.bound = filled.bound.min(whole(table.value(blank.w, blank.h)));
    }
    if !blank.blemishes.is_empty() {
        // A good layout first: the exact program only looks for better ones.
        let rectangles = (table.xs.len() * table.ys.len()) as u64;
        let mut first = effort.part(FIRST.min(50 * rectangles * rectangles));
        search(parts, blank, &mut table, &mut filled, limits, &mut first, report);
        effort.spend(usize::try_from(first.done()).unwrap_or(usize::MAX));
        table.fill(parts, &values, &mut effort);
        let solved = Flawed::new(parts, &values, blank, &table).solve(filled.value, &mut effort);
        if let Some(placed) = solved.filter(|placed| check::blank(blank, parts, placed).is_ok()) {
            if !placed.is_empty() {
                filled.value = placed.iter().map(|p| parts[p.kind].value).sum();
                filled.parts = placed;
            }
            if table.exact && parts.iter().all(|p| p.shows) {
                filled.bound = filled.bound.min(filled.value);
            }
        }
        report(Progress { best: filled.value, bound: filled.bound, work: effort.done() });
    }
    if filled.value < filled.bound && !effort.over() {
        search(parts, blank, &mut table, &mut filled, limits, &mut effort, report);
    }
    filled
}

/// Prices on parts that the table uses too often give starts; ruin and recreate goes on from these.
fn search(
    parts: &[Part],
    blank: &Blank,
    table: &mut Table,
    filled: &mut Filled,
    limits: &Limits<'_>,
    effort: &mut Effort<'_>,
    report: Report<'_>,
) {
    let all: i64 = parts.iter().map(|p| p.value * p.count as i64).sum();
    let single = [Blank { count: 1, cost: 1, ..blank.clone() }];
    let unit = filled.bound.max(1) as f64;
    let searching = |random: Random| Search::new(parts, &single, random).for_value(unit);
    let mut random = Random::new(limits.seed, 0);
    let mut pool: Vec<State> = Vec::new();
    let mut prices = Prices::new(parts.len());
    // Where the table is not exact its prices prove nothing, and a few starts are enough.
    let for_prices = (effort.left() / 4).min(if table.exact { PRICING } else { 6 * QUANTUM });
    for turn in 0..TURNS {
        let begun = effort.done();
        let values: Vec<i64> = parts.iter().zip(&prices.prices).map(|(p, price)| (p.value - price).max(0)).collect();
        table.fill(parts, &values, effort);
        let worth: i64 = parts.iter().zip(&prices.prices).map(|(p, price)| p.count as i64 * price).sum();
        if table.exact {
            filled.bound = filled.bound.min(worth + whole(table.value(blank.w, blank.h)));
        }
        let tree = table.tree(parts, &values, blank.w, blank.h);
        pool.push(searching(Random::new(limits.seed, random.bits())).follow(&[&tree], 0, 1, effort));
        pool.sort_by_key(|s| s.waiting_value);
        pool.truncate(POOL);
        let best = all - pool[0].waiting_value;
        report(Progress { best: best.max(filled.value), bound: filled.bound, work: effort.done() });
        let cost = effort.done() - begun;
        if best >= filled.bound || effort.over() || effort.done() + cost > for_prices {
            break;
        }
        prices.step(parts, &tree, (filled.bound - best) as f64, turn);
    }
    let counted = Counted::new(parts, blank.w, blank.h, COUNTED_KEPT, COUNTED_SUMS);
    let short = QUANTUM.max(counted.work() * 2);
    let threads = limits.threads.max(1);
    // What counts is how much a part is worth of it all.
    let few = parts.iter().map(|p| p.count).sum::<usize>().max(1) as f64;
    let warmth = WARMTH / few;
    // Short searches from many starts take turns with long ones from the best, and whichever found the best has more time.
    let (mut warm, mut best_is_warm) = (false, false);
    let mut change = effort.done() + TURN;
    let mut round: usize = 0;
    while all - pool[0].waiting_value < filled.bound && !effort.over() {
        let bound = filled.bound;
        let states = pool.len();
        let chosen = move |worker: usize| if warm { worker } else { round * threads + worker } % states;
        let job = |worker: usize, effort: &mut Effort<'_>| {
            let number = (round * threads + worker + 1) as u64;
            let mut state = pool[chosen(worker)].clone();
            if !warm && round % COUNTED == 1 && counted.work() < effort.left() {
                // Other values each time, and none too far from the truth or from the prices that bound it.
                let mut random = Random::new(limits.seed, number);
                let noise = if round == 1 { 0.0 } else { 0.02 + 0.1 * random.unit() };
                let values = prices.values(parts, noise, &mut random);
                if let Some(tree) = counted.tree(&values, effort) {
                    state = searching(random).follow(&[&tree], 0, 1, effort);
                }
            }
            let search = searching(Random::new(limits.seed, number));
            if warm { search.warm(warmth) } else { search }.improve(&mut state, 1, ROUNDS, effort);
            state
        };
        let before = pool[0].waiting_value;
        let quantum = if warm { change - effort.done() } else { short };
        let found = effort::share(limits, effort, quantum, job, |state| all - state.waiting_value >= bound);
        for (worker, state) in found.into_iter().enumerate() {
            let at = chosen(worker);
            if state.waiting_value < pool[at].waiting_value {
                pool[at] = state;
            } else if warm || round % COUNTED == 1 {
                pool.push(state);
            }
        }
        pool.sort_by_key(|s| s.waiting_value);
        pool.truncate(POOL);
        let best = (all - pool[0].waiting_value).max(filled.value);
        report(Progress { best, bound: filled.bound, work: effort.done() });
        round += 1;
        if pool[0].waiting_value < before {
            best_is_warm = warm;
        }
        if warm || effort.done() >= change {
            warm = !warm;
            change = effort.done() + if warm == best_is_warm { LEADER } else { TURN };
        }
    }
    let value = all - pool[0].waiting_value;
    if let Some(sheet) = pool[0].sheets.first().filter(|_| value > filled.value) {
        filled.parts = place(&sheet.tree, parts, blank).unwrap_or_default();
        filled.value = value;
    }
}

/// Prices for parts used more often than they are there, by subgradients: with them the table bounds the value.
///
/// **Reference** Lagrangian relaxation of the numbers of parts, as in Beasley 1985, Oper. Res. 33:49–64.
struct Prices {
    prices: Vec<i64>,
}

impl Prices {
    fn new(kinds: usize) -> Self {
        Self { prices: vec![0; kinds] }
    }

    /// What parts are worth with a share of their prices taken off, all of it or none, give or take some noise.
    fn values(&self, parts: &[Part], noise: f64, random: &mut Random) -> Vec<f64> {
        let share = [0.0, 0.5, 1.0][random.below(3)];
        let worth = |(part, price): (&Part, &i64)| {
            let value = part.value as f64 - share * *price as f64;
            value * (1.0 + noise * (random.unit() - 0.5))
        };
        parts.iter().zip(&self.prices).map(worth).collect()
    }

    /// Dearer what a cutting has too often, cheaper what it has too seldom.
    fn step(&mut self, parts: &[Part], tree: &Tree, gap: f64, turn: u32) {
        let mut over: Vec<f64> = parts.iter().map(|p| -(p.count as f64)).collect();
        tree.leaves().for_each(|(_, kind)| over[kind] += 1.0);
        for (o, price) in over.iter_mut().zip(&self.prices) {
            *o = if *o < 0.0 && *price == 0 { 0.0 } else { *o };
        }
        let norm: f64 = over.iter().map(|o| o * o).sum();
        let step = gap.max(1.0) / norm.max(1.0) / (1.0 + f64::from(turn) / 10.0);
        for (price, o) in self.prices.iter_mut().zip(over) {
            let change = (step * o).round();
            *price = (*price + whole(if o > 0.0 { change.max(1.0) } else { change })).max(0);
        }
    }
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
