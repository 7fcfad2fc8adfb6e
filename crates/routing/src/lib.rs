//! From a solved case to RS-274 programs for a three-axis router, and the set-up sheets that go with them.
//!
//! For each distinct part and each face that cuts enter there is one setup; its cuts become operations, operations a
//! tool's path, paths text. Pure: no files, no clock. It knows nothing of how a joint or a part came about, and proves
//! nothing: what it emits is read back by another crate that shares no code with it.

pub mod claim;
mod clamp;
mod curve;
mod emit;
mod face;
mod hole;
mod job;
mod machine;
pub mod nest;
mod operation;
mod path;
mod pocket;
mod profile;
pub mod programs;
mod region;
mod round;
mod route;
mod setup;
mod sheet;
mod time;
mod tool;
mod wall;

pub use machine::{Arcs, BUILT_IN as BUILT_IN_MACHINE, Clamp, Controller, Machine, Nest};
pub use programs::{ByHand, Corners};
pub use route::{Program, Routing, Sheet, route, route_rest};
pub use setup::Setup;
pub use tool::{BUILT_IN as BUILT_IN_TOOLS, Collar, Feeds, Stuff, Tool, ToolKind, ToolTable};
