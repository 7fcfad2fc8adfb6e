//! The solved case: parts as blanks and cuts, placed and joined; what every emitter reads.
//!
//! Pure: from a specification to a [`Case`], no files, no clock, no randomness. Below it no unit is parsed, no formula
//! evaluated, no default filled in.

mod alike;
pub mod bearing;
mod builder;
mod curve;
pub mod finding;
pub mod frame;
pub mod inspect;
pub mod jig;
mod joint;
pub mod limits;
pub mod model;
pub mod outline;
pub mod part;
pub mod piece;
pub mod seasons;
mod solve;
mod system;
pub mod weight;

pub use finding::{Finding, Level, Mend};
pub use frame::{Axis, Box3, Dir, Placement, Point};
pub use jig::{Guide, Jig, JigKind, Jigs, NoJig, Serves, jigs};
pub use outline::{Arc, Outline, Segment, Vertex};
pub use part::{Cut, Edge, Form, JointId, Likeness, Material, Part, PartId, Profile, Purpose, Role};
pub use piece::{
    Case, Fitting, HiddenLines, Joint, JointKind, Loads, OrderInfo, Pane, Paper, Projection, Revision, Sheet,
};
pub use seasons::{Movement, Play, Seasons, Strength};
pub use solve::{Proof, build, proven, solve};
pub use timber::Sawn;
