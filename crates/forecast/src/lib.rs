//! What the wood will do: a page with the piece through the seasons, its shelves under load, its weight and how it
//! stands, and its glass.
//!
//! Reads the solved case and works nothing out: every figure is the model's.

mod drawing;
mod page;
mod show;

pub use drawing::drawing;
pub use page::page;
