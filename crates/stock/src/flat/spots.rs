//! Where in a tree one more part goes best.

use super::place::place;
use super::tree::{Join, Node, Spot, Tree};
use super::{Blank, Part};

/// How spots are judged; one rule for a whole recreation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Least area lost between the part and what it joins.
    Match,
    /// Least growth of the box around all parts.
    Box,
    /// Least room left beside the part.
    Fit,
}

pub(crate) const RULES: [Rule; 3] = [Rule::Match, Rule::Box, Rule::Fit];

/// The spot for a part that the rule likes best, with its score; smaller is better. `stack` is scratch space.
pub(crate) fn best(
    tree: &Tree,
    parts: &[Part],
    kind: usize,
    blank: &Blank,
    rule: Rule,
    stack: &mut Vec<(usize, i64, i64)>,
) -> Option<(i64, Spot)> {
    let box_of_all = tree.root().map_or((0, 0), |r| (tree.node(r).w, tree.node(r).h));
    let flawed = !blank.blemishes.is_empty();
    let mut best: Option<(i64, Spot)> = None;
    let mut all: Vec<(i64, Spot)> = Vec::new();
    for (w, h, turned) in parts[kind].ways() {
        tree.rooms(blank.w, blank.h, stack, |i, node, room_w, room_h| {
            for join in [Join::Beside, Join::Above] {
                let Some(judged) = judge(node, (w, h), (room_w, room_h), join) else { continue };
                let score = judged.score(rule, box_of_all, blank);
                let spot = Spot { node: Some(i), join, before: false, turned };
                if flawed {
                    all.extend([(score, spot), (score, Spot { before: true, ..spot })]);
                } else if best.is_none_or(|b| score < b.0) {
                    best = Some((score, spot));
                }
            }
        });
    }
    if !flawed {
        return best;
    }
    all.sort_by_key(|s| s.0);
    all.into_iter().find(|&(_, spot)| {
        let mut tried = tree.clone();
        let (w, h) = if spot.turned { (parts[kind].h, parts[kind].w) } else { (parts[kind].w, parts[kind].h) };
        tried.insert(kind, w, h, spot);
        place(&tried, parts, blank).is_some()
    })
}

/// What a spot does to the layout.
struct Judged {
    /// Area lost beside the smaller of the two that are joined.
    lost: i64,
    /// The lesser of the rooms that stay beside the part.
    short: i64,
    /// How much the node grows.
    grown: (i64, i64),
    /// How much it might have grown.
    slack: (i64, i64),
}

/// A part of size `w` × `h` joined to a node that may grow to `room`; `None` if it does not fit.
fn judge(node: &Node, (w, h): (i64, i64), room: (i64, i64), join: Join) -> Option<Judged> {
    let slack = (room.0 - node.w, room.1 - node.h);
    let fits = match join {
        Join::Beside => w <= slack.0 && h <= room.1,
        Join::Above => h <= slack.1 && w <= room.0,
    };
    fits.then(|| match join {
        Join::Beside => Judged {
            lost: if h < node.h { (node.h - h) * w } else { (h - node.h) * node.w },
            short: (slack.0 - w).min(room.1 - h),
            grown: (w, (h - node.h).max(0)),
            slack,
        },
        Join::Above => Judged {
            lost: if w < node.w { (node.w - w) * h } else { (w - node.w) * node.h },
            short: (slack.1 - h).min(room.0 - w),
            grown: ((w - node.w).max(0), h),
            slack,
        },
    })
}

impl Judged {
    fn score(&self, rule: Rule, box_of_all: (i64, i64), blank: &Blank) -> i64 {
        match rule {
            Rule::Match => self.lost,
            Rule::Box => {
                // Room inside the box is what the node has beyond what the box has left on the blank.
                let dw = (self.grown.0 - (self.slack.0 - (blank.w - box_of_all.0))).max(0);
                let dh = (self.grown.1 - (self.slack.1 - (blank.h - box_of_all.1))).max(0);
                (box_of_all.0 + dw) * (box_of_all.1 + dh) + self.lost / 8
            }
            Rule::Fit => self.short * 1000 + self.lost / 64,
        }
    }
}

/// The first way in which a part lies on an empty blank, if there is one; its turn.
pub(crate) fn lies_on(parts: &[Part], kind: usize, blank: &Blank) -> Option<bool> {
    let lies = |&(w, h, turned): &(i64, i64, bool)| {
        let mut tree = Tree::default();
        tree.insert(kind, w, h, Spot { node: None, join: Join::Beside, before: false, turned });
        place(&tree, parts, blank).is_some()
    };
    if blank.best && !parts[kind].shows {
        return None;
    }
    parts[kind].ways().find(lies).map(|(_, _, turned)| turned)
}
