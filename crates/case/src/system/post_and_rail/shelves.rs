//! Shelves: loose ones on pins, notched or cut between the posts, and fixed ones in housings.

use design::spec::{ShelfKind, Shelves};
use measure::Length;

use super::frame::Frame;
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{PinRow, housing, notch, pins};
use crate::part::{PartId, Role};
use crate::piece::JointKind;

/// Makes the shelves, the rows of holes and the housings.
pub(crate) fn shelves(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let Some(spec) = &p.spec.shelves else { return };
    let count = spec.count + spec.fixed;
    let clear = [p.bottom_top, p.height - p.spec.front.top_rail.height.max(p.spec.back.top_rail.height)];
    let ideal = heights(clear, count, spec.thickness);
    let fixed = middle(count, spec.fixed);
    let y = depth(p, spec);
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
        if fixed.contains(&i) { fixed_shelf(b, p, f, spec, y, z) } else { loose_shelf(b, p, f, spec, y, z, &holes, i) }
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

/// Front and back edge of every shelf: behind the doors and in front of the back sheet.
fn depth(p: &Plan<'_>, spec: &Shelves) -> [Length; 2] {
    let doors = p.spec.doors.as_ref().map_or(Length::ZERO, |d| p.rail_face + d.setback + d.thickness);
    [doors + spec.setback, p.back_face - spec.back_room]
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

fn fixed_shelf(b: &mut Builder, p: &Plan<'_>, f: &Frame, spec: &Shelves, y: [Length; 2], z: Length) {
    let h = spec.housing_depth;
    let [x0, x1] = p.between();
    let level = [z, z + spec.thickness];
    let stock = Stock::solid("fixed shelf", Role::Shelf, "case", &p.spec.wood);
    let id = b.part(stock, Box3::new([x0 - h, x1 + h], y, level), Dir::PX, Dir::PZ);
    for (k, side) in p.sides().iter().enumerate() {
        let x = side.from.span(p.post - h, p.post);
        for (e, y) in [[y[0], p.post], [p.depth - p.post, y[1]]].into_iter().enumerate() {
            housing(b, f.posts[k][e], id, side.from.outward(), Box3::new(x, y, level));
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "one shelf, told once")]
fn loose_shelf(
    b: &mut Builder,
    p: &Plan<'_>,
    f: &Frame,
    spec: &Shelves,
    y: [Length; 2],
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
    let at = Box3::new([inset, p.width - inset], y, [z, z + spec.thickness]);
    let stock = Stock::solid(format!("shelf {}", i + 1), Role::Shelf, "case", &p.spec.wood);
    let id = b.part(stock, at, Dir::PX, Dir::PZ);
    let posts: Vec<PartId> = f.posts.into_iter().flatten().collect();
    if spec.kind == ShelfKind::Notched {
        for &post in &posts {
            notch(b, post, id, spec.room);
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
}
