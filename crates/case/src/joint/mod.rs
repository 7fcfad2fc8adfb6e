//! The joints: each makes the cuts on all its parts in one call, in the case frame, with its clearances named.
//!
//! Nothing else may make half a joint, so the halves cannot disagree.

mod button;
mod groove;
mod halving;
mod hinge;
mod housing;
mod mortise_tenon;
mod notch;
mod peg;
mod pins;
mod rabbet;

pub(crate) use button::{Button, button};
pub(crate) use groove::{Groove, groove};
pub(crate) use halving::halving;
pub(crate) use hinge::{Gain, hinge};
pub(crate) use housing::housing;
pub(crate) use mortise_tenon::{Mitre, MortiseAndTenon, mortise_and_tenon};
pub(crate) use notch::notch;
pub(crate) use peg::{Peg, peg};
pub(crate) use pins::{PinRow, pins};
pub(crate) use rabbet::{Rabbet, rabbet};
