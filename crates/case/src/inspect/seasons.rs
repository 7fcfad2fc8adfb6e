//! Rules of the seasons: nothing binds in the wet one, nothing comes out in the dry one, and the wood is known.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::part::{Material, Role};
use crate::seasons::Play;

pub(super) const WOOD_KNOWN: Rule = Rule {
    id: "wood-known",
    level: Level::Caution,
    asks: "Of every wood and sheet its movement, weight and strength are known.",
    why: "Of an unknown wood the room to move, the sag of shelves and the weight rest on the liveliest and weakest of the known ones.",
    source: "Wood Handbook, FPL-GTR-190 (2010), tables 4-3 and 13-5, for the woods that are built in",
    check: wood_known,
};

fn wood_known(at: &mut Inspection<'_>) {
    let mut seen: Vec<&Material> = Vec::new();
    let mut out = Vec::new();
    for part in &at.case.parts {
        if seen.iter().any(|m| m.name == part.material.name) {
            continue;
        }
        seen.push(&part.material);
        if let Err(near) = at.case.seasons.is_known(&part.material) {
            let advice = match near {
                Some(near) => format!("write `{near}`, or describe it in a file of your own that `[shop] woods` names"),
                None => String::from("describe it in a file of your own that `[shop] woods` names"),
            };
            out.push((part.id, part.material.name.clone(), advice));
        }
    }
    for (id, name, advice) in out {
        let limit = "a wood that is built in, or one's own".into();
        at.find(&[id], format!("nothing is known of {name}"), name, limit, advice);
    }
}

pub(super) const BINDS: Rule = Rule {
    id: "season-binds",
    level: Level::Stop,
    asks: "In every season a part that may move has room: panels in their grooves, boards round their posts, doors in their gaps, the top at its buttons.",
    why: "Wood that swells against its frame bursts it, or splits; a door that swells will not shut.",
    source: "movement by Wood Handbook, FPL-GTR-190 (2010), table 13-5 and eq. 13-2, or table 4-3 and eq. 13-3; the room by geometry",
    check: binds,
};

fn binds(at: &mut Inspection<'_>) {
    for play in at.case.plays.iter().filter(|p| p.least_room() < Length::ZERO) {
        let what = format!("too little room in the {} season: {}", worst(&play.room), play.place);
        let figure = at.show_fine(play.least_room());
        at.find(&play.parts, what, figure, "no less than nothing".into(), ADVICE);
    }
}

pub(super) const LEAVES: Rule = Rule {
    id: "season-leaves",
    level: Level::Stop,
    asks: "In every season a panel, pushed to one side, is still held on the other; so are the bottom and the top's buttons.",
    why: "A panel that shrinks out of its groove lets light and dust through and rattles; a button that lets go holds nothing.",
    source: "movement as for `season-binds`; the hold by geometry",
    check: leaves,
};

fn leaves(at: &mut Inspection<'_>) {
    for play in &at.case.plays {
        let Some((least, hold)) = play.least_hold().zip(play.hold) else { continue };
        if least < Length::ZERO {
            let what = format!("nothing holds it in the {} season: {}", worst(&hold), play.place);
            at.find(&play.parts, what, at.show_fine(least), "no less than nothing".into(), ADVICE);
        }
    }
}

const ADVICE: &str = "use quarter-sawn boards or a calmer wood, a narrower part or a deeper groove; or bring the workshop's climate nearer to the room's";

/// The season of the least of three figures.
fn worst(figures: &[Length; 3]) -> &'static str {
    let names = ["workshop's", "dry", "wet"];
    let least = figures.iter().enumerate().min_by_key(|(_, l)| **l);
    names[least.map_or(0, |(i, _)| i)]
}

pub(super) const HELD: Rule = Rule {
    id: "season-hold",
    level: Level::Caution,
    asks: "Through all seasons at least 1/16 in of a panel's edge stays in its groove, pushed to the other side.",
    why: "Real boards move more or less than the tables say; a little is kept in hand.",
    source: "common practice, no source",
    check: held,
};

fn held(at: &mut Inspection<'_>) {
    let few = |play: &&Play| play.least_hold().is_some_and(|h| (Length::ZERO..crate::seasons::HOLD).contains(&h));
    for play in at.case.plays.iter().filter(few) {
        let what = format!("little is held in the dry season: {}", play.place);
        let figure = at.show_fine(play.least_hold().unwrap_or_default());
        let limit = format!("at least {}", at.show(crate::seasons::HOLD));
        at.find(&play.parts, what, figure, limit, "deepen the groove, or use quarter-sawn boards");
    }
}

pub(super) const EVEN_GAPS: Rule = Rule {
    id: "door-gaps",
    level: Level::Caution,
    asks: "The gap between doors stays under 3/16 in.",
    why: "A gap that the dry season opens wide looks like a fault and lets dust in.",
    source: "common practice, no source",
    check: even_gaps,
};

fn even_gaps(at: &mut Inspection<'_>) {
    let widest = at.case.plays.iter().filter(|p| p.place.starts_with("door")).flat_map(|p| p.room).max();
    if let Some(widest) = widest {
        let stiles = at.ids(|p| p.role == Role::Stile);
        at.at_most(
            &stiles,
            "the doors' gap opens wide",
            widest,
            inches(3, 16),
            "use narrower or quarter-sawn stiles, or bring the workshop's climate nearer to the room's",
        );
    }
}

pub(super) const WIDE_RAIL: Rule = Rule {
    id: "wide-rail",
    level: Level::Caution,
    asks: "A glued rail moves by no more than 1/16 in against the post that it is tenoned into.",
    why: "The post does not move along its grain; a wide rail that does splits at its glued tenon, or breaks the glue.",
    source: "common practice, no source",
    check: wide_rail,
};

fn wide_rail(at: &mut Inspection<'_>) {
    let case = at.case;
    let moves = |p: &crate::Part| {
        let movement = case.seasons.movement(&p.material);
        movement.swell(p.size[1]).max(movement.shrink(p.size[1]))
    };
    let rails = at.firsts().filter(|p| matches!(p.role, Role::Rail | Role::DoorRail));
    let out: Vec<_> = rails.map(|p| (p.id, p.name.clone(), moves(p))).filter(|(.., m)| *m > inches(1, 16)).collect();
    for (id, name, moved) in out {
        let what = format!("the {name} is wide and moves against its glued tenons");
        let advice = "glue only the middle of its tenons, or divide them; use quarter-sawn boards or a narrower rail";
        at.at_most(&[id], &what, moved, inches(1, 16), advice);
    }
}
