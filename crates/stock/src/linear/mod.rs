//! One dimension: parts from bars of one length, in as few bars as can be (running stock, mouldings, rails ripped to
//! width). Whole numbers in any unit; the kerf is the caller's.
//!
//! Quick layouts first, then the linear program over all fillings of a bar: its value is the bound, and dives from its
//! solution look for a layout that reaches the bound.

mod dive;
mod fit;
pub(crate) mod knapsack;
mod patterns;

use crate::dual::Dual;
use crate::effort::{self, Effort, Limits, Progress, Report};
use crate::random::Random;
use patterns::Patterns;

/// Steps until the workers first meet; each later meeting is as much further away.
const QUANTUM: u64 = 400_000_000;

/// Parts of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kind {
    /// At least 1.
    pub length: i64,
    /// How many are wanted.
    pub count: usize,
}

/// What [`bars`] found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bars {
    /// Each bar as indices of kinds, a kind once for every part.
    pub bars: Vec<Vec<usize>>,
    /// No layout has fewer bars.
    pub bound: usize,
}

/// Parts that fit no bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooLong {
    /// The first such kind.
    pub kind: usize,
}

/// Lays the parts out in as few bars as the work allows.
///
/// # Errors
/// [`TooLong`] when a part is longer than the bar or has no length.
pub fn bars(length: i64, kinds: &[Kind], limits: &Limits<'_>, report: Report<'_>) -> Result<Bars, TooLong> {
    if let Some(kind) = kinds.iter().position(|k| k.length < 1 || k.length > length) {
        return Err(TooLong { kind });
    }
    let mut effort = Effort::new(limits.work, limits.stop);
    let mut random = Random::new(limits.seed, 0);
    let counts: Vec<usize> = kinds.iter().map(|k| k.count).collect();
    let mut best = Bars { bars: fit::best_fit(length, kinds, &counts), bound: bound(length, kinds) };
    let mut tell = |best: &Bars, effort: &Effort<'_>| {
        report(Progress { best: best.bars.len() as i64, bound: best.bound as i64, work: effort.done() });
    };
    tell(&best, &effort);
    for _ in 0..8 {
        if best.bars.len() <= best.bound || effort.over() {
            return Ok(best);
        }
        keep(&mut best, fit::fullest(length, kinds, &counts, &mut random, &mut effort));
    }
    let merged = Merged::new(kinds);
    let start: Vec<Vec<usize>> = best.bars.iter().map(|bar| bar.iter().map(|&k| merged.of[k]).collect()).collect();
    let mut root = Patterns::new(length, &merged.kinds, &start, &mut random);
    root.converge(0.0, &mut effort);
    best.bound = best.bound.max(root.bound);
    tell(&best, &effort);
    let mut round: usize = 0;
    while best.bars.len() > best.bound && !effort.over() {
        let wanted = best.bars.len() - 1;
        let job = |worker: usize, effort: &mut Effort<'_>| {
            let mut random = Random::new(limits.seed, (round * limits.threads + worker) as u64);
            let mut found = None;
            while found.is_none() && !effort.over() {
                found = dive::dive(&root, length, wanted, &mut random, effort);
            }
            found
        };
        let found = effort::share(limits, &mut effort, QUANTUM * (round as u64 + 1), job, Option::is_some);
        for found in found.into_iter().flatten() {
            keep(&mut best, merged.unmerge(found, kinds));
        }
        tell(&best, &effort);
        round += 1;
    }
    Ok(best)
}

fn keep(best: &mut Bars, found: Vec<Vec<usize>>) {
    if found.len() < best.bars.len() {
        best.bars = found;
    }
}

/// A bound from dual feasible functions, at once.
fn bound(length: i64, kinds: &[Kind]) -> usize {
    let sizes: Vec<i64> = kinds.iter().filter(|k| k.count > 0).map(|k| k.length).collect();
    let bars = |f: Dual| {
        let whole = i128::from(f.whole(length).max(1));
        let sum: i128 = kinds.iter().map(|k| i128::from(f.of(k.length, length)) * k.count as i128).sum();
        usize::try_from((sum + whole - 1) / whole).unwrap_or(0)
    };
    Dual::family(&sizes, length, 400).into_iter().map(bars).max().unwrap_or(0)
}

/// Kinds of equal length made one, without those of which none is wanted.
struct Merged {
    kinds: Vec<Kind>,
    /// The merged kind of each kind.
    of: Vec<usize>,
}

impl Merged {
    fn new(kinds: &[Kind]) -> Self {
        let mut by_length = std::collections::BTreeMap::<i64, usize>::new();
        for k in kinds.iter().filter(|k| k.count > 0) {
            *by_length.entry(-k.length).or_default() += k.count;
        }
        let merged: Vec<Kind> = by_length.iter().map(|(&l, &count)| Kind { length: -l, count }).collect();
        let of = kinds.iter().map(|k| merged.partition_point(|m| m.length > k.length)).collect();
        Self { kinds: merged, of }
    }

    /// Bars of merged kinds as bars of the kinds they came from.
    fn unmerge(&self, bars: Vec<Vec<usize>>, kinds: &[Kind]) -> Vec<Vec<usize>> {
        let mut waiting: Vec<Vec<usize>> = vec![Vec::new(); self.kinds.len()];
        for (k, kind) in kinds.iter().enumerate().filter(|(_, kind)| kind.count > 0) {
            waiting[self.of[k]].extend(std::iter::repeat_n(k, kind.count));
        }
        // A filling may hold more than is left of a kind; what is not wanted is left out.
        let mut own: Vec<Vec<usize>> =
            bars.iter().map(|bar| bar.iter().filter_map(|&m| waiting[m].pop()).collect()).collect();
        own.retain(|bar| !bar.is_empty());
        own
    }
}
