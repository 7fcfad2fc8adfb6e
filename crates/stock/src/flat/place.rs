//! Where the parts of a tree lie: the tree laid out from the corner, parts moved on past what they may not touch.

use super::tree::{Join, Tree, What};
use super::{Blank, Blemish, Part, Placed};

/// Positions for all parts of a tree on a blank, or `None` where its blemishes leave no room.
pub(crate) fn place(tree: &Tree, parts: &[Part], blank: &Blank) -> Option<Vec<Placed>> {
    let Blank { w, h, ref blemishes, .. } = *blank;
    let mut laying = Laying { tree, parts, blemishes, placed: Vec::with_capacity(tree.parts()) };
    if let Some(root) = tree.root() {
        laying.lay(root, Room { x: 0, y: 0, w, h }, Join::Beside)?;
    }
    Some(laying.placed)
}

struct Laying<'a> {
    tree: &'a Tree,
    parts: &'a [Part],
    blemishes: &'a [Blemish],
    placed: Vec<Placed>,
}

#[derive(Clone, Copy)]
struct Room {
    x: i64,
    y: i64,
    w: i64,
    h: i64,
}

impl Laying<'_> {
    /// Lays a node into the corner of a room and says how much of the room it takes.
    fn lay(&mut self, node: usize, room: Room, within: Join) -> Option<(i64, i64)> {
        let n = *self.tree.node(node);
        if n.w > room.w || n.h > room.h {
            return None;
        }
        match n.what {
            What::Part { kind, turned } => {
                let (x, y) = self.clear(n.w, n.h, self.parts[kind].shows, room, within)?;
                self.placed.push(Placed { kind, turned, x, y, w: n.w, h: n.h });
                Some((x + n.w - room.x, y + n.h - room.y))
            }
            What::Pair { join: Join::Beside, first, second } => {
                let most = room.w - self.tree.node(second).w;
                let (aw, ah) = self.tight(first, Room { w: most, ..room }, Join::Beside)?;
                let (bw, bh) = self.tight(second, Room { x: room.x + aw, w: room.w - aw, ..room }, Join::Beside)?;
                Some((aw + bw, ah.max(bh)))
            }
            What::Pair { join: Join::Above, first, second } => {
                let most = room.h - self.tree.node(second).h;
                let (aw, ah) = self.tight(first, Room { h: most, ..room }, Join::Above)?;
                let (bw, bh) = self.tight(second, Room { y: room.y + ah, h: room.h - ah, ..room }, Join::Above)?;
                Some((aw.max(bw), ah + bh))
            }
            What::Gone => None,
        }
    }

    /// As [`lay`](Self::lay), first without taking more than the least size along the join.
    fn tight(&mut self, node: usize, room: Room, within: Join) -> Option<(i64, i64)> {
        let n = self.tree.node(node);
        let crossing = !self.blemishes.is_empty() && matches!(n.what, What::Pair { join, .. } if join != within);
        if crossing {
            let snug = match within {
                Join::Beside => Room { w: n.w.min(room.w), ..room },
                Join::Above => Room { h: n.h.min(room.h), ..room },
            };
            let before = self.placed.len();
            if let Some(taken) = self.lay(node, snug, within) {
                return Some(taken);
            }
            self.placed.truncate(before);
        }
        self.lay(node, room, within)
    }

    /// The first clear position in a room; across the join it may move freely, along it as little as can be.
    fn clear(&self, w: i64, h: i64, shows: bool, room: Room, within: Join) -> Option<(i64, i64)> {
        let hits = |x: i64, y: i64| self.blemishes.iter().any(|b| b.bars(shows, x, y, w, h));
        if !hits(room.x, room.y) {
            return Some((room.x, room.y));
        }
        let stops = |from: i64, most: i64, edge: fn(&Blemish) -> i64| {
            let mut stops: Vec<i64> =
                self.blemishes.iter().map(edge).filter(|&e| e > from && e <= most).chain([from]).collect();
            stops.sort_unstable();
            stops
        };
        let xs = stops(room.x, room.x + room.w - w, |b| b.x1);
        let ys = stops(room.y, room.y + room.h - h, |b| b.y1);
        let free = |(x, y): &(i64, i64)| !hits(*x, *y);
        match within {
            Join::Beside => xs.iter().flat_map(|&x| ys.iter().map(move |&y| (x, y))).find(free),
            Join::Above => ys.iter().flat_map(|&y| xs.iter().map(move |&x| (x, y))).find(free),
        }
    }
}
