//! The views of a general arrangement: three elevations and two sections, as pictures in millimetres of the piece.

use std::sync::Arc;

use case::{Axis, Box3, Case, Dir, HiddenLines, Part, Role};
use measure::Length;
use rayon::prelude::*;

use crate::solid::Solid;
use crate::solids::{Solids, Thing};
use crate::view::{Body, Camera, Picture, look};
use paper::scene::Rect;

/// Which view it is: where it stands on the sheet follows from that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    Front,
    RightEnd,
    Plan,
    /// Upright and across the case, seen from the right.
    SectionA,
    /// Level, seen from above.
    SectionB,
    /// A picture from the right and above, without dimensions.
    Picture,
}

impl Which {
    pub(super) const fn id(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::RightEnd => "right-end",
            Self::Plan => "plan",
            Self::SectionA => "section-a",
            Self::SectionB => "section-b",
            Self::Picture => "picture",
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::RightEnd => "right end",
            Self::Plan => "plan",
            Self::SectionA => "section A-A",
            Self::SectionB => "section B-B",
            Self::Picture => "picture",
        }
    }

    pub(super) fn caption(self) -> String {
        self.name().to_uppercase()
    }

    /// The case's axes to the right and up; of the face nearest to the eye for the picture.
    pub(super) const fn axes(self) -> [Axis; 2] {
        match self {
            Self::Front | Self::Picture => [Axis::X, Axis::Z],
            Self::RightEnd | Self::SectionA => [Axis::Y, Axis::Z],
            Self::Plan | Self::SectionB => [Axis::X, Axis::Y],
        }
    }

    fn camera(self) -> Camera {
        match self {
            Self::Front => Camera::front(),
            Self::RightEnd | Self::SectionA => Camera::right_end(),
            Self::Plan | Self::SectionB => Camera::plan(),
            Self::Picture => Camera::oblique(32.0, 22.0),
        }
    }

    pub(super) const fn is_section(self) -> bool {
        matches!(self, Self::SectionA | Self::SectionB)
    }

    /// Whether the hidden edges of a part of that role are worth their ink.
    const fn dashes(self, role: Role) -> bool {
        match self {
            // The shelves and the bottom behind the doors.
            Self::Front => matches!(role, Role::Shelf | Role::Bottom),
            // What stands under the top.
            Self::Plan => matches!(role, Role::Post),
            _ => false,
        }
    }
}

/// A view: what is seen, and of which things.
#[derive(Debug)]
pub(super) struct View<'a> {
    pub(super) which: Which,
    pub(super) picture: Picture,
    /// By the picture's numbers of bodies.
    pub(super) things: Vec<Thing<'a>>,
    /// Of the whole piece, pegs and pins that stand proud left out.
    pub(super) bounds: Rect,
}

/// Where the two sections are taken: x of A-A, z of B-B.
#[derive(Clone, Copy, Debug)]
pub(super) struct Planes {
    pub(super) a: Length,
    pub(super) b: Length,
}

/// All views of a case.
pub(super) fn views<'a>(solids: &Solids<'a>, planes: Planes) -> Vec<View<'a>> {
    [Which::Front, Which::RightEnd, Which::Plan, Which::SectionA, Which::SectionB, Which::Picture]
        .into_par_iter()
        .map(|which| {
            let cut = match which {
                Which::SectionA => Some((Dir::PX, planes.a)),
                Which::SectionB => Some((Dir::PZ, planes.b)),
                _ => None,
            };
            view(solids, which, cut)
        })
        .collect()
}

fn view<'a>(solids: &Solids<'a>, which: Which, cut: Option<(Dir, Length)>) -> View<'a> {
    // In the picture one looks through the glass.
    let shown = solids.built.iter().filter(|s| which != Which::Picture || matches!(s.thing, Thing::Part(_)));
    let left: Vec<(Thing<'a>, Arc<Solid>)> = shown
        .filter_map(|s| match cut {
            Some((toward, at)) => Some((s.thing, s.beyond(toward, at)?)),
            None => Some((s.thing, Arc::clone(&s.solid))),
        })
        .collect();
    let bodies: Vec<Body<'_>> = left.iter().map(|(thing, solid)| Body::new(solid, thing.placement())).collect();
    let things: Vec<Thing<'a>> = left.iter().map(|(thing, _)| *thing).collect();
    let wanted = solids.case.order.paper.hidden_lines == HiddenLines::Dashed;
    let dashed = |body: usize| matches!(things[body], Thing::Part(p) if wanted && which.dashes(p.role));
    let picture = look(&which.camera(), &bodies, dashed);
    let bounds = if which == Which::Picture { picture.bounds() } else { Some(bounds(solids.case, which)) };
    View { which, picture, bounds: bounds.unwrap_or(Rect { min: [0.0; 2], max: [0.0; 2] }), things }
}

fn bounds(case: &Case, which: Which) -> Rect {
    let whole = whole(case);
    let [u, v] = which.axes().map(|a| whole.along(a).map(Length::mm));
    Rect { min: [u[0], v[0]], max: [u[1], v[1]] }
}

/// The box of the piece, pegs left out.
pub(super) fn whole(case: &Case) -> Box3 {
    let boxes = case.parts.iter().filter(|p| p.role != Role::Peg).map(Part::case_box);
    boxes.reduce(|a, b| a.union(&b)).unwrap_or(Box3 { min: [Length::ZERO; 3], max: case.size })
}

/// Chooses the planes: through glass where there is some, and through nothing that runs along them.
pub(super) fn planes(case: &Case) -> Planes {
    let pane = case.panes.first().map(|p| p.placement.box_to_case(&Box3 { min: [Length::ZERO; 3], max: p.size }));
    let whole = whole(case);
    let choose = |axis: Axis, share: i64| {
        let [lo, hi] = whole.along(axis);
        let wish = pane.map_or(lo + (hi - lo) * share / 8, |b| {
            let [lo, hi] = b.along(axis);
            lo + (hi - lo).half()
        });
        let (step, n) = ((hi - lo) / 64, 64);
        // The wish, then ever farther from it on both sides.
        let tries = (0..n).flat_map(|k| [wish + step * k, wish - step * k]).filter(|t| lo < *t && *t < hi);
        tries.into_iter().find(|t| is_clear(case, axis, *t, step)).unwrap_or(wish)
    };
    Planes { a: choose(Axis::X, 3), b: choose(Axis::Z, 5) }
}

/// No part lies along the plane: none that is slim across it, against its own length and against the piece.
fn is_clear(case: &Case, axis: Axis, at: Length, step: Length) -> bool {
    case.parts.iter().map(Part::case_box).all(|b| {
        let [lo, hi] = b.along(axis);
        let (u, v) = axis.others();
        let across = [u, v].map(|a| b.along(a)[1] - b.along(a)[0]).into_iter().max().unwrap_or_default();
        let slim = (hi - lo) * 5 <= across && hi - lo < step * 16;
        !slim || at < lo - step.half() || at > hi + step.half()
    })
}
