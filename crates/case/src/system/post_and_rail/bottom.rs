//! The bottom: in grooves of the lower end and back rails, in a rabbet of the lower front rail, round the posts.

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Groove, Rabbet, groove, notch, rabbet};
use crate::part::Role;
use crate::seasons::SPARE;
use crate::system::room;
use measure::Length;

/// Makes the bottom and what holds it.
pub(crate) fn bottom(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let spec = &p.spec.bottom;
    let z = [p.bottom_under, p.bottom_top];
    let enter = spec.groove_depth - spec.room_along;
    let x = [p.rail_back - enter, p.width - p.rail_back + enter];
    let rabbet_y = [p.rail_back - spec.rabbet_width, p.rail_back];
    let back_rail = p.back_face - p.spec.rails.thickness;
    // Glued to the front rail and free at the back, so that it moves one way.
    let material = p.material(spec.wood.as_ref(), spec.sawn);
    let movement = p.seasons.movement(&material);
    let clear = back_rail - rabbet_y[0];
    let stated = (spec.room_across, spec.back_groove_depth);
    let (width, back_depth) = room::of_held_board(stated, spec.groove_depth, clear, movement);
    let y = [rabbet_y[0], rabbet_y[0] + width];
    let stock = Stock::of("bottom", Role::Bottom, "case", &material);
    let id = b.part(stock, Box3::new(x, y, z), Dir::PX, Dir::PZ);

    let front = f.front[0];
    let region = b.at(front.id).with(Axis::X, p.between()).with(Axis::Y, rabbet_y).with(Axis::Z, [z[0], front.z[1]]);
    rabbet(b, &Rabbet { frame: front.id, board: Some(id), from: Dir::PZ, region, room: Length::ZERO });
    b.assembled(Dir::NZ, false);
    let (depth, walls) = (spec.groove_depth, (Axis::Z, z));
    for (k, side) in p.sides().iter().enumerate() {
        let run = Some(p.between_deep());
        let (frame, into) = (f.ends[k][0].id, side.from.outward());
        groove(b, &Groove { frame, board: id, into, depth, walls, run, room: spec.room_along });
    }
    let run = Some(p.between());
    let (frame, room) = (f.back[0].id, clear + back_depth - width);
    groove(b, &Groove { frame, board: id, into: Dir::PY, depth: back_depth, walls, run, room });
    let room = room::shrinking(p.seasons, &material, width, room);
    let hold = room::growing(p.seasons, &material, width, width - clear);
    b.play(&[id, frame], "bottom, in the back rail's groove".into(), room, Some(hold));
    // The notches' inner edges lie short of the posts by their room.
    let [front, back] = p.between_deep();
    let behind = spec.notch_room.max(p.up(movement.swell(back - rabbet_y[0]) + SPARE));
    for post in f.posts {
        for (post, room) in post.into_iter().zip([spec.notch_room, behind]) {
            notch(b, post, id, [spec.notch_room, room]);
        }
    }
    for (name, edge, notch) in [("front", front, spec.notch_room), ("back", back, behind)] {
        let from_front = edge - rabbet_y[0];
        // At the front the board draws away from the post as it swells.
        let room = match name {
            "front" => room::growing(p.seasons, &material, from_front, notch),
            _ => room::shrinking(p.seasons, &material, from_front, notch),
        };
        let posts = f.posts.map(|side| side[usize::from(name == "back")]);
        b.play(&[id, posts[0], posts[1]], format!("bottom, notched round the {name} posts"), room, None);
    }
}
