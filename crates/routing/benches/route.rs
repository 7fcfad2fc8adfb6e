//! How long all programs and sheets of the demo take.

use case::Case;
use routing::{Machine, ToolTable, route};

fn main() {
    divan::main();
}

fn demo() -> Case {
    let order = fault::Source::new("order.toml", format!("design = \"{}\"\n", design::builtin::DESIGNS[0].0));
    let (_, resolved) = design::Job::read(&order, &[], |_| unreachable!()).unwrap_or_else(|f| panic!("{f}"));
    case::build(&resolved)
}

#[divan::bench]
fn demo_case(bencher: divan::Bencher) {
    let (case, machine, tools) = (demo(), Machine::default(), ToolTable::default());
    bencher.bench(|| route(&case, &machine, &tools));
}
