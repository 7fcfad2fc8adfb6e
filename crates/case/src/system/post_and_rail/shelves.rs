//! Shelves: loose ones on pins, notched or cut between the posts, and fixed ones in housings.

use design::spec::{ShelfKind, Shelves};
use measure::{Length, inches};

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{PinRow, housing, notch, pins};
use crate::part::{Material, PartId, Role};
use crate::piece::JointKind;
use crate::seasons::SPARE;
use crate::system::room;

/// Makes the shelves, the rows of holes and the housings.
pub(crate) fn shelves(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let Some(spec) = &p.spec.shelves else { return };
    let count = spec.count + spec.fixed;
    let clear = [p.bottom_top, p.height - p.spec.front.top_rail.height.max(p.spec.back.top_rail.height)];
    let ideal = heights(clear, count, spec.thickness);
    let fixed = middle(count, spec.fixed);
    let material = p.material(spec.wood.as_ref(), spec.sawn);
    let [front, back] = depth(p, spec, &material);
    let edging = (spec.edging > Length::ZERO).then(|| Edging {
        y: [front, front + spec.edging],
        material: p.material(spec.edging_wood.as_ref(), spec.sawn),
    });
    let y = [front + spec.edging, back];
    let board = Board { y, material, thickness: spec.thickness, edging };
    let holes = holes(p, spec, &ideal, &fixed);
    for (k, side) in p.sides().iter().enumerate() {
        for (e, end) in p.front_and_back().iter().enumerate() {
            let row = PinRow {
                post: f.posts[k][e],
                face: side.from.towards,
                y: end.from.at(p.post - spec.from_arris),
                heights: holes.clone(),
                diameter: spec.pin,
                depth: spec.hole_depth,
            };
            pins(b, &row);
        }
    }
    for (i, z) in ideal.into_iter().enumerate() {
        if fixed.contains(&i) {
            fixed_shelf(b, p, f, spec, &board, z)
        } else {
            loose_shelf(b, p, f, spec, &board, z, &holes, i)
        }
    }
}

/// The undersides of `count` shelves that share a clear height evenly.
fn heights(clear: [Length; 2], count: usize, thickness: Length) -> Vec<Length> {
    let mut z = clear[0];
    let free = clear[1] - clear[0] - thickness * i64::try_from(count).unwrap_or(0);
    let mut out = Vec::new();
    for space in free.shared(count + 1).into_iter().take(count) {
        z += space;
        out.push(z);
        z += thickness;
    }
    out
}

/// Which of `count` shelves, counted from below, are the fixed ones: the middle, or evenly spread.
fn middle(count: usize, fixed: usize) -> Vec<usize> {
    (0..fixed).map(|i| (2 * i + 1) * count / (2 * fixed)).collect()
}

/// What every shelf is cut from: its front and back edge, and its wood.
struct Board {
    y: [Length; 2],
    material: Material,
    thickness: Length,
    edging: Option<Edging>,
}

/// A solid strip on the front edge of every shelf.
struct Edging {
    y: [Length; 2],
    material: Material,
}

/// Glues the edging to a shelf between two places across the piece.
fn edge(b: &mut Builder, shelf: PartId, board: &Board, x: [Length; 2], z: Length) {
    let Some(edging) = &board.edging else { return };
    let name = format!("{} edging", b.get(shelf).name);
    let at = Box3::new(x, edging.y, [z, z + board.thickness]);
    let id = b.part(Stock::of(name, Role::Edging, "case", &edging.material), at, Dir::PX, Dir::PZ);
    b.joint(JointKind::Face, &[shelf, id], &[("face", Length::ZERO)]);
    b.assembled(Dir::PY, false);
}

/// Where a shelf may begin: behind the doors, or at the posts' front.
fn front(p: &Plan<'_>) -> Length {
    p.spec.doors.as_ref().map_or(Length::ZERO, |d| p.rail_face + d.setback + d.thickness)
}

/// Front and back edge of every shelf: behind the doors, and so far in front of the back sheet that it may swell.
fn depth(p: &Plan<'_>, spec: &Shelves, material: &Material) -> [Length; 2] {
    let y0 = front(p) + spec.setback;
    let movement = p.seasons.movement(material);
    let back_room = spec.back_room.unwrap_or_else(|| {
        let widest = room::down(movement.widest(p.back_face - y0 - SPARE));
        (p.back_face - y0 - widest).max(LEAST_BACK_ROOM)
    });
    [y0, p.back_face - back_room]
}

/// Common practice, no source.
const LEAST_BACK_ROOM: Length = inches(1, 8);

/// Room between a back post and a shelf that a front post holds in place: what the shelf swells by between them.
fn behind(p: &Plan<'_>, spec: &Shelves, material: &Material) -> Length {
    let [front, back] = p.between_deep();
    let movement = p.seasons.movement(material);
    spec.room.max(p.up(movement.swell(back - front) + SPARE))
}

/// Notes the room before the back sheet, and that beside the back posts.
fn note_play(b: &mut Builder, p: &Plan<'_>, f: &Frame, id: PartId, board: &Board, beside: Option<Length>) {
    let name = b.get(id).name.clone();
    let room = p.back_face - board.y[1];
    let room = room::shrinking(p.seasons, &board.material, board.y[1] - board.y[0], room);
    b.play(&[id], format!("{name}, before the back"), room, None);
    if let Some(beside) = beside {
        let [front, back] = p.between_deep();
        let room = room::shrinking(p.seasons, &board.material, back - front, beside);
        let posts = f.posts.map(|side| side[1]);
        b.play(&[id, posts[0], posts[1]], format!("{name}, between the front and the back posts"), room, None);
    }
}

/// Heights of the holes: all of the row that keep clear of the ends and of the fixed shelves.
fn holes(p: &Plan<'_>, spec: &Shelves, ideal: &[Length], fixed: &[usize]) -> Vec<Length> {
    if spec.count == 0 || spec.spacing <= Length::ZERO {
        return Vec::new();
    }
    let top = p.opening[1].min(p.height - p.spec.back.top_rail.height);
    let clear = [p.bottom_top + spec.clear, top - spec.clear];
    let kept_off = spec.spacing;
    let mut out = Vec::new();
    let mut z = clear[0];
    while z <= clear[1] && out.len() < 400 {
        let hit = fixed.iter().any(|&i| z > ideal[i] - kept_off && z < ideal[i] + spec.thickness + kept_off);
        if !hit {
            out.push(z);
        }
        z += spec.spacing;
    }
    out
}

fn fixed_shelf(b: &mut Builder, p: &Plan<'_>, f: &Frame, spec: &Shelves, board: &Board, z: Length) {
    let y = board.y;
    let h = spec.housing_depth;
    let [x0, x1] = p.between();
    let level = [z, z + spec.thickness];
    let stock = Stock::of("fixed shelf", Role::Shelf, "case", &board.material);
    let id = b.part(stock, Box3::new([x0 - h, x1 + h], y, level), Dir::PX, Dir::PZ);
    // The front housings hold it in place; in the back ones it may swell.
    let movement = p.seasons.movement(&board.material);
    let end = (y[1] + p.up(movement.swell(y[1] - y[0]) + SPARE)).min(p.back_face);
    let room = room::shrinking(p.seasons, &board.material, y[1] - y[0], end - y[1]);
    b.play(&[id, f.posts[0][1], f.posts[1][1]], "fixed shelf, in the back posts' housings".into(), room, None);
    note_play(b, p, f, id, board, None);
    for (k, side) in p.sides().iter().enumerate() {
        let x = side.from.span(p.post - h, p.post);
        for (e, y) in [[y[0], p.post], [p.depth - p.post, end]].into_iter().enumerate() {
            // With a thick edging the shelf itself may begin behind the post.
            if y[0] < y[1] {
                housing(b, f.posts[k][e], id, side.from.outward(), Box3::new(x, y, level));
            }
        }
    }
    edge(b, id, board, p.between(), z);
}

#[expect(clippy::too_many_arguments, reason = "one shelf, told once")]
fn loose_shelf(
    b: &mut Builder,
    p: &Plan<'_>,
    f: &Frame,
    spec: &Shelves,
    board: &Board,
    ideal: Length,
    holes: &[Length],
    i: usize,
) {
    let half = spec.pin.half();
    let nearest = holes.iter().copied().min_by_key(|h| (*h + half - ideal).abs());
    let z = nearest.map_or(ideal, |h| h + half);
    let inset = match spec.kind {
        ShelfKind::Notched => p.end_inner() + spec.room,
        ShelfKind::Between => p.post + spec.room,
    };
    let at = Box3::new([inset, p.width - inset], board.y, [z, z + board.thickness]);
    let stock = Stock::of(format!("shelf {}", i + 1), Role::Shelf, "case", &board.material);
    let id = b.part(stock, at, Dir::PX, Dir::PZ);
    let posts: Vec<PartId> = f.posts.into_iter().flatten().collect();
    let beside = (spec.kind == ShelfKind::Notched).then(|| behind(p, spec, &board.material));
    note_play(b, p, f, id, board, beside);
    if let Some(behind) = beside {
        for side in f.posts {
            for (post, room) in side.into_iter().zip([spec.room, behind]) {
                notch(b, post, id, [spec.room, room]);
            }
        }
    }
    let mut joined = posts.clone();
    joined.push(id);
    b.joint(JointKind::Pins, &joined, &[("end", spec.room)]);
    b.assembled(Dir::NZ, true);
    for (k, side) in p.sides().iter().enumerate() {
        for (e, end) in p.front_and_back().iter().enumerate() {
            let at = [side.from.at(p.post), end.from.at(p.post - spec.from_arris), z - half];
            let size = format!("{} × {}", p.ruler.read(spec.pin).text, p.show(spec.hole_depth + spec.pin_reach));
            b.fitting("shelf pin", size, at, &[f.posts[k][e], id]);
        }
    }
    debug_assert!(b.at(id).along(Axis::Z)[0] == z, "a shelf lies on its pins");
    // Beside the posts, as a shelf that is cut to go between them.
    let beside = p.post + spec.room;
    edge(b, id, board, [beside, p.width - beside], z);
}
