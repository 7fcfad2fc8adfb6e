//! A dry fit: the solved case put together in simulation before any wood is cut.
//!
//! Reads the placed parts as solids and nothing else of how they came about. Changes nothing, and writes nothing but
//! findings.

mod bench;
mod check;
mod clearance;
pub mod columns;
mod common;
mod contact;
mod let_in;
mod motion;
mod order;
mod region;
mod seat;
mod shelf;
mod solid;
mod swing;

pub use check::{RULES, Rule, check};
pub use clearance::gap;
pub use common::{Common, common};
pub use contact::touching;
pub use motion::{blocked, strikes};
pub use order::{Leg, Step, Stuck, order};
pub use shelf::{ShelfShut, ShelfWay, ways_out};
pub use solid::{Body, Removal, Solid, solids};
pub use swing::{Door, OPEN, doors};
