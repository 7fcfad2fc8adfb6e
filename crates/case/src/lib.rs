//! The solved case: parts as blanks and cuts, placed and joined; what every emitter reads.
//!
//! Pure: from a specification to a [`Case`], no files, no clock, no randomness. Below it no unit is parsed, no formula
//! evaluated, no default filled in.

mod alike;
mod builder;
mod curve;
pub mod finding;
pub mod frame;
pub mod inspect;
mod joint;
pub mod model;
pub mod outline;
pub mod part;
pub mod piece;
mod system;

use design::spec::PostAndRail;
use design::{Resolved, System};

pub use finding::{Finding, Level, Mend};
pub use frame::{Axis, Box3, Dir, Placement, Point};
pub use outline::{Arc, Outline, Segment, Vertex};
pub use part::{Cut, Edge, Form, JointId, Likeness, Material, Part, PartId, Profile, Purpose, Role};
pub use piece::{Case, Fitting, Joint, JointKind, OrderInfo, Pane, Paper, Projection, Sheet};
/// Solves an order.
///
/// Never fails: what cannot be built is said in the findings.
pub fn solve_order(resolved: &Resolved) -> Case {
    let System::PostAndRail(spec) = &resolved.system;
    solve(OrderInfo::from(resolved), spec)
}

/// Solves a specification: lays the parts out, joins them, finds the likes, and inspects the whole.
///
/// Never fails: what cannot be built is said in the findings.
pub fn solve(order: OrderInfo, spec: &PostAndRail) -> Case {
    let (mut bench, _) = system::post_and_rail::lay_out(spec, order.ruler);
    alike::mark(&mut bench.parts);
    let mut case = Case {
        order,
        size: [spec.width, spec.depth, spec.height],
        parts: bench.parts,
        joints: bench.joints,
        panes: bench.panes,
        fittings: bench.fittings,
        findings: Vec::new(),
    };
    case.findings = inspect::inspect(&case, spec);
    case
}
