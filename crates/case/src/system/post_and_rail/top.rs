//! The top and the wooden buttons that hold it.

use measure::{Length, inches};

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Button, button};
use crate::part::{PartId, Profile, Role};

/// Makes the top and eases its arrises at the front and the ends.
pub(crate) fn top(b: &mut Builder, p: &Plan<'_>, _f: &Frame) -> PartId {
    let spec = &p.spec.top;
    let x = [-spec.ends, p.width + spec.ends];
    let y = [-spec.front, p.depth + spec.back];
    let stock = Stock::solid("top", Role::Top, "case", &p.spec.wood);
    let id = b.part(stock, Box3::new(x, y, [p.height, p.spec.height]), Dir::PX, Dir::PZ);
    if spec.eased > Length::ZERO {
        for face in [Dir::PZ, Dir::NZ] {
            for edge in [Dir::NY, Dir::NX, Dir::PX] {
                b.work_edge(id, [face, edge], Profile::Round { radius: spec.eased });
            }
        }
    }
    id
}

/// Makes the buttons of the front, back and end top rails.
pub(crate) fn buttons(b: &mut Builder, p: &Plan<'_>, f: &Frame, top: PartId) {
    let spec = &p.spec.top.buttons;
    let mut row = |rail: PartId, inward: Dir, between: [Length; 2], face: Length| {
        let along = if inward.axis == Axis::X { Axis::Y } else { Axis::X };
        let room = between[1] - between[0];
        // Their centres share the rail out so that the ends keep half a space; no fewer than two.
        let spaces = usize::try_from(room.nm() / spec.spacing.nm().max(1)).unwrap_or(0).clamp(1, 40) + 1;
        let mut at = between[0];
        for space in room.shared(spaces) {
            let centre = at + space.half();
            at += space;
            let reach = face + (spec.length - spec.tongue) * inward.sign();
            let z1 = p.height - spec.draw;
            let body = Box3 { min: [Length::ZERO; 3], max: [Length::ZERO; 3] }
                .with(inward.axis, [face.min(reach), face.max(reach)])
                .with(along, [centre - spec.width.half(), centre - spec.width.half() + spec.width])
                .with(Axis::Z, [z1 - spec.thickness, z1]);
            let (tongue, tongue_thickness) = (spec.tongue, spec.tongue_thickness);
            let (pocket_depth, below, wood) = (spec.pocket_depth, spec.draw, p.spec.wood.as_str());
            let x = Button {
                rail,
                top,
                inward,
                body,
                tongue,
                tongue_thickness,
                pocket_depth,
                room: spec.room,
                below,
                wood,
                screw: inches(11, 64),
            };
            button(b, &x);
        }
    };
    row(f.front[1].id, Dir::PY, p.between(), p.rail_back);
    row(f.back[1].id, Dir::NY, p.between(), p.back_face - p.spec.rails.thickness);
    for (k, side) in p.sides().iter().enumerate() {
        row(f.ends[k][1].id, side.from.towards, p.between_deep(), side.from.at(p.rail_back));
    }
}
