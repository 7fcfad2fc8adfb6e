//! The `casewright` command: reads what was typed, calls the stage that does it, and ends with the status that says how
//! it went. Everything else is in the crates.

// The command is where files are read and lines are printed.
#![allow(clippy::disallowed_methods, reason = "the edge of the program, as clippy.toml says")]

mod args;
mod designs;
mod input;
mod limits;
mod new;
mod outcome;
mod packet;
mod prove;
mod report;
mod search;
mod solve;
mod trace;

use std::process::ExitCode;

use clap::Parser as _;

use crate::args::{Cli, Command};

fn main() -> ExitCode {
    let Cli { command, json } = Cli::parse();
    let done = match &command {
        Command::Packet { order, out, stock } => packet::run(order, out, stock, json),
        Command::Solve { order } => solve::run(order),
        Command::Limits { order } => limits::run(order, json),
        Command::Prove { path, draw } => prove::run(path, draw.as_deref(), json),
        Command::Designs { design } => designs::run(design.as_deref(), json),
        Command::New { design } => new::run(design),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            report::failure(&failure, json);
            ExitCode::from(failure.status())
        }
    }
}
