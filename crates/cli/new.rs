//! `casewright new`: an order of a design to begin with, a comment for each parameter.

use crate::outcome::Failure;
use crate::{designs, report};

/// Prints an order that builds as it is.
pub(crate) fn run(design: &str) -> Result<(), Failure> {
    report::print(&design::blank_order(&designs::as_it_is(design)?, design))?;
    Ok(())
}
