//! Rules of shelves.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::bearing::{self, Bearing};
use crate::finding::Level;
use crate::frame::Axis;
use crate::part::Role;
use crate::weight::GRAVITY;

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

pub(super) const SHELF_SAG: Rule = Rule {
    id: "shelf-sag",
    level: Level::Caution,
    asks: "Under its load a shelf, or the bottom, bends at once by 1/144 of its span at most, and is stressed to a quarter of its strength at most.",
    why: "One that bends more is seen to, drops its books forward, and goes on sagging for years.",
    source: "Architectural Woodwork Standards (2009), section 10, 1.2.21.2 (50 lb/ft² for books, 40 lb/ft² otherwise) and 1.2.21.3; \
             ANSI/KCMA A161.1-2012, 5.1 (15 lb/ft² in kitchens); deflection by Wood Handbook, FPL-GTR-190 (2010), eq. 9-2; the \
             quarter is common practice, no source",
    check: sag,
};

fn sag(at: &mut Inspection<'_>) {
    let all = bearing::bearings(at.case);
    // The worst stands for its likes.
    let worst = all.iter().filter(|b| b.first > b.span * bearing::FIRST).max_by(|a, b| a.first.total_cmp(&b.first));
    if let Some(b) = worst {
        let (name, longest) = (at.case.part(b.part).name.clone(), at.show_down(b.longest));
        let figure = format!("{} at once, {} in years", at.show_mm(b.first), at.show_mm(b.years));
        let limit = format!("{} at once", at.show_mm(b.span * bearing::FIRST));
        let what = format!("the {name} bends under {:.0} kg over {}", b.load / GRAVITY, at.show_mm(b.span));
        let advice = format!("thicken it, edge it, load it less, or give it another support at {longest}");
        at.find(&[b.part], what, figure, limit, advice);
    }
    let stressed = |b: &&Bearing| b.stress > b.rupture * bearing::STRESSED;
    if let Some(b) = all.iter().filter(stressed).max_by(|a, b| a.stress.total_cmp(&b.stress)) {
        let what = format!("the {} may break in time under {:.0} kg", at.case.part(b.part).name, b.load / GRAVITY);
        let limit = format!("at most {:.1} MPa", b.rupture * bearing::STRESSED);
        let advice = "thicken it, load it less, or give it another support";
        at.find(&[b.part], what, format!("{:.1} MPa", b.stress), limit, advice);
    }
}

pub(super) const SHELF_SIGHT: Rule = Rule {
    id: "shelf-sight",
    level: Level::Note,
    asks: "In years a loaded shelf sags by no more than is just seen, 1/32 in to the foot.",
    why: "Wood goes on bending under a load that stays: in years about as much again as at once, sheets of chips and fibres more.",
    source: "creep by Wood Handbook, FPL-GTR-190 (2010), chapter 5; what is just seen by workshop guides, no standard",
    check: sight,
};

fn sight(at: &mut Inspection<'_>) {
    let all = bearing::bearings(at.case);
    let seen = |b: &&Bearing| b.years > b.span * bearing::SEEN;
    let Some(b) = all.iter().filter(seen).max_by(|a, b| a.years.total_cmp(&b.years)) else { return };
    let name = at.case.part(b.part).name.clone();
    let what = format!("the {name} will be seen to sag in years under {:.0} kg", b.load / GRAVITY);
    let limit = format!("at most {}", at.show_mm(b.span * bearing::SEEN));
    let advice = match b.edged {
        Some(edged) => format!(
            "load it less, turn it over now and then, or glue an edging of 3/4 × 1 1/2 in to its front: {} then",
            at.show_mm(edged)
        ),
        None if at.case.part(b.part).role == Role::Shelf => {
            String::from("load it less, turn it over now and then, or give it another support")
        }
        None => String::from("load it less, or use higher rails"),
    };
    at.find(&[b.part], what, at.show_mm(b.years), limit, advice);
}
