//! The takeoff: what a solved case is made of and what is bought for it.
//!
//! Reads the parts, panes and fittings of a [`case::Case`] and nothing else. Sizes are the finished blanks' own, exact.
//! What is added to them in the rough, how the pieces lie on boards, and what wood to buy is for `yard` to say.

mod csv;
mod list;
mod page;
mod quantity;

pub use csv::{cut_list, decimal, fittings, glass};
pub use list::{FittingLine, Group, Line, PaneLine, Strip, Takeoff};
pub use page::{capital, page, runs};
pub use quantity::{Quantity, bought_by};

/// Takes off a case: groups, counts and sums.
pub fn take_off(case: &case::Case) -> Takeoff {
    list::take_off(case)
}
