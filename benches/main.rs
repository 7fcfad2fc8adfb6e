//! How long the demo takes: read and resolve, solve, and the whole packet in memory and on the disk.
//!
//! `cargo bench`. Goals on two cores: solve under 2 ms, the whole packet under 150 ms, and under 250 ms with the proofs
//! of its programs and of the piece, which it always makes.

use case::Case;
use design::{Job, Resolved, builtin};
use fault::Source;
use packet::{Manifest, Packet, Texts};
use routing::{BUILT_IN_MACHINE, BUILT_IN_TOOLS, Machine, ToolTable};

fn main() {
    divan::main();
}

fn demo() -> (Job, Resolved) {
    let order = Source::new("demo.toml", builtin::DEMO_ORDER);
    Job::read(&order, &[], |_| Err(String::from("its design is built in"))).expect("the demo builds")
}

fn solved() -> Case {
    let (job, resolved) = demo();
    case::solve(&job, &resolved, &dryfit::check)
}

fn assembled(case: &Case) -> (Packet, Manifest) {
    let texts = Texts {
        order: builtin::DEMO_ORDER.into(),
        design: builtin::DESIGNS[0].1.into(),
        woods: None,
        machine: BUILT_IN_MACHINE.into(),
        tools: BUILT_IN_TOOLS.into(),
        stock: None,
        settings: Vec::new(),
    };
    let plan = yard::plan(case, None, yard::SAWN_OUT, &yard::limits());
    let (machine, tools) = (Machine::default(), ToolTable::default());
    packet::assemble(case, &plan, &machine, &tools, &texts, env!("CARGO_PKG_VERSION")).expect("the demo is proven")
}

#[divan::bench]
fn read() -> (Job, Resolved) {
    demo()
}

#[divan::bench]
fn solve(bencher: divan::Bencher) {
    let (_, resolved) = demo();
    bencher.bench(|| case::build(&resolved));
}

/// Rough list and layouts, all boards bought.
#[divan::bench]
fn plan(bencher: divan::Bencher) {
    let case = solved();
    bencher.bench(|| yard::plan(&case, None, yard::SAWN_OUT, &yard::limits()));
}

/// What the dry fit adds to solving.
#[divan::bench]
fn fit(bencher: divan::Bencher) {
    let case = solved();
    bencher.bench(|| dryfit::check(&case));
}

/// Proof of all programs of the demo on one core: from their text and claims to the verdict. Goal: 100 ms on two.
#[divan::bench(sample_count = 20)]
fn prove(bencher: divan::Bencher) {
    let programs = routing::route(&solved(), &Machine::default(), &ToolTable::default()).programs;
    let claim = |p: &routing::Program| serde_json::from_value(serde_json::to_value(&p.claim)?);
    let claims: Vec<proof::Claim> = programs.iter().map(claim).collect::<Result<_, _>>().expect("claims are claims");
    bencher.bench(|| {
        let proven = programs.iter().zip(&claims).filter(|(p, claim)| proof::prove(&p.text, claim).is_proven());
        assert_eq!(proven.count(), programs.len());
    });
}

#[divan::bench(sample_count = 20)]
fn assemble(bencher: divan::Bencher) {
    let case = solved();
    bencher.bench(|| assembled(&case));
}

#[divan::bench(sample_count = 20)]
fn write(bencher: divan::Bencher) {
    let (packet, manifest) = assembled(&solved());
    let room = tempfile::tempdir().expect("a scratch folder");
    let target = room.path().join("packet");
    bencher.bench_local(|| packet.write(&manifest, &target));
}

#[divan::bench(sample_count = 20)]
fn whole(bencher: divan::Bencher) {
    let room = tempfile::tempdir().expect("a scratch folder");
    let target = room.path().join("packet");
    bencher.bench_local(|| {
        let (packet, manifest) = assembled(&solved());
        packet.write(&manifest, &target)
    });
}
