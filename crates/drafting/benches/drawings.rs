//! How long the demo's drawings take: 148 parts with 575 cuts. `cargo bench -p drafting`.

use std::sync::Arc;

use case::Case;
use drafting::Solids;
use paper::Sheet;

fn main() {
    divan::main();
}

fn demo() -> Case {
    ordered(&[])
}

fn ordered(settings: &[&str]) -> Case {
    let order = Arc::new(fault::Source::new("demo.toml", design::builtin::DEMO_ORDER));
    let settings: Vec<String> = settings.iter().map(|s| (*s).to_owned()).collect();
    let read = design::Job::read(&order, &settings, |_| Err(String::from("its design is built in")));
    case::build(&read.expect("the demo builds").1)
}

#[divan::bench]
fn general_arrangement(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::general_arrangement(&Solids::of(&case)));
}

/// The solids of all parts, which are worked out once for whatever is drawn of them.
#[divan::bench]
fn solids(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| Solids::of(&case));
}

/// The whole demo turned by hand: a picture from another side each time, the solids worked out before.
#[divan::bench]
fn turn(bencher: divan::Bencher<'_, '_>) {
    turned(bencher, &demo());
}

/// A glazed case of 60 parts turned by hand: has to take less than 16 ms on one core.
#[divan::bench]
fn turn_60_parts(bencher: divan::Bencher<'_, '_>) {
    let case = ordered(&["width=24 in", "doors=1", "light_rows=2", "shelves=6", "pegs=false"]);
    assert_eq!(case.parts.len(), 60);
    turned(bencher, &case);
}

fn turned(bencher: divan::Bencher<'_, '_>, case: &Case) {
    let solids = Solids::of(case);
    let mut azimuth = 0.0;
    bencher.bench_local(|| {
        azimuth += 7.3;
        solids.turned(azimuth, 22.0)
    });
}

#[divan::bench]
fn part_sheets(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::part_sheets(&case));
}

#[divan::bench]
fn patterns(bencher: divan::Bencher<'_, '_>) {
    let case = demo();
    bencher.bench_local(|| drafting::patterns(&case, &[]));
}

#[divan::bench]
fn svg(bencher: divan::Bencher<'_, '_>) {
    let sheets: Vec<Sheet> = drafting::general_arrangement(&Solids::of(&demo())).sheets;
    bencher.bench_local(|| sheets.iter().map(paper::svg).collect::<Vec<String>>());
}
