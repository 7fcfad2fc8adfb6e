//! A wooden button: its tongue in a pocket of the rail, its back screwed to the top.

use measure::Length;

use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::outline::Outline;
use crate::part::{Material, PartId, Purpose, Role};
use crate::piece::JointKind;

/// One button, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct Button<'a> {
    /// The rail that is pocketed.
    pub(crate) rail: PartId,
    /// The top that is held.
    pub(crate) top: PartId,
    /// From the rail's inner face into the room.
    pub(crate) inward: Dir,
    /// The button's box without its tongue: from its shoulder inward.
    pub(crate) body: Box3,
    /// From the rail's face to the shoulder, so that the button may move towards the rail.
    pub(crate) stand_off: Length,
    /// Length of the tongue in the pocket.
    pub(crate) tongue: Length,
    /// Thickness of the tongue.
    pub(crate) tongue_thickness: Length,
    /// Depth of the pocket.
    pub(crate) pocket_depth: Length,
    /// Room on each side of the button along the rail.
    pub(crate) room: Length,
    /// Room under the tongue.
    pub(crate) below: Length,
    /// Its wood.
    pub(crate) wood: &'a Material,
    /// Diameter of the screw's clearance hole.
    pub(crate) screw: Length,
}

/// Makes the button, its pocket and its screw hole.
pub(crate) fn button(b: &mut Builder, x: &Button<'_>) {
    let across = if x.inward.axis == Axis::X { Axis::Y } else { Axis::X };
    let [f0, f1] = x.body.along(x.inward.axis);
    let shoulder = if x.inward.positive { f0 } else { f1 };
    let face = shoulder - x.stand_off * x.inward.sign();
    let tip = face - x.tongue * x.inward.sign();
    let at = x.body.with(x.inward.axis, [f0.min(tip), f1.max(tip)]);
    let button = b.part(Stock::of("button", Role::Button, "case", x.wood), at, x.inward, Dir::PZ);
    let clearances = [("side", x.room), ("bottom", x.pocket_depth - x.tongue), ("below", x.below)];
    let id = b.joint(JointKind::Button, &[x.rail, x.top, button], &clearances);
    b.assembled(x.inward.opposite(), true);

    let [z0, z1] = x.body.along(Axis::Z);
    let tongue_top = z0 + x.tongue_thickness;
    let tongue = at.with(x.inward.axis, [shoulder.min(tip), shoulder.max(tip)]).with(Axis::Z, [tongue_top, z1]);
    b.cut(button, Purpose::ButtonTongue, Some(id), Dir::PZ, tongue);

    let bottom = face - x.pocket_depth * x.inward.sign();
    let [a0, a1] = x.body.along(across);
    let pocket = at
        .with(x.inward.axis, [face.min(bottom), face.max(bottom)])
        .with(across, [a0 - x.room, a1 + x.room])
        .with(Axis::Z, [z0 - x.below, tongue_top]);
    b.cut(x.rail, Purpose::ButtonPocket, Some(id), x.inward, pocket);

    let centre = [Axis::X, Axis::Y].map(|a| {
        let [low, high] = x.body.along(a);
        low + (high - low).half()
    });
    b.cut_prism(button, Purpose::ScrewHole, Some(id), Dir::PZ, &Outline::circle(centre, x.screw), z0);
    b.fitting("wood screw", "No. 8, round head".into(), [centre[0], centre[1], z0], &[button, x.top]);
}
