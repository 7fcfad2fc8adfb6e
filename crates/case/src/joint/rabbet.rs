//! A board, a sheet or glass in a rabbet.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Box3, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// A rabbet in one frame member, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct Rabbet {
    /// Is rabbeted.
    pub(crate) frame: PartId,
    /// Lies in the rabbet; glass is no part and stays out.
    pub(crate) board: Option<PartId>,
    /// The face that the rabbet is cut from, and that the board is laid in by.
    pub(crate) from: Dir,
    /// What is taken away.
    pub(crate) region: Box3,
    /// Room between the board's edge and the wall.
    pub(crate) room: Length,
}

/// Cuts the rabbet.
pub(crate) fn rabbet(b: &mut Builder, r: &Rabbet) {
    let parts: Vec<PartId> = std::iter::once(r.frame).chain(r.board).collect();
    let id = b.joint(JointKind::Rabbet, &parts, &[("side", r.room)]);
    b.assembled(r.from.opposite(), true);
    b.cut(r.frame, Purpose::Rabbet, Some(id), r.from, r.region);
}
