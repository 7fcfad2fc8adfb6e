//! Cuts part of a layout anew: the room of one branch, from the parts that lie in it and those that wait, by the program that
//! keeps their numbers. What ruin and recreate finds by luck, where a dozen parts must fit to the last sliver, this finds
//! by itself.

use super::Part;
use super::counted::Counted;
use super::place::place;
use super::search::{Search, Sheet, State, keep};
use crate::effort::Effort;

/// Cuttings kept for each size of rectangle.
const KEPT: usize = 4;
/// Sums along a side of the room at most.
const SUMS: usize = 60;
/// Kinds of part at most.
const KINDS: usize = 28;
/// Parts in the branch at most.
const PARTS: usize = 16;

impl Search<'_> {
    /// Cuts a branch of a sheet anew; perhaps with parts from another branch too, whose place is then free.
    pub(super) fn recut(&mut self, state: &mut State, undo: &mut Vec<(usize, Sheet)>, effort: &mut Effort<'_>) {
        let open: Vec<usize> = (0..state.sheets.len()).filter(|&s| state.sheets[s].tree.root().is_some()).collect();
        let Some(&s) = open.get(self.random.below(open.len())) else { return };
        let Some(room) = self.room(&state.sheets[s]) else { return };
        let blank = self.blank(&state.sheets[s]);
        let mut in_branch = vec![0; self.parts.len()];
        state.sheets[s].tree.kinds(room.node).for_each(|kind| in_branch[kind] += 1);
        let waits =
            |&kind: &usize| in_branch[kind] == 0 && state.waiting[kind] > 0 && (self.parts[kind].shows || !blank.best);
        let mut kinds: Vec<usize> = (0..self.parts.len()).filter(|&kind| in_branch[kind] > 0).collect();
        let mut others: Vec<usize> = (0..self.parts.len()).filter(waits).collect();
        while kinds.len() < KINDS && !others.is_empty() {
            kinds.push(others.swap_remove(self.random.below(others.len())));
        }
        if kinds.iter().any(|kind| self.sets.contains(kind)) {
            return;
        }
        let parts: Vec<Part> = kinds
            .iter()
            .map(|&kind| Part { count: in_branch[kind] + state.waiting[kind], ..self.parts[kind] })
            .collect();
        // Other values each time, or the same cutting would come again.
        let noise = [0.001, 0.01, 0.04][self.random.below(3)];
        let values: Vec<f64> =
            parts.iter().map(|part| part.value as f64 * (1.0 + noise * (self.random.unit() - 0.5))).collect();
        let Some(cutting) = Counted::new(&parts, room.w, room.h, KEPT, SUMS).tree(&values, effort) else { return };
        let mut tree = state.sheets[s].tree.clone();
        let mut taken = Vec::new();
        tree.graft(room.node, &cutting, &kinds, &mut taken);
        if !blank.blemishes.is_empty() && place(&tree, self.parts, blank).is_none() {
            return;
        }
        keep(undo, state, s);
        state.sheets[s].tree = tree;
        self.took(state, s, &taken);
        for kind in cutting.leaves().map(|(_, k)| kinds[k]) {
            state.waiting[kind] -= 1;
            state.waiting_value -= self.parts[kind].value;
            state.sheets[s].free -= self.parts[kind].area();
        }
    }

    /// A branch of a few parts, and the room that it may take.
    fn room(&mut self, sheet: &Sheet) -> Option<Room> {
        let blank = self.blank(sheet);
        let mut rooms: Vec<Room> = Vec::new();
        sheet.tree.rooms(blank.w, blank.h, &mut self.stack, |node, _, w, h| rooms.push(Room { node, w, h }));
        rooms.retain(|room| (2..=PARTS).contains(&sheet.tree.kinds(room.node).count()));
        (!rooms.is_empty()).then(|| rooms.swap_remove(self.random.below(rooms.len())))
    }
}

struct Room {
    node: usize,
    w: i64,
    h: i64,
}
