//! Rules of panels, grooves and rabbets in the case's frame.

use design::spec::{FramePanel, PanelKind};
use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::part::Role;

pub(super) const PANEL_ROOM: Rule = Rule {
    id: "panel-room",
    level: Level::Stop,
    asks: "A panel's groove leaves walls of 1/8 in, and a raised panel is thick and wide enough for its bevel.",
    why: "A thin wall breaks out when the panel is pushed; a bevel without a field is no raised panel.",
    source: "common practice, no source",
    check: panel_room,
};

fn panel_room(at: &mut Inspection<'_>) {
    let mut frames: Vec<(&str, FramePanel, Length)> =
        vec![("end panels", at.spec.ends.panel.clone(), at.spec.rails.thickness)];
    if let Some((d, p)) = at.spec.doors.as_ref().and_then(|d| Some((d, d.panel.clone()?))) {
        frames.push(("door panels", p, d.thickness));
    }
    for (name, p, frame) in frames {
        if p.kind == PanelKind::Raised {
            let least = p.groove_width + p.step;
            at.at_least(
                &[],
                &format!("the raised {name} are too thin to be raised"),
                p.thickness(),
                least,
                "use a thicker panel",
            );
            let tongue = p.groove_depth + inches(1, 4);
            at.at_least(&[], &format!("the bevel of the {name} is too narrow"), p.bevel, tongue, "widen the bevel");
        }
        let wall = (frame - p.groove_width).half();
        at.at_least(
            &[],
            &format!("the walls of the groove for the {name} are too thin"),
            wall,
            inches(1, 8),
            "use thicker rails or a narrower groove",
        );
    }
    let bevel = at.spec.ends.panel.bevel * 2 + inches(1, 1);
    if at.spec.ends.panel.kind == PanelKind::Raised {
        for id in at.ids(|p| p.role == Role::Panel && p.assembly == "case") {
            let width = at.case.part(id).size[1];
            at.at_least(
                &[id],
                "the end panel is too narrow to be raised",
                width,
                bevel,
                "make the piece deeper, or the panel flat",
            );
        }
    }
}

pub(super) const GROOVES: Rule = Rule {
    id: "grooves",
    level: Level::Stop,
    asks: "The bottom's groove and rabbet and the back's rabbets leave their rails and posts strong.",
    why: "A rail grooved from the edge and from the face in the same place comes apart.",
    source: "common practice, no source",
    check: grooves,
};

fn grooves(at: &mut Inspection<'_>) {
    let s = at.spec;
    let quarter = inches(1, 4);
    let top = s.rails.floor + s.front.bottom_rail.height - s.bottom.drop;
    let under = top - s.bottom.thickness;
    let end_top = s.rails.floor + s.ends.bottom_rail.height - s.ends.panel.groove_depth;
    at.at_least(
        &[],
        "the bottom's groove meets the panel's in the lower end rails: wood between them",
        end_top - top,
        quarter,
        "make the lower end rails higher than the front one",
    );
    let back_top = s.rails.floor + s.back.bottom_rail.height;
    at.at_least(
        &[],
        "the bottom's groove runs out of the lower back rail: wood above it",
        back_top - top,
        Length::ZERO,
        "make the lower back rail as high as the front one",
    );
    for (name, rail) in [("front", &s.front.bottom_rail), ("end", &s.ends.bottom_rail), ("back", &s.back.bottom_rail)] {
        let rise = rail.curve.as_ref().map_or(Length::ZERO, |c| c.rise);
        let below = under - s.rails.floor - rise;
        at.at_least(
            &[],
            &format!("too little wood is left under the bottom in the lower {name} rail"),
            below,
            quarter,
            "make the lower rails higher or their curve flatter",
        );
    }
    let front = s.rails.thickness - s.bottom.rabbet_width;
    at.at_least(
        &[],
        "the bottom's rabbet leaves the lower front rail too thin",
        front,
        quarter,
        "use a narrower rabbet",
    );
    let post = s.posts.side - s.back.rabbet_width;
    at.at_least(&[], "the back's rabbet leaves the posts too thin", post, inches(1, 2), "use a narrower rabbet");
    let over = s.top.thickness - s.top.rabbet_depth;
    at.at_least(
        &[],
        "the back's rabbet leaves the top too thin",
        over,
        quarter,
        "use a thicker top or a shallower rabbet",
    );
    at.at_least(
        &[],
        "the rails are thicker than the posts allow",
        s.posts.side - s.rails.setback,
        s.rails.thickness,
        "use thicker posts",
    );
}
