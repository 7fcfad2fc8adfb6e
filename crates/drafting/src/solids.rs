//! The solids of a case, worked out once for all the drawings that show it, from whatever side.

use std::sync::Arc;

use case::{Axis, Case, Dir, Edge, Pane, Part, Placement, Profile};
use measure::Length;

use crate::solid::{Blank, Bounds, Solid};
use crate::view::{self, Body, Camera, Picture};
use paper::scene::Path;

/// Facets keep this near to their arc, mm of the piece: a hundredth on paper at 1:10.
const CHORD: f64 = 0.1;

/// Rounds below this radius are not drawn, mm of the piece: half a line's width on paper at 1:10.
const EASED: f64 = 5.0;

/// What a body of a picture is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Thing<'a> {
    Part(&'a Part),
    Pane(&'a Pane),
}

impl Thing<'_> {
    pub(crate) const fn placement(&self) -> &Placement {
        match self {
            Self::Part(p) => &p.placement,
            Self::Pane(p) => &p.placement,
        }
    }

    /// The box that it fills where it stands in the case.
    pub(crate) fn case_box(&self) -> case::Box3 {
        match self {
            Self::Part(p) => p.case_box(),
            Self::Pane(p) => p.placement.box_to_case(&case::Box3 { min: [Length::ZERO; 3], max: p.size }),
        }
    }

    /// `P01` or `G01`.
    pub(crate) fn id(&self) -> String {
        match self {
            Self::Part(p) => p.id.to_string(),
            Self::Pane(p) => p.id.clone(),
        }
    }

    /// What it is made of before its faces are worked out; arcs flattened to within `chord` mm.
    pub(crate) fn blank(&self, chord: f64, work: impl Fn(&Edge) -> bool) -> Blank {
        match self {
            Self::Part(p) => Blank::picked(p, chord, |_| true, work),
            Self::Pane(p) => {
                let bounds = Bounds { min: [0.0; 3], max: p.size.map(Length::mm) };
                Blank { bounds, prisms: Vec::new(), cut: None, broken: Vec::new() }
            }
        }
    }
}

/// A thing ready to be looked at or cut.
#[derive(Clone, Debug)]
pub(crate) struct Built<'a> {
    pub(crate) thing: Thing<'a>,
    pub(crate) blank: Blank,
    pub(crate) solid: Arc<Solid>,
}

impl Built<'_> {
    /// The solid of what a section leaves: `toward` names the side of the case that is taken away, `at` the plane's
    /// place. Nothing if all is taken away.
    pub(crate) fn beyond(&self, toward: Dir, at: Length) -> Option<Arc<Solid>> {
        let placement = self.thing.placement();
        let side = placement.dir_to_part(toward);
        let mut on_plane = placement.origin;
        on_plane[toward.axis.index()] = at;
        let place = placement.to_part(on_plane)[side.axis.index()];
        let left = self.blank.beyond(side, place.mm())?;
        Some(if left.cut.is_some() { Arc::new(left.solid()) } else { Arc::clone(&self.solid) })
    }
}

/// A case with the solids of its parts and panes.
#[derive(Clone, Debug)]
pub struct Solids<'a> {
    pub(crate) case: &'a Case,
    /// Parts by number, then panes.
    pub(crate) built: Vec<Built<'a>>,
}

impl<'a> Solids<'a> {
    /// Works them out; each kind of part once.
    pub fn of(case: &'a Case) -> Self {
        let mut built: Vec<Built<'a>> = Vec::with_capacity(case.parts.len() + case.panes.len());
        for part in &case.parts {
            // A mirrored part is a kind of its own here.
            let like = part.same_as.filter(|l| !l.mirrored).map(|l| l.part.0 as usize - 1).and_then(|i| built.get(i));
            let made = like.and_then(|s| match s.thing {
                Thing::Part(p) if p.size == part.size && p.cuts == part.cuts && p.edges == part.edges => {
                    Some((s.blank.clone(), Arc::clone(&s.solid)))
                }
                _ => None,
            });
            let thing = Thing::Part(part);
            let (blank, solid) = made.unwrap_or_else(|| made_of(&thing));
            built.push(Built { thing, blank, solid });
        }
        for pane in &case.panes {
            let thing = Thing::Pane(pane);
            let (blank, solid) = made_of(&thing);
            built.push(Built { thing, blank, solid });
        }
        Self { case, built }
    }

    /// The piece as one sees it from in front, turned `azimuth` degrees to its right and `elevation` degrees up, without
    /// its glass: the edges that are seen, in mm of the piece on the picture plane.
    pub fn turned(&self, azimuth: f64, elevation: f64) -> Vec<Path> {
        let picture = self.look(&Camera::oblique(azimuth, elevation));
        picture.strokes.into_iter().map(|s| s.path).collect()
    }

    /// How far the case reaches along an axis.
    pub(crate) fn case_range(&self, axis: Axis) -> [Length; 2] {
        let ranges = self.built.iter().map(|b| b.thing.case_box().along(axis));
        ranges.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]).unwrap_or_default()
    }

    /// The parts from a camera; bodies are numbered as the parts are.
    pub(crate) fn look(&self, camera: &Camera) -> Picture {
        let parts = self.built.iter().filter(|b| matches!(b.thing, Thing::Part(_)));
        let bodies: Vec<Body<'_>> = parts.map(|b| Body::new(&b.solid, b.thing.placement())).collect();
        view::look(camera, &bodies, |_| false)
    }
}

fn made_of(thing: &Thing<'_>) -> (Blank, Arc<Solid>) {
    let blank = thing.blank(CHORD, |e| !is_eased(e));
    let solid = Arc::new(blank.solid());
    (blank, solid)
}

/// An arris that is only eased is drawn sharp.
fn is_eased(edge: &Edge) -> bool {
    matches!(edge.profile, Profile::Round { radius } if radius.mm() < EASED)
}
