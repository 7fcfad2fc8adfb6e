//! Rows of holes in the posts, and a loose shelf on its pins.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Dir};
use crate::outline::Outline;
use crate::part::{PartId, Purpose};

/// A row of holes up a post, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct PinRow {
    /// The post.
    pub(crate) post: PartId,
    /// Its face that is bored.
    pub(crate) face: Dir,
    /// The row's place from front to back.
    pub(crate) y: Length,
    /// Heights of the holes' centres.
    pub(crate) heights: Vec<Length>,
    /// Diameter.
    pub(crate) diameter: Length,
    /// Depth.
    pub(crate) depth: Length,
}

/// Bores the row.
pub(crate) fn pins(b: &mut Builder, row: &PinRow) {
    let surface = b.at(row.post).along(Axis::X)[usize::from(row.face.positive)];
    let floor = surface - row.depth * row.face.sign();
    for z in &row.heights {
        let hole = Outline::circle([row.y, *z], row.diameter);
        b.cut_prism(row.post, Purpose::PinHole, None, row.face, &hole, floor);
    }
}
