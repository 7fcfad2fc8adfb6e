//! What a program claims to do, and with what: all that the proof takes on trust.
//!
//! Plain data in program coordinates, millimetres, millimetres a minute and seconds; nothing in it comes from the path.
//! Whoever writes a program writes its claim from the part, not from the moves, so that a wrong move cannot excuse
//! itself.

use serde::{Deserialize, Serialize};

use crate::report::{Finding, Rule};

/// A corner of an outline and the side that leaves it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 3]", into = "[f64; 3]")]
pub struct Vertex {
    /// Program X, mm.
    pub x: f64,
    /// Program Y, mm.
    pub y: f64,
    /// tan(quarter of the arc's angle) of the side to the next vertex, counter-clockwise positive; 0 for a line.
    pub bulge: f64,
}

impl From<[f64; 3]> for Vertex {
    fn from([x, y, bulge]: [f64; 3]) -> Self {
        Self { x, y, bulge }
    }
}

impl From<Vertex> for [f64; 3] {
    fn from(v: Vertex) -> Self {
        [v.x, v.y, v.bulge]
    }
}

/// An upright prism: a closed outline (either way round, first vertex not repeated, not crossing itself) between two
/// heights.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Prism {
    /// Its outline.
    pub outline: Vec<Vertex>,
    /// Its upper end, program Z, mm.
    pub z_top: f64,
    /// Its lower end.
    pub z_bottom: f64,
}

/// A cut that the program must make, wholly, but for the corners that its tool cannot reach.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cut {
    /// Its name: `P07.3`.
    pub id: String,
    /// What is to go.
    #[serde(flatten)]
    pub prism: Prism,
    /// It goes through the stock: the tool may go on below it, into the spoilboard.
    #[serde(default)]
    pub through: bool,
    /// It cuts a piece out, which hangs by bridges from then on: everything else is to be cut before.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub frees: bool,
    /// The tool that cuts it to size. Without it, the thinnest tool that is seen at its floor is held to have done so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<u32>,
}

/// A cut that another program makes in the same part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Other {
    /// Where this program may enter too.
    #[serde(flatten)]
    pub prism: Prism,
    /// Where it overlaps a cut of this program, it is the other one that clears it. Of two programs exactly one must be
    /// relieved so, or nobody is held to it.
    #[serde(default)]
    pub relieves: bool,
}

/// A box whose sides are square to the axes, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Box3 {
    /// Least x, y, z.
    pub min: [f64; 3],
    /// Greatest x, y, z.
    pub max: [f64; 3],
}

/// The shape of a tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ToolKind {
    /// A straight bit: a cylinder with a flat end, cuts sideways.
    Straight,
    /// A drill: goes up and down only.
    Drill,
}

/// A tool in its holder.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    /// `T` of it.
    pub number: u32,
    /// Its shape.
    pub kind: ToolKind,
    /// Cutting diameter, mm.
    pub diameter: f64,
    /// Angle of its point in degrees, 118 for a twist drill; none for a flat end. The floor of a hole is where the full
    /// diameter reaches, so the point goes deeper.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub point: Option<f64>,
    /// Length that cuts, from the end.
    pub flute: f64,
    /// Diameter of the holder, or of what of the spindle comes closest.
    pub holder: f64,
    /// From the tool's end to the holder's underside.
    pub stick_out: f64,
    /// It can go straight down into wood.
    pub plunges: bool,
    /// Steepest way down in wood for one that cannot, degrees.
    #[serde(default)]
    pub ramp: f64,
    /// Slowest and fastest it may turn, turns a minute.
    pub rpm: [f64; 2],
    /// Slowest and fastest it may be fed, mm/min.
    pub feed: [f64; 2],
    /// Fastest it may go down, mm/min.
    pub plunge_feed: f64,
}

/// How a controller takes arcs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Arcs {
    /// Not at all.
    None,
    /// Not across a quadrant.
    Quadrant,
    /// Up to half a turn in a block.
    Half,
    /// Up to a whole turn in a block.
    Whole,
}

/// What a controller understands beyond what all do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Controller {
    /// M6. Without it a program has one tool, and the operator puts it in.
    pub tool_change: bool,
    /// G81, G82, G83.
    pub canned_cycles: bool,
    /// G43.
    pub length_offset: bool,
    /// G61.1 and G64.
    pub path_control: bool,
    /// Arcs.
    pub arcs: Arcs,
    /// Arcs by radius.
    pub radius_arcs: bool,
    /// `N` words.
    pub line_numbers: bool,
    /// `%` lines.
    pub percent: bool,
    /// M7 and M8.
    pub coolant: bool,
    /// G93.
    pub inverse_time: bool,
    /// G20.
    pub inch: bool,
    /// G4, in seconds.
    pub dwell: bool,
    /// M1, M48, M49, M60, `/`, G59.1 and the like.
    pub rare: bool,
    /// It takes `X10` for ten millimetres.
    pub bare_numbers: bool,
}

/// The machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Machine {
    /// Travel along X, Y and Z, mm.
    pub travel: [f64; 3],
    /// Top speed by axis, mm/min.
    pub rapid: [f64; 3],
    /// Fastest feed, mm/min.
    pub feed: f64,
    /// Acceleration by axis, mm/s².
    pub acceleration: [f64; 3],
    /// Slowest and fastest turning, turns a minute.
    pub spindle: [f64; 2],
    /// Seconds for a tool change.
    pub tool_change: f64,
    /// What its controller understands.
    pub controller: Controller,
}

/// The unit of a program's text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum TextUnit {
    /// Millimetres: G21.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inches: G20.
    #[serde(rename = "in")]
    Inch,
}

/// What a program claims to do, and with what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Claim {
    /// The unit that the text is to be in, where one is promised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<TextUnit>,
    /// The coordinate system that the operator sets program zero in, as it is written: `G54`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work_offset: Option<String>,
    /// The stock as it lies on the machine. Worked parts count as full: what an earlier clamping took is not known.
    pub stock: Box3,
    /// What the program must take away.
    pub cuts: Vec<Cut>,
    /// What other programs take from the same part.
    #[serde(default)]
    pub elsewhere: Vec<Other>,
    /// Bridges that must stay within the cuts, to hold a piece that would come loose.
    #[serde(default)]
    pub tabs: Vec<Prism>,
    /// What must not be touched by anything.
    #[serde(default)]
    pub clamps: Vec<Box3>,
    /// The tools at hand; with a controller without M6, the one that is in the spindle.
    pub tools: Vec<Tool>,
    /// The machine.
    pub machine: Machine,
    /// How far beside the stock a tool's edge may go, mm.
    pub run_out: f64,
    /// How far below the stock a tool may go, mm.
    pub spoilboard: f64,
}

impl Box3 {
    /// From the intervals along x, y and z.
    pub const fn new(x: [f64; 2], y: [f64; 2], z: [f64; 2]) -> Self {
        Self { min: [x[0], y[0], z[0]], max: [x[1], y[1], z[1]] }
    }
}

impl Prism {
    /// A rectangle in plan.
    pub fn block(b: &Box3) -> Self {
        let at = |x, y| Vertex { x, y, bulge: 0.0 };
        let [x0, y0, z_bottom] = b.min;
        let [x1, y1, z_top] = b.max;
        Self { outline: vec![at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)], z_top, z_bottom }
    }

    /// A full circle in plan.
    pub fn round(centre: [f64; 2], diameter: f64, [z_bottom, z_top]: [f64; 2]) -> Self {
        let at = |x| Vertex { x, y: centre[1], bulge: 1.0 };
        Self { outline: vec![at(centre[0] - diameter / 2.0), at(centre[0] + diameter / 2.0)], z_top, z_bottom }
    }
}

impl Tool {
    /// Half the diameter.
    pub const fn radius(&self) -> f64 {
        self.diameter / 2.0
    }

    /// Height of the point below the full diameter; 0 for a flat end.
    pub fn point_height(&self) -> f64 {
        match self.point {
            Some(angle) if angle > 0.0 && angle < 180.0 => self.radius() / libm::tan((angle / 2.0).to_radians()),
            _ => 0.0,
        }
    }
}

impl Controller {
    /// Everything that the reader reads.
    pub const ANY: Self = Self {
        tool_change: true,
        canned_cycles: true,
        length_offset: true,
        path_control: true,
        arcs: Arcs::Whole,
        radius_arcs: true,
        line_numbers: true,
        percent: true,
        coolant: true,
        inverse_time: true,
        inch: true,
        dwell: true,
        rare: true,
        bare_numbers: true,
    };
}

impl Claim {
    /// What in the claim makes no sense. A program cannot be proven against such a claim.
    pub(crate) fn faults(&self) -> Vec<Finding> {
        let mut out = Vec::new();
        let mut add = |cut: Option<&str>, what: String| {
            let cut = cut.map(Into::into);
            out.push(Finding {
                rule: Rule::Claim,
                line: 0,
                cut,
                at: None,
                given: Vec::new(),
                figure: 0.0,
                limit: 0.0,
                what,
            });
        };
        let solid = |b: &Box3| (0..3).all(|i| b.min[i].is_finite() && b.max[i].is_finite() && b.min[i] < b.max[i]);
        if !solid(&self.stock) {
            add(None, "the stock has no volume".into());
        }
        if self.clamps.iter().any(|c| !solid(c)) {
            add(None, "a clamp has no volume".into());
        }
        let prisms = self.cuts.iter().map(|c| (Some(c.id.as_str()), &c.prism));
        let others = self.elsewhere.iter().map(|o| &o.prism).chain(&self.tabs).map(|p| (None, p));
        for (id, p) in prisms.chain(others) {
            let finite = p.outline.iter().all(|v| [v.x, v.y, v.bulge].iter().all(|n| n.is_finite()));
            if p.outline.len() < 2
                || !finite
                || !(p.z_bottom < p.z_top && p.z_top.is_finite() && p.z_bottom.is_finite())
            {
                add(id, "a prism without an outline or without a height".into());
            }
        }
        for c in &self.cuts {
            if c.through != (c.prism.z_bottom <= self.stock.min[2] + 1e-6) {
                add(Some(&c.id), "a cut goes through exactly if it reaches the bottom of the stock".into());
            }
            if let Some(t) = c.tool.filter(|t| !self.tools.iter().any(|have| have.number == *t)) {
                add(Some(&c.id), format!("tool T{t} is not among those at hand"));
            }
        }
        for t in &self.tools {
            let sizes = [t.diameter, t.flute, t.holder, t.stick_out];
            if !sizes.iter().all(|s| s.is_finite() && *s > 0.0) {
                add(None, format!("tool T{} has a size that is none", t.number));
            }
        }
        out
    }
}
