//! Runs the published instances in a folder and prints gaps and times:
//! `cargo run --release -p stock --example published -- DIR [--only TEXT] [--seconds S] [--every N] [--cpu] [--verbose]`.
//!
//! `--cpu` counts the processor time of the searching thread instead of the time that passed, for a machine that is shared.

#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "a command line tool, timed by the clock")]

mod clock;
mod flat;
mod linear;
mod read;
mod value;
mod workshop;

use std::path::PathBuf;
use std::time::Duration;

/// What was asked for.
pub(crate) struct Options {
    pub(crate) folder: PathBuf,
    pub(crate) only: String,
    pub(crate) time: Duration,
    pub(crate) every: usize,
    pub(crate) cpu: bool,
    pub(crate) turned: bool,
    pub(crate) threads: usize,
    pub(crate) verbose: bool,
}

fn main() {
    let mut options = Options {
        folder: ".".into(),
        only: String::new(),
        time: Duration::from_secs(1),
        every: 1,
        cpu: false,
        turned: false,
        threads: 2,
        verbose: false,
    };
    let mut given = std::env::args().skip(1);
    while let Some(word) = given.next() {
        let mut value = || given.next().unwrap_or_default();
        match word.as_str() {
            "--only" => options.only = value(),
            "--seconds" => options.time = Duration::from_secs_f64(value().parse().unwrap_or(1.0)),
            "--every" => options.every = value().parse().unwrap_or(1),
            "--cpu" => options.cpu = true,
            "--turned" => options.turned = true,
            "--threads" => options.threads = value().parse().unwrap_or(2),
            "--verbose" => options.verbose = true,
            folder => options.folder = folder.into(),
        }
    }
    for (file, instances) in read::folder(&options) {
        if file.starts_with("1d_") {
            linear::run(&file, &instances, &options);
        } else if file.starts_with("2d_bins") {
            flat::run(&file, &instances, options.turned, &options);
        } else if file.starts_with("2d_value") {
            value::run(&file, &instances, &options);
        } else if file.starts_with("workshop") {
            workshop::run(&file, &instances, &options);
        }
    }
}
