//! Cases for tests: built-in designs, solved with any settings.

use std::sync::Arc;

use case::Case;

/// The demo order with settings of the form `name=value` over it.
pub(crate) fn demo(settings: &[&str]) -> Case {
    let order = Arc::new(fault::Source::new("demo.toml", design::builtin::DEMO_ORDER));
    let settings: Vec<String> = settings.iter().map(|s| (*s).to_owned()).collect();
    let read = design::Job::read(&order, &settings, |path| Err(format!("`{path}` is not built in")));
    case::build(&read.unwrap().1)
}
