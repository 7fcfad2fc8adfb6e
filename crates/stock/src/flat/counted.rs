//! A program like the table's, that keeps the numbers of the parts: from every size of rectangle a few of the best cuttings
//! in which no part is used more often than it is there. Not exact, since the best cutting of a whole may be made of halves
//! that are not among the best; but strong where few parts may repeat, and other values of the parts give other cuttings.

use super::table::{sizes, sums};
use super::tree::{Join, Spot, Tree};
use super::{Blank, Part};
use crate::effort::Effort;

/// Cuttings kept for each size of rectangle.
const KEPT: usize = 3;
/// Bytes for the numbers of parts at most; more sums than fit, and only some cuts are tried.
const BYTES: usize = 24_000_000;
/// Sums along a side at most.
const SUMS: usize = 300;

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
}

/// What is kept while the rectangles are gone through.
struct Kept<'a> {
    parts: &'a [Part],
    /// By rectangle and rank; falling.
    values: Vec<f64>,
    from: Vec<From>,
    /// How often each part is used.
    counts: Vec<u8>,
    most: Vec<u8>,
}

impl<'a> Counted<'a> {
    pub(crate) fn new(parts: &'a [Part], blank: &Blank) -> Self {
        let (along_x, along_y) = sizes(parts, blank.w, blank.h);
        let each = BYTES / (KEPT * parts.len().max(1));
        let mut limit = SUMS;
        loop {
            let (xs, ys) = (sums(&along_x, blank.w, limit).0, sums(&along_y, blank.h, limit).0);
            if xs.len() * ys.len() <= each || limit < 8 {
                return Self { parts, xs, ys };
            }
            limit = limit * 3 / 4;
        }
    }

    /// Steps that a cutting takes.
    pub(crate) const fn work(&self) -> u64 {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        (nx * ny * (nx + ny) / 4 * KEPT * 2) as u64
    }

    /// A good cutting of the whole, if parts are worth this much; nothing if the effort ends before.
    pub(crate) fn tree(&self, values: &[f64], effort: &mut Effort<'_>) -> Option<Tree> {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        let cells = nx * ny * KEPT;
        let mut kept = Kept {
            parts: self.parts,
            values: vec![0.0; cells],
            from: vec![From::Nothing; cells],
            counts: vec![0; cells * self.parts.len()],
            most: self.parts.iter().map(|p| u8::try_from(p.count).unwrap_or(u8::MAX)).collect(),
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
        let each = (nx + ny) / 4 * KEPT * 2;
        for cell in 0..nx * ny {
            let (i, j) = (cell / ny, cell % ny);
            effort.spend(each);
            if effort.over() {
                return None;
            }
            while let Some((_, kind, turned)) = next.next_if(|n| n.0 == cell) {
                kept.put_part(cell, kind, turned, values[kind]);
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
        kept.cut((nx * ny - 1) * KEPT, &mut tree, None);
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

impl Kept<'_> {
    fn count(&self, at: usize) -> &[u8] {
        let n = self.parts.len();
        &self.counts[at * n..][..n]
    }

    fn put_part(&mut self, cell: usize, kind: usize, turned: bool, value: f64) {
        let mut counts = vec![0; self.parts.len()];
        counts[kind] = 1;
        self.put(cell, value, From::Part { kind, turned }, &counts);
    }

    fn take_over(&mut self, cell: usize, other: usize) {
        for k in 0..KEPT {
            let at = other * KEPT + k;
            if self.values[at] > self.values[cell * KEPT + KEPT - 1] {
                let counts = self.count(at).to_vec();
                self.put(cell, self.values[at], self.from[at], &counts);
            }
        }
    }

    /// The best of two rectangles together, where their numbers allow.
    fn join(&mut self, cell: usize, first: usize, second: usize, join: Join) {
        let (first, second) = (first * KEPT, second * KEPT);
        if self.values[first] <= 0.0 || self.values[second] <= 0.0 {
            return;
        }
        for a in first..first + KEPT {
            for b in second..second + KEPT {
                let value = self.values[a] + self.values[b];
                if value <= self.values[cell * KEPT + KEPT - 1] {
                    // The second's values fall.
                    break;
                }
                let pairs = self.count(a).iter().zip(self.count(b)).zip(&self.most);
                if pairs.clone().all(|((a, b), most)| a.saturating_add(*b) <= *most) {
                    let counts: Vec<u8> = pairs.map(|((a, b), _)| a + b).collect();
                    self.put(cell, value, From::Pair { join, first: a, second: b }, &counts);
                }
            }
        }
    }

    /// Keeps a cutting if it is among the best, and uses other parts than those of its value.
    fn put(&mut self, cell: usize, value: f64, from: From, counts: &[u8]) {
        let (base, n) = (cell * KEPT, self.parts.len());
        let rank = (0..KEPT).find(|&k| self.values[base + k] < value);
        let Some(rank) = rank else { return };
        let alike = |k: usize| (self.values[base + k] - value).abs() < 1e-9 && self.count(base + k) == counts;
        if (0..KEPT).any(alike) {
            return;
        }
        for k in (rank..KEPT - 1).rev() {
            self.values[base + k + 1] = self.values[base + k];
            self.from[base + k + 1] = self.from[base + k];
            self.counts.copy_within((base + k) * n..(base + k + 1) * n, (base + k + 1) * n);
        }
        self.values[base + rank] = value;
        self.from[base + rank] = from;
        self.counts[(base + rank) * n..][..n].copy_from_slice(counts);
    }

    /// Cuts what is kept at a place into the tree, joined to the node `to`; the node that then holds it.
    fn cut(&self, at: usize, tree: &mut Tree, to: Option<(usize, Join)>) -> Option<usize> {
        match self.from[at] {
            From::Nothing => None,
            From::Part { kind, turned } => {
                let part = self.parts[kind];
                let (w, h) = if turned { (part.h, part.w) } else { (part.w, part.h) };
                let (node, join) = to.map_or((None, Join::Beside), |(node, join)| (Some(node), join));
                Some(tree.insert(kind, w, h, Spot { node, join, before: false, turned }))
            }
            From::Pair { join, first, second } => {
                let first = self.cut(first, tree, to);
                let second = self.cut(second, tree, first.map_or(to, |node| Some((node, join))));
                if first.is_some() && second.is_some() { tree.parent(second?) } else { first.or(second) }
            }
        }
    }
}
