//! What a program does: its moves one by one, in millimetres, and what else a machine must understand to run it.

use super::fault::{Fault, G};

/// The plane of an arc, and the two axes that span it, first to second counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plane {
    /// G17: X, Y; seen from above.
    Xy,
    /// G18: Z, X; seen from +Y.
    Zx,
    /// G19: Y, Z; seen from +X.
    Yz,
}

impl Plane {
    /// Indices of the two axes in the plane and of the one across it.
    pub const fn axes(self) -> [usize; 3] {
        match self {
            Self::Xy => [0, 1, 2],
            Self::Zx => [2, 0, 1],
            Self::Yz => [1, 2, 0],
        }
    }
}

/// The circle of an arc move, in its plane; the third axis runs evenly along the sweep (a helix).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Where it lies.
    pub plane: Plane,
    /// Centre, in the order of [`Plane::axes`], mm.
    pub centre: [f64; 2],
    /// The mean of the radii at start and end, which differ by 0.002 mm at most.
    pub radius: f64,
    /// Angle of the start, from the first axis towards the second, radians.
    pub start: f64,
    /// Angle turned through, counter-clockwise positive; a full circle is ±2π.
    pub sweep: f64,
}

/// One straight or circular move of the tool's tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// The line that asks for it, from 1.
    pub line: u32,
    /// At the machine's top speed rather than at a feed.
    pub rapid: bool,
    /// Axes (bit 0 for X, …) whose start is unknown; their `from` repeats `to`.
    pub blind: u8,
    /// Start, mm.
    pub from: [f64; 3],
    /// End, mm.
    pub to: [f64; 3],
    /// The circle, or nothing for a straight move.
    pub arc: Option<Arc>,
    /// mm a minute along the path; 0 for a rapid.
    pub feed: f64,
    /// Number of the tool in the spindle; 0 when the program has put none in.
    pub tool: u32,
    /// Turns a minute; 0 when it stands.
    pub rpm: f64,
    /// The lines that gave X, Y and Z of the end; 0 for an axis that none has given.
    pub given: [u32; 3],
}

impl Motion {
    /// Length of the path, mm; along the helix for a helix.
    pub fn length(&self) -> f64 {
        let d = [0, 1, 2].map(|i| self.to[i] - self.from[i]);
        match self.arc {
            None => libm::sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]),
            Some(a) => libm::hypot(a.radius * a.sweep, d[a.plane.axes()[2]]),
        }
    }
}

/// Something that not every controller understands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Feature {
    /// G81, G82, G83.
    CannedCycle,
    /// M6.
    ToolChange,
    /// G43.
    LengthOffset,
    /// G61.1 or G64.
    PathControl,
    /// A pair of `%`.
    Percent,
    /// `/`.
    BlockDelete,
    /// M1.
    OptionalStop,
    /// M7 or M8.
    Coolant,
    /// M48, M49, M60, or G59.1 to G59.3.
    Rare,
    /// `N`.
    LineNumber,
    /// More than 79 characters without spaces and comments.
    LongLine,
    /// A coordinate without a decimal point.
    NoPoint,
    /// A byte that is no printable ASCII character.
    NotAscii,
    /// G2 or G3 by radius.
    RadiusArc,
    /// An arc of more than half a turn in one block.
    LongArc,
    /// A full circle in one block.
    FullCircle,
    /// G18 or G19 with an arc.
    OtherPlane,
    /// G93.
    InverseTime,
    /// G20.
    Inch,
    /// G4.
    Dwell,
}

impl Feature {
    /// How many there are.
    pub(super) const COUNT: usize = Self::Dwell as usize + 1;

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CannedCycle => "canned cycles",
            Self::ToolChange => "tool change by M6",
            Self::LengthOffset => "length offset by G43",
            Self::PathControl => "path control by G61.1 or G64",
            Self::Percent => "`%` lines",
            Self::BlockDelete => "block delete",
            Self::OptionalStop => "optional stop",
            Self::Coolant => "coolant",
            Self::Rare => "M48, M49, M60 or G59.1 to G59.3",
            Self::LineNumber => "line numbers",
            Self::LongLine => "lines of more than 79 characters",
            Self::NoPoint => "coordinates without a decimal point",
            Self::NotAscii => "characters beyond plain ASCII",
            Self::RadiusArc => "arcs by their radius",
            Self::LongArc => "arcs of more than half a turn in one block",
            Self::FullCircle => "full circles in one block",
            Self::OtherPlane => "arcs outside the XY plane",
            Self::InverseTime => "inverse time feed",
            Self::Inch => "inches",
            Self::Dwell => "dwell",
        }
    }
}

/// A place in the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

/// The largest difference between an arc's two radii.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstArc {
    /// Its line.
    pub line: u32,
    /// The difference, mm.
    pub mismatch: f64,
}

/// All that the text says.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// Lines in the text.
    pub lines: u32,
    /// The moves, in order.
    pub motions: Vec<Motion>,
    /// What is wrong, in the order of the text.
    pub faults: Vec<Fault>,
    /// The arc whose radii differ most.
    pub worst_arc: Option<WorstArc>,
    /// Seconds of dwell.
    pub dwell: f64,
    /// Tool changes: the line, and the tool that goes in.
    pub changes: Vec<(u32, u32)>,
    /// Lines that set the units: one unit in mm.
    pub units: Vec<(u32, f64)>,
    /// Lines that set the coordinate system.
    pub systems: Vec<(u32, G)>,
    /// Lines that stop for the operator (M0, M1, M60).
    pub stops: Vec<u32>,
    features: [Option<Place>; Feature::COUNT],
}

impl Reading {
    /// Where the text first uses it.
    pub const fn uses(&self, feature: Feature) -> Option<Place> {
        self.features[feature as usize]
    }

    pub(super) fn note(&mut self, feature: Feature, place: impl FnOnce() -> Place) {
        let slot = &mut self.features[feature as usize];
        if slot.is_none() {
            *slot = Some(place());
        }
    }
}
