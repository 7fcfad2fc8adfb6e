//! The linear program over all fillings of a bar, solved by adding the fillings that its prices ask for (Gilmore & Gomory
//! 1961). Its value rounded up is the bound, and nearly always the optimum.

use super::Kind;
use super::knapsack::{self, Item, Pattern};
use crate::effort::Effort;
use crate::program::{Column, Program};
use crate::random::Random;

/// The cost of a filling that may no longer be used, but still stands in the basis.
const BARRED: f64 = 3.0;

/// Why [`Patterns::converge`] returned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reached {
    /// The program's value is at most what was asked for.
    Within,
    /// The program is solved, and its value is more.
    Above,
    /// The effort ended.
    Ended,
}

/// The program, with the demand still to be met.
#[derive(Clone)]
pub(super) struct Patterns {
    length: i64,
    kinds: Vec<Kind>,
    /// What the caller knows each kind by.
    names: Vec<usize>,
    demand: Vec<usize>,
    /// Right-hand sides are a trifle off, each by its own amount, so that pivots make progress.
    trifle: Vec<f64>,
    program: Program,
    /// Fillings by column; empty for the columns of surplus.
    pub(super) fillings: Vec<Pattern>,
    /// Proven: no layout of the demand has fewer bars.
    pub(super) bound: usize,
    scale: f64,
}

impl Patterns {
    pub(super) fn new(length: i64, kinds: &[Kind], start: &[Vec<usize>], random: &mut Random) -> Self {
        let trifle = kinds.iter().map(|_| 1e-6 * (0.5 + random.unit())).collect();
        let mut patterns = Self::of(length, kinds.to_vec(), (0..kinds.len()).collect(), trifle);
        for bar in start {
            patterns.add(pattern_of(bar));
        }
        patterns
    }

    fn of(length: i64, kinds: Vec<Kind>, names: Vec<usize>, trifle: Vec<f64>) -> Self {
        let demand: Vec<usize> = kinds.iter().map(|k| k.count).collect();
        let most = |k: &Kind| usize::try_from(length / k.length.max(1)).unwrap_or(1).clamp(1, k.count.max(1));
        let mut fillings: Vec<Pattern> = kinds.iter().enumerate().map(|(i, k)| vec![(i, most(k))]).collect();
        let first = fillings.iter().map(|p| Column { cost: 1.0, entries: entries(p), open: true }).collect();
        let rhs = demand.iter().zip(&trifle).map(|(&d, t)| d as f64 + t).collect();
        let mut program = Program::new(rhs, first);
        for row in 0..kinds.len() {
            program.add(0.0, vec![(row, -1.0)]);
            fillings.push(Pattern::new());
        }
        let shortest = kinds.iter().map(|k| k.length).min().unwrap_or(1).max(1);
        let scale = (5e8 / (length / shortest).max(1) as f64).min(1e7);
        Self { length, kinds, names, demand, trifle, program, fillings, bound: 0, scale }
    }

    fn add(&mut self, pattern: Pattern) {
        self.program.add(1.0, entries(&pattern));
        self.fillings.push(pattern);
    }

    /// The same over the kinds that are still wanted, once these are clearly fewer: smaller programs pivot faster.
    pub(super) fn compact(&self) -> Option<Self> {
        let live: Vec<usize> = (0..self.kinds.len()).filter(|&k| self.demand[k] > 0).collect();
        if live.len() * 4 > self.kinds.len() * 3 {
            return None;
        }
        let kinds = live.iter().map(|&k| Kind { length: self.kinds[k].length, count: self.demand[k] }).collect();
        let names = live.iter().map(|&k| self.names[k]).collect();
        let trifle = live.iter().map(|&k| self.trifle[k]).collect();
        let mut small = Self::of(self.length, kinds, names, trifle);
        let row = |k: usize| live.binary_search(&k).unwrap_or(0);
        for (j, filling) in self.fillings.iter().enumerate().filter(|(_, f)| f.len() > 1) {
            if self.takes(j) {
                small.add(filling.iter().map(|&(k, n)| (row(k), n)).collect());
            }
        }
        Some(small)
    }

    /// A filling as the caller's kinds.
    pub(super) fn bar(&self, j: usize) -> Vec<usize> {
        self.fillings[j].iter().flat_map(|&(k, n)| std::iter::repeat_n(self.names[k], n)).collect()
    }

    pub(super) fn kinds(&self) -> &[Kind] {
        &self.kinds
    }

    pub(super) fn name(&self, kind: usize) -> usize {
        self.names[kind]
    }

    pub(super) fn demand(&self) -> &[usize] {
        &self.demand
    }

    /// Fillings in use that the demand can still take whole, with their amounts.
    pub(super) fn usable(&self) -> Vec<(usize, f64)> {
        self.program.solution().filter(|&(j, x)| x > 1e-4 && !self.fillings[j].is_empty() && self.takes(j)).collect()
    }

    /// Whether the demand can still take a filling whole.
    pub(super) fn takes(&self, j: usize) -> bool {
        self.program.columns[j].open && self.proper(j)
    }

    fn proper(&self, j: usize) -> bool {
        self.fillings[j].iter().all(|&(k, n)| n <= self.demand[k])
    }

    /// Bars a filling from further use.
    pub(super) fn close(&mut self, j: usize) {
        self.program.columns[j].open = false;
        self.program.columns[j].cost = BARRED;
        self.program.reprice();
    }

    /// Takes fillings out of the demand, each so many times, and repairs the solution.
    pub(super) fn fix(&mut self, chosen: &[(usize, usize)], effort: &mut Effort<'_>) -> bool {
        for &(j, n) in chosen {
            for &(k, each) in &self.fillings[j] {
                self.demand[k] = self.demand[k].saturating_sub(each * n);
                let rhs = if self.demand[k] == 0 { 0.0 } else { self.demand[k] as f64 + self.trifle[k] };
                self.program.set_row(k, rhs);
            }
        }
        effort.spend(self.kinds.len() * self.kinds.len() * 2 + self.fillings.len() * 8);
        self.program.revalue();
        let repaired = self.program.dual(effort);
        for j in 0..self.fillings.len() {
            if self.program.columns[j].open && !self.proper(j) {
                self.program.columns[j].open = false;
                // One kind by itself covers what is left of it as a shorter bar would.
                self.program.columns[j].cost = if self.fillings[j].len() == 1 { 1.0 } else { BARRED };
            }
        }
        self.program.reprice();
        repaired
    }

    /// Adds fillings until the program's value is at most `enough`, or no filling helps.
    pub(super) fn converge(&mut self, enough: f64, effort: &mut Effort<'_>) -> Reached {
        loop {
            if !self.program.primal(effort) {
                return Reached::Ended;
            }
            if self.program.value() <= enough {
                return Reached::Within;
            }
            let prices: Vec<i64> = self.program.duals().iter().map(|p| whole(p.max(0.0) * self.scale)).collect();
            let items = self.kinds.iter().enumerate().map(|(kind, k)| Item {
                kind,
                length: k.length,
                value: prices[kind],
                count: self.demand[kind],
            });
            let above = whole(self.scale * (1.0 + 1e-6));
            let Some(filled) = knapsack::fill(self.length, items.collect(), above, effort) else {
                return Reached::Ended;
            };
            if let Some(most) = filled.most.map(|m| m.max(1)) {
                // Prices divided by the best filling's worth are feasible for the dual program: whole numbers, no rounding.
                let worth: i64 = prices.iter().zip(&self.demand).map(|(&p, &d)| p * d as i64).sum();
                self.bound = self.bound.max(usize::try_from((worth + most - 1) / most).unwrap_or(0));
                let hopeless = enough > 0.0 && worth as f64 / most as f64 > enough + 1e-3;
                if filled.patterns.is_empty() || hopeless {
                    return Reached::Above;
                }
            }
            for pattern in filled.patterns {
                self.add(pattern);
            }
        }
    }
}

/// A bar as kinds with counts.
fn pattern_of(bar: &[usize]) -> Pattern {
    let mut pattern = Pattern::new();
    for &k in bar {
        match pattern.iter_mut().find(|(kind, _)| *kind == k) {
            Some((_, n)) => *n += 1,
            None => pattern.push((k, 1)),
        }
    }
    pattern
}

fn entries(pattern: &Pattern) -> Vec<(usize, f64)> {
    pattern.iter().map(|&(k, n)| (k, n as f64)).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "prices are scaled to stay below 2³¹")]
fn whole(x: f64) -> i64 {
    x as i64
}
