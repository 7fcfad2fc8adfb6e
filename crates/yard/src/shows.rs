//! Which wide faces of a part are seen in the finished piece. A part with a face that is not may lie on a flaw that can be
//! filled: the flaw is turned to that face.
//!
//! Common practice, no source: what looks to the back or down is not seen, unless it is on a door (which opens) or looks
//! down from above a sitting person's eyes; buttons, stops and pegs are not looked at.

use case::{Axis, Dir, Part, Role};
use measure::{Length, mm};

/// Undersides from this height over the floor are seen.
const EYES: Length = mm(1200);

/// Whether all long faces of a part show, so that none of them may carry a filled flaw.
pub(crate) fn on_all_faces(part: &Part) -> bool {
    match part.role {
        Role::Button | Role::Stop | Role::Peg | Role::Back => false,
        Role::Stile | Role::DoorRail | Role::Muntin | Role::Bead => true,
        // Doors are assemblies of their own; what else is named after one hangs on it.
        Role::Panel if part.assembly.contains("door") => true,
        _ => faces(part).into_iter().all(|face| shows(part, face)),
    }
}

/// The faces that may be turned away: the two wide ones, and the edges too of a square section.
fn faces(part: &Part) -> Vec<Dir> {
    let wide = [Dir::PZ, Dir::NZ];
    if part.size[1] == part.size[2] { wide.into_iter().chain([Dir::PY, Dir::NY]).collect() } else { wide.to_vec() }
}

fn shows(part: &Part, face: Dir) -> bool {
    let looks = part.placement.dir_to_case(face);
    match (looks.axis, looks.positive) {
        (Axis::Y, true) => false,
        (Axis::Z, false) => part.case_box().min[2] >= EYES,
        _ => true,
    }
}
