//! What `routing/programs.json` says of each program, for the proof and for anyone else who reads it.
//!
//! All lengths in mm. Program frame: zero at `origin` of the part frame, `x_axis` and `y_axis` its directions, z up out
//! of the face `up`. A cut may be made from another face than it enters, if it reaches that one. A program takes
//! nothing that no cut of the part takes; where cuts adjoin it may run from one of its own on into another that is as
//! deep. `claim` says all this of one program as the proof reads it.

use measure::Unit;
use schemars::JsonSchema;
use serde::Serialize;

use crate::Program;
use crate::claim::{Claim, Solid};

/// The whole file; `P` is what a proof says of a program.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Index<P> {
    /// Format and version.
    pub format: &'static str,
    /// One for each RS-274 file.
    pub programs: Vec<Entry<P>>,
    /// Cuts and parts that no program makes, and why.
    pub by_hand: Vec<ByHand>,
}

/// One RS-274 file.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are the file's own, told in the head comment")]
pub struct Entry<P> {
    pub file: String,
    pub sheet: String,
    pub part: Vec<String>,
    pub unit: &'static str,
    /// Where each part lies, where parts are cut out of a sheet; what follows is then told of the blank.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub placed: Vec<PlacedEntry>,
    pub up: &'static str,
    pub origin: [f64; 3],
    pub x_axis: &'static str,
    pub y_axis: &'static str,
    pub stock: Solid,
    pub tools: Vec<ToolEntry>,
    /// Ids of the cuts it makes, by the first of its parts; its likes have the same ones by index.
    pub cuts: Vec<String>,
    pub corners: Vec<Corners>,
    /// Least and greatest x, y, z that the tool's body reaches.
    pub extent: [[f64; 3]; 2],
    /// Run time, tool changes included.
    pub seconds: f64,
    pub claim: Claim,
    pub proof: Option<P>,
}

/// A part on a sheet: `origin` of the part frame lies at `at` on the sheet's top, `x_axis` and `y_axis` run along it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "told above")]
pub struct PlacedEntry {
    pub part: String,
    pub up: &'static str,
    pub at: [f64; 2],
    pub origin: [f64; 3],
    pub x_axis: &'static str,
    pub y_axis: &'static str,
}

/// A tool as a program uses it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[expect(missing_docs, reason = "the names are those of the tool table")]
pub struct ToolEntry {
    pub number: u32,
    pub name: String,
    pub kind: &'static str,
    pub diameter: f64,
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

/// The file's contents for a set of programs, with what a proof says of each, if there is one.
pub fn index<P>(programs: &[Program], by_hand: &[ByHand], proof: impl Fn(&Program) -> Option<P>) -> Index<P> {
    Index {
        format: "casewright-programs/1",
        programs: programs.iter().map(|p| entry(p, proof(p))).collect(),
        by_hand: by_hand.to_vec(),
    }
}

fn entry<P>(p: &Program, proof: Option<P>) -> Entry<P> {
    let tool = |(t, f): &(crate::Tool, crate::Feeds)| ToolEntry {
        number: t.number,
        name: t.name.clone(),
        kind: t.kind.name(),
        diameter: t.diameter.mm(),
        rpm: f.rpm,
        feed: f.cut,
    };
    let placed = |p: &crate::nest::Placed| PlacedEntry {
        part: p.part.to_string(),
        up: p.setup.up.name(),
        at: p.at.map(measure::Length::mm),
        origin: p.setup.origin.map(measure::Length::mm),
        x_axis: p.setup.x_axis.name(),
        y_axis: p.setup.y_axis.name(),
    };
    Entry {
        file: p.file.clone(),
        sheet: p.sheet.clone(),
        part: p.parts.iter().map(ToString::to_string).collect(),
        unit: if p.unit == Unit::Inch { "in" } else { "mm" },
        placed: p.placed.iter().map(placed).collect(),
        up: p.setup.up.name(),
        origin: p.setup.origin.map(measure::Length::mm),
        x_axis: p.setup.x_axis.name(),
        y_axis: p.setup.y_axis.name(),
        stock: p.claim.stock,
        tools: p.tools.iter().map(tool).collect(),
        cuts: p.cuts.clone(),
        corners: p.corners.clone(),
        extent: p.extent,
        seconds: (p.seconds * 10.0).round() / 10.0,
        claim: p.claim.clone(),
        proof,
    }
}
