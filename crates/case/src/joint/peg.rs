//! A square peg through a post's wall and the tenon behind it.

use measure::Length;

use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::part::{Material, PartId, Purpose, Role};
use crate::piece::JointKind;

/// One peg, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct Peg<'a> {
    /// The post it is driven into.
    pub(crate) post: PartId,
    /// The rail whose tenon it holds.
    pub(crate) rail: PartId,
    /// The post's face it stands proud of.
    pub(crate) face: Dir,
    /// Its section on that face: the square, on the two other axes; the face's own axis is ignored.
    pub(crate) section: Box3,
    /// How deep it goes.
    pub(crate) depth: Length,
    /// How far it stands proud.
    pub(crate) proud: Length,
    /// Its wood.
    pub(crate) wood: &'a Material,
}

/// Makes the peg, its mortise in the post, and the hole through the tenon.
pub(crate) fn peg(b: &mut Builder, p: &Peg<'_>) {
    let surface = b.at(p.post).along(p.face.axis)[usize::from(p.face.positive)];
    let inner = surface - p.depth * p.face.sign();
    let outer = surface + p.proud * p.face.sign();
    let at = p.section.with(p.face.axis, [inner.min(outer), inner.max(outer)]);
    let grain = p.face;
    let side = if p.face.axis == Axis::Z { Dir::PX } else { Dir::PZ };
    let peg = b.part(Stock::of("peg", Role::Peg, "case", p.wood), at, grain, side);
    let id = b.joint(JointKind::Peg, &[p.post, p.rail, peg], &[("side", Length::ZERO)]);
    b.assembled(p.face.opposite(), false);
    let hole = p.section.with(p.face.axis, [inner.min(surface), inner.max(surface)]);
    b.cut(p.post, Purpose::PegMortise, Some(id), p.face, hole);
    b.cut_through(p.rail, Purpose::PegMortise, Some(id), p.face, p.section);
}
