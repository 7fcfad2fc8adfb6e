//! A wooden panel in a door: in grooves all round, or laid into rabbets behind beads.

use super::glass::{self, Around};
use super::{DoorFrame, Leaf};
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Groove, groove};
use crate::part::Role;
use crate::piece::JointKind;
use crate::system::post_and_rail::raise;

/// Makes the panel of one field.
pub(super) fn panel(b: &mut Builder, leaf: &Leaf<'_>, frame: &DoorFrame, field: usize) {
    let Some(spec) = &leaf.spec.panel else { return };
    let (x, z) = leaf.sight(field);
    let (across, along) = (leaf.lap - spec.room_across, leaf.lap - spec.room_along);
    // The tongue lies in the groove, or against the lip of the rabbet; the field stands forward of it.
    let back = if leaf.rabbeted() { leaf.lip + spec.groove_width } else { leaf.groove[1] };
    let at = Box3::new([x[0] - across, x[1] + across], [back - spec.thickness(), back], [z[0] - along, z[1] + along]);
    let stock = Stock::solid(format!("{}, panel", leaf.assembly), Role::Panel, leaf.assembly, leaf.wood);
    let id = b.part(stock, at, Dir::PZ, Dir::NY);
    raise(b, id, Dir::NY, spec.kind, [spec.bevel, leaf.lap], spec.thickness() - spec.groove_width, spec.step);
    if leaf.rabbeted() {
        let wall = leaf.spec.rabbet_width;
        let room = Box3::new([x[0] - wall, x[1] + wall], [back, leaf.y[1]], [z[0] - wall, z[1] + wall]);
        let [left, right] = frame.stiles;
        let around = Around { left, right, below: frame.rails[field + 1], above: frame.rails[field] };
        let sides = [spec.room_across, spec.room_across, spec.room_along, spec.room_along];
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
    for (stile, into) in frame.stiles.into_iter().zip([Dir::NX, Dir::PX]) {
        let run = Some([low, high]);
        groove(b, &Groove { frame: stile, board: id, into, depth, walls, run, room: spec.room_across });
    }
    for (rail, into) in [(frame.rails[field], Dir::PZ), (frame.rails[field + 1], Dir::NZ)] {
        let room = spec.room_along;
        let deeper = if into.positive { leaf.rise(field) } else { measure::Length::ZERO };
        let run = (deeper > measure::Length::ZERO).then_some(leaf.inner);
        groove(b, &Groove { frame: rail, board: id, into, depth: depth + deeper, walls, run, room });
    }
}
