//! The end of a fixed shelf in a housing, open at the post's inner arris.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Box3, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// Cuts the housing that the shelf's corner fills: `region` in the case frame, from the shelf `into` the post.
pub(crate) fn housing(b: &mut Builder, post: PartId, shelf: PartId, into: Dir, region: Box3) {
    let id = b.joint(JointKind::Housing, &[post, shelf], &[("side", Length::ZERO), ("end", Length::ZERO)]);
    b.assembled(into, false);
    b.cut(post, Purpose::Housing, Some(id), into.opposite(), region);
}
