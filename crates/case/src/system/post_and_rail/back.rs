//! The back: a sheet over the back rails, its edges hidden in rabbets of the posts and of the top.

use design::spec::Run;
use measure::Length;

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Rabbet, rabbet};
use crate::part::{Form, Material, PartId, Role};
use crate::piece::JointKind;

/// Makes the sheet and its rabbets.
pub(crate) fn back(b: &mut Builder, p: &Plan<'_>, f: &Frame, top: PartId) {
    let spec = &p.spec.back;
    let rise = spec.bottom_rail.curve.as_ref().map_or(Length::ZERO, |c| c.rise);
    let low = f.back[0].z[0] + rise + (spec.bottom_rail.height - rise).half();
    let rabbet_x = p.post - spec.rabbet_width;
    let x = [rabbet_x + spec.room, p.width - rabbet_x - spec.room];
    let y = [p.back_face, p.depth];
    let high = p.height + p.spec.top.rabbet_depth - spec.room;
    let stock = Stock {
        name: "back".into(),
        role: Role::Back,
        assembly: "case",
        material: Material { name: spec.material.clone(), form: Form::Sheet },
    };
    let id = b.part(stock, Box3::new(x, y, [low, high]), Dir::PZ, Dir::NY);

    let foot = if spec.posts == Run::Through { Length::ZERO } else { low - spec.room };
    for (k, side) in p.sides().iter().enumerate() {
        let region = Box3::new(side.from.span(rabbet_x, p.post), y, [foot, p.height]);
        let frame = f.posts[k][1];
        rabbet(b, &Rabbet { frame, board: Some(id), from: Dir::PY, region, room: spec.room });
    }
    let top_box = b.at(top);
    let x = if spec.top == Run::Through { top_box.along(Axis::X) } else { [rabbet_x, p.width - rabbet_x] };
    // Without an overhang the rabbet is open at the back; under one it is a groove.
    let z = [p.height, p.height + p.spec.top.rabbet_depth];
    rabbet(b, &Rabbet { frame: top, board: Some(id), from: Dir::NZ, region: Box3::new(x, y, z), room: spec.room });
    for rail in f.back {
        b.joint(JointKind::Face, &[rail.id, id], &[("face", Length::ZERO)]);
        b.assembled(Dir::NY, true);
    }
}
