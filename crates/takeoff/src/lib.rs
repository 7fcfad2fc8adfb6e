//! The takeoff: what a solved case is cut from and what is bought for it.
//!
//! Reads the parts, panes and fittings of a [`case::Case`] and nothing else. Finished sizes are the blanks' own, exact;
//! rough sizes and quantities follow from the [`allowance`] rules, which the page states next to the figures. How the
//! pieces lie on boards, and what they cost, is not decided here.

pub mod allowance;
mod csv;
mod list;
mod page;
mod quantity;

pub use csv::{cut_list, fittings, glass, timber};
pub use list::{FittingLine, Group, Line, PaneLine, Purchase, Stock, Strip, Takeoff};
pub use page::page;
pub use quantity::Quantity;

/// Takes off a case: groups, counts and sums.
pub fn take_off(case: &case::Case) -> Takeoff {
    list::take_off(case)
}
