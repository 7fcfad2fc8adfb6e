//! What every drawing is made of: lines, lettering, dimensions and tables, on framed sheets, and the files they go to.
//!
//! Whoever draws lays out [`scene`] layers, [`sheet`] binds them into framed and numbered sheets, [`check`] says what
//! runs into what, and a writer ([`svg()`], [`pdf()`]) puts sheets into a file format; [`Dxf`] takes
//! outlines by themselves. What is drawn, and why, is the caller's.

pub mod block;
pub mod callout;
pub mod check;
pub mod dimension;
mod dxf;
pub mod hatch;
pub mod number;
mod pdf;
pub mod scale;
pub mod scene;
pub mod sheet;
mod svg;
pub mod table;
pub mod text;

pub use dxf::Dxf;
pub use pdf::{Chapter, pdf};
pub use sheet::Sheet;
pub use svg::svg;
