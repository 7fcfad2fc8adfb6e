//! The principal lines of a post-and-rail case: where each face stands in the case frame, worked out once.

use design::spec::{Doors, FramePanel, PostAndRail, Tenon};
use measure::{Length, Ruler, inches};

use crate::builder::Count;
use crate::frame::Dir;
use crate::part::{Form, Material};
use crate::seasons::{Movement, SPARE, Seasons};
use crate::system::room;
use timber::Sawn;

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
    pub(crate) seasons: &'a Seasons,
    /// What everything is made of that is not said to be of something else.
    pub(crate) wood: Material,
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
    /// What the doors' frames, bars and beads are made of.
    pub(crate) door_wood: Material,
    /// The gap round the doors and between them.
    pub(crate) gap: Length,
}

impl<'a> Plan<'a> {
    pub(crate) fn new(spec: &'a PostAndRail, ruler: Ruler, seasons: &'a Seasons) -> Self {
        let rails = &spec.rails;
        let depth = spec.depth - spec.top.front - spec.top.back;
        let height = spec.height - spec.top.thickness;
        let tenon = rails.setback + rails.tenon.front_shoulder;
        let sill = rails.floor + spec.front.bottom_rail.height;
        let bottom_top = sill - spec.bottom.drop;
        let wood = seasons.material(&spec.wood, spec.sawn, Form::Solid);
        let (name, sawn) = spec.doors.as_ref().map_or((None, None), |d| (d.wood.as_ref(), d.sawn));
        let door_wood = seasons.material(name.unwrap_or(&spec.wood), sawn.unwrap_or(spec.sawn), Form::Solid);
        let movements = [&door_wood, &wood].map(|m| seasons.movement(m));
        let gap = spec.doors.as_ref().map_or(Length::ZERO, |d| gap(d, spec, movements));
        Self {
            spec,
            ruler,
            seasons,
            wood,
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
            door_wood,
            gap,
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

    /// What something is made of that may be of another wood, or sawn otherwise, than the rest.
    pub(crate) fn material(&self, wood: Option<&String>, sawn: Option<Sawn>) -> Material {
        let name = wood.unwrap_or(&self.spec.wood);
        self.seasons.material(name, sawn.unwrap_or(self.spec.sawn), Form::Solid)
    }

    /// What a panel is made of.
    pub(crate) fn panel_material(&self, panel: &FramePanel) -> Material {
        self.material(panel.wood.as_ref(), panel.sawn)
    }

    /// Room at each edge of a tenon of this width.
    pub(crate) fn edge_room(&self, tenon: &Tenon, wood: &Material, width: Length) -> Length {
        let swells = || self.up(self.seasons.movement(wood).swell(width).half());
        tenon.edge_room.unwrap_or_else(|| if width > WIDE_TENON { swells() } else { Length::ZERO })
    }

    /// Up to what rooms are drawn in to.
    pub(crate) fn up(&self, l: Length) -> Length {
        room::up(l)
    }

    /// Prints a length to the shop's ruler.
    pub(crate) fn show(&self, l: Length) -> String {
        self.ruler.show(l)
    }
}

/// A glued tenon wider than this is left room to swell in its mortise. Common practice, no source.
const WIDE_TENON: Length = inches(4, 1);

/// The gap round doors and between them: even all round, and open in the wet season. Hinges hold a door's outer edge, so
/// its stiles move towards the other door or the post; the rails above and below move half their width into the opening.
fn gap(d: &Doors, spec: &PostAndRail, [door, case]: [Movement; 2]) -> Length {
    let leaves = i64::try_from(d.count).unwrap_or(0);
    let stiles = door.swell(d.stile * 2) * leaves;
    let rail = case.swell(spec.front.top_rail.height.max(spec.front.bottom_rail.height).half());
    d.gap.unwrap_or_else(|| room::up(stiles.max(rail) + SPARE).max(LEAST_GAP))
}

/// Common practice, no source.
const LEAST_GAP: Length = inches(1, 16);
