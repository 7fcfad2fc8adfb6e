//! Rules of size: every part has one, and together they measure what was ordered.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::frame::Axis;

pub(super) const PART_SIZE: Rule = Rule {
    id: "part-size",
    level: Level::Stop,
    asks: "Every part is at least 1/8 in thick and wide, and 1/4 in long.",
    why: "A part that comes out thinner cannot be made, and a negative size says that the parts around it have no room.",
    source: "geometry; the least size is common practice, no source",
    check: part_size,
};

fn part_size(at: &mut Inspection<'_>) {
    let parts: Vec<_> = at.firsts().map(|p| (p.id, p.name.clone(), p.size)).collect();
    for (id, name, size) in parts {
        for (axis, what, least) in [(0, "long", inches(1, 4)), (1, "wide", inches(1, 8)), (2, "thick", inches(1, 8))] {
            if size[axis] < least {
                let what = format!("the {name} comes out too small to be made: how {what} it is");
                at.at_least(&[id], &what, size[axis], least, "make the piece larger or the parts around it smaller");
                break;
            }
        }
    }
}

pub(super) const SIZE_CLOSES: Rule = Rule {
    id: "size-closes",
    level: Level::Stop,
    asks: "The placed parts together measure exactly the ordered width, depth and height.",
    why: "Anything that stands beyond the ordered size, or leaves it unfilled, is a mistake in the design.",
    source: "geometry",
    check: size_closes,
};

fn size_closes(at: &mut Inspection<'_>) {
    let Some(union) = at.case.parts.iter().map(super::Part::case_box).reduce(|a, b| a.union(&b)) else { return };
    let size = union.size();
    for (axis, name) in [(Axis::X, "width"), (Axis::Y, "depth"), (Axis::Z, "height")] {
        let (found, ordered) = (size[axis.index()], at.case.size[axis.index()]);
        if found != ordered {
            let proud: Vec<_> = at
                .case
                .parts
                .iter()
                .filter(|p| {
                    let [low, high] = p.case_box().along(axis);
                    [low, high] == union.along(axis) || low == union.along(axis)[0] || high == union.along(axis)[1]
                })
                .map(|p| p.id)
                .take(4)
                .collect();
            let limit = format!("exactly {}", at.show(ordered));
            let advice = "let the top overhang everything that stands proud, pegs and panels included";
            at.find(&proud, format!("the parts do not add up to the ordered {name}"), at.show(found), limit, advice);
        }
    }
    if union.min[2] != Length::ZERO {
        at.at_least(
            &[],
            "the piece does not stand on the floor: its lowest part",
            union.min[2],
            Length::ZERO,
            "raise the lower rails",
        );
    }
}
