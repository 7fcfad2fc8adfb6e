//! Laying parts out on what they are cut from: bars, sheets and boards. Guillotine cuts, kerf, edge trim, defects and
//! grain; an anytime search with a proven bound. Knows parts as rectangles and lengths only; nothing of furniture, files
//! or clocks.

pub mod check;
mod cuts;
mod dual;
mod effort;
pub mod flat;
pub mod linear;
mod program;
mod random;
mod shop;

pub use cuts::{Area, Fate, Region, Way};
pub use effort::{Limits, Progress, Report};
pub use shop::{Board, Cutting, Flaw, Layout, Piece, Saw, lay_out};
