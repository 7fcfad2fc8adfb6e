//! Cases for tests: built-in designs, solved with any settings.

use std::sync::Arc;

use case::Case;

/// The demo order with settings of the form `name=value` over it.
pub(crate) fn demo(settings: &[&str]) -> Case {
    solved(design::builtin::DEMO_ORDER, settings)
}

/// A built-in design as it is, but for the settings.
pub(crate) fn design(name: &str, settings: &[&str]) -> Case {
    solved(&format!("design = \"{name}\"\nunit = \"mm\"\nruler = \"0.5 mm\"\n"), settings)
}

fn solved(order: &str, settings: &[&str]) -> Case {
    let order = Arc::new(fault::Source::new("order.toml", order));
    let settings: Vec<String> = settings.iter().map(|s| (*s).to_owned()).collect();
    let read = design::Job::read(&order, &settings, |path| Err(format!("`{path}` is not built in")));
    case::build(&read.unwrap().1)
}
