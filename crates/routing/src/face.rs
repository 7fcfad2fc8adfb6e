//! Through which face each cut of a part is made.
//!
//! A cut tells the face that it enters, but a tenon's edge that reaches the broad face can as well be cut from there,
//! with the part lying flat instead of standing on its edge, and a through cut from either side. Faces are given up, the
//! most awkward first, where all their cuts can be made from those that remain.

use case::{Cut, Dir, Outline, Part};
use measure::Length;

/// What is taken of a cut straight in from some face: an outline in that face's two part axes, and its depth.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) outline: Outline,
    pub(crate) depth: Length,
}

/// A cut as seen from a face: the pieces that can be taken from there, and whether that is all of it.
pub(crate) fn seen_from(part: &Part, cut: &Cut, face: Dir) -> (Vec<Piece>, bool) {
    if face == cut.from || (face == cut.from.opposite() && part.is_through(cut)) {
        return (vec![Piece { outline: cut.outline.clone(), depth: cut.depth }], true);
    }
    if face.axis == cut.from.axis { (Vec::new(), false) } else { columns(part, cut, face) }
}

/// The columns of a rectilinear prism that is looked at from its side.
fn columns(part: &Part, cut: &Cut, face: Dir) -> (Vec<Piece>, bool) {
    let vertices = &cut.outline.0;
    let n = vertices.len();
    let sides = || (0..n).map(|i| (&vertices[i], &vertices[(i + 1) % n]));
    if sides().any(|(p, q)| p.bulge != 0.0 || (p.u != q.u && p.v != q.v)) {
        return (Vec::new(), false);
    }
    // Down into the face runs `down`; the columns follow on one another along the outline's other axis.
    let (first, second) = cut.from.axis.others();
    let along = if face.axis == first { second } else { first };
    let down_is_u = face.axis == first;
    let pick = |p: &case::Vertex| if down_is_u { (p.u, p.v) } else { (p.v, p.u) };
    let mut stations: Vec<Length> = vertices.iter().map(|p| pick(p).1).collect();
    stations.sort_unstable();
    stations.dedup();
    let whole = part.size[face.axis.index()];
    let across = if cut.from.positive {
        let s = part.size[cut.from.axis.index()];
        [s - cut.depth, s]
    } else {
        [Length::ZERO, cut.depth]
    };
    let mut found: Vec<([Length; 2], Length)> = Vec::new();
    let mut complete = true;
    for w in stations.windows(2) {
        let middle = (w[0] + w[1]).half();
        let mut crossed: Vec<Length> = sides()
            .map(|(p, q)| (pick(p), pick(q)))
            .filter(|(p, q)| (p.1 > middle) != (q.1 > middle))
            .map(|(p, _)| p.0)
            .collect();
        crossed.sort_unstable();
        let reach = match crossed[..] {
            [low, high] if face.positive && high == whole => Some(high - low),
            [low, high] if !face.positive && low == Length::ZERO => Some(high),
            _ => None,
        };
        match (reach, found.last_mut()) {
            (Some(depth), Some((range, d))) if *d == depth && range[1] == w[0] => range[1] = w[1],
            (Some(depth), _) => found.push(([w[0], w[1]], depth)),
            (None, _) => complete = crossed.is_empty() && complete,
        }
    }
    let pieces = found.into_iter().map(|(range, depth)| {
        let (u, v) = if along < cut.from.axis { (range, across) } else { (across, range) };
        Piece { outline: Outline::rectangle(u, v), depth }
    });
    (pieces.collect(), complete)
}

/// The faces that a part is set up on, in the order +x to -z, each with the indices of the cuts made there.
/// `possible` tells whether the machine takes the part with a face up; `deepest` is how far its longest bit cuts.
pub(crate) fn assign(part: &Part, deepest: Length, possible: &dyn Fn(Dir) -> bool) -> Vec<(Dir, Vec<usize>)> {
    let mut at: Vec<Dir> = part.cuts.iter().map(|c| c.from).collect();
    // What is too deep for any bit holds no face.
    let hopeless = |i: usize| part.cuts[i].depth > deepest;
    // Standing on end before standing on edge before lying flat.
    let mut order = Dir::ALL;
    order.sort_by_key(|d| (possible(*d), std::cmp::Reverse(part.size[d.axis.index()])));
    for face in order {
        let here: Vec<usize> = (0..at.len()).filter(|&i| at[i] == face).collect();
        let others: Vec<Dir> = Dir::ALL.into_iter().filter(|d| *d != face && at.contains(d) && possible(*d)).collect();
        let moves: Vec<Option<Dir>> = here.iter().map(|&i| other_way(part, &part.cuts[i], &others, deepest)).collect();
        if possible(face) && here.iter().zip(&moves).any(|(i, to)| to.is_none() && !hopeless(*i)) {
            continue;
        }
        for (i, to) in here.into_iter().zip(moves) {
            at[i] = to.unwrap_or(face);
        }
    }
    let cuts_at = |d: Dir| (0..at.len()).filter(|&i| at[i] == d).collect::<Vec<_>>();
    Dir::ALL.into_iter().map(|d| (d, cuts_at(d))).filter(|(_, cuts)| !cuts.is_empty()).collect()
}

/// Another face from which the whole of a cut can be made, the one that it is least deep from.
fn other_way(part: &Part, cut: &Cut, faces: &[Dir], deepest: Length) -> Option<Dir> {
    let depth = |d: &Dir| {
        let (pieces, complete) = seen_from(part, cut, *d);
        let most = pieces.iter().map(|p| p.depth).max()?;
        (complete && most <= deepest).then_some(most)
    };
    faces.iter().filter_map(|d| Some((depth(d)?, *d))).min_by_key(|(depth, _)| *depth).map(|(_, d)| d)
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::{Box3, Material, PartId, Placement, Purpose, Role, Vertex};
    use measure::mm;

    fn rail(cuts: Vec<Cut>) -> Part {
        let size = [mm(600), mm(90), mm(22)];
        Part {
            id: PartId(1),
            name: "rail".into(),
            role: Role::Rail,
            assembly: "case".into(),
            material: Material::solid("ash"),
            size,
            placement: Placement::filling(&Box3 { min: [Length::ZERO; 3], max: size }, Dir::PX, Dir::PZ),
            cuts,
            edges: Vec::new(),
            same_as: None,
        }
    }

    fn cut(from: Dir, u: [i64; 2], v: [i64; 2], depth: i64) -> Cut {
        Cut {
            purpose: Purpose::TenonEdge,
            joint: None,
            from,
            outline: Outline::rectangle(u.map(mm), v.map(mm)),
            depth: mm(depth),
        }
    }

    #[test]
    fn a_tenon_s_edges_are_cut_with_its_cheeks() {
        let part = rail(vec![
            cut(Dir::PZ, [0, 30], [0, 90], 6),
            cut(Dir::PY, [0, 30], [0, 22], 12),
            cut(Dir::NY, [0, 30], [0, 22], 12),
        ]);
        assert_eq!(assign(&part, mm(35), &|_| true), [(Dir::PZ, vec![0, 1, 2])]);
        // With bits no longer than 20 mm the edges stay where they are.
        assert_eq!(assign(&part, mm(20), &|_| true).len(), 3);
        let (pieces, complete) = seen_from(&part, &part.cuts[1], Dir::PZ);
        assert!(complete);
        let lies = Outline::rectangle([mm(0), mm(30)], [mm(78), mm(90)]);
        assert_eq!(pieces, [Piece { outline: lies, depth: mm(22) }]);
    }

    #[test]
    fn an_edge_with_two_shoulders_is_two_pieces_from_the_side_that_sees_both() {
        let at = |u, v| Vertex { u: mm(u), v: mm(v), bulge: 0.0 };
        let outline = Outline(vec![at(0, 0), at(25, 0), at(25, 6), at(31, 6), at(31, 22), at(0, 22)]);
        let edge = Cut { outline, ..cut(Dir::NY, [0, 1], [0, 1], 8) };
        let part = rail(vec![edge]);
        let (from_top, complete) = seen_from(&part, &part.cuts[0], Dir::PZ);
        assert!(complete);
        let depths: Vec<_> = from_top.iter().map(|p| (p.outline.bounds()[0], p.depth)).collect();
        assert_eq!(depths, [([mm(0), mm(25)], mm(22)), ([mm(25), mm(31)], mm(16))]);
        let (from_below, complete) = seen_from(&part, &part.cuts[0], Dir::NZ);
        assert!(!complete);
        assert_eq!(from_below.len(), 1);
    }

    #[test]
    fn a_groove_keeps_its_face_and_draws_nothing_deeper_than_a_bit() {
        let part = rail(vec![cut(Dir::PY, [0, 600], [8, 14], 6), cut(Dir::NY, [0, 30], [0, 22], 12)]);
        // The tenon's edge does not reach the groove's face, and there is no other.
        assert_eq!(assign(&part, mm(35), &|_| true), [(Dir::PY, vec![0]), (Dir::NY, vec![1])]);
    }
}
