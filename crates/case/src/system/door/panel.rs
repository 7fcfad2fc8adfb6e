//! A wooden panel in a door: in grooves all round, or laid into rabbets behind beads.

use super::glass::{self, Around};
use super::{DoorFrame, Leaf};
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Groove, groove};
use crate::part::Role;
use crate::piece::JointKind;
use crate::system::post_and_rail::{Plan, raise};
use crate::system::room::{self, Stays};

/// Makes the panel of one field.
pub(super) fn panel(b: &mut Builder, p: &Plan<'_>, leaf: &Leaf<'_>, frame: &DoorFrame, field: usize) {
    let Some(spec) = &leaf.spec.panel else { return };
    let (x, z) = leaf.sight(field);
    let material = p.panel_material(spec);
    let between = x[1] - x[0] + leaf.lap * 2;
    let rooms = room::of_board(spec.room_across, between, p.seasons.movement(&material));
    let (across, along) = (rooms.map(|room| leaf.lap - room), leaf.lap - spec.room_along);
    // The tongue lies in the groove, or against the lip of the rabbet; the field stands forward of it.
    let back = if leaf.rabbeted() { leaf.lip + spec.groove_width } else { leaf.groove[1] };
    let at =
        Box3::new([x[0] - across[0], x[1] + across[1]], [back - spec.thickness(), back], [z[0] - along, z[1] + along]);
    let stock = Stock::of(format!("{}, panel", leaf.assembly), Role::Panel, leaf.assembly, &material);
    let id = b.part(stock, at, Dir::PZ, Dir::NY);
    let width = between - rooms[0] - rooms[1];
    let (stays, held) = if leaf.rabbeted() {
        (Stays::Pinned, "pinned at its middle, in its rabbets")
    } else {
        (Stays::Loose, "in its grooves")
    };
    let (room, hold) = room::in_grooves(p.seasons, &material, width, [leaf.lap; 2], rooms, stays);
    let [left, right] = frame.stiles;
    b.play(&[id, left, right], format!("{}, panel {held}", leaf.assembly), room, Some(hold));
    raise(b, id, Dir::NY, spec.kind, [spec.bevel, leaf.lap], spec.thickness() - spec.groove_width, spec.step);
    if leaf.rabbeted() {
        let wall = leaf.spec.rabbet_width;
        let room = Box3::new([x[0] - wall, x[1] + wall], [back, leaf.y[1]], [z[0] - wall, z[1] + wall]);
        let around = Around { left, right, below: frame.rails[field + 1], above: frame.rails[field] };
        let sides = [rooms[0], rooms[1], spec.room_along, spec.room_along];
        for (member, side) in [left, right, around.below, around.above].into_iter().zip(sides) {
            b.joint(JointKind::Rabbet, &[member, id], &[("side", side)]);
            b.assembled(Dir::NY, true);
        }
        glass::beads(b, leaf, room, &around);
        return;
    }
    let (depth, walls) = (leaf.lap, (Axis::Y, leaf.groove));
    // Between the tenons, and out at the stile's end where the rail's haunch fills it.
    let runs_out = leaf.haunched();
    let low = if runs_out && field + 1 == leaf.fields.len() { leaf.z[0] } else { z[0] - leaf.lap };
    let high = if runs_out && field == 0 { leaf.z[1] } else { z[1] - leaf.rise(field) + leaf.lap };
    for ((stile, into), room) in frame.stiles.into_iter().zip([Dir::NX, Dir::PX]).zip(rooms) {
        let run = Some([low, high]);
        groove(b, &Groove { frame: stile, board: id, into, depth, walls, run, room });
    }
    for (rail, into) in [(frame.rails[field], Dir::PZ), (frame.rails[field + 1], Dir::NZ)] {
        let room = spec.room_along;
        let deeper = if into.positive { leaf.rise(field) } else { measure::Length::ZERO };
        let run = (deeper > measure::Length::ZERO).then_some(leaf.inner);
        groove(b, &Groove { frame: rail, board: id, into, depth: depth + deeper, walls, run, room });
    }
}
