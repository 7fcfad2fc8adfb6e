//! Parts that belong together, such as the staves of a panel: all on one sheet, or all waiting.

use super::search::{Search, Sheet, State, keep};
use super::spots::Rule;
use crate::effort::Effort;

/// How many new sheets are tried for a set.
const NEW_SHEETS: usize = 4;

impl Search<'_> {
    /// Takes out what is left of sets that have lost a part: a set lies on one sheet or not at all.
    pub(super) fn complete(&mut self, state: &mut State, undo: &mut Vec<(usize, Sheet)>) {
        for kind in self.sets.clone() {
            if state.waiting[kind] == 0 || state.waiting[kind] == self.parts[kind].count {
                continue;
            }
            for s in 0..state.sheets.len() {
                loop {
                    let leaf = state.sheets[s].tree.leaves().find(|l| l.1 == kind).map(|l| l.0);
                    let Some(leaf) = leaf else { break };
                    keep(undo, state, s);
                    let mut taken = Vec::new();
                    state.sheets[s].tree.remove(leaf, &mut taken);
                    self.took(state, s, &taken);
                }
            }
        }
    }

    /// Puts all parts of a set on one sheet, or none.
    pub(super) fn put_set(
        &mut self,
        state: &mut State,
        kind: usize,
        limit: i64,
        rule: Rule,
        undo: &mut Vec<(usize, Sheet)>,
        effort: &mut Effort<'_>,
    ) {
        let area = self.parts[kind].area() * self.parts[kind].count as i64;
        let mut sheets: Vec<(i64, usize)> = Vec::new();
        for s in (0..state.sheets.len()).filter(|&s| state.sheets[s].free >= area) {
            if let Some((score, _)) = self.spot(&state.sheets[s], s, kind, rule, effort) {
                sheets.push((score, s));
            }
        }
        sheets.sort_unstable();
        for (_, s) in sheets {
            keep(undo, state, s);
            let before = state.sheets[s].clone();
            if self.put_all(state, s, kind, rule, effort) {
                return;
            }
            let laid = self.parts[kind].count - state.waiting[kind];
            state.waiting[kind] += laid;
            state.waiting_value += self.parts[kind].value * laid as i64;
            state.sheets[s] = before;
        }
        for _ in 0..NEW_SHEETS {
            let Some((s, spot)) = self.open(state, kind, limit, undo) else { return };
            keep(undo, state, s);
            self.put(state, s, kind, spot);
            if self.put_all(state, s, kind, rule, effort) {
                return;
            }
            self.empty_sheet(state, s, &mut Vec::new());
        }
    }

    /// Puts the waiting parts of a kind on a sheet, as far as they go; whether all did.
    fn put_all(&mut self, state: &mut State, s: usize, kind: usize, rule: Rule, effort: &mut Effort<'_>) -> bool {
        while state.waiting[kind] > 0 {
            let Some((_, spot)) = self.spot(&state.sheets[s], s, kind, rule, effort) else { return false };
            self.put(state, s, kind, spot);
        }
        true
    }
}
