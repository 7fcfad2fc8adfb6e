//! Tests of the whole program, one binary: a module for each theme.
//!
//! They run the real `casewright` in scratch folders and read what it wrote; nothing here reaches into a crate to see
//! how it was done.

#![expect(clippy::disallowed_methods, reason = "tests set scenes on the disk and are told by the environment to renew")]

/// The command itself: what it prints, its statuses, and how it behaves among other programs.
mod cli;
/// Random orders, each built and proven or refused with a mend that works.
mod every_order;
/// Orders that are wrong, and orders that cannot be built.
mod faults;
/// The solved model as other programs read it.
mod model;
/// A random order, and what becomes of it.
mod outcome;
/// What the program wrote, read by readers that are not ours.
mod outside;
/// The packet on disk: complete, consistent, the same every time.
mod packet;
/// Programs on the disk, proven and found out.
mod prove;
/// Runs the program, and sets its scenes.
mod run;
/// The sample packets are what the program writes.
mod samples;
/// Every JSON file is what its schema says.
mod schemas;
/// A packet laid out on the boards at hand.
mod stock;
/// House rules that no lint knows.
mod tidy;
