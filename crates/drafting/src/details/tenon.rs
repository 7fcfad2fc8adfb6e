//! Mortise and tenon: the corner of the case, where two rails meet in a post, and every other tenon by itself; each in
//! section through its tenons, and drawn open.

use case::{Axis, Box3, Case, Dir, JointId, JointKind, PartId, Point, Purpose, Role};
use measure::{Length, mm};

use super::plan::{Opened, Plan, Section, cuts_of, end, grown, joint, margin_towards, middle, rooms, run, sizes};
use super::running::sentence;
use crate::margins::picture_axes;

/// Shown of a rail beyond its shoulder.
const BEYOND: Length = mm(34);
/// Left between the end of a tenon and the mouth of its mortise where the joint is drawn open.
const OPEN: Length = mm(14);

/// A tenon in its mortise.
struct Tenon {
    joint: JointId,
    post: PartId,
    rail: PartId,
    /// The way home.
    into: Dir,
    mortise: Box3,
    /// Across the thickness, and across the width.
    thick: Axis,
    wide: Axis,
}

fn tenons(case: &Case) -> Vec<Tenon> {
    let joints = case.joints.iter().filter(|j| j.kind == JointKind::MortiseAndTenon);
    joints
        .filter_map(|j| {
            let [post, rail] = j.parts[..] else { return None };
            let into = j.insertion?;
            let (_, mortise) = cuts_of(case.part(post), j.id).into_iter().next()?;
            // Its cheeks are cut on the faces across the thickness.
            let cheek = case.part(rail).cuts.iter().find(|c| c.joint == Some(j.id) && c.purpose == Purpose::TenonCheek);
            let (u, v) = into.axis.others();
            let slim = |a: Axis| mortise.along(a)[1] - mortise.along(a)[0];
            let thick = match cheek {
                Some(c) => case.part(rail).placement.dir_to_case(c.from).axis,
                None if slim(u) <= slim(v) => u,
                None => v,
            };
            let wide = if thick == u { v } else { u };
            Some(Tenon { joint: j.id, post, rail, into, mortise, thick, wide })
        })
        .collect()
}

/// All details of mortises and tenons; pegs go with the tenons that they hold.
pub(super) fn plans(case: &Case) -> Vec<Plan> {
    let mut left = tenons(case);
    let mut out = Vec::new();
    while !left.is_empty() {
        let first = left.remove(0);
        let mut group = vec![first];
        // Other rails of the case that enter the post from another side at the same height.
        if case.part(group[0].post).role == Role::Post {
            let meets = |t: &Tenon| {
                let (a, b) = (t.mortise.along(Axis::Z), group[0].mortise.along(Axis::Z));
                t.post == group[0].post && t.into != group[0].into && a[0] < b[1] && b[0] < a[1]
            };
            if let Some(at) = left.iter().position(meets) {
                group.push(left.remove(at));
            }
        }
        out.push(plan(case, &group));
    }
    out
}

fn plan(case: &Case, group: &[Tenon]) -> Plan {
    let first = &group[0];
    let post = case.part(first.post);
    let own = post.case_box();
    let axis = first.wide;
    let toward = match axis {
        Axis::X => Dir::PX,
        Axis::Y => Dir::NY,
        Axis::Z => Dir::PZ,
    };
    let axes = picture_axes(axis);
    // The plane: through a peg if there is one in reach of all the tenons, else through their middle.
    let common =
        group.iter().map(|t| t.mortise.along(axis)).fold(own.along(axis), |a, b| [a[0].max(b[0]), a[1].min(b[1])]);
    let pegs = pegs(case, group);
    let inside = |l: &Length| common[0] < *l && *l < common[1];
    let at = pegs.iter().map(|p| middle(case.part(p.1).case_box().along(axis))).find(inside).unwrap_or(middle(common));

    let mut window = group.iter().fold(post_window(&own, first), |w, t| {
        let far = end(&own, t.into.opposite());
        let [low, high] = w.along(t.into.axis);
        let beyond = far + BEYOND * t.into.opposite().sign();
        w.with(t.into.axis, [low.min(beyond), high.max(beyond)])
    });
    window = window.with(axis, common);
    for a in axes {
        let [low, high] = window.along(a);
        let rails = group.iter().map(|t| case.part(t.rail).case_box().along(a)).filter(|r| r[1] - r[0] < mm(80));
        let [r0, r1] = rails.fold([low, high], |x, r| [x[0].min(r[0]), x[1].max(r[1])]);
        window = window.with(a, [r0, r1]);
    }
    let mut runs = Vec::new();
    for t in group {
        runs.extend(tenon_runs(case, t, &own, &window, axes));
    }
    let mut joints: Vec<JointId> = group.iter().map(|t| t.joint).collect();
    joints.extend(pegs.iter().map(|p| p.0));
    let mut facts = Vec::new();
    for t in group {
        let line = fact(case, t, group.len() > 1);
        if !facts.contains(&line) {
            facts.push(line);
        }
    }
    let margin = grown(&window, mm(1));
    let shown = axes.into_iter().fold(window, |w, a| w.with(a, margin.along(a)));
    Plan {
        title: title(case, group),
        joints,
        same: Vec::new(),
        facts,
        section: Section { toward, at, window: shown, runs },
        opened: Some(opened(case, group, &pegs)),
    }
}

/// What is shown of the post: its whole section, unless it is as wide as a rail.
fn post_window(own: &Box3, t: &Tenon) -> Box3 {
    let mut window = *own;
    for axis in [t.into.axis, t.thick] {
        let [low, high] = own.along(axis);
        if high - low > mm(80) {
            let [m0, m1] = t.mortise.along(axis);
            window = window.with(axis, [(m0 - BEYOND).max(low), (m1 + BEYOND).min(high)]);
        }
    }
    window
}

/// The pegs through the tenons: joint and peg.
fn pegs(case: &Case, group: &[Tenon]) -> Vec<(JointId, PartId)> {
    let pegs = case.joints.iter().filter(|j| j.kind == JointKind::Peg);
    pegs.filter_map(|j| {
        let [post, rail, peg] = j.parts[..] else { return None };
        let through = |t: &Tenon| {
            let ([p0, p1], [m0, m1]) = (case.part(peg).case_box().along(t.wide), t.mortise.along(t.wide));
            t.post == post && t.rail == rail && m0 <= p0 && p1 <= m1
        };
        group.iter().any(through).then_some((j.id, peg))
    })
    .collect()
}

/// The tenon's end: where its rail ends, the way that it goes in.
fn tip(case: &Case, t: &Tenon) -> Length {
    end(&case.part(t.rail).case_box(), t.into)
}

/// The shoulders, on the low and on the high side of the tenon's thickness.
fn shoulders(case: &Case, t: &Tenon) -> [Option<Length>; 2] {
    let rail = case.part(t.rail);
    let mut out = [None; 2];
    for (from, b) in cuts_of(rail, t.joint) {
        if from.axis == t.thick {
            out[usize::from(from.positive)] = Some(end(&b, t.into.opposite()));
        }
    }
    out
}

fn tenon_runs(case: &Case, t: &Tenon, post: &Box3, window: &Box3, axes: [Axis; 2]) -> Vec<crate::margins::Run> {
    let rail = case.part(t.rail).case_box();
    let [m0, m1] = t.mortise.along(t.thick);
    let out = t.into.opposite();
    let floor = end(&t.mortise, t.into);
    let mut runs = Vec::new();
    let in_window = |a: Axis, l: &Length| window.along(a)[0] <= *l && *l <= window.along(a)[1];
    // Across the post beyond the tenon, and across the rail at its broken end.
    let sides = post.along(t.thick).into_iter().filter(|l| in_window(t.thick, l));
    runs.push(run(margin_towards(t.into, axes), sides.chain([m0, m1]), floor));
    let rail_sides = rail.along(t.thick).into_iter().filter(|l| in_window(t.thick, l));
    let cheek = clearance(case, t.joint, "cheek");
    runs.push(run(margin_towards(out, axes), rail_sides.chain([m0 + cheek, m1 - cheek]), end(window, out)));
    // Along the tenon, by its two shoulders.
    let face = end(post, out);
    let shoulders = shoulders(case, t);
    // The side that looks out of the piece has the whole chain.
    let outer = usize::from((m0 + m1).nm() > case.size[t.thick.index()].nm());
    for k in [outer, 1 - outer] {
        let side = Dir { axis: t.thick, positive: k == 1 };
        let from = end(&t.mortise, side);
        let shoulder = shoulders[k].unwrap_or(face);
        if k == outer {
            let far = end(post, t.into);
            let outer = [far].into_iter().filter(|l| in_window(t.into.axis, l));
            runs.push(run(margin_towards(side, axes), outer.chain([floor, tip(case, t), shoulder]), from));
        } else if Some(shoulder) != shoulders[outer] {
            runs.push(run(margin_towards(side, axes), [tip(case, t), shoulder], from));
        }
    }
    runs
}

pub(super) fn clearance(case: &Case, id: JointId, name: &str) -> Length {
    let found = joint(case, id).clearances.iter().find(|(n, _)| *n == name);
    found.map_or(Length::ZERO, |(_, l)| *l)
}

/// `P05: tenon 3/8 × 2 1/2 × 1 1/4, room: end 1/16`.
fn fact(case: &Case, t: &Tenon, named: bool) -> String {
    let room = |name: &str| clearance(case, t.joint, name);
    let across = |axis: Axis, room: Length| t.mortise.along(axis)[1] - t.mortise.along(axis)[0] - room * 2;
    let shoulder = shoulders(case, t).into_iter().flatten().map(|s| (tip(case, t) - s).abs()).max();
    let mut lengths = vec![across(t.thick, room("cheek")), across(t.wide, room("edge"))];
    lengths.extend(shoulder);
    let of = if named { format!("{}: ", t.rail) } else { String::new() };
    let rooms = rooms(case, t.joint).map_or(String::new(), |r| format!("; {r}"));
    sentence(&format!("{of}tenon {}{rooms}", sizes(case, &lengths)))
}

/// The post's name and those of its rails.
fn title(case: &Case, group: &[Tenon]) -> String {
    let names: Vec<&str> = group.iter().map(|t| case.part(t.rail).name.as_str()).collect();
    let post = case.part(group[0].post);
    if post.role == Role::Post {
        return sentence(&format!("{} with {}", post.name, names.join(" and ")));
    }
    // `left door, mid rail in left stile`
    let own = post.name.split_once(", ").map_or(post.name.as_str(), |(_, own)| own);
    sentence(&format!("{} in {own}", names.join(" and ")))
}

/// The joint drawn open: each rail drawn out of the post by its own way, each peg by its own.
fn opened(case: &Case, group: &[Tenon], pegs: &[(JointId, PartId)]) -> Opened {
    let post = case.part(group[0].post);
    let own = post.case_box();
    let axis = group[0].wide;
    let whole = group
        .iter()
        .map(|t| t.mortise.along(axis))
        .fold(group[0].mortise.along(axis), |a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    let rail_width = group.iter().map(|t| case.part(t.rail).case_box().along(axis));
    let [low, high] = rail_width.fold(whole, |a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    let mut window = post_window(&own, &group[0]).with(axis, [low - mm(12), high + mm(12)]);
    let mut pieces = vec![(post.id, [Length::ZERO; 3])];
    let mut traces = Vec::new();
    for t in group {
        let far = end(&own, t.into.opposite()) - (BEYOND + BEYOND.half()) * t.into.sign();
        let [w0, w1] = window.along(t.into.axis);
        window = window.with(t.into.axis, [w0.min(far), w1.max(far)]);
        let rail = case.part(t.rail).case_box();
        let [w0, w1] = window.along(t.thick);
        let [r0, r1] = rail.along(t.thick);
        window = window.with(t.thick, [w0.min(r0), w1.max(r1)]);
        let mouth = end(&own, t.into.opposite());
        let by = (tip(case, t) - mouth).abs() + OPEN;
        let mut shift = [Length::ZERO; 3];
        shift[t.into.axis.index()] = by * t.into.opposite().sign();
        pieces.push((t.rail, shift));
        let mut from: Point = std::array::from_fn(|k| middle([t.mortise.min[k], t.mortise.max[k]]));
        let mut to = from;
        from[t.into.axis.index()] = tip(case, t) + shift[t.into.axis.index()];
        to[t.into.axis.index()] = mouth;
        traces.push([from, to]);
    }
    for (id, peg) in pegs {
        let Some(home) = joint(case, *id).insertion else { continue };
        let b = case.part(*peg).case_box();
        let [low, high] = b.along(home.axis);
        let mut shift = [Length::ZERO; 3];
        shift[home.axis.index()] = (high - low + OPEN.half()) * home.opposite().sign();
        pieces.push((*peg, shift));
        window = window.with(home.axis, [window.along(home.axis)[0].min(low), window.along(home.axis)[1].max(high)]);
        let mut from: Point = std::array::from_fn(|k| middle([b.min[k], b.max[k]]));
        let mut to = from;
        from[home.axis.index()] = end(&b, home) + shift[home.axis.index()];
        to[home.axis.index()] = end(&own, home.opposite());
        traces.push([from, to]);
    }
    Opened { pieces, window, from: seen_from(group), traces }
}

/// From where the mouths of the mortises are seen: the quarter into which the rails run out, from above, or from
/// below for a rail that hangs.
fn seen_from(group: &[Tenon]) -> [f64; 2] {
    let out = |axis: Axis| group.iter().map(|t| t.into.opposite()).find(|d| d.axis == axis).map(|d| d.positive);
    let (x, y) = (out(Axis::X), out(Axis::Y));
    // Rails that run level only are seen from the back, where their rabbets are.
    let azimuth = match (x.unwrap_or(true), y.unwrap_or(true)) {
        (true, false) => 45.0,
        (true, true) => 135.0,
        (false, true) => 225.0,
        (false, false) => 315.0,
    };
    let up = out(Axis::Z).unwrap_or(true);
    [azimuth, if up { 35.264 } else { -35.264 }]
}
