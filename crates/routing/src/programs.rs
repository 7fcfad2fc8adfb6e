//! What `routing/programs.json` says of each program, for the proof and for anyone else who reads it.
//!
//! All lengths in mm. Program frame: zero at `origin` of the part frame, `x_axis` and `y_axis` its directions, z up out
//! of the face `up`. A program takes nothing that no cut of the part takes; where cuts adjoin it may run from one of
//! its own on into another that is as deep and enters the same face. What its tool's radius leaves in inside corners is
//! told by `corners`.

use measure::Unit;
use schemars::JsonSchema;
use serde::Serialize;

use crate::Program;

/// The whole file.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Index {
    /// Format and version.
    pub format: &'static str,
    /// One for each RS-274 file.
    pub programs: Vec<Entry>,
    /// Cuts and parts that no program makes, and why.
    pub by_hand: Vec<ByHand>,
}

/// One RS-274 file.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the file's own, told in the head comment")]
pub struct Entry {
    pub file: String,
    pub sheet: String,
    pub part: Vec<String>,
    pub unit: &'static str,
    pub up: &'static str,
    pub origin: [f64; 3],
    pub x_axis: &'static str,
    pub y_axis: &'static str,
    pub stock: StockBox,
    pub tools: Vec<ToolEntry>,
    /// Ids of the cuts it makes, by the first of its parts; its likes have the same ones by index.
    pub cuts: Vec<String>,
    pub corners: Vec<Corners>,
    /// How far through cuts go into the spoilboard.
    pub spoilboard: f64,
    /// Clamps on top of the stock: x min, y min, x max, y max, and their height.
    pub clamps: Vec<[f64; 4]>,
    pub clamp_height: f64,
    /// Least and greatest x, y, z that the tool's body reaches.
    pub extent: [[f64; 3]; 2],
    pub seconds: f64,
    /// The proof's figures; filled in by who proves it.
    pub proof: Option<Figures>,
}

/// The stock in program coordinates.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "a box")]
pub struct StockBox {
    pub min: [f64; 3],
    pub max: [f64; 3],
}

/// A tool as a program uses it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are those of the tool table")]
pub struct ToolEntry {
    pub number: u32,
    pub name: String,
    pub kind: &'static str,
    pub diameter: f64,
    pub flute: f64,
    pub stick_out: f64,
    pub holder: f64,
    pub plunges: bool,
    pub ramp: f64,
    pub rpm: f64,
    pub feed: f64,
}

/// Inside corners that keep a bit's radius.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Corners {
    /// The cut.
    pub cut: String,
    /// Radius left, mm.
    pub radius: f64,
    /// How many.
    pub count: usize,
}

/// What a proof found, mm.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Figures {
    /// Deepest that anything was cut which no cut asks for.
    pub gouge: f64,
    /// Most that was left of the claimed cuts beyond the corners.
    pub leftover: f64,
    /// Everything held.
    pub proven: bool,
}

/// Something left to other means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ByHand {
    /// The part.
    pub part: String,
    /// The cut, if it is one.
    pub cut: Option<String>,
    /// `mortise`, `worked edge`, …
    pub what: String,
    /// Why, and what would do.
    pub why: String,
}

/// The file's contents for a set of programs.
pub fn index(programs: &[Program], by_hand: &[ByHand]) -> Index {
    Index { format: "casewright-programs/1", programs: programs.iter().map(entry).collect(), by_hand: by_hand.to_vec() }
}

fn entry(p: &Program) -> Entry {
    let size = p.setup.size.map(measure::Length::mm);
    Entry {
        file: p.file.clone(),
        sheet: p.sheet.clone(),
        part: p.parts.iter().map(ToString::to_string).collect(),
        unit: if p.unit == Unit::Inch { "in" } else { "mm" },
        up: p.setup.up.name(),
        origin: p.setup.origin.map(measure::Length::mm),
        x_axis: p.setup.x_axis.name(),
        y_axis: p.setup.y_axis.name(),
        stock: StockBox { min: [0.0, 0.0, -size[2]], max: [size[0], size[1], 0.0] },
        tools: p
            .tools
            .iter()
            .map(|(t, f)| ToolEntry {
                number: t.number,
                name: t.name.clone(),
                kind: t.kind.name(),
                diameter: t.diameter.mm(),
                flute: t.flute.mm(),
                stick_out: t.stick_out.mm(),
                holder: t.holder.mm(),
                plunges: t.plunges,
                ramp: t.ramp,
                rpm: f.rpm,
                feed: f.cut,
            })
            .collect(),
        cuts: p.cuts.clone(),
        corners: p.corners.clone(),
        spoilboard: p.spoilboard,
        clamps: p.clamps.clone(),
        clamp_height: p.clamp_height,
        extent: p.extent,
        seconds: (p.seconds * 10.0).round() / 10.0,
        proof: None,
    }
}
