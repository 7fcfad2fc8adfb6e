//! A program like the table's, that keeps the numbers of the parts: from every size of rectangle a few of the best cuttings
//! in which no part is used more often than it is there. Not exact, since the best cutting of a whole may be made of halves
//! that are not among the best; but strong where few parts may repeat, and other values of the parts give other cuttings.

use super::Part;
use super::numbers::{Fields, Numbers, words};
use super::table::{sizes, sums};
use super::tree::{Join, Spot, Tree};
use crate::effort::Effort;

/// Bytes for the numbers of parts at most; more sums than fit, and only some cuts are tried.
const BYTES: usize = 24_000_000;

#[derive(Clone, Copy)]
enum From {
    Nothing,
    Part { kind: usize, turned: bool },
    Pair { join: Join, first: usize, second: usize },
}

/// The sizes of rectangles, for one problem.
pub(crate) struct Counted<'a> {
    parts: &'a [Part],
    xs: Vec<i64>,
    ys: Vec<i64>,
    /// Cuttings kept for each size of rectangle.
    kept: usize,
}

/// What is kept while the rectangles are gone through; by rectangle and rank, values falling.
struct Kept<const WORDS: usize> {
    kept: usize,
    fields: Fields<WORDS>,
    values: Vec<f64>,
    from: Vec<From>,
    numbers: Vec<Numbers<WORDS>>,
}

impl<'a> Counted<'a> {
    /// For rectangles up to `w` × `h`, with `kept` cuttings of each and no more than `limit` sums along a side.
    pub(crate) fn new(parts: &'a [Part], w: i64, h: i64, kept: usize, mut limit: usize) -> Self {
        let (along_x, along_y) = sizes(parts, w, h);
        let each = BYTES / (kept * 8 * words(parts).max(1));
        loop {
            let (xs, ys) = (sums(&along_x, w, limit).0, sums(&along_y, h, limit).0);
            if xs.len() * ys.len() <= each || limit < 8 {
                return Self { parts, xs, ys, kept };
            }
            limit = limit * 3 / 4;
        }
    }

    /// Steps that a cutting takes.
    pub(crate) const fn work(&self) -> u64 {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        (nx * ny * (nx + ny) / 4 * self.kept * 2) as u64
    }

    /// A good cutting of the whole, if parts are worth this much; nothing if the effort ends before, or there are more parts
    /// than can be kept account of.
    pub(crate) fn tree(&self, values: &[f64], effort: &mut Effort<'_>) -> Option<Tree> {
        match words(self.parts) {
            0..=1 => self.solve::<1>(values, effort),
            2 => self.solve::<2>(values, effort),
            3..=4 => self.solve::<4>(values, effort),
            5..=8 => self.solve::<8>(values, effort),
            _ => self.solve::<16>(values, effort),
        }
    }

    fn solve<const WORDS: usize>(&self, values: &[f64], effort: &mut Effort<'_>) -> Option<Tree> {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        let cells = nx * ny * self.kept;
        let mut kept = Kept::<WORDS> {
            kept: self.kept,
            fields: Fields::new(self.parts)?,
            values: vec![0.0; cells],
            from: vec![From::Nothing; cells],
            numbers: vec![Numbers::NONE; cells],
        };
        let mut by_cell: Vec<(usize, usize, bool)> = Vec::new();
        for (kind, part) in self.parts.iter().enumerate().filter(|(k, p)| p.count > 0 && values[*k] > 0.0) {
            for (w, h, turned) in part.ways() {
                let (i, j) = (self.xs.partition_point(|&x| x < w), self.ys.partition_point(|&y| y < h));
                if i < nx && j < ny {
                    by_cell.push((i * ny + j, kind, turned));
                }
            }
        }
        by_cell.sort_unstable();
        let mut next = by_cell.into_iter().peekable();
        let each = (nx + ny) / 4 * self.kept * 2;
        for cell in 0..nx * ny {
            let (i, j) = (cell / ny, cell % ny);
            effort.spend(each);
            if effort.over() {
                return None;
            }
            while let Some((_, kind, turned)) = next.next_if(|n| n.0 == cell) {
                let one = kept.fields.one(kind);
                kept.put(cell, values[kind], From::Part { kind, turned }, one);
            }
            if i > 0 {
                kept.take_over(cell, cell - ny);
            }
            if j > 0 {
                kept.take_over(cell, cell - 1);
            }
            halves(&self.xs, i, |a, b| kept.join(cell, a * ny + j, b * ny + j, Join::Beside));
            halves(&self.ys, j, |c, d| kept.join(cell, i * ny + c, i * ny + d, Join::Above));
        }
        let mut tree = Tree::default();
        kept.cut(self.parts, (nx * ny - 1) * self.kept, &mut tree, None);
        Some(tree)
    }
}

/// Every way to part `points[i]` in two points that fit beside one another, the lesser first.
fn halves(points: &[i64], i: usize, mut each: impl FnMut(usize, usize)) {
    let mut b = i;
    for a in 1..i {
        if 2 * points[a] > points[i] {
            break;
        }
        while points[b] > points[i] - points[a] {
            b -= 1;
        }
        each(a, b);
    }
}

impl<const WORDS: usize> Kept<WORDS> {
    fn take_over(&mut self, cell: usize, other: usize) {
        for at in other * self.kept..(other + 1) * self.kept {
            if self.values[at] <= self.values[(cell + 1) * self.kept - 1] {
                break;
            }
            self.put(cell, self.values[at], self.from[at], self.numbers[at]);
        }
    }

    /// The best of two rectangles together, where their numbers allow.
    fn join(&mut self, cell: usize, first: usize, second: usize, join: Join) {
        let (first, second, last) = (first * self.kept, second * self.kept, (cell + 1) * self.kept - 1);
        for a in first..first + self.kept {
            // The values of both fall, and with nothing in one of them the other was taken over already.
            if self.values[a] <= 0.0 || self.values[a] + self.values[second] <= self.values[last] {
                break;
            }
            for b in second..second + self.kept {
                let value = self.values[a] + self.values[b];
                if self.values[b] <= 0.0 || value <= self.values[last] {
                    break;
                }
                if let Some(numbers) = self.fields.sum(&self.numbers[a], &self.numbers[b]) {
                    self.put(cell, value, From::Pair { join, first: a, second: b }, numbers);
                }
            }
        }
    }

    /// Keeps a cutting if it is among the best, and uses other parts than those of its value.
    fn put(&mut self, cell: usize, value: f64, from: From, numbers: Numbers<WORDS>) {
        let base = cell * self.kept;
        let rank = (0..self.kept).find(|&k| self.values[base + k] < value);
        let Some(rank) = rank else { return };
        let alike = |k: usize| (self.values[base + k] - value).abs() < 1e-9 && self.numbers[base + k] == numbers;
        if (0..self.kept).any(alike) {
            return;
        }
        let (at, end) = (base + rank, base + self.kept - 1);
        self.values.copy_within(at..end, at + 1);
        self.from.copy_within(at..end, at + 1);
        self.numbers.copy_within(at..end, at + 1);
        (self.values[at], self.from[at], self.numbers[at]) = (value, from, numbers);
    }

    /// Cuts what is kept at a place into the tree, joined to the node `to`; the node that then holds it.
    fn cut(&self, parts: &[Part], at: usize, tree: &mut Tree, to: Option<(usize, Join)>) -> Option<usize> {
        match self.from[at] {
            From::Nothing => None,
            From::Part { kind, turned } => {
                let part = parts[kind];
                let (w, h) = if turned { (part.h, part.w) } else { (part.w, part.h) };
                let (node, join) = to.map_or((None, Join::Beside), |(node, join)| (Some(node), join));
                Some(tree.insert(kind, w, h, Spot { node, join, before: false, turned }))
            }
            From::Pair { join, first, second } => {
                let first = self.cut(parts, first, tree, to);
                let second = self.cut(parts, second, tree, first.map_or(to, |node| Some((node, join))));
                if first.is_some() && second.is_some() { tree.parent(second?) } else { first.or(second) }
            }
        }
    }
}
