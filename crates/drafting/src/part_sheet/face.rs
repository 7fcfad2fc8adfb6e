//! The faces of a part: how each lies on the sheet, which are drawn, and what the shop calls them.

use case::{Axis, Case, Dir, Part, Projection, Role};
use measure::Length;

use super::feature::Feature;

/// How a face lies on the sheet: a long face with the grain to the right, an end with the part's y up. Each is the
/// face that it was in the last view, rolled over the edge that they share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Face {
    /// Where it looks.
    pub(crate) dir: Dir,
    /// The part's direction to the right.
    pub(crate) right: Dir,
    /// The part's direction up the sheet.
    pub(crate) up: Dir,
}

impl Face {
    pub(crate) const fn of(dir: Dir) -> Self {
        let (right, up) = match (dir.axis, dir.positive) {
            (Axis::Z, true) => (Dir::PX, Dir::PY),
            (Axis::Z, false) => (Dir::PX, Dir::NY),
            (Axis::Y, true) => (Dir::PX, Dir::NZ),
            (Axis::Y, false) => (Dir::PX, Dir::PZ),
            (Axis::X, true) => (Dir::NZ, Dir::PY),
            (Axis::X, false) => (Dir::PZ, Dir::PY),
        };
        Self { dir, right, up }
    }

    /// From 0 at the foot of the view: a place on the axis that runs up the sheet, in mm of the part.
    pub(crate) fn height(&self, v: f64, size: [Length; 3]) -> f64 {
        if self.up.positive { v } else { size[self.up.axis.index()].mm() - v }
    }
}

/// The faces that are drawn, from the top of the sheet down: the show face, or the back if only that is cut, and as few
/// others as show every feature.
pub(crate) fn drawn(features: &[Feature<'_>], size: [Length; 3], projection: Projection) -> Vec<Dir> {
    let cut = |face: Dir| features.iter().any(|f| f.shows_on(face, size));
    let mut faces = vec![if cut(Dir::NZ) && !cut(Dir::PZ) { Dir::NZ } else { Dir::PZ }];
    let mut left: Vec<&Feature<'_>> = features.iter().collect();
    loop {
        left.retain(|f| !faces.iter().any(|face| f.shows_on(*face, size)));
        // A face counts double for what is cut from it; an edge goes before the back, it shows the thickness.
        let worth = |face: Dir| -> usize {
            let each = |f: &&&Feature<'_>| usize::from(f.shows_on(face, size)) + usize::from(f.faces.contains(&face));
            left.iter().map(|f| each(&f)).sum()
        };
        let best = [Dir::NX, Dir::PX, Dir::NZ, Dir::PY, Dir::NY].into_iter().max_by_key(|face| worth(*face));
        match best {
            Some(face) if worth(face) > 0 => faces.push(face),
            _ => break,
        }
    }
    // One edge at least, for the thickness.
    if !faces.iter().any(|f| f.axis == Axis::Y) {
        faces.push(Dir::NY);
    }
    let [above, below] = match projection {
        Projection::Third => [Dir::PY, Dir::NY],
        Projection::First => [Dir::NY, Dir::PY],
    };
    [above, Dir::PZ, below, Dir::NZ, Dir::NX, Dir::PX].into_iter().filter(|d| faces.contains(d)).collect()
}

/// What a face of a kind is called: by where it looks in the piece if that is the same for all the likes, or else by
/// whether it looks out of the piece or into it.
pub(crate) fn name(case: &Case, likes: &[&Part], face: Dir) -> &'static str {
    let seen: Vec<(Dir, bool)> = likes.iter().map(|p| looks(case, p, face)).collect();
    let all = |f: &dyn Fn(&(Dir, bool)) -> bool| seen.iter().all(f);
    let first = seen.first().map_or(face, |s| s.0);
    if all(&|s| s.0 == first) {
        return match (first.axis, first.positive) {
            (Axis::X, false) => "left",
            (Axis::X, true) => "right",
            (Axis::Y, false) => "front",
            (Axis::Y, true) => "back",
            (Axis::Z, false) => "bottom",
            (Axis::Z, true) => "top",
        };
    }
    if all(&|s| s.1) {
        return "outside";
    }
    if all(&|s| !s.1) {
        return "inside";
    }
    match face {
        Dir::PZ => "face",
        Dir::NZ => "back",
        Dir::PY | Dir::NY => "edge",
        _ => "end",
    }
}

/// The name as it stands over a view: `Front face`, `Top edge`.
pub(crate) fn title(part: &Part, name: &str, face: Dir) -> String {
    let kind = match face.axis {
        Axis::X => "end",
        Axis::Y if part.role != Role::Post => "edge",
        _ => "face",
    };
    let mut title = if name == "bottom" && face.axis == Axis::Z {
        "underside".to_owned()
    } else if name == kind {
        name.to_owned()
    } else {
        format!("{name} {kind}")
    };
    if let Some(first) = title.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    title
}

/// Where a face of a like looks in the piece, and whether that is away from the middle of the piece.
fn looks(case: &Case, part: &Part, face: Dir) -> (Dir, bool) {
    let mirrored = part.same_as.is_some_and(|s| s.mirrored) && face.axis == Axis::X;
    let dir = part.placement.dir_to_case(if mirrored { face.opposite() } else { face });
    let [low, high] = part.case_box().along(dir.axis);
    let beyond = (low + high).nm() > case.size[dir.axis.index()].nm();
    (dir, beyond == dir.positive)
}
