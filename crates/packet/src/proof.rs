//! Where a program meets its proof: the claim goes over as JSON, so that the two share a format and no code.

use std::collections::BTreeMap;
use std::fmt::{self, Write as _};

use ::proof::{Claim, Figures};
use case::Case;
use rayon::prelude::*;
use routing::{Machine, Program, ToolTable};
use yard::Plan;

use crate::claim::against_parts;
use crate::nest;
use crate::shop::Shop;

/// Programs that do not do what they claim.
#[derive(Debug)]
pub struct Unproven {
    /// By file, what the proof says against it.
    pub programs: BTreeMap<String, Vec<String>>,
}

impl fmt::Display for Unproven {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (file, reasons)) in self.programs.iter().enumerate() {
            let end = if i == 0 { "" } else { "\n" };
            write!(f, "{end}{file} is not proven: {}", reasons.join("; "))?;
        }
        Ok(())
    }
}

impl std::error::Error for Unproven {}

/// How many programs a case needs, every one of them proven.
///
/// # Errors
/// If a program does not do what it claims.
pub fn prove_programs(case: &Case, plan: &Plan, machine: &Machine, tools: &ToolTable) -> Result<usize, Unproven> {
    let nested = nest::nested(case, plan, machine, tools);
    of_all(case, Shop { machine, tools }, &nest::routed(case, &nested, machine, tools).programs)
        .map(|proven| proven.len())
}

/// Proves every program, on all processors: it is the longest step of a packet.
pub(crate) fn of_all(case: &Case, shop: Shop<'_>, programs: &[Program]) -> Result<BTreeMap<String, Figures>, Unproven> {
    let outcomes: Vec<Outcome> = programs.par_iter().map(|program| prove(case, shop, program)).collect();
    let mut proven = BTreeMap::new();
    let mut refused = BTreeMap::new();
    for (file, outcome) in outcomes {
        match outcome {
            Ok(figures) => drop(proven.insert(file, figures)),
            Err(reasons) => drop(refused.insert(file, reasons)),
        }
    }
    if refused.is_empty() { Ok(proven) } else { Err(Unproven { programs: refused }) }
}

/// A program's file, and its figures or what is wrong with it.
type Outcome = (String, Result<Figures, Vec<String>>);

fn prove(case: &Case, shop: Shop<'_>, program: &Program) -> Outcome {
    let figures = claim(program).and_then(|claim| {
        let mut wrong = against_parts(case, program, &claim);
        wrong.extend(shop.against(&claim));
        if wrong.is_empty() { Ok(::proof::prove(&program.text, &claim).figures()) } else { Err(wrong.join("; ")) }
    });
    let outcome = match figures {
        Ok(figures) if figures.proven => Ok(figures),
        Ok(figures) => Err(figures.refused),
        Err(why) => Err(vec![why]),
    };
    (program.file.clone(), outcome)
}

fn claim(program: &Program) -> Result<Claim, String> {
    let claim = serde_json::to_value(&program.claim).map_err(|e| e.to_string())?;
    serde_json::from_value(claim).map_err(|e| format!("its claim cannot be read: {e}"))
}

/// What the proof found, for the foot of a set-up sheet.
pub(crate) fn lines<'a>(figures: impl Iterator<Item = (&'a str, &'a Figures)>) -> String {
    let mut text = String::from("\nPROOF\n  Read back from the text and cut in simulation; figures in mm.\n");
    for (file, f) in figures {
        let figures = format!("gouge {:.4}, left over {:.4}, true to {:.4}", f.gouge, f.leftover, f.bound);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "  {file:<15} {figures}");
    }
    text
}
