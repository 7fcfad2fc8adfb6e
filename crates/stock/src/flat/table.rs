//! The most value from every size of rectangle, any number of each part: the dynamic program over guillotine cuts at
//! sums of part sizes. What a sheet can hold at most, patterns for the linear program, and the bound inside the search
//! for one sheet.
//!
//! **References** Gilmore & Gomory 1966, Oper. Res. 14:1045–1074; sums of sizes as cuts: Herz 1972, Christofides &
//! Whitlock 1977, Oper. Res. 25:30–44.

use super::Part;
use super::tree::{Join, Spot, Tree};
use crate::effort::Effort;

/// Values of all rectangles whose sides are sums of part sizes.
#[derive(Debug)]
pub(crate) struct Table {
    pub(crate) xs: Vec<i64>,
    pub(crate) ys: Vec<i64>,
    /// By x, then y. Whole numbers below 2⁵³, as floats for speed.
    values: Vec<f64>,
    /// No sum of sizes was left out, so the values are the most there is.
    pub(crate) exact: bool,
}

/// Sums of `sizes` up to `most`, each size at most `count` times, 0 included; with more than `limit` sums only some of
/// them, and `false`.
pub(crate) fn sums(sizes: &[(i64, usize)], most: i64, limit: usize) -> (Vec<i64>, bool) {
    let mut sums = std::collections::BTreeSet::from([0]);
    let enough = limit.saturating_mul(8);
    let mut exact = true;
    for &(size, count) in sizes.iter().filter(|s| s.0 <= most) {
        if sums.len() > enough {
            exact = false;
            sums.insert(size);
            continue;
        }
        let mut last: Vec<i64> = sums.iter().copied().collect();
        for _ in 0..count {
            last = last.into_iter().map(|s| s + size).filter(|&s| s <= most && !sums.contains(&s)).collect();
            if last.is_empty() {
                break;
            }
            sums.extend(&last);
        }
    }
    if sums.len() <= limit {
        return (sums.into_iter().collect(), exact);
    }
    // Sizes and their multiples first, then an even choice among the rest.
    let mut kept = std::collections::BTreeSet::from([0]);
    for n in 1..=count_of(most) {
        for &(size, count) in sizes.iter().filter(|s| n <= s.1 && s.0 * n as i64 <= most) {
            if kept.len() < limit * 2 / 3 && count >= n {
                kept.insert(size * n as i64);
            }
        }
    }
    let rest: Vec<i64> = sums.into_iter().filter(|s| !kept.contains(s)).collect();
    let every = rest.len().div_ceil(limit.saturating_sub(kept.len()).max(1)).max(1);
    kept.extend(rest.iter().rev().step_by(every));
    (kept.into_iter().collect(), false)
}

/// Multiples that matter: a hundred times the smallest size is never worth a cut of its own.
fn count_of(most: i64) -> usize {
    usize::try_from(most).unwrap_or(100).min(100)
}

/// Sizes with how often each can occur.
pub(crate) type Sizes = Vec<(i64, usize)>;

/// Sizes of the parts along x and along y with how often they can occur.
pub(crate) fn sizes(parts: &[Part], w: i64, h: i64) -> (Sizes, Sizes) {
    let (mut along_x, mut along_y) = (Vec::new(), Vec::new());
    for part in parts.iter().filter(|p| p.count > 0) {
        for (pw, ph, _) in part.ways().filter(|&(pw, ph, _)| pw <= w && ph <= h) {
            along_x.push((pw, part.count));
            along_y.push((ph, part.count));
        }
    }
    for sizes in [&mut along_x, &mut along_y] {
        // Equal sizes add up.
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        sizes.dedup_by(|b, a| {
            let same = a.0 == b.0;
            if same {
                a.1 += b.1;
            }
            same
        });
    }
    (along_x, along_y)
}

impl Table {
    /// The table for sheets up to `w` × `h`; `values` stand for the parts' own. With more than `limit` sums along a side
    /// only some cuts are tried.
    pub(crate) fn new(parts: &[Part], values: &[i64], w: i64, h: i64, limit: usize, effort: &mut Effort<'_>) -> Self {
        let (along_x, along_y) = sizes(parts, w, h);
        let ((xs, exact_x), (ys, exact_y)) = (sums(&along_x, w, limit), sums(&along_y, h, limit));
        let mut table = Self { values: vec![0.0; xs.len() * ys.len()], xs, ys, exact: exact_x && exact_y };
        table.fill(parts, values, effort);
        table
    }

    /// Computes the values afresh for other values of the parts.
    pub(crate) fn fill(&mut self, parts: &[Part], values: &[i64], effort: &mut Effort<'_>) {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        effort.spend(nx * ny * (nx + ny) / 4);
        self.values.fill(0.0);
        for (part, &value) in parts.iter().zip(values).filter(|(p, _)| p.count > 0) {
            for (w, h, _) in part.ways() {
                let (i, j) = (self.xs.partition_point(|&x| x < w), self.ys.partition_point(|&y| y < h));
                if i < nx && j < ny {
                    let cell = &mut self.values[i * ny + j];
                    *cell = cell.max(value as f64);
                }
            }
        }
        for i in 0..nx {
            let (done, rest) = self.values.split_at_mut(i * ny);
            let row = &mut rest[..ny];
            if i > 0 {
                most(row, &done[(i - 1) * ny..], None);
            }
            let mut b = i;
            for a in 1..i {
                if 2 * self.xs[a] > self.xs[i] {
                    break;
                }
                while self.xs[b] > self.xs[i] - self.xs[a] {
                    b -= 1;
                }
                most(row, &done[a * ny..][..ny], Some(&done[b * ny..][..ny]));
            }
            for j in 1..ny {
                let mut best = row[j].max(row[j - 1]);
                let mut d = j;
                let y = self.ys[j];
                for c in 1..j {
                    if 2 * self.ys[c] > y {
                        break;
                    }
                    while self.ys[d] > y - self.ys[c] {
                        d -= 1;
                    }
                    best = best.max(row[c] + row[d]);
                }
                row[j] = best;
            }
        }
    }

    /// The most value in a rectangle.
    pub(crate) fn value(&self, w: i64, h: i64) -> f64 {
        let (i, j) = (below(&self.xs, w), below(&self.ys, h));
        self.values[i * self.ys.len() + j]
    }

    /// A cutting of that value.
    pub(crate) fn tree(&self, parts: &[Part], values: &[i64], w: i64, h: i64) -> Tree {
        let mut tree = Tree::default();
        self.cut(parts, values, below(&self.xs, w), below(&self.ys, h), &mut tree, None);
        tree
    }

    /// Cuts rectangle (`i`, `j`) into the tree, joined to the node `to`; the node that then holds it.
    fn cut(
        &self,
        parts: &[Part],
        values: &[i64],
        mut i: usize,
        mut j: usize,
        tree: &mut Tree,
        to: Option<(usize, Join)>,
    ) -> Option<usize> {
        let ny = self.ys.len();
        let value = self.values[i * ny + j];
        if value <= 0.0 {
            return None;
        }
        while i > 0 && self.values[(i - 1) * ny + j] >= value {
            i -= 1;
        }
        while j > 0 && self.values[i * ny + j - 1] >= value {
            j -= 1;
        }
        let (w, h) = (self.xs[i], self.ys[j]);
        for (kind, part) in parts.iter().enumerate().filter(|(k, p)| p.count > 0 && values[*k] as f64 >= value) {
            if let Some((pw, ph, turned)) = part.ways().find(|&(pw, ph, _)| pw <= w && ph <= h) {
                let (node, join) = to.map_or((None, Join::Beside), |(node, join)| (Some(node), join));
                return Some(tree.insert(kind, pw, ph, Spot { node, join, before: false, turned }));
            }
        }
        for a in 1..i {
            let b = below(&self.xs, w - self.xs[a]);
            if self.values[a * ny + j] + self.values[b * ny + j] >= value {
                return self.join(parts, values, [(a, j), (b, j)], Join::Beside, tree, to);
            }
        }
        for c in 1..j {
            let d = below(&self.ys, h - self.ys[c]);
            if self.values[i * ny + c] + self.values[i * ny + d] >= value {
                return self.join(parts, values, [(i, c), (i, d)], Join::Above, tree, to);
            }
        }
        None
    }

    fn join(
        &self,
        parts: &[Part],
        values: &[i64],
        halves: [(usize, usize); 2],
        join: Join,
        tree: &mut Tree,
        to: Option<(usize, Join)>,
    ) -> Option<usize> {
        let first = self.cut(parts, values, halves[0].0, halves[0].1, tree, to);
        let to = first.map_or(to, |node| Some((node, join)));
        let second = self.cut(parts, values, halves[1].0, halves[1].1, tree, to);
        if first.is_some() && second.is_some() { tree.parent(second?) } else { first.or(second) }
    }
}

/// Raises `row` to `a` + `b`, or to `a`.
fn most(row: &mut [f64], a: &[f64], b: Option<&[f64]>) {
    match b {
        Some(b) => {
            for ((r, a), b) in row.iter_mut().zip(a).zip(b) {
                let sum = a + b;
                *r = if sum > *r { sum } else { *r };
            }
        }
        None => {
            for (r, a) in row.iter_mut().zip(a) {
                *r = if *a > *r { *a } else { *r };
            }
        }
    }
}

/// Index of the last point that is not above `x`.
fn below(points: &[i64], x: i64) -> usize {
    points.partition_point(|&p| p <= x).saturating_sub(1)
}
