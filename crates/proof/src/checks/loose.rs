//! Pieces that a program cuts free: each must be held by bridges until it is sawn off by hand, or it flies.
//!
//! What is wood at the very bottom of the stock is looked at cell by cell: whatever is not joined there to the largest
//! piece is joined nowhere, since a tool clears everything above its end.

use crate::claim::Prism;
use crate::report::{Finding, Rule};
use crate::sweep::cover::Cover;
use crate::sweep::curve::{Bounds, P2};
use crate::sweep::outline::Outline;
use crate::sweep::region::LEVEL;

use super::{Run, at_line};

/// A bridge shorter or lower than this does not hold, mm. Common practice, no source.
pub(crate) const BRIDGE: [f64; 2] = [5.0, 2.0];

/// A piece of no more than this is a chip, mm².
const CHIP: f64 = 100.0;

/// About so many cells at most, unless the thinnest kerf asks for more; and so many in any case.
const CELLS: [f64; 2] = [400_000.0, 4_000_000.0];

pub(crate) fn loose(run: &Run<'_>, out: &mut Vec<Finding>) {
    bridges(run, out);
    let (min, max) = (run.claim.stock.min, run.claim.stock.max);
    let stock = Bounds { min: [min[0], min[1]], max: [max[0], max[1]] };
    let cover = Cover::new(run.path, min[2] + LEVEL, &stock);
    if cover.all.is_empty() {
        return;
    }
    let thinnest = cover.all.iter().map(|s| s.r).fold(f64::INFINITY, f64::min);
    let mut plan = Cells::new(&stock, thinnest);
    for s in &cover.all {
        plan.mark(&s.bounds, |p| s.curve.distance(p) < s.r);
    }
    let tabs: Vec<Outline> = run.claim.tabs.iter().map(|t| Outline::new(&t.outline)).collect();
    // Beside a bridge the kerf ends in a round.
    let margin = 2.0 + plan.cell;
    let on_tab = |t: &Outline, p: P2| t.holds(p) || t.sides.iter().any(|s| s.distance(p) < margin);
    for t in &tabs {
        plan.mark(&t.bounds.grown(margin), |p| on_tab(t, p));
    }
    let pieces = plan.pieces();
    let largest = pieces.iter().map(|p| p.cells).max().unwrap_or_default();
    for (label, piece) in pieces.iter().enumerate() {
        let area = piece.cells as f64 * plan.cell * plan.cell;
        if piece.cells == largest || area <= CHIP {
            continue;
        }
        let holding = tabs.iter().filter(|t| plan.touches(label, &t.bounds.grown(margin + 2.0 * plan.cell))).count();
        if holding < 2 {
            let b = &piece.bounds;
            let size = [b.max[0] - b.min[0], b.max[1] - b.min[1]];
            let held = if holding == 0 { "no bridge" } else { "one bridge alone" };
            let what = format!("{held} holds a piece of {:.0} × {:.0} mm that is cut free", size[0], size[1]);
            let finding = at_line(Rule::Tab, last_beside(run, b, plan.cell), holding as f64, 2.0, what);
            let cut = run.claim.cuts.iter().find(|c| c.through && Outline::new(&c.prism.outline).bounds.meets(b));
            let at = Some([f64::midpoint(b.min[0], b.max[0]), f64::midpoint(b.min[1], b.max[1]), min[2]]);
            out.push(Finding { at, cut: cut.map(|c| c.id.clone()), ..finding });
        }
    }
}

/// Bridges that are too small to hold anything. That they are not cut into is a question of gouges.
fn bridges(run: &Run<'_>, out: &mut Vec<Finding>) {
    let kerf = run.claim.tools.iter().map(|t| t.diameter).fold(0.0, f64::max);
    for t in &run.claim.tabs {
        let (long, high) = (area(t) / kerf, t.z_top - t.z_bottom);
        for (figure, limit, name) in [(long, BRIDGE[0], "long"), (high, BRIDGE[1], "high")] {
            if figure < limit - 1e-6 {
                let what = format!("a bridge is {figure:.2} mm {name}, {limit:.0} mm at least hold");
                let at = t.outline.first().map(|v| [v.x, v.y, t.z_top]);
                out.push(Finding { at, ..at_line(Rule::Tab, 0, figure, limit, what) });
            }
        }
    }
}

/// Of its corners, in mm²; a bridge's sides are straight or nearly so.
fn area(t: &Prism) -> f64 {
    let v = &t.outline;
    let twice = (0..v.len()).map(|i| (v[i], v[(i + 1) % v.len()])).map(|(a, b)| a.x * b.y - b.x * a.y);
    (twice.sum::<f64>() / 2.0).abs()
}

/// The line of the last move that reaches the bottom beside a place.
fn last_beside(run: &Run<'_>, b: &Bounds, cell: f64) -> u32 {
    let low = run.claim.stock.min[2] + LEVEL;
    let beside = run.path.iter().rev().filter(|s| !s.rapid && !s.blind && s.lowest() <= low);
    beside.into_iter().find(|s| s.bounds.grown(s.r + 2.0 * cell).meets(b)).map_or(0, |s| run.line(s))
}

/// The stock from above, cell by cell.
struct Cells {
    origin: P2,
    cell: f64,
    count: [usize; 2],
    /// 0 is wood, 1 is not; a piece's number plus two once it is found.
    state: Vec<u32>,
}

/// Wood in one piece.
struct Piece {
    cells: usize,
    bounds: Bounds,
}

impl Cells {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "counts, bounded above")]
    fn new(stock: &Bounds, thinnest: f64) -> Self {
        let size = [stock.max[0] - stock.min[0], stock.max[1] - stock.min[1]];
        let [few, most] = CELLS.map(|n| (size[0] * size[1] / n).sqrt());
        let cell = (thinnest / 2.0).max(few).min(thinnest.max(most)).max(1e-3);
        let count = size.map(|s| ((s / cell).ceil().clamp(1.0, 1e6)) as usize);
        Self { origin: stock.min, cell, count, state: vec![0; count[0].saturating_mul(count[1]).min(20_000_000)] }
    }

    fn centre(&self, i: usize, j: usize) -> P2 {
        [self.origin[0] + (i as f64 + 0.5) * self.cell, self.origin[1] + (j as f64 + 0.5) * self.cell]
    }

    /// The cells from and up to before, along an axis, whose middles may lie in an interval.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the count")]
    fn range(&self, axis: usize, low: f64, high: f64) -> std::ops::Range<usize> {
        let at = |v: f64| ((v - self.origin[axis]) / self.cell).clamp(0.0, self.count[axis] as f64);
        at(low).floor() as usize..at(high).ceil() as usize
    }

    /// Takes the wood out of the cells of a box whose middles will do.
    fn mark(&mut self, b: &Bounds, will_do: impl Fn(P2) -> bool) {
        for j in self.range(1, b.min[1], b.max[1]) {
            for i in self.range(0, b.min[0], b.max[0]) {
                let p = self.centre(i, j);
                let state = self.state.get_mut(j * self.count[0] + i);
                if let Some(state) = state.filter(|s| **s == 0)
                    && will_do(p)
                {
                    *state = 1;
                }
            }
        }
    }

    /// The pieces, each of cells that share a side.
    fn pieces(&mut self) -> Vec<Piece> {
        let mut out = Vec::new();
        let mut open = Vec::new();
        for first in 0..self.state.len() {
            if self.state[first] != 0 {
                continue;
            }
            let label = u32::try_from(out.len() + 2).unwrap_or(u32::MAX);
            let mut piece = Piece { cells: 0, bounds: Bounds::NONE };
            self.state[first] = label;
            open.push(first);
            while let Some(at) = open.pop() {
                let (i, j) = (at % self.count[0], at / self.count[0]);
                piece.cells += 1;
                piece.bounds = piece.bounds.union(&Bounds::of(self.centre(i, j)).grown(self.cell / 2.0));
                let sides = [
                    (i > 0).then(|| at - 1),
                    (i + 1 < self.count[0]).then_some(at + 1),
                    at.checked_sub(self.count[0]),
                    (j + 1 < self.count[1]).then(|| at + self.count[0]),
                ];
                for next in sides.into_iter().flatten() {
                    if self.state.get(next) == Some(&0) {
                        self.state[next] = label;
                        open.push(next);
                    }
                }
            }
            out.push(piece);
        }
        out
    }

    /// Whether a piece comes into a box.
    fn touches(&self, piece: usize, b: &Bounds) -> bool {
        let xs = self.range(0, b.min[0], b.max[0]);
        self.range(1, b.min[1], b.max[1]).any(|j| {
            let mut row = xs.clone().map(|i| self.state.get(j * self.count[0] + i));
            row.any(|s| s.is_some_and(|s| *s as usize == piece + 2))
        })
    }
}
