//! A dry fit: the solved case put together in simulation before any wood is cut.
//!
//! Reads the placed parts as solids and nothing else of how they came about. Changes nothing, and writes nothing but
//! findings.

mod bench;
pub mod columns;
mod common;
mod motion;
mod order;
mod region;
mod solid;

pub use common::{Common, common};
pub use motion::{blocked, strikes};
pub use order::{Leg, Step, Stuck, order};
pub use solid::{Body, Removal, Solid, solids};
