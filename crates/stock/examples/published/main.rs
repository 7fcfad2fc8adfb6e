//! Runs the published instances in a folder, a set after the other, and prints what was reached and in what time:
//! `cargo run --release -p stock --example published -- DIR [--markdown] [--only TEXT] [--seconds S] [--every N]
//! [--threads N] [--cpu] [--verbose]`; with `--kerf`, the same layouts with and without a kerf.
//!
//! `--cpu` counts the processor time of the searching thread instead of the time that passed, for a machine that is shared.

#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "a command line tool, timed by the clock")]

mod clock;
mod flat;
mod kerf;
mod linear;
mod read;
mod sets;
mod tally;
mod value;
mod workshop;

use std::path::PathBuf;
use std::time::Duration;

use serde_json::Value;
use stock::{Limits, Progress};

use clock::Clock;
use sets::{SETS, Set, Task};
use tally::{Outcome, Tally};

/// What was asked for.
struct Options {
    folder: PathBuf,
    only: String,
    /// For each instance, instead of the set's own time.
    seconds: Option<f64>,
    every: usize,
    cpu: bool,
    threads: usize,
    verbose: bool,
    markdown: bool,
    kerf: bool,
}

fn main() {
    let mut options = Options {
        folder: ".".into(),
        only: String::new(),
        seconds: None,
        every: 1,
        cpu: false,
        threads: 2,
        verbose: false,
        markdown: false,
        kerf: false,
    };
    let mut given = std::env::args().skip(1);
    while let Some(word) = given.next() {
        let mut value = || given.next().unwrap_or_default();
        match word.as_str() {
            "--only" => options.only = value(),
            "--seconds" => options.seconds = value().parse().ok(),
            "--every" => options.every = value().parse().unwrap_or(1).max(1),
            "--cpu" => options.cpu = true,
            "--threads" => options.threads = value().parse().unwrap_or(2),
            "--verbose" => options.verbose = true,
            "--markdown" => options.markdown = true,
            "--kerf" => options.kerf = true,
            folder => options.folder = folder.into(),
        }
    }
    let header = if options.kerf { kerf::HEADER } else { tally::HEADER };
    if options.markdown {
        println!("{header}");
    }
    let mut done: Vec<(String, bool)> = Vec::new();
    for set in &SETS {
        let turned = set.task == Task::Sheets { turned: true };
        let mut files = read::folder(&options.folder, set.files);
        files.retain(|(name, _)| name.contains(&options.only) && !done.contains(&(name.clone(), turned)));
        done.extend(files.iter().map(|(name, _)| (name.clone(), turned)));
        let instances: Vec<Value> = files.into_iter().flat_map(|f| f.1).step_by(options.every).collect();
        if instances.is_empty() {
        } else if options.kerf {
            kerf::run(set, &instances, options.markdown, options.verbose);
        } else {
            run(set, &instances, &options);
        }
    }
}

fn run(set: &Set, instances: &[Value], options: &Options) {
    let seconds = options.seconds.unwrap_or(set.seconds);
    let mut tally = Tally::default();
    for instance in instances {
        let clock = Clock::start(options.cpu);
        let time = Duration::from_secs_f64(seconds);
        let stop = || clock.elapsed() >= time;
        let limits = Limits { stop: &stop, threads: options.threads, ..Limits::work(u64::MAX) };
        let (mut first, mut last, mut best) = (None, 0.0, 0);
        let mut report = |p: Progress| {
            let now = clock.elapsed().as_secs_f64();
            first.get_or_insert(now);
            if p.best != best {
                (last, best) = (now, p.best);
            }
        };
        let mut outcome = match set.task {
            Task::Bars => linear::solve(instance, &limits, &mut report),
            Task::Sheets { turned } => flat::solve(instance, turned, &limits, &mut report),
            Task::Value => value::solve(instance, &limits, &mut report),
            Task::Workshop => workshop::solve(instance, &limits, &mut report),
        };
        outcome.took = clock.elapsed().as_secs_f64();
        outcome.first = first.unwrap_or(outcome.took);
        if options.verbose {
            let Outcome { found, known, bound, took, first, .. } = outcome;
            println!(
                "  {} found {found} known {known} bound {bound} first at {first:.3} s, last at {last:.2} s of {took:.2} s",
                instance["name"]
            );
        }
        tally.add(&outcome, set.task == Task::Value);
    }
    println!("{}", if options.markdown { tally.row(set.title, seconds) } else { tally.line(set.title) });
}
