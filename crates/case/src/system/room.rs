//! Room to move: how wide a panel is cut for its grooves, and how deep or wide its room must be, so that in the wet
//! season nothing binds and in the dry one nothing comes out.
//!
//! Everything is told of the wood as it is in the workshop, and drawn in on the safe side to 1/32 in: the same piece,
//! whatever unit its order reads in.

use measure::{Length, inches};

use crate::part::Material;
use crate::seasons::{HOLD, Movement, SPARE, Seasons};

/// What rooms and widths are drawn in to.
const STEP: Length = inches(1, 32);

/// The least multiple of the step that is no less than `l`.
pub(crate) fn up(l: Length) -> Length {
    let step = STEP.nm();
    Length::from_nm((l.nm() + step - 1).div_euclid(step) * step)
}

/// The greatest multiple of the step that is no more than `l`.
pub(crate) fn down(l: Length) -> Length {
    -up(-l)
}

/// Room on both sides of a board between the bottoms of two grooves: as stated, or what the widest board leaves that is
/// free in the wet season.
pub(crate) fn of_board(stated: Option<Length>, between: Length, movement: Movement) -> [Length; 2] {
    if let Some(room) = stated {
        return [room; 2];
    }
    let width = down(movement.widest(between - SPARE * 2));
    let shared = (between - width).shared(2);
    [shared[0], shared[1]]
}

/// How a board keeps its place between two grooves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stays {
    /// It does not: it may lie against the bottom of either groove.
    Loose,
    /// It is pinned at its middle and moves both ways.
    Pinned,
}

/// A board in two grooves of a depth, and its rooms in them, through the seasons: the free room in all, and what is held
/// on the worse side.
pub(crate) fn in_grooves(
    seasons: &Seasons,
    material: &Material,
    width: Length,
    depths: [Length; 2],
    rooms: [Length; 2],
    stays: Stays,
) -> ([Length; 3], [Length; 3]) {
    let between = width + rooms[0] + rooms[1];
    let mouths = between - depths[0] - depths[1];
    let widths = seasons.widths(material, width);
    let deeper = depths[0].max(depths[1]);
    let hold = |w: Length| match stays {
        Stays::Loose => w - mouths - deeper,
        Stays::Pinned => (w - mouths).half(),
    };
    (widths.map(|w| between - w), widths.map(hold))
}

/// A board that is held at one edge and enters a groove with the other: its width, and the groove's depth. `clear` is
/// from where it is held to the groove's mouth.
pub(crate) fn of_held_board(
    (room, depth): (Option<Length>, Option<Length>),
    least_depth: Length,
    clear: Length,
    movement: Movement,
) -> (Length, Length) {
    let width_at = |depth: Length| match room {
        Some(room) => clear + depth - room,
        None => down(movement.widest(clear + depth - SPARE)),
    };
    if let Some(depth) = depth {
        return (width_at(depth), depth);
    }
    if room.is_some() {
        return (width_at(least_depth), least_depth);
    }
    let needed = up(movement.narrowest(clear + HOLD));
    let depth = up(needed + movement.swell(needed) + SPARE - clear).max(least_depth);
    (width_at(depth), depth)
}

/// A room that a width may use up as it swells, through the seasons.
pub(crate) fn shrinking(seasons: &Seasons, material: &Material, width: Length, room: Length) -> [Length; 3] {
    seasons.widths(material, width).map(|w| room - (w - width))
}

/// What holds as far as a width does not shrink, through the seasons.
pub(crate) fn growing(seasons: &Seasons, material: &Material, width: Length, hold: Length) -> [Length; 3] {
    seasons.widths(material, width).map(|w| hold + (w - width))
}
