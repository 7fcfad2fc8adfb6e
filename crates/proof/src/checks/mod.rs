//! What else can go wrong while a program runs, a file for each matter. Each check only reads and adds findings.

mod again;
mod controller;
mod loose;
mod order;
mod rates;
mod room;
mod stock;

use crate::claim::{Claim, Tool};
use crate::reader::Reading;
use crate::report::{Finding, Rule};
use crate::sweep::path::Stretch;

pub(crate) use again::{again, first_moves};
pub(crate) use controller::controller;
pub(crate) use loose::loose;
pub(crate) use order::order;
pub(crate) use rates::rates;
pub(crate) use room::room;
pub(crate) use stock::stock;

/// What every check looks at.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Run<'a> {
    pub claim: &'a Claim,
    pub reading: &'a Reading,
    pub path: &'a [Stretch],
}

impl Run<'_> {
    /// The tool of a number; where the controller changes no tools, the one that is in the spindle.
    pub(crate) fn tool(&self, number: u32) -> Option<&Tool> {
        tool(self.claim, number)
    }

    pub(crate) fn line(&self, stretch: &Stretch) -> u32 {
        self.reading.motions[stretch.motion].line
    }

    /// The other lines that gave a coordinate of the move's end; or of its start, where that is nearer to a place.
    pub(crate) fn given(&self, stretch: &Stretch, near: [f64; 3]) -> Vec<u32> {
        let motions = &self.reading.motions;
        let motion = &motions[stretch.motion];
        let far = |p: [f64; 3]| (0..3).map(|i| (p[i] - near[i]) * (p[i] - near[i])).sum::<f64>();
        let start = stretch.motion.checked_sub(1).filter(|_| far(motion.from) < far(motion.to));
        let given = start.map_or(motion.given, |before| motions[before].given);
        let mut out: Vec<u32> = given.iter().copied().filter(|l| *l != 0 && *l != motion.line).collect();
        out.sort_unstable();
        out.dedup();
        out
    }
}

/// See [`Run::tool`].
pub(crate) fn tool(claim: &Claim, number: u32) -> Option<&Tool> {
    match claim.tools.as_slice() {
        [only] if number == 0 && !claim.machine.controller.tool_change => Some(only),
        tools => tools.iter().find(|t| t.number == number),
    }
}

/// A finding at a line.
pub(crate) fn at_line(rule: Rule, line: u32, figure: f64, limit: f64, what: String) -> Finding {
    Finding { rule, line, cut: None, at: None, given: Vec::new(), figure, limit, what }
}
