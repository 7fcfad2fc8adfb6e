//! What can be typed: the commands and their options, as `clap` reads them. What they mean is for each command's file.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, Parser, Subcommand};

/// From a standard design and an order to everything a small workshop needs to build a solid-wood case.
#[derive(Debug, Parser)]
#[command(name = "casewright", version, about, after_help = STATUS, disable_help_subcommand = true)]
pub(crate) struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
    /// Report in JSON, for other programs.
    #[arg(long, global = true)]
    pub(crate) json: bool,
}

const STATUS: &str = "\
Exit status: 0 done, cautions included; 1 the order cannot be built as asked; 2 the input cannot be read;
3 the disk or a tool failed. With 1, 2 and 3 nothing is written.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write the packet of an order: drawings, patterns, programs, lists.
    Packet {
        /// What is built.
        #[command(flatten)]
        order: OrderArgs,
        /// The packet's folder; an older packet there is replaced.
        #[arg(long, value_name = "DIR", default_value = "packet")]
        out: PathBuf,
        /// The boards and sheets at hand, and how to lay parts out on them.
        #[command(flatten)]
        stock: StockArgs,
    },
    /// Print the solved model of an order, in JSON.
    Solve {
        /// What is built.
        #[command(flatten)]
        order: OrderArgs,
    },
    /// Say how far each parameter of an order can be changed, the others kept, and what stops it there.
    Limits {
        /// What is built.
        #[command(flatten)]
        order: OrderArgs,
    },
    /// Read programs back as they stand, cut them in simulation, and compare with what they claim.
    Prove {
        /// A packet, or one of its programs.
        #[arg(default_value = "packet")]
        path: PathBuf,
        /// Also draw path and depths of each, one SVG per program, into this folder.
        #[arg(long, value_name = "DIR")]
        draw: Option<PathBuf>,
    },
    /// List the built-in designs and their parameters.
    Designs {
        /// Only this one.
        design: Option<String>,
    },
    /// Print an order of a design, with a comment for each parameter; it builds as it is.
    New {
        /// A built-in design, or the path of one's own.
        design: String,
    },
}

/// What is built.
#[derive(Debug, Args)]
pub(crate) struct OrderArgs {
    /// The path of an order or of a design of one's own, or the name of a built-in design; without it, the demo order.
    pub(crate) order: Option<String>,
    /// Set a parameter; wins over the order. May be given many times.
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub(crate) settings: Vec<String>,
}

/// The boards and sheets at hand, and how to lay parts out on them.
#[derive(Debug, Args)]
pub(crate) struct StockArgs {
    /// The file of boards and sheets at hand; wins over the order's.
    #[arg(long = "stock", value_name = "FILE")]
    pub(crate) file: Option<PathBuf>,
    /// Search on for better layouts for so long, such as `10s` or `2min`; Ctrl-C keeps the best so far. Without it the
    /// layouts come at once, and the same order gives the same ones.
    #[arg(long = "stock-time", value_name = "TIME", value_parser = time)]
    pub(crate) time: Option<Duration>,
    /// Another seed finds other layouts.
    #[arg(long = "stock-seed", value_name = "N", default_value_t = 1)]
    pub(crate) seed: u64,
}

/// A time with its unit.
fn time(text: &str) -> Result<Duration, String> {
    let figure = text.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let unit = match &text[figure.len()..] {
        "s" => 1.0,
        "min" => 60.0,
        "h" => 3600.0,
        _ => return Err("write a time with its unit, such as `10s`, `2min` or `1h`".into()),
    };
    let seconds = figure.trim().parse::<f64>().map_err(|_| "a time begins with a figure")? * unit;
    Duration::try_from_secs_f64(seconds).map_err(|_| "a time that no clock shows".into())
}
