//! The linear program over guillotine patterns of one kind of sheet, for orders that repeat. Its value bounds the sheets;
//! its patterns, rounded, are where the search starts from.

use super::table::Table;
use super::tree::{Join, Spot, Tree};
use super::{Blank, Part};
use crate::effort::Effort;
use crate::program::{Column, Program};
use crate::random::Random;

/// Prices as whole numbers: this much for a sheet.
const SHEET: f64 = 1e7;
/// More sums along a side than this, and only some cuts are tried.
const SUMS: usize = 250;
/// Up to so many sums along both sides all cuts are tried, and the bound is proven.
const ALL_SUMS: usize = 600;

/// The program and the patterns that it has been given.
pub(crate) struct Columns<'a> {
    parts: &'a [Part],
    blank: &'a Blank,
    table: Table,
    program: Program,
    trees: Vec<Tree>,
    /// No layout has fewer sheets.
    pub(crate) bound: i64,
    /// Fully priced: no pattern helps further.
    pub(crate) solved: bool,
}

impl<'a> Columns<'a> {
    /// A program that holds one pattern for each part; every part fits the sheet.
    pub(crate) fn new(parts: &'a [Part], blank: &'a Blank, random: &mut Random, effort: &mut Effort<'_>) -> Self {
        let nothing = vec![0; parts.len()];
        let mut table = Table::new(parts, &nothing, blank.w, blank.h, ALL_SUMS, &mut effort.part(0));
        if !table.exact {
            table = Table::new(parts, &nothing, blank.w, blank.h, SUMS, &mut effort.part(0));
        }
        let mut trees: Vec<Tree> = parts.iter().enumerate().map(|(k, part)| grid(k, part, blank)).collect();
        let first = trees.iter().enumerate().map(|(k, tree)| {
            let copies = tree.parts().clamp(1, parts[k].count.max(1));
            Column { cost: 1.0, entries: vec![(k, copies as f64)], open: true }
        });
        let demand = parts.iter().map(|p| p.count as f64 + 1e-6 * random.unit()).collect();
        let mut program = Program::new(demand, first.collect());
        for row in 0..parts.len() {
            program.add(0.0, vec![(row, -1.0)]);
            trees.push(Tree::default());
        }
        Self { parts, blank, table, program, trees, bound: 0, solved: false }
    }

    /// Adds patterns until none helps or the effort ends.
    pub(crate) fn solve(&mut self, effort: &mut Effort<'_>) {
        while !self.solved && self.program.primal(effort) && !effort.over() {
            let prices: Vec<i64> = self.program.duals().iter().map(|p| whole(p.max(0.0) * SHEET)).collect();
            self.table.fill(self.parts, &prices, effort);
            let most = self.table.value(self.blank.w, self.blank.h).max(1.0);
            if self.table.exact {
                let worth: i64 = prices.iter().zip(self.parts).map(|(&p, part)| p * part.count as i64).sum();
                let most = whole(most);
                self.bound = self.bound.max((worth + most - 1) / most);
            }
            if most <= SHEET * (1.0 + 1e-6) {
                self.solved = true;
                return;
            }
            let tree = self.table.tree(self.parts, &prices, self.blank.w, self.blank.h);
            self.add(tree);
        }
    }

    /// Adds a pattern.
    pub(crate) fn add(&mut self, tree: Tree) {
        let mut counts = vec![0_usize; self.parts.len()];
        tree.leaves().for_each(|(_, k)| counts[k] += 1);
        // More of a kind than is wanted counts too: so does the price of the pattern, and the two must agree.
        let entries = counts.iter().enumerate().filter(|(_, n)| **n > 0);
        self.program.add(1.0, entries.map(|(k, &n)| (k, n as f64)).collect());
        self.trees.push(tree);
    }

    /// Whole sheets near the program's solution: what is whole in it, and of the rest each by chance, in the order in which
    /// to lay them; later ones may hold more parts than are then still wanted.
    pub(crate) fn rounded(&self, random: &mut Random) -> Vec<&Tree> {
        let mut sure = Vec::new();
        let mut maybe = Vec::new();
        for (j, amount) in self.program.solution().filter(|&(j, x)| x > 1e-6 && self.trees[j].parts() > 0) {
            let n = whole(amount + 1e-5);
            sure.extend(std::iter::repeat_n(&self.trees[j], usize::try_from(n).unwrap_or(0)));
            let rest = amount - n as f64;
            if random.unit() < rest * 1.2 {
                maybe.push((rest + 0.3 * random.unit(), &self.trees[j]));
            }
        }
        maybe.sort_by(|a, b| b.0.total_cmp(&a.0));
        sure.extend(maybe.into_iter().map(|m| m.1));
        sure
    }
}

/// As many of one part as fit in rows, up to how many are wanted.
fn grid(kind: usize, part: &Part, blank: &Blank) -> Tree {
    let mut tree = Tree::default();
    let fits = part.ways().find(|&(w, h, _)| w <= blank.w && h <= blank.h);
    let Some((w, h, turned)) = fits else { return tree };
    let mut left = part.count;
    let mut rows: Option<usize> = None;
    for _ in 0..blank.h / h {
        let mut row: Option<usize> = None;
        for _ in 0..blank.w / w {
            if left == 0 {
                return tree;
            }
            left -= 1;
            let (node, join) = match (row, rows) {
                (Some(row), _) => (Some(row), Join::Beside),
                (None, rows) => (rows, Join::Above),
            };
            let leaf = tree.insert(kind, w, h, Spot { node, join, before: false, turned });
            row = Some(leaf);
            rows = if node.is_some() && join == Join::Above { tree.parent(leaf) } else { rows.or(Some(leaf)) };
        }
        rows = tree.root();
    }
    tree
}

#[expect(clippy::cast_possible_truncation, reason = "prices and values are far below 2⁵³")]
fn whole(x: f64) -> i64 {
    x as i64
}
