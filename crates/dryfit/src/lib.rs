//! A dry fit: the solved case put together in simulation before any wood is cut.
//!
//! Reads the placed parts as solids and nothing else of how they came about. Changes nothing, and writes nothing but
//! findings.

pub mod columns;
mod common;
mod region;
mod solid;

pub use common::{Common, common};
pub use solid::{Body, Removal, Solid, solids};
