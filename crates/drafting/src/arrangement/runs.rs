//! What is dimensioned in which view. Every figure is the distance between two faces of parts as they are placed.

use std::collections::BTreeSet;

use case::{Axis, Box3, Case, OrderInfo, Part, Purpose, Role};
use measure::Length;

use super::views::{Which, whole};
use crate::margins::{Margin, Run, distinct};
use paper::dimension::{FIGURE, figure};
use paper::text;

/// The dimensions of a view, on each side from the inside out.
pub(super) fn runs(case: &Case, which: Which) -> Vec<Run> {
    let reading = Reading { case, whole: whole(case) };
    let runs = match which {
        Which::Front => reading.front(),
        Which::RightEnd => reading.right_end(),
        Which::Plan => reading.plan(),
        Which::SectionA => reading.section_a(),
        Which::SectionB => reading.section_b(),
        Which::Picture => Vec::new(),
    };
    distinct(runs)
}

struct Reading<'a> {
    case: &'a Case,
    whole: Box3,
}

impl Reading<'_> {
    fn parts(&self, keep: impl Fn(&Part) -> bool) -> impl Iterator<Item = &Part> {
        self.case.parts.iter().filter(move |p| keep(p))
    }

    /// The faces square to `axis` of the parts that `keep` picks.
    fn faces(&self, axis: Axis, keep: impl Fn(&Part) -> bool) -> BTreeSet<Length> {
        self.parts(keep).flat_map(|p| p.case_box().along(axis)).collect()
    }

    /// A rail of the case that runs along `along` on the side of the case where `across` is least or greatest.
    fn is_rail(&self, part: &Part, along: Axis, across: Axis, at_greatest: bool) -> bool {
        let b = part.case_box();
        let middle = |b: &Box3| b.along(across)[0] + b.along(across)[1];
        part.role == Role::Rail
            && part.placement.axes[0].axis == along
            && (middle(&b) > middle(&self.whole)) == at_greatest
    }

    fn posts(&self, axis: Axis) -> Vec<Length> {
        self.faces(axis, |p| p.role == Role::Post).into_iter().collect()
    }

    fn post_height(&self) -> BTreeSet<Length> {
        self.faces(Axis::Z, |p| p.role == Role::Post)
    }

    fn front(&self) -> Vec<Run> {
        let posts = self.posts(Axis::X);
        let mut heights = self.post_height();
        let rail = |p: &Part| self.is_rail(p, Axis::X, Axis::Y, false);
        heights.extend(self.faces(Axis::Z, rail));
        heights.extend(self.faces(Axis::Z, |p| p.role == Role::Top));
        let mut doors = BTreeSet::new();
        let door = self.parts(|p| p.role == Role::DoorRail).next().map(|p| p.assembly.clone());
        let door_rail = |p: &Part| p.role == Role::DoorRail && Some(&p.assembly) == door.as_ref();
        doors.extend(self.faces(Axis::Z, door_rail));
        doors.extend(self.faces(Axis::Z, |p| is_bar(p, Axis::X) && Some(&p.assembly) == door.as_ref()));
        let top = self.faces(Axis::X, |p| p.role == Role::Top);
        let across: BTreeSet<Length> = posts.iter().copied().collect();
        vec![
            Run::new(Margin::Below, posts.clone()),
            Run::new(Margin::Below, ends(if top.is_empty() { &across } else { &top })),
            Run::new(Margin::Left, heights.clone()),
            Run::new(Margin::Left, ends(&heights)),
            Run::new(Margin::Right, doors.clone()),
            Run::new(Margin::Right, ends(&doors)),
        ]
    }

    fn right_end(&self) -> Vec<Run> {
        let rail = |p: &Part| self.is_rail(p, Axis::Y, Axis::X, true);
        let mut heights = self.faces(Axis::Z, rail);
        heights.extend(self.post_height());
        vec![Run::new(Margin::Below, self.posts(Axis::Y)), Run::new(Margin::Right, heights)]
    }

    fn plan(&self) -> Vec<Run> {
        let over = |axis: Axis| {
            let mut faces = self.faces(axis, |p| p.role == Role::Top);
            faces.extend(ends(&self.posts(axis)));
            faces
        };
        let (wide, deep) = (over(Axis::X), over(Axis::Y));
        vec![Run::new(Margin::Above, wide), Run::new(Margin::Right, deep.clone()), Run::new(Margin::Right, ends(&deep))]
    }

    fn section_a(&self) -> Vec<Run> {
        let mut shelves: Vec<Length> =
            self.faces(Axis::Z, |p| matches!(p.role, Role::Shelf | Role::Bottom)).into_iter().collect();
        let under: Vec<Length> =
            self.faces(Axis::Z, |p| self.is_rail(p, Axis::X, Axis::Y, false)).into_iter().collect();
        // Up to the rail above the highest shelf.
        if let Some(rail) = shelves.last().and_then(|top| under.iter().find(|z| *z > top)) {
            shelves.push(*rail);
        }
        let mut back = self.faces(Axis::Z, |p| self.is_rail(p, Axis::X, Axis::Y, true));
        back.extend(self.post_height());
        let mut deep: BTreeSet<Length> = self.faces(Axis::Y, |p| p.role == Role::Shelf);
        deep.extend(ends(&self.posts(Axis::Y)));
        vec![Run::new(Margin::Left, shelves), Run::new(Margin::Right, back), Run::new(Margin::Below, deep)]
    }

    fn section_b(&self) -> Vec<Run> {
        let stile = |p: &Part| p.role == Role::Stile;
        let door = self.parts(stile).next().map(|p| p.assembly.clone());
        let own = |p: &Part| Some(&p.assembly) == door.as_ref();
        let faces = self.faces(Axis::X, |p| own(p) && (stile(p) || is_bar(p, Axis::Z)));
        let mut doors: BTreeSet<Length> = BTreeSet::new();
        for assembly in self.parts(stile).map(|p| p.assembly.clone()).collect::<BTreeSet<_>>() {
            doors.extend(ends(&self.faces(Axis::X, |p| stile(p) && p.assembly == assembly)));
        }
        let inside: Vec<Length> = self.posts(Axis::X).into_iter().skip(1).take(2).collect();
        doors.extend(inside.clone());
        vec![
            Run::new(Margin::Below, faces),
            Run::new(Margin::Below, if doors.len() > 2 { doors } else { BTreeSet::new() }),
        ]
    }
}

/// A bar between lights that runs along an axis.
fn is_bar(part: &Part, along: Axis) -> bool {
    part.role == Role::Muntin && part.placement.axes[0].axis == along
}

/// A shaped lower edge of a rail that is seen in a view: the box of what is cut away, in the case frame.
#[derive(Debug)]
pub(super) struct Rise {
    pub(super) away: Box3,
}

impl Rise {
    /// What is lettered under the curve.
    pub(super) fn says(&self, order: &OrderInfo, which: Which) -> String {
        let [_, up] = which.axes();
        let [foot, crown] = self.away.along(up);
        format!("rise {}", figure(&order.ruler, crown - foot))
    }

    /// There is room for that under the curve, beside its leader.
    pub(super) fn has_room(&self, order: &OrderInfo, which: Which, ratio: f64) -> bool {
        let [across, _] = which.axes();
        let [left, right] = self.away.along(across);
        (right - left).mm() * ratio / 2.0 > text::width(&self.says(order, which), FIGURE) + 3.0
    }
}

/// The shaped edges of a view, one of each kind: on the rails of the front, of the right end, and of one door.
pub(super) fn rises(case: &Case, which: Which) -> Vec<Rise> {
    let reading = Reading { case, whole: whole(case) };
    let door = reading.parts(|p| p.role == Role::DoorRail).last().map(|p| p.assembly.clone());
    let seen = |p: &Part| match which {
        Which::Front => {
            reading.is_rail(p, Axis::X, Axis::Y, false)
                || p.role == Role::DoorRail && Some(&p.assembly) == door.as_ref()
        }
        Which::RightEnd => reading.is_rail(p, Axis::Y, Axis::X, true),
        _ => false,
    };
    let mut out: Vec<Rise> = Vec::new();
    for part in case.parts.iter().filter(|p| seen(p)) {
        let blank = part.blank();
        let shaped = part.cuts.iter().filter(|c| c.purpose == Purpose::Outline);
        let away =
            shaped.filter_map(|c| blank.intersection(&c.bounds(part.size))).map(|b| part.placement.box_to_case(&b));
        out.extend(away.filter(|b| b.along(Axis::Z)[0] == part.case_box().along(Axis::Z)[0]).map(|away| Rise { away }));
    }
    out
}

/// The first and the last.
fn ends<'a>(stops: impl IntoIterator<Item = &'a Length>) -> Vec<Length> {
    let all: Vec<Length> = stops.into_iter().copied().collect();
    all.first().into_iter().chain(all.last()).copied().collect()
}
