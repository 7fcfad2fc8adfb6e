//! Joints at one spot: bars halved over one another, buttons, hinges, shelves on pins, notches and housings.

use case::{Axis, Box3, Case, Dir, Joint, JointKind, Part, PartId, Point, Purpose};
use measure::{Length, mm};

use super::plan::{Opened, Plan, Section, cut_runs, cuts_of, end, grown, middle, rooms, run};
use super::running::sentence;
use crate::margins::{Margin, Run, picture_axes};

/// Shown round about.
const ROUND: Length = mm(18);

/// The details of all joints at one spot.
pub(super) fn plans(case: &Case) -> Vec<Plan> {
    case.joints.iter().filter_map(|j| plan(case, j)).collect()
}

fn plan(case: &Case, j: &Joint) -> Option<Plan> {
    match j.kind {
        JointKind::Halving => halving(case, j),
        JointKind::Button => button(case, j),
        JointKind::Hinge => hinge(case, j),
        JointKind::Pins => pins(case, j),
        JointKind::Notch => notch(case, j),
        JointKind::Housing => housing(case, j),
        _ => None,
    }
}

/// A plan with one section about some box.
fn spot(case: &Case, j: &Joint, title: String, section: Section) -> Plan {
    let facts = rooms(case, j.id).map(|r| sentence(&r)).into_iter().collect();
    Plan { title, joints: vec![j.id], same: Vec::new(), facts, section, opened: None }
}

/// A part of a joint with the first box that the joint cuts from it.
fn cut<'a>(case: &'a Case, j: &Joint, part: PartId) -> Option<(&'a Part, Dir, Box3)> {
    let part = case.part(part);
    let (entry, b) = cuts_of(part, j.id).into_iter().next()?;
    Some((part, entry, b))
}

/// Across the bar that lies behind, where the other crosses it; and both drawn apart.
fn halving(case: &Case, j: &Joint) -> Option<Plan> {
    let [upright, level] = j.parts[..] else { return None };
    let (upright, _, back) = cut(case, j, upright)?;
    let (level, _, front) = cut(case, j, level)?;
    let toward = Dir::PX;
    let (u, l) = (upright.case_box(), level.case_box());
    let at = middle(front.along(Axis::X));
    let crossing = l.with(Axis::X, u.along(Axis::X));
    let window = grown(&crossing, ROUND);
    // The stem that is left of the level bar, and how the thickness is shared.
    let depth = u.along(Axis::Y).into_iter().chain(back.along(Axis::Y));
    let stem = run(Margin::Right, back.along(Axis::Z), back.max[1]);
    let runs = vec![stem, run(Margin::Below, depth, window.along(Axis::Z)[0])];
    let home = j.insertion?;
    let apart = (end(&l, home) - end(&u, home.opposite())).abs() + mm(16);
    let mut shift = [Length::ZERO; 3];
    shift[home.axis.index()] = apart * home.opposite().sign();
    let mut from: Point = std::array::from_fn(|k| middle([crossing.min[k], crossing.max[k]]));
    let mut to = from;
    from[home.axis.index()] = end(&l, home) + shift[home.axis.index()];
    to[home.axis.index()] = end(&u, home.opposite());
    let opened = Opened {
        pieces: vec![(upright.id, [Length::ZERO; 3]), (level.id, shift)],
        window: grown(&crossing, mm(26)),
        from: [if home.positive { 45.0 } else { 135.0 }, 35.264],
        traces: vec![[from, to]],
    };
    let title = sentence(&format!("{} over {}", upright.name, plain(&level.name)));
    let mut plan = spot(case, j, title, Section { toward, at, window, runs });
    plan.opened = Some(opened);
    Some(plan)
}

/// `left door, level bar` without its door.
fn plain(name: &str) -> &str {
    name.split_once(", ").map_or(name, |(_, own)| own)
}

/// Square to the rail, through the button and its screw.
fn button(case: &Case, j: &Joint) -> Option<Plan> {
    let [rail, top, button] = j.parts[..] else { return None };
    let (rail, entry, pocket) = cut(case, j, rail)?;
    let (top, button) = (case.part(top).case_box(), case.part(button).case_box());
    let along = if entry.axis == Axis::X { Axis::Y } else { Axis::X };
    let toward = if along == Axis::X { Dir::PX } else { Dir::NY };
    let axes = picture_axes(along);
    let own = rail.case_box();
    let near = button.union(&pocket);
    let mut window = grown(&near, mm(10));
    let [r0, r1] = own.along(entry.axis);
    let [w0, w1] = window.along(entry.axis);
    window = window.with(entry.axis, [w0.min(r0 - mm(4)), w1.max(r1 + mm(4))]);
    window = window.with(Axis::Z, [window.along(Axis::Z)[0] - mm(8), window.along(Axis::Z)[1].max(top.max[2] + mm(4))]);
    let mut runs = cut_runs(&pocket, &own, entry, &window, axes);
    // The button: its tongue, its body, and what it is thick.
    let body = button.along(entry.axis);
    let face = end(&own, entry);
    let foot = button.min[2];
    runs.push(run(Margin::Below, body.into_iter().chain([face]), foot));
    let side = if entry == Dir::PX || entry == Dir::PY { Margin::Right } else { Margin::Left };
    let under = case.part(j.parts[2]).cuts.iter().find(|c| c.purpose == Purpose::ButtonTongue);
    let tongue = under.map(|c| case.part(j.parts[2]).placement.box_to_case(&c.bounds(case.part(j.parts[2]).size)));
    let heights = button.along(Axis::Z).into_iter().chain(tongue.map(|t| t.min[2]));
    runs.push(run(side, heights, end(&button, entry)));
    let title = sentence(&format!("top held to the {} by a button", rail.name));
    let at = middle(button.along(along));
    Some(spot(case, j, title, Section { toward, at, window, runs }))
}

/// Level, through the leaf: both gains, and the gap between post and stile.
fn hinge(case: &Case, j: &Joint) -> Option<Plan> {
    let [post, stile] = j.parts[..] else { return None };
    let (post, into_post, gain) = cut(case, j, post)?;
    let (stile, into_stile, other) = cut(case, j, stile)?;
    let axes = picture_axes(Axis::Z);
    let both = gain.union(&other);
    let mut window = grown(&both, ROUND);
    for part in [post, stile] {
        let [low, high] = part.case_box().along(Axis::Y);
        let [w0, w1] = window.along(Axis::Y);
        window = window.with(Axis::Y, [w0.min(low - mm(5)), w1.max(high.min(high + mm(5)))]);
    }
    let (p, s) = (post.case_box(), stile.case_box());
    let mut runs: Vec<Run> = cut_runs(&gain, &p, into_post, &window, axes);
    runs.retain(|r| r.margin.is_upright());
    let own: Vec<Run> = cut_runs(&other, &s, into_stile, &window, axes);
    runs.extend(own.into_iter().filter(|r| r.margin.is_upright()));
    // The two depths with the gap between them, and how far the door stands back.
    let across = gain.along(Axis::X).into_iter().chain(other.along(Axis::X));
    runs.push(run(Margin::Below, across, both.min[1]));
    runs.push(run(Margin::Above, [end(&p, into_post), end(&s, into_stile)], both.max[1]));
    let setback = [p.min[1], s.min[1]];
    let outward = if into_post.positive { Margin::Left } else { Margin::Right };
    runs.push(run(outward, setback, end(&gain, into_post)));
    let at = middle(gain.along(Axis::Z));
    let title = sentence(&format!("hinge, {} on {}", stile.name, post.name));
    let mut plan = spot(case, j, title, Section { toward: Dir::PZ, at, window, runs });
    let [low, high] = gain.along(Axis::Z);
    plan.facts.insert(0, format!("Gain {} long", super::plan::sizes(case, &[high - low])));
    Some(plan)
}

/// Upright from the front, through the pin under a shelf's end.
fn pins(case: &Case, j: &Joint) -> Option<Plan> {
    let (shelf, posts) = j.parts.split_last()?;
    let shelf = case.part(*shelf).case_box();
    let post = case.part(*posts.first()?);
    let mut holes: Vec<Box3> = post
        .cuts
        .iter()
        .filter(|c| c.purpose == Purpose::PinHole)
        .map(|c| post.placement.box_to_case(&c.bounds(post.size)))
        .collect();
    holes.sort_by_key(|h| h.min[2]);
    // The pin that carries the shelf is the highest one under it.
    let at = holes.iter().rposition(|h| middle(h.along(Axis::Z)) <= shelf.min[2])?;
    let hole = holes[at];
    let entry = Dir { axis: Axis::X, positive: post.case_box().max[0] < shelf.max[0] };
    let axes = picture_axes(Axis::Y);
    let own = post.case_box();
    let near: Vec<&Box3> = holes.iter().skip(at.saturating_sub(1)).take(3).collect();
    let mut window = near.iter().fold(hole, |w, h| w.union(h));
    window = window.with(Axis::Z, [window.min[2].min(shelf.min[2]), window.max[2].max(shelf.max[2])]);
    window = window.with(Axis::X, [window.min[0].min(own.min[0]), window.max[0].max(own.max[0])]);
    let mut shown = grown(&window, mm(8));
    let inward = end(&own, entry) + mm(34) * entry.sign();
    shown = shown.with(Axis::X, [shown.min[0].min(inward), shown.max[0].max(inward)]);
    let floor = end(&hole, entry.opposite());
    let face = end(&own, entry);
    let outside = if entry.positive { Margin::Left } else { Margin::Right };
    let inside = if entry.positive { Margin::Right } else { Margin::Left };
    let centres = near.iter().map(|h| middle(h.along(Axis::Z)));
    let runs = vec![
        run(outside, centres, floor),
        run(inside, [shelf.min[2], shelf.max[2]], end(&shown, entry)),
        run(Margin::Below, [floor, face], near.first().map_or(hole.min[2], |h| h.min[2])),
    ];
    let y = middle(hole.along(Axis::Y));
    let title = sentence(&format!("{} on its pins", case.part(*j.parts.last()?).name));
    let mut plan = spot(case, j, title, Section { toward: Dir::NY, at: y, window: shown, runs });
    let across = hole.max[2] - hole.min[2];
    plan.facts
        .insert(0, format!("Holes Ø {}, {} in a row", super::plan::sizes(case, &[across]), in_row(&holes, &hole)));
    debug_assert!(axes[0] == Axis::X, "seen from the front");
    Some(plan)
}

/// How many holes stand over one another with this one.
fn in_row(holes: &[Box3], one: &Box3) -> usize {
    holes.iter().filter(|h| h.along(Axis::X) == one.along(Axis::X) && h.along(Axis::Y) == one.along(Axis::Y)).count()
}

/// Level, through the board that is notched round a post.
fn notch(case: &Case, j: &Joint) -> Option<Plan> {
    let [post, board] = j.parts[..] else { return None };
    let (board, entry, away) = cut(case, j, board)?;
    let axes = picture_axes(Axis::Z);
    let (post, own) = (case.part(post), board.case_box());
    let p = post.case_box();
    let window = grown(
        &axes.into_iter().fold(away, |w, a| {
            let ([w0, w1], [p0, p1]) = (w.along(a), p.along(a));
            w.with(a, [w0.min(p0), w1.max(p1)])
        }),
        mm(12),
    );
    let mut runs = cut_runs(&away, &own, entry, &window, axes);
    // The post within it, with the room on both sides.
    for (k, axis) in axes.into_iter().enumerate() {
        let other = axes[1 - k];
        let corner = away.along(other);
        let inner = Dir { axis: other, positive: corner[1] < own.along(other)[1] };
        let stops = p.along(axis).into_iter().chain(away.along(axis));
        let inside = |l: &Length| window.along(axis)[0] < *l && *l < window.along(axis)[1];
        runs.push(run(super::plan::margin_towards(inner, axes), stops.filter(inside), end(&away, inner)));
    }
    let at = middle(own.along(Axis::Z));
    let title = sentence(&format!("{} round {}", board.name, post.name));
    Some(spot(case, j, title, Section { toward: Dir::PZ, at, window, runs }))
}

/// Upright from the front, through the end of a shelf in its housing.
fn housing(case: &Case, j: &Joint) -> Option<Plan> {
    let [post, shelf] = j.parts[..] else { return None };
    let (post, entry, housing) = cut(case, j, post)?;
    let axes = picture_axes(Axis::Y);
    let own = post.case_box();
    let mut window = grown(&housing, ROUND);
    for axis in axes {
        let [low, high] = own.along(axis);
        let [w0, w1] = window.along(axis);
        if high - low < mm(80) {
            window = window.with(axis, [w0.min(low - mm(5)), w1.max(high + ROUND)]);
        }
    }
    let runs = cut_runs(&housing, &own, entry, &window, axes);
    let at = middle(housing.along(Axis::Y));
    let title = sentence(&format!("{} in {}", case.part(shelf).name, post.name));
    Some(spot(case, j, title, Section { toward: Dir::NY, at, window, runs }))
}
