//! Faults planted on purpose, in the programs of the standard designs and in the designs' own parts: each is caught, and
//! the report names the place.
//!
//! `cargo test --test planted` prints the table; it fails unless all are caught. What the kinds are, and what counts as a
//! fault, is told in `docs/proof.md`.

#![expect(clippy::print_stdout, reason = "its table is what it is for")]

mod fault;
mod geometry;
mod nests;
mod oracle;
mod pieces;
mod subject;
mod text;
mod words;

use std::collections::BTreeMap;
use std::process::ExitCode;

use fault::Outcome;

/// At least so many, or the test proves too little.
const LEAST: usize = 240;

fn main() -> ExitCode {
    let programs = subject::programs();
    for s in &programs {
        let report = proof::prove(&s.text, &s.claim);
        assert!(report.is_proven(), "{} is not good to begin with:\n{report}", s.name);
    }
    let kinds = [
        geometry::moved,
        geometry::turned_arcs,
        geometry::dropped_lines,
        geometry::bites_gone_wrong,
        geometry::turned_parts,
        geometry::rapids,
        geometry::typing,
        words::modes,
        words::feeds,
        words::spindle,
        words::tools,
        words::room,
        words::spelling,
        words::bridges,
    ];
    let pieces = pieces::Pieces::new();
    assert!(pieces.are_good(), "a design is stopped to begin with");
    let sheets = nests::programs();
    for s in &sheets {
        let report = proof::prove(&s.text, &s.claim);
        assert!(report.is_proven(), "{} is not good to begin with:\n{report}", s.name);
    }
    let mut table = Table::default();
    for p in kinds.iter().flat_map(|plant| plant(&programs)) {
        let (outcome, report) = p.try_it();
        table.add(p.kind, outcome, || format!("{}\n{report}", p.what));
    }
    for p in nests::planted(&sheets) {
        let (outcome, report) = p.try_it();
        table.add(p.kind, outcome, || format!("{}\n{report}", p.what));
    }
    for p in pieces.planted() {
        let (outcome, found) = pieces.try_it(&p);
        table.add(p.kind, outcome, || format!("{}\n{found}", p.what));
    }
    table.print()
}

/// What was planted and what was caught, by kind, in the order of planting.
#[derive(Default)]
struct Table {
    kinds: Vec<&'static str>,
    /// Faults, caught, and changes that are none.
    counts: BTreeMap<&'static str, [usize; 3]>,
    wrong: Vec<String>,
}

impl Table {
    fn add(&mut self, kind: &'static str, outcome: Outcome, what: impl FnOnce() -> String) {
        if !self.counts.contains_key(kind) {
            self.kinds.push(kind);
        }
        let row = self.counts.entry(kind).or_default();
        match outcome {
            Outcome::Idle => row[2] += 1,
            Outcome::Caught => (row[0], row[1]) = (row[0] + 1, row[1] + 1),
            Outcome::Misplaced | Outcome::Missed => {
                row[0] += 1;
                self.wrong.push(format!("{outcome:?}: {kind}: {}", what()));
            }
        }
    }

    fn print(&self) -> ExitCode {
        let Self { kinds, counts, wrong } = self;
        println!("{:<44} {:>7} {:>7} {:>14}", "kind of fault", "planted", "caught", "left as it was");
        for kind in kinds {
            let [faults, caught, idle] = counts[kind];
            println!(
                "{kind:<44} {faults:>7} {caught:>7} {:>14}",
                if idle == 0 { String::new() } else { idle.to_string() }
            );
        }
        let [faults, caught] = [0, 1].map(|i| counts.values().map(|c| c[i]).sum::<usize>());
        for w in wrong {
            println!("\n{w}");
        }
        println!("\ncaught {caught} of {faults}");
        if caught == faults && faults >= LEAST { ExitCode::SUCCESS } else { ExitCode::FAILURE }
    }
}
