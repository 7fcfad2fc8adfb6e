//! A pane in its rabbet, and the beads that hold it.

use measure::Length;

use super::Leaf;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir, Placement};
use crate::part::{PartId, Role};
use crate::piece::{JointKind, Pane};

/// Adds the pane of one light, told by its clear opening, and its four beads.
pub(super) fn pane(b: &mut Builder, leaf: &Leaf<'_>, name: &str, x: [Length; 2], z: [Length; 2], around: &Around) {
    let (wall, glass) = (leaf.spec.rabbet_width, &leaf.spec.glass);
    let lap = wall - glass.room;
    let back = leaf.lip + glass.thickness;
    let at = Box3::new([x[0] - lap, x[1] + lap], [leaf.lip, back], [z[0] - lap, z[1] + lap]);
    let placement = Placement::filling(&at, Dir::PX, Dir::NY);
    b.panes.push(Pane {
        id: format!("G{:02}", b.panes.len() + 1),
        name: name.into(),
        assembly: leaf.assembly.into(),
        size: placement.box_to_part(&at).max,
        placement,
        clearance: glass.room,
    });
    let rabbet = Box3::new([x[0] - wall, x[1] + wall], [back, leaf.y[1]], [z[0] - wall, z[1] + wall]);
    beads(b, leaf, rabbet, around);
}

/// The members that a light or a panel lies between.
#[derive(Clone, Copy, Debug)]
pub(super) struct Around {
    pub(super) left: PartId,
    pub(super) right: PartId,
    pub(super) below: PartId,
    pub(super) above: PartId,
}

/// Four beads round a rabbet whose free room, behind what they hold, is `rabbet`: two level ones from wall to wall,
/// two upright ones between them. Each is pinned to the member beside it.
pub(super) fn beads(b: &mut Builder, leaf: &Leaf<'_>, rabbet: Box3, around: &Around) {
    let width = leaf.spec.bead.width.unwrap_or(leaf.spec.rabbet_width);
    let [y0, y1] = rabbet.along(Axis::Y);
    let room = rabbet.with(Axis::Y, [y0, y1 - leaf.spec.bead.below_face]);
    let [[x0, x1], [z0, z1]] = [room.along(Axis::X), room.along(Axis::Z)];
    let mut bead = |name: &str, at: Box3, grain: Dir, beside: PartId| {
        let stock = Stock::of(format!("{}, {name} bead", leaf.assembly), Role::Bead, leaf.assembly, leaf.wood);
        let id = b.part(stock, at, grain, Dir::PY);
        b.joint(JointKind::Face, &[beside, id], &[("face", Length::ZERO)]);
        b.assembled(Dir::NY, true);
    };
    let upright = room.with(Axis::Z, [z0 + width, z1 - width]);
    bead("level", room.with(Axis::Z, [z1 - width, z1]), Dir::PX, around.above);
    bead("level", room.with(Axis::Z, [z0, z0 + width]), Dir::PX, around.below);
    bead("upright", upright.with(Axis::X, [x0, x0 + width]), Dir::PZ, around.left);
    bead("upright", upright.with(Axis::X, [x1 - width, x1]), Dir::PZ, around.right);
}
