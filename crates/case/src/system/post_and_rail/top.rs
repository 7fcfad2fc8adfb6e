//! The top and the wooden buttons that hold it.

use measure::{Length, inches};

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Button, button};
use crate::part::{Material, PartId, Profile, Role};
use crate::seasons::SPARE;
use crate::system::room;

/// Makes the top and eases its arrises at the front and the ends.
pub(crate) fn top(b: &mut Builder, p: &Plan<'_>, _f: &Frame) -> PartId {
    let spec = &p.spec.top;
    let x = [-spec.ends, p.width + spec.ends];
    let y = [-spec.front, p.depth + spec.back];
    let stock = Stock::of("top", Role::Top, "case", &material(p));
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

/// What the top is made of.
fn material(p: &Plan<'_>) -> Material {
    p.material(p.spec.top.wood.as_ref(), p.spec.top.sawn)
}

/// How far the tongues of the back buttons stay from the bottoms of their pockets: they are set home, so that the top
/// keeps its back edge and moves at the front.
fn back_play(p: &Plan<'_>) -> Length {
    p.up(SPARE)
}

/// Room in front of the back in the top's rabbet: what the back buttons give, and what the top swells by behind them.
pub(crate) fn rabbet_room(p: &Plan<'_>) -> Length {
    let behind = p.spec.rails.thickness + p.spec.top.buttons.length;
    p.up(back_play(p) + p.seasons.movement(&material(p)).swell(behind) + SPARE)
}

/// That room through the seasons, the top pushed back as far as its buttons let it.
pub(crate) fn room_before_back(p: &Plan<'_>, room: Length) -> [Length; 3] {
    let behind = p.spec.rails.thickness + p.spec.top.buttons.length;
    room::shrinking(p.seasons, &material(p), behind, room - back_play(p))
}

/// Makes the buttons of the front, back and end top rails.
pub(crate) fn buttons(b: &mut Builder, p: &Plan<'_>, f: &Frame, top: PartId) {
    let spec = &p.spec.top.buttons;
    let material = material(p);
    let movement = p.seasons.movement(&material);
    // Between the buttons of the front and those of the back, and a little over.
    let deep = p.depth;
    let moves = movement.swell(deep).max(movement.shrink(deep));
    let room = spec.room.unwrap_or_else(|| p.up(moves + SPARE));
    let front = spec
        .front_pocket_depth
        .unwrap_or_else(|| spec.pocket_depth.max(spec.tongue + p.up(movement.swell(deep) + SPARE)));
    let back = spec.tongue + back_play(p);
    // The shoulders stand off the rail by as much, so that the front ones do not strike it; all are made alike.
    let stand_off = (front - spec.tongue).max(Length::ZERO);
    let mut row = |rail: PartId, inward: Dir, between: [Length; 2], face: Length, pocket_depth: Length| {
        let along = if inward.axis == Axis::X { Axis::Y } else { Axis::X };
        let whole = between[1] - between[0];
        // Their centres share the rail out so that the ends keep half a space; no fewer than two.
        let spaces = usize::try_from(whole.nm() / spec.spacing.nm().max(1)).unwrap_or(0).clamp(1, 40) + 1;
        let mut at = between[0];
        for space in whole.shared(spaces) {
            let centre = at + space.half();
            at += space;
            let shoulder = face + stand_off * inward.sign();
            let reach = shoulder + (spec.length - spec.tongue) * inward.sign();
            let z1 = p.height - spec.draw;
            let body = Box3 { min: [Length::ZERO; 3], max: [Length::ZERO; 3] }
                .with(inward.axis, [shoulder.min(reach), shoulder.max(reach)])
                .with(along, [centre - spec.width.half(), centre - spec.width.half() + spec.width])
                .with(Axis::Z, [z1 - spec.thickness, z1]);
            let (tongue, tongue_thickness) = (spec.tongue, spec.tongue_thickness);
            let (below, wood) = (spec.draw, &p.wood);
            let x = Button {
                rail,
                top,
                inward,
                body,
                tongue,
                tongue_thickness,
                pocket_depth,
                stand_off,
                room,
                below,
                wood,
                screw: inches(11, 64),
            };
            button(b, &x);
        }
    };
    row(f.front[1].id, Dir::PY, p.between(), p.rail_back, front);
    row(f.back[1].id, Dir::NY, p.between(), p.back_face - p.spec.rails.thickness, back);
    for (k, side) in p.sides().iter().enumerate() {
        row(f.ends[k][1].id, side.from.towards, p.between_deep(), side.from.at(p.rail_back), spec.pocket_depth);
    }
    let free = room::shrinking(p.seasons, &material, deep, front - spec.tongue);
    let held = room::growing(p.seasons, &material, deep, spec.tongue - back_play(p));
    b.play(&[top, f.front[1].id], "top, at the buttons of the front rail".into(), free, Some(held));
    let along = p.seasons.widths(&material, deep).map(|w| room - (w - deep).abs());
    b.play(&[top, f.ends[0][1].id, f.ends[1][1].id], "top, at the buttons of the end rails".into(), along, None);
}
