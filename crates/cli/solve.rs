//! `casewright solve`: the solved model of an order, as JSON.

use case::{Level, model::Model};

use crate::args::OrderArgs;
use crate::outcome::Failure;
use crate::{input, report};

/// Prints the model; one that cannot be built is printed too, since its findings say where it fails.
pub(crate) fn run(order: &OrderArgs) -> Result<(), Failure> {
    let input = input::read(order)?;
    let case = case::solve(&input.job, &input.resolved, &dryfit::check);
    report::print(&Model::from(&case).text())?;
    if case.findings.iter().any(|f| f.level == Level::Stop) {
        return Err(Failure::Unbuildable(case.findings));
    }
    Ok(())
}
