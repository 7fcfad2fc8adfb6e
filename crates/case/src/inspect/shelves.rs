//! Rules of shelves.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::frame::Axis;
use crate::part::Role;

pub(super) const SHELF_HOLES: Rule = Rule {
    id: "shelf-places",
    level: Level::Stop,
    asks: "Every loose shelf has holes of its own, and 3 in clear to the next one.",
    why: "Shelves that share a hole or stand closer hold nothing.",
    source: "common practice, no source",
    check: places,
};

fn places(at: &mut Inspection<'_>) {
    let Some(s) = at.spec.shelves.clone() else { return };
    if s.count + s.fixed == 0 {
        return;
    }
    let mut faces: Vec<_> = at
        .case
        .parts
        .iter()
        .filter(|p| matches!(p.role, Role::Shelf | Role::Bottom))
        .map(|p| (p.case_box().along(Axis::Z), p.id))
        .collect();
    faces.sort();
    let least = inches(3, 1);
    let tight = faces.windows(2).map(|w| (w[1].0[0] - w[0].0[1], w[1].1)).min();
    if let Some((clear, id)) = tight {
        let count = s.count + s.fixed;
        at.at_least(
            &[id],
            &format!("{count} shelves are too many: clear height between two"),
            clear,
            least,
            "order fewer shelves or a higher piece",
        );
    }
    let bored = at.case.parts.iter().any(|p| p.cuts.iter().any(|c| c.purpose == crate::Purpose::PinHole));
    if s.count > 0 && !bored {
        let limit = format!("holes from {} above the bottom", at.show(s.clear));
        at.find(
            &[],
            "there is no room for a row of shelf-pin holes",
            "0 holes".into(),
            limit,
            "order a higher piece, or no loose shelves",
        );
    }
    let door = at.spec.doors.as_ref().map_or(Length::ZERO, |d| at.spec.rails.setback + d.setback + d.thickness);
    let row = at.spec.posts.side - s.from_arris - s.pin.half();
    at.at_least(
        &[],
        "the row of shelf pins is in the doors' way",
        row,
        door,
        "set the row further back or use thicker posts",
    );
}

pub(super) const SHELF_SPAN: Rule = Rule {
    id: "shelf-span",
    level: Level::Caution,
    asks: "A shelf that may carry books spans 36 in at most.",
    why: "Longer ones sag so that it shows.",
    source: "Dana, A Library Primer, ch. VIII: shelves no longer than 3 ft",
    check: span,
};

fn span(at: &mut Inspection<'_>) {
    let longest = at.case.parts.iter().filter(|p| p.role == Role::Shelf).map(|p| (p.size[0], p.id)).max();
    if let Some((length, id)) = longest {
        at.at_most(
            &[id],
            "the shelves are long for books: expect them to sag",
            length,
            inches(36, 1),
            "load them lightly, or use a thicker shelf or a support",
        );
    }
}
