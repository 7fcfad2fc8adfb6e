//! `casewright new`: an order of a design to begin with, a comment for each parameter.

use std::fmt::Write as _;

use crate::outcome::Failure;
use crate::{designs, report};

/// Prints an order that builds as it is: the design's defaults, commented out, so that they stay the design's.
pub(crate) fn run(design: &str) -> Result<(), Failure> {
    let resolved = designs::as_it_is(design)?;
    let unit = resolved.order.unit;
    let design = design::Value::Word(design.to_owned()).toml(unit);
    let mut text = format!(
        "# {}: {}\n\
         # An order names its design and says what differs from it. Take the # away from what you change.\n\
         \n\
         design = {design}\n\
         # number = \"1\"\n\
         # customer = \"\"\n\
         # maker = \"\"\n\
         # date = 2026-01-31\n\
         # The unit that people read, \"in\" or \"mm\", and the finest division that the shop marks out.\n\
         unit = \"{unit}\"\n\
         # ruler = \"{}\"\n\
         \n\
         [parameters]\n",
        resolved.design.title,
        resolved.design.about,
        resolved.order.ruler.show(resolved.order.ruler.step)
    );
    for p in &resolved.parameters {
        // Writing to a string cannot fail.
        let _ = write!(text, "\n# {}\n# {} = {}\n", designs::about(p, unit), p.name, p.value.toml(unit));
    }
    report::print(&text)?;
    Ok(())
}
