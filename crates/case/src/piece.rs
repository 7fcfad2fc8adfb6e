//! The solved case: everything that an emitter may read. Nothing below it computes a dimension of the piece.

use measure::{Length, Ruler, Unit};

pub use design::{HiddenLines, Loads, Paper, Projection, Revision, Sheet};

use crate::finding::Finding;
use crate::frame::{Dir, Placement, Point};
use crate::part::{JointId, Part, PartId, Role};
use crate::seasons::{Play, Seasons};

/// The order's particulars that title blocks, lists and programs print.
#[derive(Clone, Debug)]
pub struct OrderInfo {
    /// Name of the design: `glazed-case`.
    pub design: String,
    /// Title of the piece: `Glazed case`.
    pub title: String,
    /// The shop.
    pub maker: String,
    /// For whom.
    pub customer: String,
    /// The order's number.
    pub number: String,
    /// Date of issue as the order gives it, `YYYY-MM-DD`; never today's.
    pub date: String,
    /// What was changed since, the oldest first.
    pub revisions: Vec<Revision>,
    /// The unit that people read.
    pub unit: Unit,
    /// The finest division that the shop marks out.
    pub ruler: Ruler,
    /// Sheet and projection of the drawings.
    pub paper: Paper,
    /// Parameters as resolved, in the design's order: name and value in words.
    pub parameters: Vec<(String, String)>,
}

impl From<&design::Resolved> for OrderInfo {
    fn from(resolved: &design::Resolved) -> Self {
        let (design, order) = (&resolved.design, &resolved.order);
        let parameters = resolved.parameters.iter().map(|p| (p.name.clone(), p.value.show(order.unit)));
        Self {
            design: design.name.clone(),
            title: design.title.clone(),
            maker: order.maker.clone(),
            customer: order.customer.clone(),
            number: order.number.clone(),
            date: order.date.clone(),
            revisions: order.revisions.clone(),
            unit: order.unit,
            ruler: order.ruler,
            paper: order.paper,
            parameters: parameters.collect(),
        }
    }
}

impl OrderInfo {
    /// Number and date of what is issued now: those of the last revision, or `-` and the order's own date.
    pub fn issue(&self) -> [&str; 2] {
        self.revisions.last().map_or(["-", &self.date], |r| [&r.number, &r.date])
    }
}

/// What a joint is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JointKind {
    /// Mortise and tenon.
    MortiseAndTenon,
    /// An edge in a groove.
    Groove,
    /// A board, a sheet or glass in a rabbet.
    Rabbet,
    /// A shelf's end in a housing.
    Housing,
    /// A corner notched round a post.
    Notch,
    /// Two bars halved over one another.
    Halving,
    /// A peg through a tenon.
    Peg,
    /// A button's tongue in its pocket.
    Button,
    /// A door on its hinge.
    Hinge,
    /// A loose shelf on its pins.
    Pins,
    /// A strip glued or pinned to a face.
    Face,
}

impl JointKind {
    /// The name in `model.json`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::MortiseAndTenon => "mortise-and-tenon",
            Self::Groove => "groove",
            Self::Rabbet => "rabbet",
            Self::Housing => "housing",
            Self::Notch => "notch",
            Self::Halving => "halving",
            Self::Peg => "peg",
            Self::Button => "button",
            Self::Hinge => "hinge",
            Self::Pins => "pins",
            Self::Face => "face",
        }
    }
}

/// What makes the cuts on two parts or more.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its number.
    pub id: JointId,
    /// Its kind.
    pub kind: JointKind,
    /// The parts it joins, those that receive first: post before rail, frame before panel. The last one moves home.
    pub parts: Vec<PartId>,
    /// Named clearances, exact: `end`, `cheek`, `side`, …
    pub clearances: Vec<(&'static str, Length)>,
    /// Never glued.
    pub dry: bool,
    /// How the last part moves home, in the case frame.
    pub insertion: Option<Dir>,
}

/// A pane of glass, or anything cut by the glazier; a plain rectangle.
#[derive(Clone, Debug)]
pub struct Pane {
    /// `G01`.
    pub id: String,
    /// `left door, row 1, light 2`.
    pub name: String,
    /// The door it sits in.
    pub assembly: String,
    /// x and y of the pane, z its thickness.
    pub size: Point,
    /// Where it stands.
    pub placement: Placement,
    /// Room to the rabbet's wall, on every side.
    pub clearance: Length,
}

/// A bought thing.
#[derive(Clone, Debug)]
pub struct Fitting {
    /// `butt hinge`, `knob`, `bullet catch`, `shelf pin`, `wood screw`.
    pub kind: &'static str,
    /// What to ask for: `63 × 35 mm, brass`.
    pub spec: String,
    /// Where it sits, in the case frame: the centre of its mouth, or the lower end of a hinge's pin.
    pub at: Point,
    /// The parts it holds.
    pub parts: Vec<PartId>,
}

/// The solved case.
#[derive(Clone, Debug)]
pub struct Case {
    /// The order's particulars.
    pub order: OrderInfo,
    /// Over all, what a tape would read: X, Y, Z.
    pub size: Point,
    /// The parts, by number.
    pub parts: Vec<Part>,
    /// The joints, by number.
    pub joints: Vec<Joint>,
    /// The glass.
    pub panes: Vec<Pane>,
    /// What is bought.
    pub fittings: Vec<Fitting>,
    /// What its shelves will carry.
    pub loads: Loads,
    /// The climate, and what the woods do in it.
    pub seasons: Seasons,
    /// The play at every place where wood may move.
    pub plays: Vec<Play>,
    /// What the inspection says.
    pub findings: Vec<Finding>,
}

impl Case {
    /// Each shelf that has an edging, and the edging.
    pub fn edgings(&self) -> impl Iterator<Item = (PartId, PartId)> + '_ {
        let glued = self.joints.iter().filter(|j| j.kind == JointKind::Face);
        let pairs = glued.filter_map(|j| Some((*j.parts.first()?, *j.parts.last()?)));
        pairs.filter(|(_, last)| self.part(*last).role == Role::Edging)
    }

    /// The part of that number.
    ///
    /// # Panics
    /// If there is none: ids are only handed out by the case itself.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.index()]
    }

    /// The first part of each kind and how many there are, itself and its likes, in the order of their numbers.
    pub fn kinds(&self) -> Vec<(&Part, Vec<&Part>)> {
        let firsts = self.parts.iter().filter(|p| p.same_as.is_none());
        firsts
            .map(|f| {
                (f, self.parts.iter().filter(|p| p.id == f.id || p.same_as.is_some_and(|s| s.part == f.id)).collect())
            })
            .collect()
    }
}
