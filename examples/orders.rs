//! Tries random orders of the standard designs: `cargo run --release --example orders -- 5000 [FIRST]`.
//!
//! Each is solved, fitted dry and its programs proven, or refused with mends that work. Prints how many of each, every
//! order of which neither is true, and the rules that refused. What is asked of an order is in `tests/outcome.rs`.

#![allow(clippy::print_stdout, reason = "an example prints what it found")]

#[path = "../tests/outcome.rs"]
mod outcome;

use std::collections::BTreeMap;
use std::panic::catch_unwind;
use std::process::ExitCode;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use outcome::{Outcome, order};

#[derive(Default)]
struct Sums {
    built: u64,
    programs: usize,
    refused: u64,
    panics: u64,
    neither: u64,
    rules: BTreeMap<&'static str, u64>,
    most_mends: usize,
}

fn main() -> ExitCode {
    let number = |i: usize, or: u64| std::env::args().nth(i).and_then(|n| n.parse().ok()).unwrap_or(or);
    let (count, first) = (number(1, 200), number(2, 0));
    let (next, sums) = (AtomicU64::new(first), Mutex::new(Sums::default()));
    let work = || {
        loop {
            let n = next.fetch_add(1, Ordering::Relaxed);
            if n >= first + count {
                return;
            }
            let found = catch_unwind(|| order(n).outcome());
            let mut sums = sums.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            match found {
                Ok(Outcome::Built { programs }) => {
                    sums.built += 1;
                    sums.programs += programs;
                }
                Ok(Outcome::Refused { rules, mends }) => {
                    sums.refused += 1;
                    sums.most_mends = sums.most_mends.max(mends);
                    rules.into_iter().for_each(|rule| *sums.rules.entry(rule).or_default() += 1);
                }
                Ok(Outcome::Neither(why)) => {
                    sums.neither += 1;
                    println!("{n}: {}\n    {why}", order(n));
                }
                Err(_) => {
                    sums.panics += 1;
                    println!("{n}: {}\n    panics", order(n));
                }
            }
        }
    };
    std::thread::scope(|scope| {
        let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        (0..workers).for_each(|_| drop(scope.spawn(work)));
    });
    let s = sums.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    println!("{count} random orders of the standard designs, from number {first}");
    println!("built and proven           {:6}   {} programs", s.built, s.programs);
    println!("refused with working mends {:6}   at most {} one after the other", s.refused, s.most_mends);
    println!("panics                     {:6}", s.panics);
    println!("neither                    {:6}", s.neither);
    for (rule, n) in &s.rules {
        println!("  {rule:24} {n:6}");
    }
    ExitCode::from(u8::from(s.panics + s.neither > 0))
}
