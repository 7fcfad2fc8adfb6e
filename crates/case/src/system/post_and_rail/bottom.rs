//! The bottom: in grooves of the lower end and back rails, in a rabbet of the lower front rail, round the posts.

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Groove, Rabbet, groove, notch, rabbet};
use crate::part::Role;
use measure::Length;

/// Makes the bottom and what holds it.
pub(crate) fn bottom(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let spec = &p.spec.bottom;
    let z = [p.bottom_under, p.bottom_top];
    let enter = spec.groove_depth - spec.room_along;
    let x = [p.rail_back - enter, p.width - p.rail_back + enter];
    let rabbet_y = [p.rail_back - spec.rabbet_width, p.rail_back];
    let back_rail = p.back_face - p.spec.rails.thickness;
    let y = [rabbet_y[0], back_rail + spec.groove_depth - spec.room_across];
    let stock = Stock::solid("bottom", Role::Bottom, "case", &p.spec.wood);
    let id = b.part(stock, Box3::new(x, y, z), Dir::PX, Dir::PZ);

    let front = f.front[0];
    let region = b.at(front.id).with(Axis::X, p.between()).with(Axis::Y, rabbet_y).with(Axis::Z, [z[0], front.z[1]]);
    rabbet(b, &Rabbet { frame: front.id, board: Some(id), from: Dir::PZ, region, room: Length::ZERO });
    let (depth, walls) = (spec.groove_depth, (Axis::Z, z));
    for (k, side) in p.sides().iter().enumerate() {
        let run = Some(p.between_deep());
        let (frame, into) = (f.ends[k][0].id, side.from.outward());
        groove(b, &Groove { frame, board: id, into, depth, walls, run, room: spec.room_along });
    }
    let run = Some(p.between());
    groove(b, &Groove { frame: f.back[0].id, board: id, into: Dir::PY, depth, walls, run, room: spec.room_across });
    for post in f.posts.into_iter().flatten() {
        notch(b, post, id, spec.notch_room);
    }
}
