//! The principal lines of a post-and-rail case: where each face stands in the case frame, worked out once.

use design::spec::PostAndRail;
use measure::{Length, Ruler};

use crate::builder::Count;
use crate::frame::Dir;

/// The left or the right end of the case.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Side {
    pub(crate) name: &'static str,
    /// Counts from the end's outer face inward.
    pub(crate) from: Count,
}

/// Principal lines; coordinates in the case frame unless said otherwise.
#[derive(Clone, Debug)]
pub(crate) struct Plan<'a> {
    pub(crate) spec: &'a PostAndRail,
    pub(crate) ruler: Ruler,
    /// Width over the posts.
    pub(crate) width: Length,
    /// Depth over the posts.
    pub(crate) depth: Length,
    /// Height of the posts.
    pub(crate) height: Length,
    /// Side of a post.
    pub(crate) post: Length,
    /// From an outer face of the posts back to the face of the rails, and to their backs.
    pub(crate) rail_face: Length,
    pub(crate) rail_back: Length,
    /// From an outer face to the tenons' two cheeks.
    pub(crate) tenon: [Length; 2],
    /// Where the rails of the back have their outer face.
    pub(crate) back_face: Length,
    /// Upper face of the bottom.
    pub(crate) bottom_top: Length,
    /// Underside of the bottom.
    pub(crate) bottom_under: Length,
    /// The front opening, from the bottom rail to the top rail.
    pub(crate) opening: [Length; 2],
}

impl<'a> Plan<'a> {
    pub(crate) fn new(spec: &'a PostAndRail, ruler: Ruler) -> Self {
        let rails = &spec.rails;
        let depth = spec.depth - spec.top.front - spec.top.back;
        let height = spec.height - spec.top.thickness;
        let tenon = rails.setback + rails.tenon.front_shoulder;
        let sill = rails.floor + spec.front.bottom_rail.height;
        let bottom_top = sill - spec.bottom.drop;
        Self {
            spec,
            ruler,
            width: spec.width - spec.top.ends * 2,
            depth,
            height,
            post: spec.posts.side,
            rail_face: rails.setback,
            rail_back: rails.setback + rails.thickness,
            tenon: [tenon, tenon + rails.tenon.thickness],
            back_face: depth - spec.back.thickness,
            bottom_top,
            bottom_under: bottom_top - spec.bottom.thickness,
            opening: [sill, height - spec.front.top_rail.height],
        }
    }

    /// Left, then right.
    pub(crate) const fn sides(&self) -> [Side; 2] {
        [
            Side { name: "left", from: Count { zero: Length::ZERO, towards: Dir::PX } },
            Side { name: "right", from: Count { zero: self.width, towards: Dir::NX } },
        ]
    }

    /// Front, then back.
    pub(crate) const fn front_and_back(&self) -> [Side; 2] {
        [
            Side { name: "front", from: Count { zero: Length::ZERO, towards: Dir::PY } },
            Side { name: "back", from: Count { zero: self.depth, towards: Dir::NY } },
        ]
    }

    /// Width between the posts.
    pub(crate) fn between(&self) -> [Length; 2] {
        [self.post, self.width - self.post]
    }

    /// Depth between the posts.
    pub(crate) fn between_deep(&self) -> [Length; 2] {
        [self.post, self.depth - self.post]
    }

    /// Where the inner face of the ends stands, counted from an outer face: the rails', or the panel's if it is
    /// further in.
    pub(crate) fn end_inner(&self) -> Length {
        self.rail_back.max(self.panel_inner())
    }

    /// The inner face of an end panel, counted from the outer face: the inner wall of its groove.
    pub(crate) fn panel_inner(&self) -> Length {
        self.groove()[1]
    }

    /// The walls of an end panel's groove, counted from the outer face: central on the tenons.
    pub(crate) fn groove(&self) -> [Length; 2] {
        let width = self.spec.ends.panel.groove_width;
        let low = self.tenon[0] + (self.spec.rails.tenon.thickness - width).half();
        [low, low + width]
    }

    /// Prints a length to the shop's ruler.
    pub(crate) fn show(&self, l: Length) -> String {
        self.ruler.show(l)
    }
}
