//! Rules of doors: their fields, lights, rabbets and hardware.

use design::spec::{Doors, FieldKind, Hold};
use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::part::Role;

pub(super) const DOOR_FIELDS: Rule = Rule {
    id: "door-fields",
    level: Level::Stop,
    asks: "A door has one or two leaves, at least one field, heights that add up, and grooves or rabbets to suit what fills it.",
    why: "Glass cannot be put into a groove, nor a panel into a door that says nothing of one.",
    source: "geometry",
    check: fields,
};

fn fields(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone() else { return };
    let count = |n: usize| n.to_string();
    if d.count > 2 {
        at.find(
            &[],
            "only a single door or a pair can be hung between two posts",
            count(d.count),
            "1 or 2".into(),
            "order one door or two",
        );
    }
    if d.count > 0 && d.field.is_empty() {
        at.find(&[], "the doors have no field", "0".into(), "at least 1".into(), "add a field to the design");
    }
    let open = d.field.iter().filter(|f| f.height.is_none()).count();
    if open != 1 && !d.field.is_empty() {
        let limit = "exactly 1 field without a height".into();
        at.find(
            &[],
            "the heights of the doors' fields cannot close",
            count(open),
            limit,
            "leave the height out of one field",
        );
    }
    let glazed = d.field.iter().any(|f| f.kind == FieldKind::Glass);
    if glazed && d.hold == Hold::Groove {
        let limit = "rabbets".into();
        at.find(&[], "glass cannot be put into a groove", "grooves".into(), limit, "hold the doors' fields in rabbets");
    }
    if d.field.iter().any(|f| f.kind == FieldKind::Panel) && d.panel.is_none() {
        at.find(
            &[],
            "a field is a panel, but the design says nothing of one",
            "none".into(),
            "a panel".into(),
            "add a panel to the doors",
        );
    }
    if d.count > 0 && at.spec.front.top_rail.curve.as_ref().is_some_and(|c| c.rise > Length::ZERO) {
        at.find(
            &[],
            "the front top rail is shaped, and the doors under it are not",
            "shaped".into(),
            "straight".into(),
            "leave the curve out where there are doors",
        );
    }
}

pub(super) const DOOR_SIZE: Rule = Rule {
    id: "light-size",
    level: Level::Stop,
    asks: "Every light and every field of a door is at least 1 1/2 in wide and high.",
    why: "A smaller one can neither be glazed nor beaded.",
    source: "common practice, no source",
    check: light_size,
};

fn light_size(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone() else { return };
    let least = inches(3, 2);
    let lap = (d.rabbet_width - d.glass.room) * 2;
    let smallest = |axis: usize| at.case.panes.iter().map(|p| p.size[axis] - lap).min();
    let (wide, high) = (smallest(0), smallest(1));
    if let Some(w) = wide {
        at.at_least(
            &[],
            "the lights are too narrow",
            w,
            least,
            "use fewer columns of lights, narrower stiles or a wider piece",
        );
    }
    if let Some(h) = high {
        at.at_least(&[], "the lights are too low", h, least, "use fewer rows of lights, or a higher piece");
    }
    for id in at.ids(|p| p.role == Role::Panel && p.assembly != "case") {
        let [height, width, _] = at.case.part(id).size;
        at.at_least(
            &[id],
            "the door panel is too small",
            height.min(width),
            least + d.rabbet_width * 2,
            "make the doors larger",
        );
    }
}

pub(super) const ARCHED_LIGHTS: Rule = Rule {
    id: "arched-lights",
    level: Level::Stop,
    asks: "A field under an arch is not divided.",
    why: "Its pane is a rectangle behind the arch; a bar would have to end on the curve.",
    source: "geometry",
    check: arched_lights,
};

fn arched_lights(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone() else { return };
    for f in d.field.iter().filter(|f| f.arch.as_ref().is_some_and(|a| a.rise > Length::ZERO)) {
        if f.rows * f.columns > 1 {
            let figure = format!("{} × {} lights", f.rows, f.columns);
            at.find(
                &[],
                "a field under an arch is divided into lights",
                figure,
                "1 light".into(),
                "leave that field undivided or unarched",
            );
        }
    }
}

pub(super) const MID_RAIL: Rule = Rule {
    id: "door-rail-web",
    level: Level::Stop,
    asks: "Between the rabbets of a door's rail at least 1/2 in stays at full thickness.",
    why: "The rabbet under an arch is deeper by the rise; what is left between it and the rabbet above carries the tenon.",
    source: "common practice, no source",
    check: mid_rail,
};

fn mid_rail(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone() else { return };
    let lap = lap(&d);
    let n = d.field.len();
    for (i, field) in d.field.iter().enumerate() {
        let rise = field.arch.as_ref().map_or(Length::ZERO, |a| a.rise);
        let (name, width, above) = if i == 0 { ("top", d.top_rail, Length::ZERO) } else { ("mid", d.mid_rail, lap) };
        let web = width - lap - rise - above;
        let advice = "widen the rail or lower the arch";
        at.at_least(
            &[],
            &format!("too little is left between the rabbets of the doors' {name} rails"),
            web,
            inches(1, 2),
            advice,
        );
    }
    if n > 0 {
        let web = d.bottom_rail - lap;
        at.at_least(
            &[],
            "too little is left of the doors' bottom rails above the rabbet",
            web,
            inches(1, 2),
            "widen the rail",
        );
    }
    at.at_least(
        &[],
        "too little is left of the doors' stiles beside the rabbet",
        d.stile - lap,
        inches(1, 2),
        "widen the stiles",
    );
}

fn lap(d: &Doors) -> Length {
    match d.hold {
        Hold::Rabbet => d.rabbet_width,
        Hold::Groove => d.panel.as_ref().map_or(Length::ZERO, |p| p.groove_depth),
    }
}

pub(super) const RABBET: Rule = Rule {
    id: "glass-rabbet",
    level: Level::Stop,
    asks: "A glass rabbet leaves a lip of 1/8 in, and holds the glass and a bead of 1/8 in; bars keep a stem of 3/16 in.",
    why: "The lip is what is seen and what holds; the bead must have wood for its brads.",
    source: "common practice, no source",
    check: rabbet,
};

fn rabbet(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone() else { return };
    if d.hold == Hold::Groove {
        return;
    }
    at.at_least(
        &[],
        "the lip in front of the glass is too thin",
        d.thickness - d.rabbet_depth,
        inches(1, 8),
        "make the rabbet shallower",
    );
    let bead = d.rabbet_depth - d.glass.thickness - d.bead.below_face;
    at.at_least(
        &[],
        "the rabbet has no room for a bead behind the glass",
        bead,
        inches(1, 8),
        "make the rabbet deeper",
    );
    at.at_least(
        &[],
        "the glass is not lapped by its frame",
        d.rabbet_width,
        d.glass.room + inches(1, 8),
        "make the rabbet wider",
    );
    if d.field.iter().any(|f| f.rows * f.columns > 1) {
        let stem = d.muntin.width - d.rabbet_width * 2;
        at.at_least(
            &[],
            "the bars between the lights are too thin behind their rabbets",
            stem,
            inches(3, 16),
            "use wider bars",
        );
    }
}

pub(super) const HINGES: Rule = Rule {
    id: "hinges",
    level: Level::Stop,
    asks: "The hinges fit the door's height and the posts, and are thicker than the gap.",
    why: "Gains that overlap or run off the edge hold nothing.",
    source: "common practice, no source",
    check: hinges,
};

fn hinges(at: &mut Inspection<'_>) {
    let Some(d) = at.spec.doors.clone().filter(|d| d.count > 0) else { return };
    let Some(stile) = at.case.parts.iter().find(|p| p.role == Role::Stile) else { return };
    let (id, height) = (stile.id, stile.size[0]);
    let least = (d.hinge.from_end + d.hinge.length) * 2;
    at.at_least(&[id], "the door is too low for its hinges", height, least, "use shorter hinges or a higher door");
    at.at_most(
        &[id],
        "the hinge's leaf is wider than the door is thick",
        d.hinge.leaf - d.hinge.proud,
        d.thickness - inches(1, 8),
        "use a narrower hinge",
    );
    let sunk = d.hinge.knuckle - at.gap();
    at.at_least(
        &[id],
        "the hinge is thinner than the gap: it needs no gain",
        sunk,
        inches(1, 32),
        "use a thicker hinge or a smaller gap",
    );
    let most = at.spec.rails.setback + d.setback + d.thickness;
    at.at_most(
        &[id],
        "the door stands further in than its posts",
        most,
        at.spec.posts.side,
        "use thicker posts or a thinner door",
    );
}
