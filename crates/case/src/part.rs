//! A part: a blank of wood, the cuts that are taken from it, and its worked edges.
//!
//! A part is never drawn by hand: tenons, notches, arches and grooves are all cuts. Cuts may overlap (a mortise into
//! the wall of a rabbet is told from the blank's face); the part is the blank less the union of its cuts.

use std::fmt;

use measure::Length;
use timber::Sawn;

use crate::frame::{Box3, Dir, Placement, Point};
use crate::outline::Outline;

/// Number of a part; prints as `P07`, that of a jig as `JIG1`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub u32);

impl PartId {
    /// Jigs are numbered from here, so that none is taken for a part of the piece.
    const JIGS: u32 = 1_000_000;

    /// The jig after so many others.
    pub(crate) fn jig(index: usize) -> Self {
        Self(Self::JIGS + u32::try_from(index).unwrap_or(0) + 1)
    }

    /// Its place among the parts of its case.
    pub const fn index(self) -> usize {
        (if self.0 > Self::JIGS { self.0 - Self::JIGS } else { self.0 }) as usize - 1
    }
}

impl fmt::Display for PartId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.checked_sub(Self::JIGS) {
            Some(jig) => write!(f, "JIG{jig}"),
            None => write!(f, "P{:02}", self.0),
        }
    }
}

/// Number of a joint; prints as `J07`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointId(pub u32);

impl fmt::Display for JointId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "J{:02}", self.0)
    }
}

/// Solid wood or a sheet good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// Sawn from boards; moves across the grain.
    Solid,
    /// Plywood and the like; taken not to move.
    Sheet,
}

/// What a part is made of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Material {
    /// As the trade calls it: `white oak`, `birch plywood`.
    pub name: String,
    /// Solid or sheet.
    pub form: Form,
    /// How boards of it are sawn; flat for a sheet, which does not care.
    pub sawn: Sawn,
}

impl Material {
    /// Flat-sawn boards.
    pub fn solid(name: impl Into<String>) -> Self {
        Self { name: name.into(), form: Form::Solid, sawn: Sawn::Flat }
    }

    /// A sheet.
    pub fn sheet(name: impl Into<String>) -> Self {
        Self { name: name.into(), form: Form::Sheet, sawn: Sawn::Flat }
    }
}

impl Material {
    /// The word for how it is sawn.
    pub const fn sawn_word(&self) -> &'static str {
        match self.sawn {
            Sawn::Flat => "flat",
            Sawn::Quarter => "quarter",
        }
    }
}

/// `white oak`; `white oak, quarter-sawn`.
impl fmt::Display for Material {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)?;
        if self.sawn == Sawn::Quarter { f.write_str(", quarter-sawn") } else { Ok(()) }
    }
}

/// The place of a part in the piece: what emitters group and order by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// One of the four posts.
    Post,
    /// A rail of the case.
    Rail,
    /// A floating panel of the case or of a door.
    Panel,
    /// The bottom board.
    Bottom,
    /// The back sheet.
    Back,
    /// A shelf, loose or fixed.
    Shelf,
    /// A solid edging along the front edge of a shelf.
    Edging,
    /// The top.
    Top,
    /// A button that holds the top down.
    Button,
    /// A strip that a door closes against.
    Stop,
    /// A door's stile.
    Stile,
    /// A door's top, mid or bottom rail.
    DoorRail,
    /// A bar between lights.
    Muntin,
    /// A bead that holds glass or a panel in its rabbet.
    Bead,
    /// A square peg through a tenon.
    Peg,
    /// A jig for hand-held machines; no part of the piece.
    Jig,
}

/// What a cut is for. The router pockets it, the drawing outlines it, the set-up sheet sets a fence by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Purpose {
    /// A mortise.
    Mortise,
    /// The waste beside a tenon, on a face of the rail; its inner end is the shoulder.
    TenonCheek,
    /// The waste above or below a tenon, on an edge of the rail.
    TenonEdge,
    /// The mitre across the end of a tenon that meets another inside a post.
    TenonMitre,
    /// The waste beyond a haunch.
    Haunch,
    /// A groove, through or stopped.
    Groove,
    /// A rabbet, through or stopped.
    Rabbet,
    /// A housing across the grain.
    Housing,
    /// A notch out of a corner or an edge.
    Notch,
    /// A halving where two bars cross.
    Halving,
    /// A hole for a shelf pin.
    PinHole,
    /// The pocket for a button's tongue.
    ButtonPocket,
    /// The waste above a button's tongue.
    ButtonTongue,
    /// The recess for a hinge leaf.
    HingeGain,
    /// The recess for a catch's strike.
    StrikeGain,
    /// The hole for a knob.
    KnobHole,
    /// The hole for a catch.
    CatchHole,
    /// A square hole for a peg.
    PegMortise,
    /// A screw's clearance hole.
    ScrewHole,
    /// A shaped edge: an arch, an ogee, a stepped curve.
    Outline,
    /// The opening of a jig that a guide collar runs round.
    GuideOpening,
}

impl Purpose {
    /// The name in `model.json`, in the trade's words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mortise => "mortise",
            Self::TenonCheek => "tenon-cheek",
            Self::TenonEdge => "tenon-edge",
            Self::TenonMitre => "tenon-mitre",
            Self::Haunch => "haunch",
            Self::Groove => "groove",
            Self::Rabbet => "rabbet",
            Self::Housing => "housing",
            Self::Notch => "notch",
            Self::Halving => "halving",
            Self::PinHole => "pin-hole",
            Self::ButtonPocket => "button-pocket",
            Self::ButtonTongue => "button-tongue",
            Self::HingeGain => "hinge-gain",
            Self::StrikeGain => "strike-gain",
            Self::KnobHole => "knob-hole",
            Self::CatchHole => "catch-hole",
            Self::PegMortise => "peg-mortise",
            Self::ScrewHole => "screw-hole",
            Self::Outline => "outline",
            Self::GuideOpening => "guide-opening",
        }
    }
}

/// One removal from a blank: a prism from a face inward, whatever machine makes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// What it is for.
    pub purpose: Purpose,
    /// The joint that asked for it.
    pub joint: Option<JointId>,
    /// The blank's face that it enters.
    pub from: Dir,
    /// Its outline in the two remaining part axes, in the order x, y, z, whichever way it enters.
    pub outline: Outline,
    /// Depth from the blank's face; the blank's whole size along that axis when it goes through.
    pub depth: Length,
}

impl Cut {
    /// The least box that holds the cut, in the part frame of a blank of this size.
    pub fn bounds(&self, size: Point) -> Box3 {
        let (u, v) = self.from.axis.others();
        let [bu, bv] = self.outline.bounds();
        let whole = size[self.from.axis.index()];
        let depth = if self.from.positive { [whole - self.depth, whole] } else { [Length::ZERO, self.depth] };
        Box3 { min: [Length::ZERO; 3], max: size }.with(self.from.axis, depth).with(u, bu).with(v, bv)
    }
}

/// The section of a worked edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Profile {
    /// A quarter round.
    Round {
        /// Its radius.
        radius: Length,
    },
    /// A flat at 45°.
    Chamfer {
        /// The width taken off each face.
        width: Length,
    },
    /// The bevel of a raised panel: a flat tongue at the rim, then a slope up to the field, then a small step.
    Raise {
        /// From the rim to the field.
        width: Length,
        /// Of the flat tongue at the rim.
        tongue: Length,
        /// From the panel's face down to the tongue.
        depth: Length,
        /// The step at the field.
        step: Length,
    },
}

/// A worked edge: the arris where two faces meet, worked from `from` to `to` along its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// The two faces whose arris is worked; for a raise, the first is the face that slopes.
    pub faces: [Dir; 2],
    /// Its section.
    pub profile: Profile,
    /// Start, along the arris' own axis.
    pub from: Length,
    /// End.
    pub to: Length,
}

/// How a part is like another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Likeness {
    /// The first part of its kind.
    pub part: PartId,
    /// It is the mirror image of that one.
    pub mirrored: bool,
}

/// A part: one piece of wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its number.
    pub id: PartId,
    /// `front left post`.
    pub name: String,
    /// What it is in the piece.
    pub role: Role,
    /// The sub-assembly it belongs to: `case`, `left door`, …
    pub assembly: String,
    /// Its wood.
    pub material: Material,
    /// The finished blank: x along the grain, y across, z thick.
    pub size: Point,
    /// Where it stands.
    pub placement: Placement,
    /// What is taken from it.
    pub cuts: Vec<Cut>,
    /// Its worked edges.
    pub edges: Vec<Edge>,
    /// The first part that it equals or mirrors; the first of a kind has none.
    pub same_as: Option<Likeness>,
}

impl Part {
    /// The blank in its own frame.
    pub const fn blank(&self) -> Box3 {
        Box3 { min: [Length::ZERO; 3], max: self.size }
    }

    /// The blank where it stands in the case.
    pub fn case_box(&self) -> Box3 {
        self.placement.box_to_case(&self.blank())
    }

    /// The id of its cut number `index`, counted from 0: `P07.3` is the third.
    pub fn cut_id(&self, index: usize) -> String {
        format!("{}.{}", self.id, index + 1)
    }

    /// The cut goes right through the blank.
    pub fn is_through(&self, cut: &Cut) -> bool {
        cut.depth >= self.size[cut.from.axis.index()]
    }
}
