//! Rules of the frame: tenons that hold, curves that can be drawn and leave enough, pegs that find wood.

use design::spec::{Curve, Rail};
use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::curve;
use crate::finding::Level;
use crate::part::{PartId, Role};
use crate::piece::JointKind;

pub(super) const TENON_SIZE: Rule = Rule {
    id: "tenon-size",
    level: Level::Stop,
    asks: "A rail's tenon is at least as long and as wide as it is thick, and no thinner than a quarter of its rail.",
    why: "A shorter or narrower tenon has too little glue surface and splits off.",
    source: "common practice, no source; a third of the thickness is the usual rule (Fairham, Woodwork Joints, p. 82)",
    check: tenon_size,
};

fn tenon_size(at: &mut Inspection<'_>) {
    let mut out = Vec::new();
    for joint in at.case.joints.iter().filter(|j| j.kind == JointKind::MortiseAndTenon) {
        let rail = at.case.part(joint.parts[1]);
        if !matches!(rail.role, Role::Rail | Role::DoorRail) {
            continue;
        }
        let post = at.case.part(joint.parts[0]);
        let Some(mortise) = post.cuts.iter().find(|c| c.joint == Some(joint.id)) else { continue };
        let room = |name| joint.clearances.iter().find(|(n, _)| *n == name).map_or(Length::ZERO, |(_, l)| *l);
        let size = mortise.bounds(post.size).size();
        let (u, v) = mortise.from.axis.others();
        let sides = [size[u.index()], size[v.index()]];
        // The post's grain runs along the tenon's width.
        let width = sides[usize::from(u != crate::Axis::X)] - room("edge") * 2;
        let thickness = sides[usize::from(u == crate::Axis::X)] - room("cheek") * 2;
        out.push((rail.id, rail.name.clone(), mortise.depth - room("end"), width, thickness, rail.size[2]));
    }
    let mut told: Vec<PartId> = Vec::new();
    for (id, name, length, width, thickness, rail) in out {
        let first = at.case.part(id).same_as.map_or(id, |s| s.part);
        if told.contains(&first) {
            continue;
        }
        let before = at.found.len();
        at.at_least(
            &[id],
            &format!("the tenon of the {name} is too short"),
            length,
            thickness,
            "use a larger post or a thinner tenon",
        );
        at.at_least(&[id], &format!("the tenon of the {name} is too narrow"), width, thickness, "use a higher rail");
        at.at_least(&[id], &format!("the tenon of the {name} is too thin"), thickness, rail / 4, "use a thicker tenon");
        if at.found.len() > before {
            told.push(first);
        }
    }
}

pub(super) const CURVE: Rule = Rule {
    id: "curve-rise",
    level: Level::Stop,
    asks: "A curve's rise can be drawn over its span: half the span at most, a quarter for an ogee.",
    why: "Beyond that its arcs would turn back on themselves.",
    source: "geometry",
    check: curves,
};

fn curves(at: &mut Inspection<'_>) {
    for (name, curve, span, _) in curved(at) {
        let most = curve::greatest_rise(curve.kind, span - curve.landing * 2);
        at.at_most(&[], &format!("the curve of the {name} rises too steeply"), curve.rise, most, "lower its rise");
    }
}

pub(super) const CROWN: Rule = Rule {
    id: "crown",
    level: Level::Stop,
    asks: "Over the crown of a curve the rail keeps the width that its design asks for.",
    why: "The rail is weakest there, across short grain.",
    source: "common practice, no source",
    check: crown,
};

fn crown(at: &mut Inspection<'_>) {
    for (name, curve, _, height) in curved(at) {
        let (left, least) = (height - curve.rise, curve.least_crown);
        at.at_least(
            &[],
            &format!("too little is left of the {name} over its crown"),
            left,
            least,
            "lower the rise or widen the rail",
        );
    }
}

/// Every shaped rail: its name, its curve, the span between its shoulders, and its height.
fn curved(at: &Inspection<'_>) -> Vec<(String, Curve, Length, Length)> {
    let s = at.spec;
    let across = s.width - s.top.ends * 2 - s.posts.side * 2;
    let deep = s.depth - s.top.front - s.top.back - s.posts.side * 2;
    let rails: [(&str, &Rail, Length); 6] = [
        ("front bottom rail", &s.front.bottom_rail, across),
        ("front top rail", &s.front.top_rail, across),
        ("back bottom rail", &s.back.bottom_rail, across),
        ("back top rail", &s.back.top_rail, across),
        ("end bottom rails", &s.ends.bottom_rail, deep),
        ("end top rails", &s.ends.top_rail, deep),
    ];
    let mut out: Vec<_> = rails
        .into_iter()
        .filter_map(|(name, rail, span)| Some((name.to_owned(), rail.curve.clone()?, span, rail.height)))
        .collect();
    if let Some(d) = &s.doors {
        let leaves = i64::try_from(d.count.max(1)).unwrap_or(1);
        let inner = (across - at.gap() * (leaves + 1)) / leaves - d.stile * 2;
        for (i, field) in d.field.iter().enumerate() {
            let height = if i == 0 { d.top_rail } else { d.mid_rail };
            let name = if i == 0 { "doors' top rails" } else { "doors' mid rails" };
            out.extend(field.arch.clone().map(|a| (name.to_owned(), a, inner, height)));
        }
    }
    out.retain(|(_, c, ..)| c.rise > Length::ZERO);
    out
}

pub(super) const PEGS: Rule = Rule {
    id: "pegs",
    level: Level::Stop,
    asks: "A peg goes through its tenon clear of its edges, ends inside its post, and stands less proud than the top overhangs.",
    why: "A peg at the tenon's edge splits it; one that ends past the post shows; one that stands beyond the top spoils the size.",
    source: "common practice, no source",
    check: pegs,
};

fn pegs(at: &mut Inspection<'_>) {
    let Some(pegs) = &at.spec.pegs else { return };
    let (side, depth, from_edge) = (pegs.side, pegs.depth, pegs.from_edge);
    at.at_most(
        &[],
        "the pegs go through their posts",
        depth,
        at.spec.posts.side - inches(1, 8),
        "make the pegs shorter",
    );
    let reach = at.spec.rails.setback + at.spec.rails.tenon.front_shoulder + at.spec.rails.tenon.thickness;
    at.at_least(&[], "the pegs end inside their tenons", depth, reach, "make the pegs longer");
    let overhang = at.spec.top.front.min(at.spec.top.ends);
    at.at_most(&[], "the pegs stand out beyond the top", pegs.proud, overhang, "let the top overhang more");
    let mut thin: Vec<_> = Vec::new();
    for joint in at.case.joints.iter().filter(|j| j.kind == JointKind::Peg) {
        let (post, peg) = (at.case.part(joint.parts[0]), at.case.part(joint.parts[2]));
        let mortise = at.case.joints.iter().find(|j| {
            j.kind == JointKind::MortiseAndTenon && j.parts[0] == joint.parts[0] && j.parts[1] == joint.parts[1]
        });
        let Some(cut) = mortise.and_then(|m| post.cuts.iter().find(|c| c.joint == Some(m.id))) else { continue };
        let [low, high] = post.placement.box_to_case(&cut.bounds(post.size)).along(crate::Axis::Z);
        let [p0, p1] = peg.case_box().along(crate::Axis::Z);
        let wall = (p0 - low).min(high - p1);
        if wall < from_edge {
            thin.push((joint.parts[1], wall));
        }
    }
    thin.dedup_by_key(|(id, _)| at.case.part(*id).name.clone());
    for (id, wall) in thin {
        let what = format!("the {} peg of the {} is too near the tenon's edge", at.show(side), at.case.part(id).name);
        at.at_least(&[id], &what, wall, from_edge, "use a higher rail or a smaller peg");
    }
}
