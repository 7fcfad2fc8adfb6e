//! Rules of cuts: each lies in its blank, keeps clear of the others, and leaves a wall behind it.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::frame::Axis;
use crate::part::{Cut, Part, Purpose};

pub(super) const CUT_IN_BLANK: Rule = Rule {
    id: "cut-in-blank",
    level: Level::Stop,
    asks: "Every cut lies in its blank and takes something away.",
    why: "A cut that leaves its blank belongs to a part that is too small for it.",
    source: "geometry",
    check: cut_in_blank,
};

fn cut_in_blank(at: &mut Inspection<'_>) {
    let mut out = Vec::new();
    for part in at.firsts() {
        for (i, cut) in part.cuts.iter().enumerate() {
            let b = cut.bounds(part.size);
            let over = Axis::ALL
                .into_iter()
                .map(|a| (-b.min[a.index()]).max(b.max[a.index()] - part.size[a.index()]))
                .max()
                .unwrap_or_default();
            let empty = b.size().into_iter().min().unwrap_or_default() <= Length::ZERO;
            if over > Length::ZERO || empty {
                out.push((part.id, part.name.clone(), part.cut_id(i), cut.purpose.name(), over));
            }
        }
    }
    for (id, name, cut, purpose, over) in out {
        let what = format!("the {purpose} {cut} does not fit the {name}");
        let (figure, limit) = (format!("{} beyond the blank", at.show(over)), "inside the blank".into());
        at.find(&[id], what, figure, limit, "give the part more size, or the cut less");
    }
}

pub(super) const CUTS_MEET: Rule = Rule {
    id: "cuts-meet",
    level: Level::Stop,
    asks: "Mortises, holes, pockets, gains and housings of one part do not run into one another.",
    why: "Where two meet, neither holds: a pin drops into a mortise, a hinge screw into a hole.",
    source: "geometry; a peg through its own mortise and mitred tenons excepted",
    check: cuts_meet,
};

fn cuts_meet(at: &mut Inspection<'_>) {
    let mut out = Vec::new();
    for part in at.firsts() {
        let apart: Vec<(usize, &Cut)> = part.cuts.iter().enumerate().filter(|(_, c)| stands_alone(c.purpose)).collect();
        for (n, (i, a)) in apart.iter().enumerate() {
            let box_a = a.bounds(part.size);
            for (k, c) in &apart[n + 1..] {
                if may_meet(at, a, c) {
                    continue;
                }
                if let Some(common) = box_a.intersection(&c.bounds(part.size)) {
                    let least = common.size().into_iter().min().unwrap_or_default();
                    let what = format!(
                        "in the {}, the {} {} and the {} {} run into one another",
                        part.name,
                        a.purpose.name(),
                        part.cut_id(*i),
                        c.purpose.name(),
                        part.cut_id(*k)
                    );
                    out.push((part.id, what, least));
                }
            }
        }
    }
    out.dedup_by_key(|(id, ..)| *id);
    for (id, what, common) in out {
        at.find(&[id], what, format!("{} in common", at.show(common)), "none".into(), "move one of them");
    }
}

const fn stands_alone(p: Purpose) -> bool {
    use Purpose as P;
    matches!(
        p,
        P::Mortise
            | P::PinHole
            | P::HingeGain
            | P::KnobHole
            | P::CatchHole
            | P::StrikeGain
            | P::ButtonPocket
            | P::PegMortise
            | P::Housing
            | P::ScrewHole
    )
}

fn may_meet(at: &Inspection<'_>, a: &Cut, c: &Cut) -> bool {
    use design::spec::Meeting;
    let pair = [a.purpose, c.purpose];
    let mitred = at.spec.rails.tenon.meeting == Meeting::Mitred;
    pair.contains(&Purpose::PegMortise) && pair.contains(&Purpose::Mortise) || mitred && pair == [Purpose::Mortise; 2]
}

pub(super) const MORTISE_WALL: Rule = Rule {
    id: "mortise-wall",
    level: Level::Stop,
    asks: "Behind every blind mortise, hole and housing at least 1/8 in of wood is left.",
    why: "A thinner wall breaks through under the chisel or the bit.",
    source: "common practice, no source",
    check: mortise_wall,
};

fn mortise_wall(at: &mut Inspection<'_>) {
    let least = inches(1, 8);
    let out: Vec<_> = at
        .firsts()
        .flat_map(|part| {
            let thin = |c: &&Cut| stands_alone(c.purpose) && !part.is_through(c) && behind(part, c) < least;
            part.cuts.iter().find(thin).map(|c| (part.id, part.name.clone(), c.purpose.name(), behind(part, c)))
        })
        .collect();
    for (id, name, purpose, wall) in out {
        let what = format!("too little wood is left behind the {purpose} in the {name}");
        at.at_least(&[id], &what, wall, least, "shorten the tenon or thicken the part");
    }
}

fn behind(part: &Part, c: &Cut) -> Length {
    part.size[c.from.axis.index()] - c.depth
}
