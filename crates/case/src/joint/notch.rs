//! A board notched round a post.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// Notches a level board's corner round a post, with the same room on both faces.
pub(crate) fn notch(b: &mut Builder, post: PartId, board: PartId, room: Length) {
    let id = b.joint(JointKind::Notch, &[post, board], &[("side", room)]);
    b.assembled(Dir::PZ, true);
    let (p, mut region) = (b.at(post), b.at(board));
    for axis in [Axis::X, Axis::Y] {
        let ([p0, p1], [r0, r1]) = (p.along(axis), region.along(axis));
        region = region.with(axis, [r0.max(p0 - room), r1.min(p1 + room)]);
    }
    if b.at(board).intersection(&region).is_some() {
        b.cut_through(board, Purpose::Notch, Some(id), Dir::PZ, region);
    }
}
