//! A bound for boards of many sizes: the linear program over all that can be cut from each board, round its flaws. Sizes are
//! rounded down to a grid so that every cut can be tried; what fits in truth fits the more then, so the bound stays one.
//!
//! **Reference** The bound from any prices: Farley 1990, Oper. Res. 38:922–923, here with a limited number of each blank.

use super::flawed::Flawed;
use super::table::Table;
use super::{Blank, Blemish, Part};
use crate::effort::Effort;
use crate::program::{Column, Program};
use crate::random::Random;

/// Points of the grid along the longest side, and along the widest.
const POINTS: [i64; 2] = [500, 260];
/// Prices as whole numbers: the dearest blank costs about this much.
const DEAREST: f64 = 1e9;
/// Steps at most for one flawed board.
const FLAWED: u64 = 30_000_000;

/// The program, with what is cut on the grid.
pub(crate) struct Boards {
    demand: Vec<i64>,
    /// What lies on the grid, a part that may be turned as two; and the part that each is.
    parts: Vec<Part>,
    of: Vec<usize>,
    blanks: Vec<Blank>,
    table: Table,
    program: Program,
    scale: f64,
    /// No layout costs less.
    pub(crate) bound: i64,
    /// Fully priced.
    pub(crate) solved: bool,
}

impl Boards {
    pub(crate) fn new(parts: &[Part], blanks: &[Blank], random: &mut Random, effort: &Effort<'_>) -> Self {
        let most = |of: fn(&Blank) -> i64| blanks.iter().map(of).max().unwrap_or(1).max(1);
        let (w, h) = (most(|b| b.w), most(|b| b.h));
        let [gx, gy] = [(w + POINTS[0] - 1) / POINTS[0], (h + POINTS[1] - 1) / POINTS[1]];
        let (mut lying, mut of) = (Vec::new(), Vec::new());
        for (kind, part) in parts.iter().enumerate().filter(|(_, p)| p.count > 0) {
            for (w, h, _) in part.ways() {
                lying.push(Part { w: (w / gx).max(1), h: (h / gy).max(1), turns: false, ..*part });
                of.push(kind);
            }
        }
        // A flaw that some part may lie on is none here.
        let all_show = parts.iter().all(|p| p.shows);
        let blemish = |b: &Blemish| Blemish {
            x0: b.x0.div_euclid(gx),
            y0: b.y0.div_euclid(gy),
            x1: b.x1.div_euclid(gx),
            y1: b.y1.div_euclid(gy),
            hidden_use: false,
        };
        let blank = |b: &Blank| Blank {
            w: b.w.max(0) / gx,
            h: b.h.max(0) / gy,
            blemishes: b.blemishes.iter().filter(|b| all_show || !b.hidden_use).map(blemish).collect(),
            ..*b
        };
        let rounded: Vec<Blank> = blanks.iter().map(blank).collect();
        let nothing = vec![0; lying.len()];
        let points = usize::try_from(POINTS[0].max(POINTS[1])).unwrap_or(0) * 2;
        let table = Table::new(&lying, &nothing, w / gx, h / gy, points, &mut effort.part(0));
        let dearest = most(|b| b.cost) as f64;
        let demand = parts.iter().map(|p| p.count as f64 + 1e-6 * random.unit());
        let at_hand = blanks.iter().map(|b| -(b.count as f64));
        // To go without a part is dearer than any board; not to use a board costs nothing.
        let without = (0..parts.len()).map(|row| Column { cost: 2.0 * dearest, entries: vec![(row, 1.0)], open: true });
        let unused =
            (0..blanks.len()).map(|b| Column { cost: 0.0, entries: vec![(parts.len() + b, -1.0)], open: true });
        let mut program = Program::new(demand.chain(at_hand).collect(), without.chain(unused).collect());
        for row in 0..parts.len() {
            program.add(0.0, vec![(row, -1.0)]);
        }
        let demand = parts.iter().map(|p| i64::try_from(p.count).unwrap_or(0)).collect();
        let scale = DEAREST / dearest;
        Self { demand, parts: lying, of, blanks: rounded, table, program, scale, bound: 0, solved: false }
    }

    /// Adds what is cut from a blank.
    pub(crate) fn add(&mut self, blank: usize, kinds: impl Iterator<Item = usize>) {
        let mut counts = vec![0_usize; self.demand.len()];
        kinds.for_each(|kind| counts[kind] += 1);
        let entries = counts.iter().enumerate().filter(|(_, n)| **n > 0).map(|(kind, &n)| (kind, n as f64));
        let entries = entries.chain([(self.demand.len() + blank, -1.0)]).collect();
        self.program.add(self.blanks[blank].cost as f64, entries);
    }

    /// Prices parts and adds what is worth more than its board, until nothing is or the effort ends.
    pub(crate) fn solve(&mut self, effort: &mut Effort<'_>) {
        let kinds = self.demand.len();
        while !self.solved && self.program.primal(effort) {
            let prices: Vec<i64> =
                self.program.duals()[..kinds].iter().map(|p| whole(p.max(0.0) * self.scale)).collect();
            let values: Vec<i64> = self.of.iter().map(|&kind| prices[kind]).collect();
            self.table.fill(&self.parts, &values, effort);
            let (mut over, mut added) = (0_i128, false);
            for b in 0..self.blanks.len() {
                if effort.over() {
                    return;
                }
                let cost = whole(self.blanks[b].cost as f64 * self.scale);
                // What a layout must be worth to change the program.
                let wanted = cost + whole(self.program.duals()[kinds + b].max(0.0) * self.scale * (1.0 + 1e-6)) + 10;
                let (worth, layout) = self.fill(b, &values, wanted, effort);
                over += i128::from(self.blanks[b].count as i64) * i128::from((worth - cost).max(0));
                if let Some(layout) = layout.filter(|_| worth > wanted) {
                    self.add(b, layout.into_iter());
                    added = true;
                }
            }
            let worth: i128 = prices.iter().zip(&self.demand).map(|(&p, &n)| i128::from(p) * i128::from(n)).sum();
            // Costs were rounded down, which leaves it a bound.
            let bound = ((worth - over) as f64 / self.scale - 1e-6).ceil();
            self.bound = self.bound.max(whole(bound));
            self.solved = !added;
        }
    }

    /// No layout of a blank is worth more than this; and one that is worth more than `wanted`, if there is one.
    fn fill(&self, b: usize, values: &[i64], wanted: i64, effort: &mut Effort<'_>) -> (i64, Option<Vec<usize>>) {
        let blank = &self.blanks[b];
        let most = whole(self.table.value(blank.w, blank.h));
        if most <= wanted {
            return (most, None);
        }
        let name = |kind: usize| self.of[kind];
        if !blank.blemishes.is_empty() {
            let mut own = effort.part(FLAWED);
            let found = Flawed::new(&self.parts, values, blank, &self.table).solve(wanted, &mut own);
            effort.spend(usize::try_from(own.done()).unwrap_or(usize::MAX));
            if let Some(placed) = found {
                let worth: i64 = placed.iter().map(|p| values[p.kind]).sum();
                return (worth.max(wanted), Some(placed.iter().map(|p| name(p.kind)).collect()));
            }
        }
        let tree = self.table.tree(&self.parts, values, blank.w, blank.h);
        (most, Some(tree.leaves().map(|(_, kind)| name(kind)).collect()))
    }
}

#[expect(clippy::cast_possible_truncation, reason = "prices and values are far below 2⁵³")]
fn whole(x: f64) -> i64 {
    x as i64
}
