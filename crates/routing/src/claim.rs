//! What a program claims to cut, and with what: written from the part, the machine and the tools, never from the path.
//!
//! The proof reads this form and shares no code with us. Program frame, mm, mm/min, s. A cut that is made from another
//! face than it enters, or in steps, stands as the prisms that it is from there, under its own id.

use case::Part;
use measure::{Length, Unit};
use schemars::JsonSchema;
use serde::Serialize;

use crate::curve::{Curve, dist};
use crate::face::seen_from;
use crate::job::{Job, Means};
use crate::machine::{Arcs, Machine};
use crate::profile::Kerf;
use crate::setup::Setup;
use crate::tool::{Feeds, Tool, ToolKind};

/// What a program claims.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the proof's own")]
pub struct Claim {
    /// Of the text: `in` or `mm`.
    pub unit: &'static str,
    /// The coordinate system that program zero is set in.
    pub work_offset: &'static str,
    pub stock: Solid,
    /// To be taken wholly, but for corners that the tool cannot reach.
    pub cuts: Vec<Cut>,
    /// Other cuts of the same part that lie open to the spindle: free to run into.
    pub elsewhere: Vec<Other>,
    pub tabs: Vec<Prism>,
    pub clamps: Vec<Solid>,
    pub tools: Vec<ToolClaim>,
    pub machine: MachineClaim,
    /// How far beside the stock a tool's edge may go.
    pub run_out: f64,
    /// How far below the stock a tool may go.
    pub spoilboard: f64,
}

/// A box.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "a box")]
pub struct Solid {
    pub min: [f64; 3],
    pub max: [f64; 3],
}

/// An upright prism: vertices x, y and bulge of the side that leaves them.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "told above")]
pub struct Prism {
    pub outline: Vec<[f64; 3]>,
    pub z_top: f64,
    pub z_bottom: f64,
}

/// A cut of another program, or one that is left to hand.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the proof's own")]
pub struct Other {
    #[serde(flatten)]
    pub prism: Prism,
    /// What it has in common with a cut of this program is cleared by its own program.
    pub relieves: bool,
}

/// A cut that is claimed.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the proof's own")]
pub struct Cut {
    pub id: String,
    #[serde(flatten)]
    pub prism: Prism,
    pub through: bool,
    /// It cuts a part out of a sheet.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    #[schemars(default)]
    pub frees: bool,
    pub tool: u32,
}

/// A tool.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the tool table's")]
pub struct ToolClaim {
    pub number: u32,
    pub kind: &'static str,
    pub diameter: f64,
    pub flute: f64,
    pub holder: f64,
    pub stick_out: f64,
    pub plunges: bool,
    pub ramp: f64,
    pub rpm: [f64; 2],
    pub feed: [f64; 2],
    pub plunge_feed: f64,
}

/// The machine.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the machine file's")]
pub struct MachineClaim {
    pub travel: [f64; 3],
    pub rapid: [f64; 3],
    pub feed: f64,
    pub acceleration: [f64; 3],
    pub spindle: [f64; 2],
    pub tool_change: f64,
    pub controller: ControllerClaim,
}

/// What the controller understands; what we never emit is not understood.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the proof's own")]
pub struct ControllerClaim {
    pub tool_change: bool,
    pub canned_cycles: bool,
    pub length_offset: bool,
    pub path_control: bool,
    pub arcs: &'static str,
    pub radius_arcs: bool,
    pub line_numbers: bool,
    pub percent: bool,
    pub coolant: bool,
    pub inverse_time: bool,
    pub inch: bool,
    pub dwell: bool,
    pub rare: bool,
    pub bare_numbers: bool,
}

/// The claim of a program of a job that makes the cuts `made`, index and tool, of the cuts `routed` that any program
/// makes of the part.
pub(crate) fn claim(
    part: &Part,
    job: &Job,
    made: &[(usize, u32)],
    routed: &[usize],
    tools: &[(Tool, Feeds)],
    means: Means<'_>,
) -> Claim {
    let Means { machine, unit, .. } = means;
    let setup = &job.setup;
    let size = setup.size.map(Length::mm);
    let mut cuts = Vec::new();
    let mut elsewhere = Vec::new();
    let mut tabs = Vec::new();
    let kerfs: Vec<&(usize, Kerf)> = job.shares.iter().flat_map(|s| &s.kerfs).collect();
    for (index, cut) in part.cuts.iter().enumerate() {
        let (pieces, _) = seen_from(part, cut, setup.up);
        let prisms = pieces.iter().map(|p| prism(setup, &p.outline, p.depth));
        let dropped = job.shares.iter().any(|s| s.dropped.contains(&index));
        if let Some((_, tool)) = made.iter().find(|(i, _)| *i == index && !dropped) {
            let cut = |prism: Prism| {
                let through = prism.z_bottom <= -size[2];
                Cut { id: part.cut_id(index), prism, through, frees: false, tool: *tool }
            };
            if let Some((_, kerf)) = kerfs.iter().find(|(i, _)| *i == index) {
                // The offcut stays whole but may be run into.
                cuts.extend(kerf.above.iter().map(|b| cut(band(b, [-kerf.top, 0.0]))));
                cuts.extend(kerf.between.iter().map(|b| cut(band(b, [-size[2], -kerf.top]))));
                elsewhere.extend(prisms.map(|prism| Other { prism, relieves: false }));
                tabs.extend(kerf.tabs.iter().map(|t| Prism {
                    outline: t.iter().map(|p| [p[0], p[1], 0.0]).collect(),
                    z_top: -kerf.top,
                    z_bottom: -size[2],
                }));
            } else {
                cuts.extend(prisms.map(cut));
            }
        } else {
            let relieves = routed.contains(&index) && made.iter().all(|(mine, _)| clears(part, index, *mine));
            elsewhere.extend(prisms.map(|prism| Other { prism, relieves }));
        }
    }
    let clamps =
        job.clamps.iter().map(|c| Solid { min: [c[0], c[1], -size[2]], max: [c[2], c[3], machine.clamp.height.mm()] });
    Claim {
        unit: if unit == Unit::Inch { "in" } else { "mm" },
        work_offset: crate::emit::WORK_OFFSET,
        stock: Solid { min: [0.0, 0.0, -size[2]], max: [size[0], size[1], 0.0] },
        cuts,
        elsewhere,
        tabs,
        clamps: clamps.collect(),
        tools: tools.iter().map(|(t, _)| ToolClaim::from(t)).collect(),
        machine: MachineClaim::from(machine),
        run_out: machine.run_out.mm(),
        spoilboard: machine.spoilboard.mm(),
    }
}

/// A closed outline between two heights; ends that do not meet are joined straight.
fn band(curves: &[Curve], [low, high]: [f64; 2]) -> Prism {
    let mut outline: Vec<[f64; 3]> = Vec::new();
    for (i, c) in curves.iter().enumerate() {
        let (start, end) = (c.start(), c.end());
        let bulge = if let Curve::Arc { sweep, .. } = c { libm::tan(sweep / 4.0) } else { 0.0 };
        outline.push([start[0], start[1], bulge]);
        if dist(end, curves[(i + 1) % curves.len()].start()) > 1e-4 {
            outline.push([end[0], end[1], 0.0]);
        }
    }
    Prism { outline, z_top: high, z_bottom: low }
}

/// Whether the first of two cuts clears what they have in common: the larger one does, of equals the later.
fn clears(part: &Part, a: usize, b: usize) -> bool {
    let bounds = [a, b].map(|i| part.cuts[i].bounds(part.size));
    let volume = |i: usize| part.cuts[i].outline.area() * part.cuts[i].depth.mm();
    bounds[0].intersection(&bounds[1]).is_none() || (volume(a), a) > (volume(b), b)
}

/// From the top of the stock down.
fn prism(setup: &Setup, outline: &case::Outline, depth: Length) -> Prism {
    let outline = setup.outline(outline).0.iter().map(|v| [v.u.mm(), v.v.mm(), v.bulge]).collect();
    Prism { outline, z_top: 0.0, z_bottom: -depth.min(setup.height()).mm() }
}

impl From<&Tool> for ToolClaim {
    fn from(t: &Tool) -> Self {
        Self {
            number: t.number,
            kind: t.kind.name(),
            diameter: t.diameter.mm(),
            flute: t.flute.mm(),
            holder: t.holder.mm(),
            stick_out: t.stick_out.mm(),
            plunges: t.plunges,
            ramp: t.ramp,
            rpm: t.rpm,
            feed: t.feed_range(),
            plunge_feed: t.feed_range()[1] * if t.kind == ToolKind::Drill { 1.0 } else { Tool::PLUNGE },
        }
    }
}

impl From<&Machine> for MachineClaim {
    fn from(m: &Machine) -> Self {
        let c = &m.controller;
        Self {
            travel: m.travel.map(Length::mm),
            rapid: m.rapid,
            feed: m.feed,
            acceleration: m.acceleration,
            spindle: m.spindle,
            tool_change: m.tool_change,
            controller: ControllerClaim {
                tool_change: c.tool_change,
                canned_cycles: c.canned_cycles,
                length_offset: c.length_offset,
                path_control: false,
                arcs: match c.arcs {
                    Arcs::None => "none",
                    Arcs::Quadrant => "quadrant",
                    Arcs::Half => "half",
                    Arcs::Whole => "whole",
                },
                radius_arcs: false,
                line_numbers: c.line_numbers,
                percent: c.percent,
                coolant: false,
                inverse_time: false,
                inch: true,
                dwell: false,
                rare: false,
                bare_numbers: false,
            },
        }
    }
}
