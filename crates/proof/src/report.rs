//! The outcome of a proof: what was found, where, and the figures.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::reader::{Fault, WorstArc};

/// What a finding breaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Rule {
    /// The claim makes no sense in itself.
    Claim,
    /// The tool is not in the claim, or none is in the spindle.
    Tool,
    /// The controller does not take it.
    Controller,
    /// The text is not in the unit that is promised.
    Units,
    /// The text counts from another zero than the operator sets.
    Offset,
    /// Run twice in a row, it does something else.
    Again,
    /// Wood that must stay is cut.
    Gouge,
    /// Wood that must go and could go is left.
    Leftover,
    /// The tool cannot get into a cut, or only into a part of it.
    Unreached,
    /// A rapid move touches what is left of the stock.
    Rapid,
    /// The program needs more room than the machine has.
    Travel,
    /// The tool goes farther beside the stock than it may.
    RunOut,
    /// The tool goes farther into the spoilboard than it may.
    Spoilboard,
    /// A clamp is in the way.
    Clamp,
    /// The holder or the spindle's nose touches the stock.
    Holder,
    /// The cut is deeper than the tool's flutes are long.
    Flute,
    /// The tool cannot go down like that.
    Plunge,
    /// A drill is moved sideways in the wood.
    Sideways,
    /// A feed outside the tool's or the machine's range.
    Feed,
    /// A speed outside the tool's or the machine's range.
    Speed,
    /// A piece comes loose, or a bridge does not hold it.
    Tab,
    /// A piece is worked when it has been cut out already.
    Order,
}

impl Rule {
    /// The name in reports and in `programs.json`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Claim => "claim",
            Self::Tool => "tool",
            Self::Controller => "controller",
            Self::Units => "units",
            Self::Offset => "offset",
            Self::Again => "again",
            Self::Gouge => "gouge",
            Self::Leftover => "leftover",
            Self::Unreached => "unreached",
            Self::Rapid => "rapid",
            Self::Travel => "travel",
            Self::RunOut => "run-out",
            Self::Spoilboard => "spoilboard",
            Self::Clamp => "clamp",
            Self::Holder => "holder",
            Self::Flute => "flute",
            Self::Plunge => "plunge",
            Self::Sideways => "sideways",
            Self::Feed => "feed",
            Self::Speed => "speed",
            Self::Tab => "tab",
            Self::Order => "order",
        }
    }
}

/// Something that the proof found wrong with what the program does.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// What it breaks.
    pub rule: Rule,
    /// The line of the text, from 1; for wood left over, the line that came nearest. 0 when no line is to blame.
    pub line: u32,
    /// The claim's cut, where one is concerned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<String>,
    /// Where, in program coordinates, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<[f64; 3]>,
    /// The lines that gave X, Y and Z of the move, where that is not the line itself: one of them may be to blame.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub given: Vec<u32>,
    /// The figure found: mm, mm/min or turns a minute, as the rule has it.
    pub figure: f64,
    /// What would do.
    pub limit: f64,
    /// What it is, in words.
    pub what: String,
}

/// A corner that the tool's radius leaves, to be worked by hand where the joint wants it square.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fillet {
    /// The claim's cut.
    pub cut: String,
    /// The corner in plan, mm.
    pub at: [f64; 2],
    /// From which height to which, mm.
    pub z: [f64; 2],
    /// From the corner to cleared room, mm.
    pub size: f64,
}

/// A proof.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Lines in the text.
    pub lines: u32,
    /// Moves they make.
    pub moves: usize,
    /// What is wrong with the text, in its order. With faults that keep it from being read, nothing else is proven.
    pub faults: Vec<Fault>,
    /// What is wrong with what it does, in the order of the lines; the first of each rule.
    pub findings: Vec<Finding>,
    /// How many more findings there are than listed.
    pub more: usize,
    /// The deepest cut into wood that must stay, mm.
    pub gouge: f64,
    /// The thickest wood left over, mm; what is thinner than the bound is not seen.
    pub leftover: f64,
    /// Corners that the tool's radius leaves.
    pub fillets: Vec<Fillet>,
    /// The arc whose two radii differ most.
    pub worst_arc: Option<WorstArc>,
    /// The lowest place of a tool's end, program Z, mm.
    pub deepest: f64,
    /// Length fed, mm.
    pub fed: f64,
    /// Run time from feeds, accelerations, dwells and tool changes, s.
    pub seconds: f64,
    /// To what the figures of gouge and leftover are true, mm.
    pub bound: f64,
}

/// The figures of a proof as `programs.json` holds them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Figures {
    /// Whether it is proven.
    pub proven: bool,
    /// Lines in the text.
    pub lines: u32,
    /// mm, to a tenth of a micrometre.
    pub gouge: f64,
    /// mm.
    pub leftover: f64,
    /// To what the two are true, mm.
    pub bound: f64,
    /// The largest corner left by a tool's radius, mm.
    pub fillet: f64,
    /// Number of such corners.
    pub corners: usize,
    /// Largest difference between an arc's two radii, mm.
    pub arc: f64,
    /// The lowest place of a tool's end, mm.
    pub deepest: f64,
    /// s.
    pub seconds: f64,
    /// Faults and findings, one line each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub refused: Vec<String>,
}

impl Report {
    /// The program may go to the machine.
    pub fn is_proven(&self) -> bool {
        self.faults.is_empty() && self.findings.is_empty()
    }

    /// The size of the largest corner left by a tool's radius, mm.
    pub fn fillet(&self) -> f64 {
        self.fillets.iter().map(|f| f.size).fold(0.0, f64::max)
    }

    /// The figures, rounded for writing down.
    pub fn figures(&self) -> Figures {
        let round = |v: f64, digits: i32| {
            let k = 10_f64.powi(digits);
            (v * k).round() / k
        };
        let refused = self.faults.iter().map(ToString::to_string).chain(self.findings.iter().map(ToString::to_string));
        Figures {
            proven: self.is_proven(),
            lines: self.lines,
            gouge: round(self.gouge, 4),
            leftover: round(self.leftover, 4),
            bound: round(self.bound, 4),
            fillet: round(self.fillet(), 3),
            corners: self.fillets.len(),
            arc: round(self.worst_arc.map_or(0.0, |w| w.mismatch), 6),
            deepest: round(self.deepest, 4),
            seconds: round(self.seconds, 1),
            refused: refused.collect(),
        }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(f, "{}: ", self.line)?;
        }
        write!(f, "{}: {}", self.rule.name(), self.what)?;
        if let Some(cut) = &self.cut {
            write!(f, " ({cut})")?;
        }
        if let Some([x, y, z]) = self.at {
            write!(f, " at X{x:.3} Y{y:.3} Z{z:.3}")?;
        }
        for line in &self.given {
            write!(f, ", place from line {line}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let verdict = if self.is_proven() { "proven" } else { "refused" };
        writeln!(f, "{verdict}: {} lines, {} moves, {}", self.lines, self.moves, clock(self.seconds))?;
        for fault in &self.faults {
            writeln!(f, "  {fault}")?;
        }
        for finding in &self.findings {
            writeln!(f, "  {finding}")?;
        }
        if self.more > 0 {
            writeln!(f, "  and {} more of these", self.more)?;
        }
        writeln!(f, "  gouge {:.4} mm, left over {:.4} mm, true to {:.4} mm", self.gouge, self.leftover, self.bound)?;
        if let Some(w) = self.worst_arc {
            writeln!(f, "  radii of an arc differ by {:.5} mm at most (line {})", w.mismatch, w.line)?;
        }
        writeln!(f, "  deepest Z{:.4}, fed over {:.0} mm", self.deepest, self.fed)?;
        for (cut, n, size) in self.corners_by_cut() {
            let corners = if n == 1 { "corner" } else { "corners" };
            writeln!(f, "  {cut}: {n} {corners} keep the tool's radius, {size:.2} mm from corner to wood's edge")?;
        }
        Ok(())
    }
}

impl Report {
    /// For each cut with such corners: how many, and the size of the largest, mm.
    pub fn corners_by_cut(&self) -> Vec<(&str, usize, f64)> {
        let mut out: Vec<(&str, usize, f64)> = Vec::new();
        for fillet in &self.fillets {
            match out.iter_mut().find(|o| o.0 == fillet.cut) {
                Some(o) => (o.1, o.2) = (o.1 + 1, o.2.max(fillet.size)),
                None => out.push((&fillet.cut, 1, fillet.size)),
            }
        }
        out
    }
}

fn clock(seconds: f64) -> String {
    let s = seconds.round();
    format!("{} min {} s", (s / 60.0).floor(), s % 60.0)
}
