//! A uniform grid over boxes: which of many things can touch a place, in time that does not grow with how many there
//! are elsewhere.

use super::curve::{Bounds, Curve, Line};

/// Boxes by number, in cells of equal size.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    origin: [f64; 2],
    cells_per_mm: [f64; 2],
    count: [usize; 2],
    /// Where each cell's numbers begin; one more at the end.
    start: Vec<u32>,
    items: Vec<u32>,
}

/// Marks what a query has already seen, since one thing lies in many cells.
#[derive(Clone, Debug, Default)]
pub(crate) struct Seen {
    marks: Vec<u32>,
    tick: u32,
}

/// So few things are looked through without a grid.
const FEW: usize = 12;

/// A thing to be found: its box, and for a slanting line the line and how much it is grown, so that it takes only the
/// cells along it.
#[derive(Clone, Copy, Debug)]
struct Item {
    bounds: Bounds,
    slant: Option<(Line, f64)>,
}

impl Grid {
    /// Of curves, each grown by its own distance.
    pub(crate) fn new(curves: &[(Curve, f64)]) -> Self {
        let items = curves.iter().map(|(c, r)| {
            let slant = match c {
                Curve::Line(l) if l.a[0] != l.b[0] && l.a[1] != l.b[1] => Some((*l, *r)),
                _ => None,
            };
            Item { bounds: c.bounds().grown(*r), slant }
        });
        Self::of(&items.collect::<Vec<_>>())
    }

    /// Of boxes.
    pub(crate) fn of_boxes(boxes: impl Iterator<Item = Bounds>) -> Self {
        Self::of(&boxes.map(|bounds| Item { bounds, slant: None }).collect::<Vec<_>>())
    }

    fn of(things: &[Item]) -> Self {
        let all = things.iter().fold(Bounds::NONE, |b, i| b.union(&i.bounds));
        let n = things.len();
        let size = [all.max[0] - all.min[0], all.max[1] - all.min[1]];
        if n <= FEW || !size[0].is_finite() || !size[1].is_finite() {
            let items = (0..u32::try_from(n).unwrap_or(u32::MAX)).collect::<Vec<_>>();
            let start = vec![0, u32::try_from(n).unwrap_or(u32::MAX)];
            return Self { origin: [0.0; 2], cells_per_mm: [0.0; 2], count: [1, 1], start, items };
        }
        // About one cell a thing, as square as may be.
        let size = size.map(|s| s.max(1e-6));
        let side = (size[0] * size[1] / n as f64).sqrt();
        let count = size.map(|s| clamped(s / side).clamp(1, 4096));
        let cells_per_mm = [count[0] as f64 / size[0], count[1] as f64 / size[1]];
        let mut grid = Self { origin: all.min, cells_per_mm, count, start: Vec::new(), items: Vec::new() };
        let mut fill = vec![0_u32; count[0] * count[1] + 1];
        for i in things {
            grid.cells_of(i, |cell| fill[cell + 1] += 1);
        }
        for i in 1..fill.len() {
            fill[i] += fill[i - 1];
        }
        let mut items = vec![0; fill.last().map_or(0, |n| *n as usize)];
        let mut next = fill.clone();
        for (number, i) in (0_u32..).zip(things) {
            grid.cells_of(i, |cell| {
                items[next[cell] as usize] = number;
                next[cell] += 1;
            });
        }
        (grid.start, grid.items) = (fill, items);
        grid
    }

    fn row(&self, v: f64, axis: usize) -> usize {
        clamped((v - self.origin[axis]) * self.cells_per_mm[axis]).min(self.count[axis] - 1)
    }

    /// The cells that a thing can touch.
    fn cells_of(&self, item: &Item, mut found: impl FnMut(usize)) {
        let b = &item.bounds;
        let (y0, y1) = (self.row(b.min[1], 1), self.row(b.max[1], 1));
        for y in y0..=y1 {
            let (mut low, mut high) = (b.min[0], b.max[0]);
            if let Some((l, r)) = item.slant
                && y1 > y0
            {
                let height = |row: usize| self.origin[1] + row as f64 / self.cells_per_mm[1];
                let slope = (l.b[0] - l.a[0]) / (l.b[1] - l.a[1]);
                let x = |h: f64| l.a[0] + (h - l.a[1]) * slope;
                let (p, q) = (x(height(y) - r), x(height(y + 1) + r));
                low = low.max(p.min(q) - r);
                high = high.min(p.max(q) + r);
            }
            if low <= high {
                for x in self.row(low, 0)..=self.row(high, 0) {
                    found(y * self.count[0] + x);
                }
            }
        }
    }

    /// The numbers of the things that a point can lie in, in order.
    pub(crate) fn at(&self, p: [f64; 2]) -> impl Iterator<Item = usize> + '_ {
        let cell = self.row(p[1], 1) * self.count[0] + self.row(p[0], 0);
        self.items[self.start[cell] as usize..self.start[cell + 1] as usize].iter().map(|i| *i as usize)
    }

    /// Calls `found` once with the number of each thing that can touch the box, until it says stop (false).
    pub(crate) fn near(&self, b: &Bounds, seen: &mut Seen, mut found: impl FnMut(usize) -> bool) {
        if self.count == [1, 1] {
            for &i in &self.items {
                if !found(i as usize) {
                    return;
                }
            }
            return;
        }
        seen.tick = seen.tick.wrapping_add(1);
        for y in self.row(b.min[1], 1)..=self.row(b.max[1], 1) {
            for x in self.row(b.min[0], 0)..=self.row(b.max[0], 0) {
                let cell = y * self.count[0] + x;
                for &i in &self.items[self.start[cell] as usize..self.start[cell + 1] as usize] {
                    let i = i as usize;
                    if i >= seen.marks.len() {
                        seen.marks.resize(i + 1, seen.tick.wrapping_sub(1));
                    }
                    if seen.marks[i] != seen.tick {
                        seen.marks[i] = seen.tick;
                        if !found(i) {
                            return;
                        }
                    }
                }
            }
        }
    }
}

/// A whole number from a float, 0 for anything below.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates, and that is meant")]
fn clamped(v: f64) -> usize {
    v as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sweep::curve::tests::any_curve;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_near_is_missed(
            curves in prop::collection::vec((any_curve(), 0.0..3.0), 0..80),
            x in -30.0..30.0, y in -30.0..30.0, w in 0.0..20.0,
        ) {
            let grid = Grid::new(&curves);
            let b = Bounds { min: [x, y], max: [x + w, y + w / 2.0] };
            let mut seen = Seen::default();
            for _ in 0..2 {
                let mut found = Vec::new();
                grid.near(&b, &mut seen, |i| { found.push(i); true });
                let mut once = found.clone();
                once.sort_unstable();
                once.dedup();
                prop_assert_eq!(once.len(), found.len());
                for (i, (c, r)) in curves.iter().enumerate() {
                    let mid = [x + w / 2.0, y + w / 4.0];
                    if c.distance(mid) <= *r {
                        prop_assert!(found.contains(&i), "{i}");
                    }
                }
            }
        }
    }
}
