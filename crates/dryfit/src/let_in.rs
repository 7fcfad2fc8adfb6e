//! What is let in and must come out again: glass once its beads are off, and the back once its screws are.

use case::{Dir, JointKind, PartId, Role};

use crate::check::{Fit, Found, Rule, part_ids};
use crate::motion::strikes;
use crate::solid::{Body, Solid};

pub(crate) const LET_IN: Rule = Rule {
    id: "let-in",
    asks: "Every bead comes off straight, every pane then comes out of its door straight, and the back comes off straight with all else in place.",
    why: "Glass breaks, and is put in after the finish; a back is fitted last and taken off to mend what is behind it.",
    source: "common practice, no source",
    check: let_in,
};

fn let_in(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let assembly = |s: &Solid| match s.body {
        Body::Part(id) => fit.case.part(id).assembly.as_str(),
        Body::Pane(i) => fit.case.panes[i].assembly.as_str(),
    };
    let role = |s: &Solid| if let Body::Part(id) = s.body { Some(fit.case.part(id).role) } else { None };
    let mut told: Vec<Body> = Vec::new();
    for solid in &fit.solids {
        let ways = match (role(solid), solid.body) {
            (Some(Role::Bead | Role::Back), Body::Part(id)) => out(fit, id),
            (None, _) => Dir::ALL.to_vec(),
            _ => continue,
        };
        let stays = |o: &&Solid| {
            let apart = role(solid) == Some(Role::Back) || assembly(o) == assembly(solid);
            let beads_off = role(solid).is_none() && role(o) == Some(Role::Bead);
            o.body != solid.body && apart && !beads_off
        };
        let kept = |way: &Dir| fit.solids.iter().filter(stays).find(|o| strikes(solid, o, *way, None)).map(|o| o.body);
        let in_the_way: Vec<Option<Body>> = ways.iter().map(kept).collect();
        if in_the_way.iter().any(Option::is_none) || told.contains(&fit.kind(solid.body)) {
            continue;
        }
        told.push(fit.kind(solid.body));
        let by = in_the_way.last().copied().flatten().map_or_else(String::new, |b| fit.name(b));
        found.push(Found {
            parts: part_ids(&[solid.body]),
            what: format!("the {} cannot be taken out straight", fit.name(solid.body)),
            figure: format!("the {by} is in the way"),
            limit: "nothing".into(),
            advice: "make its rabbet open to one side",
        });
    }
}

/// The ways out of a part by its pinned joints.
fn out(fit: &Fit<'_>, part: PartId) -> Vec<Dir> {
    let pinned = fit.case.joints.iter().filter(|j| j.kind == JointKind::Face && j.parts.last() == Some(&part));
    let mut ways: Vec<Dir> = pinned.filter_map(|j| j.insertion.map(Dir::opposite)).collect();
    ways.dedup();
    ways
}
