//! The most valuable filling of one bar: a bounded knapsack in whole numbers, by branch and bound while that is quick and
//! by dynamic programming otherwise. Exact, so that what is proven from it is proven.

use crate::effort::Effort;

/// A kind of part to fill with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Item {
    /// What the caller knows it by.
    pub(crate) kind: usize,
    pub(crate) length: i64,
    pub(crate) value: i64,
    pub(crate) count: usize,
}

/// Kinds with how many of each.
pub(crate) type Pattern = Vec<(usize, usize)>;

/// What [`fill`] found.
pub(crate) struct Filled {
    /// No filling is worth more; `None` where good fillings were found before the best was proven.
    pub(crate) most: Option<i64>,
    /// Fillings worth more than was asked for.
    pub(crate) patterns: Vec<Pattern>,
}

/// Longer tables are not built: branch and bound then ends early, or the answer is missing.
const TABLE: usize = 60_000_000;
/// Fillings returned at most.
const MOST: usize = 8;
/// Steps of branch and bound before what it has found is good enough.
const FIRST: usize = 20_000;

/// Fillings of `capacity` worth more than `above`; `None` if it took too long.
pub(crate) fn fill(capacity: i64, mut items: Vec<Item>, above: i64, effort: &mut Effort<'_>) -> Option<Filled> {
    items.retain(|i| i.value > 0 && i.length <= capacity && i.count > 0);
    items.sort_by(|a, b| (b.value * a.length).cmp(&(a.value * b.length)).then(b.length.cmp(&a.length)));
    let table = usize::try_from(capacity).ok()?.saturating_add(1).saturating_mul(items.len());
    let patience = if table > TABLE { 20_000_000 } else { FIRST + table / 8 };
    let mut branch =
        Branch { items: &items, best: above, chosen: vec![0; items.len()], patterns: Vec::new(), steps: FIRST };
    branch.from(0, capacity, 0);
    effort.spend((FIRST - branch.steps) * 4);
    let mut proven = branch.steps > 0;
    if !proven && branch.patterns.is_empty() {
        branch.steps = patience;
        branch.from(0, capacity, 0);
        effort.spend((patience - branch.steps) * 4);
        proven = branch.steps > 0;
    }
    if proven || !branch.patterns.is_empty() {
        let most = proven.then_some(branch.best);
        let patterns = branch.patterns.into_iter().rev().take(MOST).collect();
        return Some(Filled { most, patterns });
    }
    if table > TABLE {
        return None;
    }
    effort.spend(table / 4);
    Some(tabled(capacity, &items, above))
}

struct Branch<'a> {
    items: &'a [Item],
    best: i64,
    chosen: Vec<usize>,
    /// Each better than the one before.
    patterns: Vec<Pattern>,
    steps: usize,
}

impl Branch<'_> {
    fn from(&mut self, index: usize, room: i64, value: i64) {
        if self.steps == 0 {
            return;
        }
        self.steps -= 1;
        if value > self.best {
            self.best = value;
            let chosen = self.items.iter().zip(&self.chosen).take(index);
            self.patterns.push(chosen.filter(|(_, n)| **n > 0).map(|(i, &n)| (i.kind, n)).collect());
        }
        let Some(next) = (index..self.items.len()).find(|&i| self.items[i].length <= room) else { return };
        for skipped in index..next {
            self.chosen[skipped] = 0;
        }
        let item = self.items[next];
        if value + room * item.value / item.length <= self.best {
            return;
        }
        let most = usize::try_from(room / item.length).unwrap_or(0).min(item.count);
        for n in (0..=most).rev() {
            self.chosen[next] = n;
            let used = n as i64;
            self.from(next + 1, room - used * item.length, value + used * item.value);
        }
    }
}

/// The whole table, a row for each block of equal items, so that fillings can be read back from it.
fn tabled(capacity: i64, items: &[Item], above: i64) -> Filled {
    let width = usize::try_from(capacity).unwrap_or(0) + 1;
    // A count becomes blocks of 1, 2, 4, … so that any number up to it is a sum of blocks.
    let mut blocks = Vec::new();
    for item in items {
        let mut left = item.count.min(usize::try_from(capacity / item.length).unwrap_or(0));
        let mut size = 1;
        while left > 0 {
            let n = size.min(left);
            blocks.push((item, n, usize::try_from(item.length).unwrap_or(width) * n));
            left -= n;
            size *= 2;
        }
    }
    let mut rows: Vec<i32> = vec![0; width * (blocks.len() + 1)];
    for (b, &(item, n, length)) in blocks.iter().enumerate() {
        let (before, after) = rows.split_at_mut((b + 1) * width);
        let (old, new) = (&before[b * width..], &mut after[..width]);
        let value = i32::try_from(item.value * n as i64).unwrap_or(i32::MAX / 4);
        let keep = length.min(width);
        new[..keep].copy_from_slice(&old[..keep]);
        for ((new, &without), &with) in new[keep..].iter_mut().zip(&old[keep..]).zip(old) {
            *new = without.max(with + value);
        }
    }
    let last = &rows[blocks.len() * width..];
    let most = i64::from(last[width - 1]);
    let mut patterns: Vec<Pattern> = Vec::new();
    let mut end = width;
    while end > 0 && patterns.len() < MOST {
        let value = last[end - 1];
        if i64::from(value) <= above {
            break;
        }
        // The shortest filling of this value.
        let start = last[..end].partition_point(|&v| v < value);
        patterns.push(read_back(&rows, width, &blocks, start));
        end = start;
    }
    Filled { most: Some(most), patterns }
}

fn read_back(rows: &[i32], width: usize, blocks: &[(&Item, usize, usize)], mut at: usize) -> Pattern {
    let mut pattern: Pattern = Vec::new();
    for (b, &(item, n, length)) in blocks.iter().enumerate().rev() {
        if rows[(b + 1) * width + at] != rows[b * width + at] {
            match pattern.iter_mut().find(|(kind, _)| *kind == item.kind) {
                Some((_, count)) => *count += n,
                None => pattern.push((item.kind, n)),
            }
            at -= length;
        }
    }
    pattern
}
