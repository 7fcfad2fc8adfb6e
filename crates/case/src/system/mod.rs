//! Construction systems: how a specification becomes parts and joints.

mod door;
pub(crate) mod post_and_rail;
mod room;
