//! Every part, from the cheapest set of blanks: fewest sheets, or least area of boards.

use super::boards::Boards;
use super::columns::Columns;
use super::place::place;
use super::reach::Reach;
use super::row::row;
use super::search::{Search, State};
use super::spots::lies_on;
use super::{Blank, Part, Placed};
use crate::dual::Dual;
use crate::effort::{self, Effort, Limits, Progress, Report};
use crate::random::Random;

/// Steps until the workers first meet.
const QUANTUM: u64 = 20_000_000;
/// Rounds of the search between two looks at the work left.
const ROUNDS: usize = 1_000_000_000;

/// One blank with what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// Index of the blank.
    pub blank: usize,
    /// Its parts.
    pub parts: Vec<Placed>,
}

/// What [`sheets`] found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheets {
    /// Blanks in use.
    pub used: Vec<Used>,
    /// What they cost together.
    pub cost: i64,
    /// No layout costs less.
    pub bound: i64,
    /// Parts for which there was no blank left, by kind.
    pub missing: Vec<usize>,
}

/// Lays all parts out at as little cost as the work allows.
#[must_use]
pub fn sheets(parts: &[Part], blanks: &[Blank], limits: &Limits<'_>, report: Report<'_>) -> Sheets {
    let (known, unlaid) = laid_apart(parts, blanks);
    let parts = &known;
    if let Some(laid) = row(parts, blanks, limits, &mut *report) {
        return Sheets { missing: unlaid, ..laid };
    }
    let mut effort = Effort::new(limits.work, limits.stop);
    let cost_of_all = |b: &Blank| b.cost.saturating_mul(i64::try_from(b.count).unwrap_or(i64::MAX));
    let all: i64 = blanks.iter().map(cost_of_all).fold(0, i64::saturating_add);
    let mut random = Random::new(limits.seed, 0);
    let mut search = Search::new(parts, blanks, random.clone());
    let mut best = search.construct(all, &mut effort);
    let reach = Reach::new(blanks, best.cost);
    let mut bound = reach.up(bound(parts, blanks));
    let mut tell = |best: &State, bound: i64, effort: &Effort<'_>| {
        report(Progress { best: best.cost, bound, work: effort.done() });
    };
    tell(&best, bound, &effort);
    for _ in 0..10 {
        best = better(best, search.construct(all, &mut effort));
    }
    let threads = limits.threads.max(1);
    let mut starts: Vec<State> = vec![best.clone(); threads];
    let mut columns: Option<Columns<'_>> = None;
    let mut boards: Option<Boards> = None;
    // The program knows nothing of parts that belong together: then it bounds, and does not lay.
    let sets = parts.iter().any(|p| p.together);
    let mut round: usize = 0;
    // With too few blanks the search makes what is missing small; otherwise the cost.
    while (best.cost > bound || best.waiting_value > 0) && !effort.over() {
        if let [blank] = blanks
            && round >= 1
            && columns.as_ref().is_none_or(|c| !c.solved)
        {
            let columns = columns.get_or_insert_with(|| {
                let mut columns = Columns::new(parts, blank, &mut random, &mut effort);
                best.sheets.iter().for_each(|s| columns.add(s.tree.clone()));
                columns
            });
            let mut part = effort.part(QUANTUM * (round as u64 + 1));
            columns.solve(&mut part);
            effort.spend(usize::try_from(part.done()).unwrap_or(usize::MAX));
            bound = bound.max(reach.up(columns.bound * blank.cost));
            tell(&best, bound, &effort);
        }
        let short = best.waiting_value > 0;
        if blanks.len() > 1 && round >= 1 && !short && boards.as_ref().is_none_or(|b| !b.solved) {
            let boards = boards.get_or_insert_with(|| {
                let mut boards = Boards::new(parts, blanks, &mut random, &effort);
                best.sheets.iter().for_each(|s| boards.add(s.blank, s.tree.leaves().map(|(_, kind)| kind)));
                boards
            });
            let mut part = effort.part(QUANTUM * (round as u64 + 1));
            boards.solve(&mut part);
            effort.spend(usize::try_from(part.done()).unwrap_or(usize::MAX));
            bound = bound.max(reach.up(boards.bound));
            tell(&best, bound, &effort);
        }
        let limit = if short { all } else { reach.below(best.cost) };
        let columns = columns.as_ref();
        let job = |worker: usize, effort: &mut Effort<'_>| {
            let number = (round * threads + worker + 1) as u64;
            let mut random = Random::new(limits.seed, number);
            let mut state = starts[worker].clone();
            Search::new(parts, blanks, random.clone()).shrink(&mut state, limit);
            if let Some(columns) = columns.filter(|_| !sets && !number.is_multiple_of(3)) {
                for _ in 0..10 {
                    let rounded = columns.rounded(&mut random);
                    let mut search = Search::new(parts, blanks, Random::new(limits.seed, random.bits()));
                    state = better(state, search.follow(&rounded, 0, limit, effort));
                }
            }
            let mut search = Search::new(parts, blanks, random);
            let done = search.improve(&mut state, limit, ROUNDS, effort);
            (state, done)
        };
        let found = effort::share(limits, &mut effort, QUANTUM * (round as u64 + 1), job, |found| found.1);
        if let Some((state, _)) = found.iter().find(|f| f.1) {
            best = state.clone();
            starts.fill(best.clone());
            tell(&best, bound, &effort);
        } else {
            starts = found.into_iter().map(|f| f.0).collect();
            if short {
                best = starts.iter().cloned().fold(best, better);
            }
        }
        round += 1;
    }
    let used = best.sheets.iter().map(|sheet| {
        let blank = &blanks[sheet.blank];
        Used { blank: sheet.blank, parts: place(&sheet.tree, parts, blank).unwrap_or_default() }
    });
    let missing = best.waiting.iter().zip(&unlaid).map(|(waiting, unlaid)| waiting + unlaid).collect();
    Sheets { used: used.collect(), cost: best.cost, bound, missing }
}

/// The parts without those that fit on no blank, and how many of each kind that were.
fn laid_apart(parts: &[Part], blanks: &[Blank]) -> (Vec<Part>, Vec<usize>) {
    let fits = |kind: usize| blanks.iter().any(|b| b.count > 0 && lies_on(parts, kind, b).is_some());
    let unlaid: Vec<usize> = (0..parts.len()).map(|k| if fits(k) { 0 } else { parts[k].count }).collect();
    (parts.iter().zip(&unlaid).map(|(p, n)| Part { count: p.count - n, ..*p }).collect(), unlaid)
}

/// The layout with less waiting, then with less cost.
fn better(a: State, b: State) -> State {
    if (b.waiting_value, b.cost) < (a.waiting_value, a.cost) { b } else { a }
}

/// A bound on the cost: products of dual feasible functions where there is one kind of blank, area otherwise.
fn bound(parts: &[Part], blanks: &[Blank]) -> i64 {
    let [blank] = blanks else {
        return by_area(parts, blanks);
    };
    let sizes = |of: fn(&Part) -> i64| -> Vec<i64> {
        parts.iter().filter(|p| p.count > 0).flat_map(|p| if p.turns { vec![p.w, p.h] } else { vec![of(p)] }).collect()
    };
    let across = Dual::family(&sizes(|p| p.w), blank.w, 60);
    let along = Dual::family(&sizes(|p| p.h), blank.h, 60);
    let mut best = 0;
    for &f in &across {
        for &g in &along {
            let whole = i128::from(f.whole(blank.w)) * i128::from(g.whole(blank.h));
            let area = |w: i64, h: i64| i128::from(f.of(w, blank.w)) * i128::from(g.of(h, blank.h));
            let sum: i128 = parts
                .iter()
                .filter(|p| p.count > 0)
                .map(|p| {
                    let least =
                        p.ways().filter(|&(w, h, _)| w <= blank.w && h <= blank.h).map(|(w, h, _)| area(w, h)).min();
                    least.unwrap_or(0) * p.count as i128
                })
                .sum();
            if whole > 0 {
                best = best.max((sum + whole - 1) / whole);
            }
        }
    }
    i64::try_from(best).unwrap_or(0) * blank.cost
}

/// No set of blanks that costs less has the area of the parts: blanks by falling area for their cost, the last in part.
fn by_area(parts: &[Part], blanks: &[Blank]) -> i64 {
    let mut order: Vec<&Blank> = blanks.iter().filter(|b| b.w > 0 && b.h > 0).collect();
    let area = |b: &Blank| i128::from(b.w) * i128::from(b.h);
    order.sort_by(|a, b| (i128::from(a.cost) * area(b)).cmp(&(i128::from(b.cost) * area(a))));
    let mut left: i128 = parts.iter().map(|p| i128::from(p.area()) * p.count as i128).sum();
    let mut cost = 0;
    for blank in order {
        let whole = (left / area(blank)).min(blank.count as i128);
        left -= whole * area(blank);
        cost += whole * i128::from(blank.cost);
        if left > 0 && whole < blank.count as i128 {
            cost += (left * i128::from(blank.cost) + area(blank) - 1) / area(blank);
            break;
        }
    }
    i64::try_from(cost).unwrap_or(i64::MAX)
}
