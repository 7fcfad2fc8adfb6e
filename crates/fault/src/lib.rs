//! Faults in input files: place, reason, mend; and the reader that collects them.
//!
//! A file becomes a tree of [`Node`]s that remember where they stand; a [`Reader`] takes the keys of a table and
//! reports what is missing or unknown. Nothing stops at the first fault. Knows TOML, but no furniture and no lengths:
//! what a text means is for the crate that asked for it.

mod faults;
mod near;
mod place;
mod reader;
mod render;
mod tree;

pub use faults::{Fault, Faults, tick};
pub use near::{and_list, nearest, or_list};
pub use place::{Place, Position, Source};
pub use reader::Reader;
pub use render::Colour;
pub use tree::{Entry, Node, Table, Value, parse};
