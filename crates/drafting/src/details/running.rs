//! Sections through a member where boards, glass and beads run along it: grooves, rabbets and faces, all that lie in one
//! plane together.

use case::{Axis, Box3, Case, Cut, Dir, JointId, JointKind, Part, Purpose, Role};
use measure::{Length, mm};

use super::plan::{Plan, Section, cut_runs, cuts_of, grown, joint, middle, rooms, run};
use crate::margins::{Margin, Run, picture_axes};

/// A member is shown whole where it is no larger than this; of a larger one, what lies about its joints.
const WHOLE: Length = mm(64);
/// Shown round about.
const ROUND: Length = mm(16);

/// A joint that runs along a member.
struct Running {
    id: JointId,
    /// Where it runs, along the member.
    run: [Length; 2],
    /// What it takes up.
    at: Box3,
}

const fn runs_along(kind: JointKind) -> bool {
    matches!(kind, JointKind::Groove | JointKind::Rabbet | JointKind::Face)
}

/// Sections through all members, each as often as its joints need.
pub(super) fn plans(case: &Case) -> Vec<Plan> {
    case.parts.iter().flat_map(|p| sections(case, p)).collect()
}

fn sections(case: &Case, member: &Part) -> Vec<Plan> {
    let along = member.placement.axes[0].axis;
    let own = case.joints.iter().filter(|j| runs_along(j.kind) && j.parts.first() == Some(&member.id));
    let mut left: Vec<Running> = own.filter_map(|j| running(case, member, j, along)).collect();
    let mut out = Vec::new();
    while !left.is_empty() {
        let at = plane(case, member, along, &left);
        let (shown, rest): (Vec<_>, Vec<_>) = left.into_iter().partition(|r| r.run[0] < at && at < r.run[1]);
        // The same again along the member goes without a section of its own.
        let again = |r: &Running| shown.iter().any(|s| is_like(case, s, r, along));
        let (same, rest): (Vec<_>, Vec<_>) = rest.into_iter().partition(again);
        left = rest;
        if shown.is_empty() {
            break;
        }
        let mut plan = section(case, member, along, at, &shown);
        plan.same.extend(same.iter().map(|r| r.id));
        out.push(plan);
    }
    out
}

/// They look the same in a section.
fn is_like(case: &Case, a: &Running, b: &Running, along: Axis) -> bool {
    let roles = |r: &Running| joint(case, r.id).parts.iter().map(|p| case.part(*p).role).collect::<Vec<_>>();
    let (u, v) = along.others();
    joint(case, a.id).kind == joint(case, b.id).kind
        && roles(a) == roles(b)
        && [u, v].into_iter().all(|axis| a.at.along(axis) == b.at.along(axis))
}

/// Where a joint runs along its member.
fn running(case: &Case, member: &Part, joint: &case::Joint, along: Axis) -> Option<Running> {
    let own = member.case_box();
    let board = joint.parts.get(1).map(|p| case.part(*p).case_box());
    let cuts = cuts_of(member, joint.id).into_iter().map(|(_, b)| b);
    let at = match (cuts.reduce(|a, b| a.union(&b)), board) {
        (Some(cut), _) => cut,
        (None, Some(board)) => board,
        (None, None) => return None,
    };
    let mut run = [at.along(along)[0].max(own.along(along)[0]), at.along(along)[1].min(own.along(along)[1])];
    if let Some(b) = board {
        let [low, high] = b.along(along);
        run = [run[0].max(low), run[1].min(high)];
    }
    (run[0] < run[1]).then_some(Running { id: joint.id, run, at })
}

/// The place along a member where most of its joints are seen and fewest other cuts are in the way.
fn plane(case: &Case, member: &Part, along: Axis, left: &[Running]) -> Length {
    let boards = left.iter().flat_map(|r| &joint(case, r.id).parts).map(|p| case.part(*p));
    let spot = |c: &&Cut| !matches!(c.purpose, Purpose::Groove | Purpose::Rabbet | Purpose::Outline);
    let cuts: Vec<[Length; 2]> = boards
        .chain([member])
        .flat_map(|p| p.cuts.iter().filter(spot).map(|c| p.placement.box_to_case(&c.bounds(p.size)).along(along)))
        .collect();
    let mut ends: Vec<Length> = left.iter().map(|r| r.run).chain(cuts.iter().copied()).flatten().collect();
    ends.sort_unstable();
    ends.dedup();
    let inside = |at: Length, [low, high]: &[Length; 2]| *low < at && at < *high;
    let worth = |[low, high]: [Length; 2]| {
        let at = middle([low, high]);
        let seen = left.iter().filter(|r| inside(at, &r.run)).count();
        let spoilt = cuts.iter().filter(|c| inside(at, c)).count();
        (if spoilt == 0 { seen * 2 } else { seen }, high - low)
    };
    let spans = ends.windows(2).map(|w| [w[0], w[1]]);
    spans.max_by_key(|span| worth(*span)).map_or(left[0].run[0], middle)
}

fn section(case: &Case, member: &Part, along: Axis, at: Length, shown: &[Running]) -> Plan {
    let toward = match along {
        Axis::X => Dir::PX,
        Axis::Y => Dir::NY,
        Axis::Z => Dir::PZ,
    };
    let axes = picture_axes(along);
    let own = member.case_box();
    let mut window = shown.iter().map(|r| r.at).reduce(|a, b| a.union(&b)).unwrap_or(own);
    for axis in axes {
        let [low, high] = own.along(axis);
        let [w0, w1] = window.along(axis);
        let range = if high - low <= WHOLE {
            [low.min(w0), high.max(w1)]
        } else {
            // What is cut from it, and no more of a wide board that lies against it.
            [w0.max(low - ROUND), w1.min(high + ROUND)]
        };
        window = window.with(axis, range);
    }
    for axis in axes {
        let [low, high] = window.along(axis);
        let own = own.along(axis);
        // A board that lies flat against the member is broken off beyond it.
        if high - low > WHOLE * 2 {
            window = window.with(axis, [low.max(own[0] - ROUND), high.min(own[1] + ROUND)]);
        }
    }
    let window = grown(&window, ROUND);
    let mut runs: Vec<Run> = Vec::new();
    for r in shown {
        let cuts = cuts_of(member, r.id);
        for (entry, cut) in &cuts {
            runs.extend(cut_runs(cut, &own, *entry, &window, axes));
        }
        if cuts.is_empty() {
            runs.extend(face_runs(case, &own, r, &window, axes));
        }
    }
    let kinds: Vec<JointId> = shown.iter().map(|r| r.id).collect();
    let mut facts: Vec<String> = Vec::new();
    for kind in [JointKind::Groove, JointKind::Rabbet, JointKind::Face] {
        let mut said: Vec<String> = Vec::new();
        for line in kinds.iter().filter(|j| joint(case, **j).kind == kind).filter_map(|j| rooms(case, *j)) {
            if !said.contains(&line) {
                said.push(line);
            }
        }
        facts.extend(said.into_iter().map(|s| format!("{}, {s}", sentence(kind.name()))));
    }
    Plan {
        title: sentence(&member.name),
        joints: kinds,
        same: Vec::new(),
        facts,
        section: Section { toward, at, window, runs },
        opened: None,
    }
}

/// A board on a face: how thick both are together, or how far apart they stand.
fn face_runs(case: &Case, own: &Box3, r: &Running, window: &Box3, axes: [Axis; 2]) -> Option<Run> {
    let board = case.part(*joint(case, r.id).parts.get(1)?);
    if board.role == Role::Bead {
        return None;
    }
    let b = board.case_box();
    let axis = axes.into_iter().find(|a| {
        let ([m0, m1], [b0, b1]) = (own.along(*a), b.along(*a));
        m1 <= b0 || b1 <= m0
    })?;
    let inside = |l: &Length| window.along(axis)[0] < *l && *l < window.along(axis)[1];
    let stops: Vec<Length> = own.along(axis).into_iter().chain(b.along(axis)).filter(inside).collect();
    let other = if axis == axes[0] { axes[1] } else { axes[0] };
    let low = middle(b.along(other)) < middle(window.along(other));
    let margin = match (axis == axes[0], low) {
        (true, true) => Margin::Below,
        (true, false) => Margin::Above,
        (false, true) => Margin::Left,
        (false, false) => Margin::Right,
    };
    let from = window.along(other)[usize::from(!low)];
    Some(run(margin, stops, from))
}

/// With a capital first.
pub(super) fn sentence(text: &str) -> String {
    let mut out = text.replace('-', " ");
    if let Some(first) = out.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    out
}
