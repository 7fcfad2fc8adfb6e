//! Lengths, and the one place where units are converted.
//!
//! A [`Length`] is a whole number of nanometres, so 1/64 in (396 875 nm) and 0.001 mm are both exact, and sums of
//! parts equal overall sizes to the last digit in either unit. Curves, areas and angles are `f64` in millimetres and
//! never live here.

mod length;
mod parse;
mod unit;

pub use length::{Length, inches, mm};
pub use parse::{LONGEST, Misread, UNIT_WORDS, Why, is_unit, literal, parse};
pub use unit::{Reading, Ruler, Unit, exact};
