//! The edge of a panel or a board in a groove: never glued, with room to move.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Box3, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// One edge of a board in a groove of one frame member, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct Groove {
    /// Is grooved.
    pub(crate) frame: PartId,
    /// Lies in the groove.
    pub(crate) board: PartId,
    /// From the board into the groove.
    pub(crate) into: Dir,
    /// Depth from the frame's face.
    pub(crate) depth: Length,
    /// The axis across the groove, and its two walls.
    pub(crate) walls: (Axis, [Length; 2]),
    /// The groove's two ends along its length; the frame's whole length if it runs through.
    pub(crate) run: Option<[Length; 2]>,
    /// Room between the board's edge and the bottom of the groove.
    pub(crate) room: Length,
}

/// Cuts the groove. The board's own size already leaves the room.
pub(crate) fn groove(b: &mut Builder, g: &Groove) {
    let frame = b.at(g.frame);
    let id = b.joint(JointKind::Groove, &[g.frame, g.board], &[("bottom", g.room), ("face", Length::ZERO)]);
    b.assembled(g.into, true);
    let [low, high] = frame.along(g.into.axis);
    let range = if g.into.positive { [low, low + g.depth] } else { [high - g.depth, high] };
    let length = Axis::ALL[3 - g.into.axis.index() - g.walls.0.index()];
    let mut region: Box3 = frame.with(g.into.axis, range).with(g.walls.0, g.walls.1);
    if let Some(run) = g.run {
        region = region.with(length, run);
    }
    b.cut(g.frame, Purpose::Groove, Some(id), g.into.opposite(), region);
}
