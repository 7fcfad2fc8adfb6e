//! Strict reader of RS-274 and the proof of what a program cuts.
//!
//! Works from a program's text and a [`Claim`] of what it is to cut, and from nothing else: it shares no code with
//! whatever wrote the program. Pure: no files, no clock.

mod checks;
mod claim;
mod prove;
pub mod reader;
mod report;
mod surface;
mod sweep;
mod time;

pub use claim::{Arcs, Box3, Claim, Controller, Cut, Machine, Other, Prism, TextUnit, Tool, ToolKind, Vertex};
pub use prove::{TOLERANCE, prove};
pub use report::{Figures, Fillet, Finding, Report, Rule};
pub use surface::Surface;
