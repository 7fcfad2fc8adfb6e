//! How long the demo's drawings take: 148 parts with 575 cuts. `cargo bench -p drafting`.

use std::sync::Arc;

use case::Case;
use paper::Sheet;

fn main() {
    divan::main();
}

fn demo() -> Case {
    let order = Arc::new(fault::Source::new("demo.toml", design::builtin::DEMO_ORDER));
    let read = design::Job::read(&order, &[], |_| Err(String::from("its design is built in")));
    case::build(&read.expect("the demo builds").1)
}

#[divan::bench]
fn general_arrangement(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::general_arrangement(&case));
}

#[divan::bench]
fn part_sheets(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::part_sheets(&case));
}

#[divan::bench]
fn patterns(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::patterns(&case));
}

#[divan::bench]
fn svg(bencher: divan::Bencher<'_, '_>) {
    let sheets: Vec<Sheet> = drafting::general_arrangement(&demo()).sheets;
    bencher.bench_local(|| sheets.iter().map(paper::svg).collect::<Vec<String>>());
}
