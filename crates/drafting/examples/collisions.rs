//! Draws random orders and counts, by document and by kind, what collides on their sheets: must be nothing.
//! `cargo run --release -p drafting --example collisions [ORDERS [FIRST]]`; 500 orders if it is not said.

#![allow(clippy::print_stdout, reason = "a command")]

#[path = "../tests/drawings/random.rs"]
mod random;

use std::collections::BTreeMap;
use std::process::ExitCode;

use paper::check::{Kind, collisions};

fn main() -> ExitCode {
    let mut numbers = std::env::args().skip(1).filter_map(|a| a.parse::<u64>().ok());
    let (wanted, first) = (numbers.next().unwrap_or(500), numbers.next().unwrap_or(0));
    let mut counts: BTreeMap<(&str, Kind), usize> = BTreeMap::new();
    let mut sheets: BTreeMap<&str, usize> = BTreeMap::new();
    let (mut built, mut seed) = (0, first);
    while built < wanted {
        seed += 1;
        let Some(case) = random::numbered(seed) else { continue };
        built += 1;
        for (document, drawn) in random::drawn(&case) {
            *sheets.entry(document).or_default() += drawn.len();
            for kind in [Kind::TextOverText, Kind::LineThroughText, Kind::OffTheSheet] {
                counts.entry((document, kind)).or_default();
            }
            for sheet in drawn {
                for c in collisions(&sheet) {
                    *counts.entry((document, c.kind)).or_default() += 1;
                    let (p, size) = (&case.order.design, case.order.paper.sheet);
                    println!("order {seed}, {p} on {size:?}, {}: {} at {:.0?}", sheet.name, c.what, c.at);
                }
            }
        }
    }
    println!("{built} orders that can be built, of {} tried", seed - first);
    println!(
        "{:<22}{:>8}{:>16}{:>19}{:>15}",
        "document", "sheets", "text over text", "line through text", "off the sheet"
    );
    for (document, n) in &sheets {
        let of = |kind: Kind| counts.get(&(*document, kind)).copied().unwrap_or_default();
        println!(
            "{document:<22}{n:>8}{:>16}{:>19}{:>15}",
            of(Kind::TextOverText),
            of(Kind::LineThroughText),
            of(Kind::OffTheSheet)
        );
    }
    if counts.values().all(|n| *n == 0) { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
