//! The back: a sheet over the back rails, its edges hidden in rabbets of the posts and of the top.

use design::spec::Run;
use measure::Length;

use super::frame::Frame;
use super::plan::Plan;
use super::top;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Rabbet, rabbet};
use crate::part::{Form, PartId, Role};
use crate::piece::JointKind;
use crate::system::room::{self, Stays};

/// Makes the sheet and its rabbets.
pub(crate) fn back(b: &mut Builder, p: &Plan<'_>, f: &Frame, top: PartId) {
    let spec = &p.spec.back;
    let rise = spec.bottom_rail.curve.as_ref().map_or(Length::ZERO, |c| c.rise);
    let low = f.back[0].z[0] + rise + (spec.bottom_rail.height - rise).half();
    let rabbet_x = p.post - spec.rabbet_width;
    let material = p.seasons.material(&spec.material, p.spec.sawn, Form::Sheet);
    let between = p.width - rabbet_x * 2;
    // Sheet keeps its size; boards are cut as a panel is.
    let stated = (material.form == Form::Sheet).then_some(spec.room);
    let rooms = room::of_board(stated, between, p.seasons.movement(&material));
    let x = [rabbet_x + rooms[0], p.width - rabbet_x - rooms[1]];
    let y = [p.back_face, p.depth];
    let high = p.height + p.spec.top.rabbet_depth - spec.room;
    let stock = Stock::of("back", Role::Back, "case", &material);
    let id = b.part(stock, Box3::new(x, y, [low, high]), Dir::PZ, Dir::NY);

    let foot = if spec.posts == Run::Through { Length::ZERO } else { low - spec.room };
    for (k, side) in p.sides().iter().enumerate() {
        let region = Box3::new(side.from.span(rabbet_x, p.post), y, [foot, p.height]);
        let frame = f.posts[k][1];
        rabbet(b, &Rabbet { frame, board: Some(id), from: Dir::PY, region, room: rooms[k] });
    }
    let (room, hold) =
        room::in_grooves(p.seasons, &material, x[1] - x[0], [spec.rabbet_width; 2], rooms, Stays::Pinned);
    let [left, right] = f.posts.map(|side| side[1]);
    b.play(&[id, left, right], "back, pinned at its middle, in the posts' rabbets".into(), room, Some(hold));
    let top_box = b.at(top);
    let x = if spec.top == Run::Through { top_box.along(Axis::X) } else { [rabbet_x, p.width - rabbet_x] };
    // Without an overhang the rabbet is open at the back; under one it is a groove.
    let z = [p.height, p.height + p.spec.top.rabbet_depth];
    // In front of the sheet the top has room to move against it.
    let in_front = top::rabbet_room(p);
    let region = Box3::new(x, [y[0] - in_front, y[1]], z);
    rabbet(b, &Rabbet { frame: top, board: Some(id), from: Dir::NZ, region, room: spec.room });
    b.clearance("front", in_front);
    let room = top::room_before_back(p, in_front);
    b.play(&[top, id], "top, before the back in its rabbet".into(), room, None);
    for rail in f.back {
        b.joint(JointKind::Face, &[rail.id, id], &[("face", Length::ZERO)]);
        b.assembled(Dir::NY, true);
    }
}
