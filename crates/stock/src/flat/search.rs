//! Ruin and recreate: part of a layout is taken out and put back otherwise, towards a goal that no layout so far has
//! reached: every part within a smaller cost of blanks, or more value on one blank. What does not fit waits outside, and
//! the value waiting is what the search makes small.
//!
//! **Reference** The goal-driven form is of Gardeyn & Wauters 2022, Eur. J. Oper. Res. 301:432–444; trees of least sizes
//! and the rules for spots are our own.

use super::place::place;
use super::spots::{self, RULES, Rule, lies_on};
use super::tree::{Join, Spot, Tree};
use super::{Blank, Part};
use crate::effort::Effort;
use crate::random::Random;

/// A blank in use.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    pub(crate) blank: usize,
    pub(crate) tree: Tree,
    /// Paid for; a sheet that was emptied is not, and its place may be taken by another blank.
    open: bool,
    pub(super) free: i64,
    /// Changes whenever the tree does; no two trees ever share one.
    stamp: u64,
}

/// A layout, perhaps with parts waiting outside.
#[derive(Debug, Clone, Default)]
pub(crate) struct State {
    pub(crate) sheets: Vec<Sheet>,
    pub(crate) waiting: Vec<usize>,
    pub(crate) waiting_value: i64,
    pub(crate) cost: i64,
    in_use: Vec<usize>,
    score: f64,
}

/// The best spot of a kind on a sheet, remembered until the sheet changes.
#[derive(Debug, Clone, Copy)]
struct Known {
    stamp: u64,
    spot: Option<(i64, Spot)>,
}

/// The search over one problem.
pub(crate) struct Search<'a> {
    pub(super) parts: &'a [Part],
    blanks: &'a [Blank],
    pub(super) random: Random,
    /// Kinds of which there are several, all to come from one blank.
    pub(super) sets: Vec<usize>,
    stamps: u64,
    known: Vec<[Known; RULES.len()]>,
    pub(super) stack: Vec<(usize, i64, i64)>,
    /// The area of a large blank, against which scores are measured.
    unit: f64,
    /// How much it counts that free area lies together.
    together: f64,
    /// Every how manieth round part of a sheet is cut anew; 0 for never.
    recuts: usize,
    /// How much worse a layout may become at first; 0 for no worse than it was some rounds before.
    warmth: f64,
}

/// For one sheet, every how manieth round cuts part of it anew.
const RECUTS: usize = 20;
/// Rounds that are remembered.
const HISTORY: usize = 200;

impl<'a> Search<'a> {
    pub(crate) fn new(parts: &'a [Part], blanks: &'a [Blank], random: Random) -> Self {
        let unit = blanks.iter().map(|b| b.w * b.h).max().unwrap_or(1).max(1) as f64;
        let sets = (0..parts.len()).filter(|&k| parts[k].together && parts[k].count > 1).collect();
        Self {
            parts,
            blanks,
            random,
            sets,
            stamps: 0,
            known: Vec::new(),
            stack: Vec::new(),
            unit,
            together: 0.02,
            recuts: 0,
            warmth: 0.0,
        }
    }

    /// For one blank and the most value: free area does not count, and a good layout is worth about `unit`.
    pub(crate) const fn for_value(mut self, unit: f64) -> Self {
        self.unit = unit;
        self.together = 0.0;
        self.recuts = RECUTS;
        self
    }

    /// Nothing laid, everything waiting.
    pub(crate) fn empty(&self) -> State {
        let waiting: Vec<usize> = self.parts.iter().map(|p| p.count).collect();
        let waiting_value = self.parts.iter().map(|p| p.value * p.count as i64).sum();
        State { waiting, waiting_value, in_use: vec![0; self.blanks.len()], ..State::default() }
    }

    /// Puts in what fits, greatest first, within a cost.
    pub(crate) fn construct(&mut self, limit: i64, effort: &mut Effort<'_>) -> State {
        let mut state = self.empty();
        self.recreate(&mut state, limit, Rule::Match, &mut Vec::new(), effort);
        state
    }

    /// Lays whole sheets cut as the trees say, leaving out parts that are no longer wanted, then puts in what fits.
    pub(crate) fn follow(&mut self, trees: &[&Tree], blank: usize, limit: i64, effort: &mut Effort<'_>) -> State {
        let mut state = self.empty();
        let b = &self.blanks[blank];
        for &tree in trees {
            if state.cost + b.cost > limit || state.in_use[blank] >= b.count {
                break;
            }
            if !b.blemishes.is_empty() && place(tree, self.parts, b).is_none() {
                continue;
            }
            let mut tree = tree.clone();
            let mut free = b.w * b.h;
            for (leaf, kind) in tree.clone().leaves() {
                if state.waiting[kind] == 0 {
                    tree.remove(leaf, &mut Vec::new());
                    continue;
                }
                state.waiting[kind] -= 1;
                state.waiting_value -= self.parts[kind].value;
                free -= self.parts[kind].area();
            }
            if tree.root().is_some() {
                self.stamps += 1;
                state.sheets.push(Sheet { blank, tree, open: true, free, stamp: self.stamps });
                state.cost += b.cost;
                state.in_use[blank] += 1;
            }
        }
        self.recreate(&mut state, limit, Rule::Match, &mut Vec::new(), effort);
        state.score = self.score(&state);
        state
    }

    /// Closes sheets, the emptiest first, until the cost is within the limit.
    pub(crate) fn shrink(&mut self, state: &mut State, limit: i64) {
        while state.cost > limit && !state.sheets.is_empty() {
            let least = (0..state.sheets.len()).min_by_key(|&s| {
                let sheet = &state.sheets[s];
                let blank = &self.blanks[sheet.blank];
                (blank.w * blank.h - sheet.free) * 1000 / (blank.w * blank.h).max(1)
            });
            let mut taken = Vec::new();
            if let Some(s) = least {
                self.empty_sheet(state, s, &mut taken);
                state.sheets.retain(|s| s.open);
            }
        }
        state.score = self.score(state);
    }

    fn score(&self, state: &State) -> f64 {
        let even: f64 = state.sheets.iter().map(|s| (s.free as f64 / self.unit) * (s.free as f64 / self.unit)).sum();
        state.waiting_value as f64 / self.unit - self.together * even
    }

    /// For a long search, which at first may lose some of what it has, and less and less until its work is done.
    pub(crate) const fn warm(mut self, warmth: f64) -> Self {
        self.warmth = warmth;
        self
    }

    /// Works until nothing waits, `rounds` pass or the effort ends; `state` becomes the best found. Whether nothing waits.
    ///
    /// **References** Late acceptance: Burke & Bykov 2017, Eur. J. Oper. Res. 258:70–78; threshold acceptance: Dueck &
    /// Scheuer 1990, J. Comput. Phys. 90:161–175.
    pub(crate) fn improve(&mut self, state: &mut State, limit: i64, rounds: usize, effort: &mut Effort<'_>) -> bool {
        // Of the stamps that another search gave, none may be given again.
        self.stamps = state.sheets.iter().map(|s| s.stamp).fold(self.stamps, u64::max);
        state.score = self.score(state);
        let mut best: Option<State> = None;
        let mut best_value = state.waiting_value;
        let mut history = [state.score; HISTORY];
        let mut undo: Vec<(usize, Sheet)> = Vec::new();
        for round in 0..rounds {
            if state.waiting_value == 0 || effort.over() {
                break;
            }
            // What a round costs beside the spots it looks at.
            effort.spend(500 + 20 * self.parts.len() + 20 * state.sheets.len());
            undo.clear();
            let (before_value, before_score, before_cost) = (state.waiting_value, state.score, state.cost);
            let (before_waiting, before_use) = (state.waiting.clone(), state.in_use.clone());
            let sheets = state.sheets.len();
            if self.recuts > 0 && self.random.below(self.recuts) == 0 {
                self.recut(state, &mut undo, effort);
            } else {
                self.ruin(state, &mut undo);
            }
            let rule = RULES[self.random.below(RULES.len())];
            self.recreate(state, limit, rule, &mut undo, effort);
            state.score = self.score(state);
            let slot = &mut history[round % HISTORY];
            let worse = if self.warmth > 0.0 {
                before_score + self.warmth * (1.0 - effort.share_done()) * self.random.unit()
            } else {
                before_score.max(*slot)
            };
            if state.score <= worse {
                state.sheets.retain(|s| s.open);
                if state.waiting_value < best_value {
                    best_value = state.waiting_value;
                    best = Some(state.clone());
                }
            } else {
                state.sheets.truncate(sheets);
                for (s, sheet) in undo.drain(..).filter(|u| u.0 < sheets) {
                    state.sheets[s] = sheet;
                }
                state.waiting = before_waiting;
                state.in_use = before_use;
                (state.waiting_value, state.score, state.cost) = (before_value, before_score, before_cost);
            }
            *slot = state.score;
        }
        if let Some(best) = best.filter(|b| b.waiting_value < state.waiting_value) {
            *state = best;
        }
        state.waiting_value == 0
    }

    /// Takes out parts of a few sheets.
    fn ruin(&mut self, state: &mut State, undo: &mut Vec<(usize, Sheet)>) {
        if state.sheets.is_empty() {
            return;
        }
        let mut taken = Vec::new();
        let sheets = 1 + self.random.below(3.min(state.sheets.len()));
        for _ in 0..sheets {
            let s = self.random.below(state.sheets.len());
            if state.sheets[s].tree.root().is_none() {
                continue;
            }
            keep(undo, state, s);
            if self.random.below(4) == 0 {
                self.empty_sheet(state, s, &mut taken);
                continue;
            }
            let times = 1 + self.random.below(3);
            for _ in 0..times {
                let nodes: Vec<usize> = state.sheets[s].tree.live().collect();
                if nodes.is_empty() {
                    break;
                }
                let node = nodes[self.random.below(nodes.len())];
                taken.clear();
                state.sheets[s].tree.remove(node, &mut taken);
                self.took(state, s, &taken);
            }
        }
        self.complete(state, undo);
    }

    pub(super) fn blank(&self, sheet: &Sheet) -> &'a Blank {
        &self.blanks[sheet.blank]
    }

    pub(super) fn empty_sheet(&mut self, state: &mut State, s: usize, taken: &mut Vec<usize>) {
        taken.clear();
        if let Some(root) = state.sheets[s].tree.root() {
            state.sheets[s].tree.remove(root, taken);
            self.took(state, s, taken);
        }
    }

    /// Books parts taken out of a sheet.
    pub(super) fn took(&mut self, state: &mut State, s: usize, taken: &[usize]) {
        for &kind in taken {
            state.waiting[kind] += 1;
            state.waiting_value += self.parts[kind].value;
            state.sheets[s].free += self.parts[kind].area();
        }
        self.stamps += 1;
        let sheet = &mut state.sheets[s];
        sheet.stamp = self.stamps;
        if sheet.tree.root().is_none() && sheet.open {
            sheet.open = false;
            state.cost -= self.blanks[sheet.blank].cost;
            state.in_use[sheet.blank] -= 1;
        }
    }

    /// Puts waiting parts where the rule likes them best, into sheets in use and then into new ones.
    fn recreate(
        &mut self,
        state: &mut State,
        limit: i64,
        rule: Rule,
        undo: &mut Vec<(usize, Sheet)>,
        effort: &mut Effort<'_>,
    ) {
        let by = self.random.below(6);
        let noise = if self.random.below(2) == 0 { 0.0 } else { 0.4 };
        let mut order: Vec<(f64, usize)> = Vec::new();
        for (kind, part) in self.parts.iter().enumerate().filter(|(k, _)| state.waiting[*k] > 0) {
            let key = match by {
                0 => part.w.max(part.h) as f64,
                1 => part.w as f64,
                2 => part.h as f64,
                3 => part.value as f64,
                _ => part.area() as f64,
            };
            order.push((key * (1.0 - noise * self.random.unit()), kind));
        }
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let blink = self.random.below(3) * 2;
        for (_, kind) in order {
            if self.sets.contains(&kind) {
                self.put_set(state, kind, limit, rule, undo, effort);
                continue;
            }
            while state.waiting[kind] > 0 {
                let mut best: Option<(i64, usize, Spot)> = None;
                for s in 0..state.sheets.len() {
                    if blink > 0 && self.random.below(100) < blink {
                        continue;
                    }
                    if let Some((score, spot)) = self.spot(&state.sheets[s], s, kind, rule, effort)
                        && best.is_none_or(|b| score < b.0)
                    {
                        best = Some((score, s, spot));
                    }
                }
                let chosen = best.map(|(_, s, spot)| (s, spot)).or_else(|| self.open(state, kind, limit, undo));
                let Some((s, spot)) = chosen else { break };
                keep(undo, state, s);
                self.put(state, s, kind, spot);
            }
        }
    }

    pub(super) fn put(&mut self, state: &mut State, s: usize, kind: usize, spot: Spot) {
        let part = self.parts[kind];
        let (w, h) = if spot.turned { (part.h, part.w) } else { (part.w, part.h) };
        let sheet = &mut state.sheets[s];
        sheet.tree.insert(kind, w, h, spot);
        sheet.free -= part.area();
        self.stamps += 1;
        sheet.stamp = self.stamps;
        state.waiting[kind] -= 1;
        state.waiting_value -= part.value;
    }

    /// Takes another blank into use for a part, if one is left that it fits and the limit allows.
    pub(super) fn open(
        &mut self,
        state: &mut State,
        kind: usize,
        limit: i64,
        undo: &mut Vec<(usize, Sheet)>,
    ) -> Option<(usize, Spot)> {
        let able: Vec<(usize, bool)> = (0..self.blanks.len())
            .filter(|&b| state.in_use[b] < self.blanks[b].count && state.cost + self.blanks[b].cost <= limit)
            .filter_map(|b| lies_on(self.parts, kind, &self.blanks[b]).map(|turned| (b, turned)))
            .collect();
        let &(blank, turned) = able.get(self.random.below(able.len()))?;
        let b = &self.blanks[blank];
        self.stamps += 1;
        let sheet = Sheet { blank, tree: Tree::default(), open: true, free: b.w * b.h, stamp: self.stamps };
        state.cost += b.cost;
        state.in_use[blank] += 1;
        let s = state.sheets.iter().position(|s| !s.open).unwrap_or(state.sheets.len());
        if s == state.sheets.len() {
            state.sheets.push(sheet);
        } else {
            keep(undo, state, s);
            state.sheets[s] = sheet;
        }
        Some((s, Spot { node: None, join: Join::Beside, before: false, turned }))
    }

    /// The spot on a sheet that the rule likes best, with its score; smaller is better.
    pub(super) fn spot(
        &mut self,
        sheet: &Sheet,
        s: usize,
        kind: usize,
        rule: Rule,
        effort: &mut Effort<'_>,
    ) -> Option<(i64, Spot)> {
        let part = self.parts[kind];
        if !sheet.open || part.area() > sheet.free || (self.blanks[sheet.blank].best && !part.shows) {
            return None;
        }
        let at = s * self.parts.len() + kind;
        if at >= self.known.len() {
            self.known.resize(at + 1, [Known { stamp: 0, spot: None }; RULES.len()]);
        }
        let known = &self.known[at][rule as usize];
        if known.stamp == sheet.stamp {
            return known.spot;
        }
        effort.spend(40 * sheet.tree.parts() + 20);
        let blank = &self.blanks[sheet.blank];
        let spot = spots::best(&sheet.tree, self.parts, kind, blank, rule, &mut self.stack);
        self.known[at][rule as usize] = Known { stamp: sheet.stamp, spot };
        if spot.is_none() {
            // No rule will find what is not there.
            self.known[at] = [Known { stamp: sheet.stamp, spot: None }; RULES.len()];
        }
        spot
    }
}

/// Remembers a sheet as it was before this round, once.
pub(super) fn keep(undo: &mut Vec<(usize, Sheet)>, state: &State, s: usize) {
    if !undo.iter().any(|u| u.0 == s) {
        undo.push((s, state.sheets[s].clone()));
    }
}
