//! Views, sheets and full-size patterns of a solved case.
//!
//! A drawing is made in three steps: an emitter lays out [`scene`] layers for a part or for the whole case, [`sheet`]
//! binds them into framed and numbered sheets, and a writer ([`svg()`]) puts a sheet into a file format. Nothing here
//! computes a dimension of the piece: figures are read off the case.

mod arrangement;
mod block;
mod callout;
pub mod check;
pub mod dimension;
mod hatch;
mod number;
mod part_sheet;
mod pattern;
pub mod scale;
pub mod scene;
pub mod sheet;
mod solid;
mod svg;
pub mod table;
pub mod text;
mod view;

#[cfg(test)]
mod fixture;

pub use arrangement::{Arrangement, general_arrangement};
pub use part_sheet::part_sheets;
pub use pattern::patterns;
pub use sheet::Sheet;
pub use svg::svg;
