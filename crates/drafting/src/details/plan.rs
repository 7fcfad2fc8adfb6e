//! What a detail is before it is drawn: which joints it shows, where it is cut, and what is figured on it.

use case::{Axis, Box3, Case, Dir, JointId, Part, PartId, Point};
use measure::Length;

use crate::margins::{Margin, Run, picture_axes};
use paper::dimension::figure;

/// A section: what the plane meets, within a window.
#[derive(Clone, Debug)]
pub(super) struct Section {
    /// The side of the case that is taken away, and from which one looks.
    pub(super) toward: Dir,
    /// The plane's place.
    pub(super) at: Length,
    /// What is shown of the case.
    pub(super) window: Box3,
    pub(super) runs: Vec<Run>,
}

impl Section {
    /// The case's axes to the right and up.
    pub(super) const fn axes(&self) -> [Axis; 2] {
        picture_axes(self.toward.axis)
    }

    /// How it is named under its detail.
    pub(super) const fn name(&self) -> &'static str {
        match self.toward.axis {
            Axis::X => "Upright section from the right",
            Axis::Y => "Upright section from the front",
            Axis::Z => "Level section from above",
        }
    }
}

/// A joint drawn open, its parts moved apart the way that they come apart.
#[derive(Clone, Debug)]
pub(super) struct Opened {
    /// Each part with the way it is moved.
    pub(super) pieces: Vec<(PartId, Point)>,
    /// What is shown of each, before it is moved.
    pub(super) window: Box3,
    /// From where one looks, degrees to the right of the front, and up.
    pub(super) from: [f64; 2],
    /// Axes along which parts go home: from the middle of each tenon to the middle of its mouth.
    pub(super) traces: Vec<[Point; 2]>,
}

/// A detail.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) title: String,
    /// The joints that are shown, those of the same kind together.
    pub(super) joints: Vec<JointId>,
    /// Others of the same kinds and sizes.
    pub(super) same: Vec<JointId>,
    /// Lines of figures that no section shows.
    pub(super) facts: Vec<String>,
    pub(super) section: Section,
    pub(super) opened: Option<Opened>,
}

impl Plan {
    /// What makes two details one: the same things in the window, the same figures.
    pub(super) fn signature(&self, case: &Case) -> String {
        let mut figures: Vec<Vec<i64>> = Vec::new();
        for run in &self.section.runs {
            let mut steps: Vec<i64> = run.stops.windows(2).map(|w| (w[1] - w[0]).nm() / 10).collect();
            // Seen in a mirror it is the same.
            let mut back = steps.clone();
            back.reverse();
            if back < steps {
                steps = back;
            }
            figures.push(steps);
        }
        figures.sort();
        let mut roles: Vec<_> =
            self.joints.iter().flat_map(|j| &joint(case, *j).parts).map(|p| case.part(*p).role).collect();
        roles.sort();
        let mut kinds: Vec<_> = self.joints.iter().map(|j| joint(case, *j).kind).collect();
        kinds.sort();
        // The parts' numbers aside.
        let own = |f: &'_ String| {
            f.strip_prefix('P').and_then(|f| f.split_once(": ")).map_or(f.clone(), |(_, told)| told.to_owned())
        };
        let facts: Vec<String> = self.facts.iter().map(own).collect();
        format!("{roles:?} {kinds:?} {figures:?} {facts:?}")
    }
}

/// The joint of a number.
pub(super) fn joint(case: &Case, id: JointId) -> &case::Joint {
    &case.joints[id.0 as usize - 1]
}

/// What a joint cuts from a part, one box for each cut, in the case frame.
pub(super) fn cuts_of(part: &Part, joint: JointId) -> Vec<(Dir, Box3)> {
    let own = part.cuts.iter().filter(|c| c.joint == Some(joint));
    own.map(|c| (part.placement.dir_to_case(c.from), part.placement.box_to_case(&c.bounds(part.size)))).collect()
}

/// A box with more round it.
pub(super) fn grown(b: &Box3, by: Length) -> Box3 {
    Box3 { min: b.min.map(|l| l - by), max: b.max.map(|l| l + by) }
}

/// The middle of an interval.
pub(super) fn middle([low, high]: [Length; 2]) -> Length {
    low + (high - low).half()
}

/// The end of a box at which a direction leaves it.
pub(super) const fn end(b: &Box3, d: Dir) -> Length {
    let [low, high] = b.along(d.axis);
    if d.positive { high } else { low }
}

/// The margin to which a direction points.
pub(super) fn margin_towards(d: Dir, [right, _]: [Axis; 2]) -> Margin {
    match (d.axis == right, d.positive) {
        (true, true) => Margin::Right,
        (true, false) => Margin::Left,
        (false, true) => Margin::Above,
        (false, false) => Margin::Below,
    }
}

/// A run with its stops in order, each once.
pub(super) fn run(margin: Margin, stops: impl IntoIterator<Item = Length>, from: Length) -> Run {
    let mut stops: Vec<Length> = stops.into_iter().collect();
    stops.sort_unstable();
    stops.dedup();
    Run { margin, stops, from: Some(from) }
}

/// The runs that tell a cut in a section: across it from the faces of its part that are near, and how deep it goes.
pub(super) fn cut_runs(cut: &Box3, part: &Box3, entry: Dir, window: &Box3, axes: [Axis; 2]) -> Vec<Run> {
    let Some(cut) = cut.intersection(part) else { return Vec::new() };
    let mut out = Vec::new();
    for (k, axis) in axes.into_iter().enumerate() {
        let other = axes[1 - k];
        let [c0, c1] = cut.along(axis);
        let [m0, m1] = part.along(axis);
        let [w0, w1] = window.along(axis);
        let side = if entry.axis == other {
            entry
        } else {
            // The margin nearer to it.
            let [o0, o1] = window.along(other);
            Dir { axis: other, positive: middle(cut.along(other)) > middle([o0, o1]) }
        };
        let stops: Vec<Length> = if entry.axis == axis {
            if entry.positive { vec![c0, m1] } else { vec![m0, c1] }
        } else {
            let near = [m0, m1].into_iter().filter(|m| w0 <= *m && *m <= w1);
            near.chain([c0, c1]).collect()
        };
        out.push(run(margin_towards(side, axes), stops, end(&cut, side)));
    }
    out
}

/// `Tenon 3/8 × 2 1/2 × 1 1/4`, and the like.
pub(super) fn sizes(case: &Case, lengths: &[Length]) -> String {
    lengths.iter().map(|l| figure(&case.order.ruler, *l)).collect::<Vec<_>>().join(" × ")
}

/// The rooms that a joint leaves, those that are not nothing.
pub(super) fn rooms(case: &Case, id: JointId) -> Option<String> {
    let rooms = joint(case, id).clearances.iter().filter(|(_, l)| *l > Length::ZERO);
    let said: Vec<String> = rooms.map(|(name, l)| format!("{name} {}", figure(&case.order.ruler, *l))).collect();
    (!said.is_empty()).then(|| format!("room: {}", said.join(", ")))
}
