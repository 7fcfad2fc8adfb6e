//! Two bars halved over one another at the line of their rabbets.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// Halves an upright bar (its back cut away) over a level bar (its front cut away). Both lie in one plane square to
/// Y, seen from the front; `split` is where the two halves part, `stem` the width of a bar behind its rabbets.
pub(crate) fn halving(b: &mut Builder, upright: PartId, level: PartId, split: Length, stem: Length) {
    let id = b.joint(JointKind::Halving, &[upright, level], &[("side", Length::ZERO)]);
    b.assembled(Dir::NY, false);
    let (u, l) = (b.at(upright), b.at(level));
    let [z0, z1] = l.along(Axis::Z);
    let low = z0 + (z1 - z0 - stem).half();
    let back = u.with(Axis::Y, [split, u.along(Axis::Y)[1]]).with(Axis::Z, [low, low + stem]);
    b.cut(upright, Purpose::Halving, Some(id), Dir::PY, back);
    let front = l.with(Axis::Y, [l.along(Axis::Y)[0], split]).with(Axis::X, u.along(Axis::X));
    b.cut(level, Purpose::Halving, Some(id), Dir::NY, front);
}
