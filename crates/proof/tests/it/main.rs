//! The proof from outside: one binary, a module for each theme.

/// A board with one of each kind of cut, and its program.
mod common;
/// Planted faults: each caught, at its place.
mod faults;
/// Every check from both sides.
mod limits;
/// Good programs are proven.
mod prove;
/// Random claims and random paths, against the referee.
mod random;
/// The language, line by line.
mod reader;
/// A slow referee by points.
mod referee;
/// Bytes of all sorts.
mod soup;
