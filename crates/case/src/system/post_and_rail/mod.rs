//! The post-and-rail system: four posts, rails tenoned into them, panelled ends, back, bottom, shelves, top, doors.
//!
//! [`lay_out`] cannot fail: a specification that makes no sense gives parts that make no sense, and the inspection
//! says so.

mod back;
mod bottom;
mod ends;
mod frame;
mod plan;
mod shelves;
mod top;

use design::spec::PostAndRail;
use measure::Ruler;

use crate::builder::Builder;
use crate::seasons::Seasons;
use crate::system::door;

pub(crate) use ends::raise;
pub(crate) use frame::{Frame, shaped_edge};
pub(crate) use plan::Plan;

/// Lays a case out. Order matters: it is the order of the part numbers.
pub(crate) fn lay_out(spec: &PostAndRail, ruler: Ruler, seasons: &Seasons) -> Builder {
    let plan = Plan::new(spec, ruler, seasons);
    let mut b = Builder::default();
    let frame = frame::frame(&mut b, &plan);
    ends::panels(&mut b, &plan, &frame);
    bottom::bottom(&mut b, &plan, &frame);
    let top = top::top(&mut b, &plan, &frame);
    back::back(&mut b, &plan, &frame, top);
    shelves::shelves(&mut b, &plan, &frame);
    if let Some(doors) = &spec.doors {
        door::doors(&mut b, &plan, &frame, doors);
    }
    top::buttons(&mut b, &plan, &frame, top);
    frame::pegs(&mut b, &plan, &frame);
    b
}
