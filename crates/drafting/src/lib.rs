//! Views, sheets and full-size patterns of a solved case.
//!
//! Each emitter lays out what it has to say of the case as drawings of crate `paper`, which frames, numbers and writes
//! them. Nothing here computes a dimension of the piece: figures are read off the case.

mod arrangement;
mod balloons;
mod cover;
mod details;
mod exchange;
mod exploded;
mod hatching;
mod margins;
mod packed;
mod part_sheet;
mod pattern;
mod pens;
mod solid;
mod solids;
mod tips;
mod view;

#[cfg(test)]
mod fixture;

pub use arrangement::{Arrangement, general_arrangement};
pub use cover::{Front, cover};
pub use details::details;
pub use exchange::{Exchange, part_outlines};
pub use exploded::{Member, Step, exploded};
pub use part_sheet::part_sheets;
pub use pattern::{Pattern, jig_patterns, patterns};
pub use solids::Solids;
