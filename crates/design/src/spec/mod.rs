//! The specification: a design's tables with every formula evaluated, for one order. What `case` lays out.
//!
//! Each table is defined once, by `table!`, and that definition is the struct, the reader, the schema and the
//! reference page. No dimension is worked out here beyond what the design file says.

mod doors;
mod joinery;
mod post_and_rail;

pub use doors::*;
pub use joinery::*;
pub use post_and_rail::*;
