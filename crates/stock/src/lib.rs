//! Laying parts out on what they are cut from: bars, sheets and boards. Guillotine cuts, kerf, edge trim, defects and
//! grain; an anytime search with a proven bound. Knows parts as rectangles and lengths only; nothing of furniture, files
//! or clocks.

pub mod check;
mod dual;
mod effort;
pub mod flat;
pub mod linear;
mod program;
mod random;

pub use effort::{Limits, Progress, Report};
