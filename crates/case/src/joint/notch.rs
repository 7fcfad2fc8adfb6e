//! A board notched round a post.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// Notches a level board's corner round a post, with room along X and along Y.
pub(crate) fn notch(b: &mut Builder, post: PartId, board: PartId, room: [Length; 2]) {
    let id = b.joint(JointKind::Notch, &[post, board], &[("side", room[0]), ("across", room[1])]);
    b.assembled(Dir::PZ, true);
    let (p, mut region) = (b.at(post), b.at(board));
    for (axis, room) in [Axis::X, Axis::Y].into_iter().zip(room) {
        let ([p0, p1], [r0, r1]) = (p.along(axis), region.along(axis));
        region = region.with(axis, [r0.max(p0 - room), r1.min(p1 + room)]);
    }
    if b.at(board).intersection(&region).is_some() {
        b.cut_through(board, Purpose::Notch, Some(id), Dir::PZ, region);
    }
}
