//! The most value from one blank with blemishes, any number of each part: an exact dynamic program over the rectangles
//! that cuts can make of it. Everything can be pushed left and down until it meets a part, an edge or a blemish, so cuts
//! run at sums of sizes from the corner or from a blemish's far edge.

use std::collections::{BTreeMap, BTreeSet};

use super::place::place;
use super::table::{Table, sizes, sums};
use super::{Blank, Blemish, Part, Placed};
use crate::effort::Effort;

/// A rectangle between two cuts each way, as indices of cut places.
type Rectangle = [u16; 4];

/// The program over one blank.
pub(crate) struct Flawed<'a> {
    parts: &'a [Part],
    values: &'a [i64],
    blank: &'a Blank,
    table: &'a Table,
    xs: Vec<i64>,
    ys: Vec<i64>,
    /// Sums of sizes along x and along y.
    sums: [Vec<i64>; 2],
    known: BTreeMap<Rectangle, Known>,
}

/// What is known of a rectangle.
#[derive(Debug, Clone, Copy)]
enum Known {
    /// The most value, and the cut that gives it: at an index of `xs`, or of `ys` after these.
    Most(f64, Option<usize>),
    /// It is worth no more than this.
    AtMost(f64),
}

impl<'a> Flawed<'a> {
    pub(crate) fn new(parts: &'a [Part], values: &'a [i64], blank: &'a Blank, table: &'a Table) -> Self {
        let (along_x, along_y) = sizes(parts, blank.w, blank.h);
        let all = |sizes: &[(i64, usize)], most: i64| sums(sizes, most, usize::from(u16::MAX / 8)).0;
        let sums = [all(&along_x, blank.w), all(&along_y, blank.h)];
        let places = |sums: &[i64], most: i64, far: Vec<i64>| -> Vec<i64> {
            let starts = far.into_iter().filter(|&f| f > 0 && f < most).chain([0]);
            let all: BTreeSet<i64> =
                starts.flat_map(|s| sums.iter().map(move |x| s + x)).filter(|&x| x <= most).collect();
            all.into_iter().chain([most]).collect::<BTreeSet<i64>>().into_iter().collect()
        };
        let xs = places(&sums[0], blank.w, blank.blemishes.iter().map(|b| b.x1).collect());
        let ys = places(&sums[1], blank.h, blank.blemishes.iter().map(|b| b.y1).collect());
        Self { parts, values, blank, table, xs, ys, sums, known: BTreeMap::new() }
    }

    /// The layout of most value if that is more than `found`, else an empty one; `None` if the effort ended first.
    pub(crate) fn solve(&mut self, found: i64, effort: &mut Effort<'_>) -> Option<Vec<Placed>> {
        let whole = [0, index(self.xs.len() - 1)?, 0, index(self.ys.len() - 1)?];
        let need = found as f64 + 1.0;
        let mut placed = Vec::new();
        if self.most(whole, need, effort)? >= need {
            self.read(whole, &mut placed);
        }
        Some(placed)
    }

    fn size(&self, r: Rectangle) -> (i64, i64) {
        (
            self.xs[usize::from(r[1])] - self.xs[usize::from(r[0])],
            self.ys[usize::from(r[3])] - self.ys[usize::from(r[2])],
        )
    }

    /// A bound: what the rectangle would hold without its blemishes, or less where that is known.
    fn at_most(&self, r: Rectangle) -> f64 {
        match self.known.get(&r) {
            Some(&(Known::Most(value, _) | Known::AtMost(value))) => value,
            None => {
                let (w, h) = self.size(r);
                self.table.value(w, h)
            }
        }
    }

    fn clear(&self, r: Rectangle) -> bool {
        let (x, y) = (self.xs[usize::from(r[0])], self.ys[usize::from(r[2])]);
        let (w, h) = self.size(r);
        !self.blank.blemishes.iter().any(|b| b.bars(true, x, y, w, h))
    }

    /// The most value of a rectangle if that is at least `need`, else some bound below `need`.
    fn most(&mut self, r: Rectangle, need: f64, effort: &mut Effort<'_>) -> Option<f64> {
        let limit = self.at_most(r);
        if limit < need || limit <= 0.0 || matches!(self.known.get(&r), Some(Known::Most(..))) || self.clear(r) {
            return Some(limit);
        }
        let cuts = self.cuts(r);
        effort.spend(400 + 100 * cuts.len());
        if effort.over() {
            return None;
        }
        let (mut best, mut cut, mut missed) = (0.0_f64, None, 0.0_f64);
        for at in cuts {
            let (a, b) = split(r, at, self.xs.len());
            let wanted = need.max(best + 1.0);
            let mut sum = self.at_most(a) + self.at_most(b);
            if sum >= wanted {
                let first = self.most(a, wanted - self.at_most(b), effort)?;
                sum = first + self.at_most(b);
                if sum >= wanted {
                    sum = first + self.most(b, wanted - first, effort)?;
                }
            }
            if sum < wanted {
                missed = missed.max(sum);
                continue;
            }
            (best, cut) = (sum, Some(at));
            if best >= limit {
                break;
            }
        }
        // Values are whole numbers, so a miss is a miss by one at least.
        let known = if best >= need { Known::Most(best, cut) } else { Known::AtMost(missed.min(need - 1.0)) };
        self.known.insert(r, known);
        Some(self.at_most(r))
    }

    /// The cuts of a rectangle that matter: at sums from its edge, or from the far edge of a blemish in it.
    fn cuts(&self, r: Rectangle) -> Vec<usize> {
        let [x0, x1, y0, y1] = r.map(usize::from);
        let (left, low) = (self.xs[x0], self.ys[y0]);
        let within = |b: &&Blemish| b.x0 < self.xs[x1] && b.x1 > left && b.y0 < self.ys[y1] && b.y1 > low;
        let blemishes: Vec<&Blemish> = self.blank.blemishes.iter().filter(within).collect();
        let sum = |axis: usize, length: i64| length >= 0 && self.sums[axis].binary_search(&length).is_ok();
        let mut cuts: Vec<usize> = (x0 + 1..x1)
            .filter(|&i| sum(0, self.xs[i] - left) || blemishes.iter().any(|b| sum(0, self.xs[i] - b.x1)))
            .collect();
        let over =
            (y0 + 1..y1).filter(|&j| sum(1, self.ys[j] - low) || blemishes.iter().any(|b| sum(1, self.ys[j] - b.y1)));
        cuts.extend(over.map(|j| j + self.xs.len()));
        cuts
    }

    fn read(&self, r: Rectangle, placed: &mut Vec<Placed>) {
        if self.clear(r) {
            let (w, h) = self.size(r);
            let tree = self.table.tree(self.parts, self.values, w, h);
            let bare = Blank { w, h, cost: 0, count: 1, best: false, blemishes: Vec::new() };
            let (x, y) = (self.xs[usize::from(r[0])], self.ys[usize::from(r[2])]);
            let lying = place(&tree, self.parts, &bare).unwrap_or_default();
            placed.extend(lying.into_iter().map(|p| Placed { x: p.x + x, y: p.y + y, ..p }));
        } else if let Some(&Known::Most(_, Some(at))) = self.known.get(&r) {
            let (a, b) = split(r, at, self.xs.len());
            self.read(a, placed);
            self.read(b, placed);
        }
    }
}

fn index(i: usize) -> Option<u16> {
    u16::try_from(i).ok()
}

fn split(r: Rectangle, at: usize, xs: usize) -> (Rectangle, Rectangle) {
    match (u16::try_from(at), u16::try_from(at.wrapping_sub(xs))) {
        (Ok(i), _) if at < xs => ([r[0], i, r[2], r[3]], [i, r[1], r[2], r[3]]),
        (_, Ok(j)) => ([r[0], r[1], r[2], j], [r[0], r[1], j, r[3]]),
        _ => (r, r),
    }
}
