//! Finds parts that are alike, or mirror images, and writes like parts in the same frame.
//!
//! Two parts are alike when one blank can be turned onto the other with every cut and worked edge falling on its
//! fellow. A like part is then re-framed, so that its cuts read exactly as those of the first of its kind (those of a
//! mirror image read the same with x counted from the other end): one drawing and one program serve all.

use std::collections::BTreeMap;

use measure::Length;

use crate::frame::{Axis, Dir, Placement, Point};
use crate::outline::{Outline, Vertex};
use crate::part::{Cut, Edge, Likeness, Material, Part, Role};

/// A turn of a blank onto itself: where each axis goes, and whether it is turned about.
type Turn = [Dir; 3];

/// Sets `same_as` on every part that is like an earlier one, and re-frames it.
pub(crate) fn mark(parts: &mut [Part]) {
    let mut kinds: BTreeMap<(Role, Material, Point), Vec<usize>> = BTreeMap::new();
    for i in 0..parts.len() {
        sort_cuts(&mut parts[i]);
        let key = (parts[i].role, parts[i].material.clone(), parts[i].size);
        let firsts = kinds.entry(key).or_default();
        let found = firsts.iter().find_map(|&f| like(&parts[f], &parts[i]).map(|l| (f, l)));
        match found {
            None => firsts.push(i),
            Some((f, (turned, mirrored))) => {
                parts[i].same_as = Some(Likeness { part: parts[f].id, mirrored });
                parts[i].placement = turned.placement;
                parts[i].cuts = turned.cuts;
                parts[i].edges = turned.edges;
            }
        }
    }
}

/// The part turned so that it equals the first of its kind, or mirrors it.
fn like(first: &Part, part: &Part) -> Option<(Part, bool)> {
    if first.cuts.len() != part.cuts.len() || first.edges.len() != part.edges.len() {
        return None;
    }
    let mirrored_first = mirrored(first);
    for turn in turns(part.size) {
        let turned = turned(part, turn);
        for (model, is_mirror) in [(first, false), (&mirrored_first, true)] {
            if matched(&model.cuts, &turned.cuts) && same_edges(&model.edges, &turned.edges) {
                return Some((turned, is_mirror));
            }
        }
    }
    None
}

/// The proper turns that leave x along the grain and the size as it is.
fn turns(size: Point) -> Vec<Turn> {
    let mut out = Vec::new();
    for x in [Dir::PX, Dir::NX] {
        for z in [Dir::PZ, Dir::NZ, Dir::PY, Dir::NY] {
            if z.axis == Axis::Y && size[1] != size[2] {
                continue;
            }
            out.push([x, crate::frame::cross(z, x), z]);
        }
    }
    out
}

/// The part re-framed: the new axes, told in the old frame.
fn turned(part: &Part, axes: Turn) -> Part {
    let blank = part.blank();
    let change = Placement::filling(&blank, axes[0], axes[2]);
    let placement = Placement {
        origin: part.placement.to_case(change.origin),
        axes: change.axes.map(|d| part.placement.dir_to_case(d)),
    };
    let mut out = part.clone();
    out.placement = placement;
    out.cuts = part.cuts.iter().map(|c| reframed(c, &change)).collect();
    out.edges = part.edges.iter().map(|e| edge_reframed(e, &change, part.size)).collect();
    sort_cuts(&mut out);
    out
}

fn reframed(cut: &Cut, change: &Placement) -> Cut {
    let outline = change.outline_to_part(cut.from.axis, &cut.outline);
    Cut { from: change.dir_to_part(cut.from), outline, ..cut.clone() }
}

fn edge_reframed(edge: &Edge, change: &Placement, size: Point) -> Edge {
    let faces = edge.faces.map(|f| change.dir_to_part(f));
    let along = edge_axis(edge);
    let whole = size[along.index()];
    let turned_about = !change.dir_to_part(Dir { axis: along, positive: true }).positive;
    let (from, to) = if turned_about { (whole - edge.to, whole - edge.from) } else { (edge.from, edge.to) };
    Edge { faces, from, to, ..*edge }
}

fn edge_axis(edge: &Edge) -> Axis {
    Axis::ALL.into_iter().find(|a| edge.faces.iter().all(|f| f.axis != *a)).unwrap_or(Axis::X)
}

/// The part seen in a mirror that turns its ends about.
fn mirrored(part: &Part) -> Part {
    let flip = |d: Dir| if d.axis == Axis::X { d.opposite() } else { d };
    let whole = part.size[0];
    let mut out = part.clone();
    for cut in &mut out.cuts {
        cut.from = flip(cut.from);
        if cut.from.axis != Axis::X {
            cut.outline = cut.outline.mapped(true, |u, v| (whole - u, v));
        }
    }
    for edge in &mut out.edges {
        edge.faces = edge.faces.map(flip);
        if edge_axis(edge) == Axis::X {
            (edge.from, edge.to) = (whole - edge.to, whole - edge.from);
        }
    }
    sort_cuts(&mut out);
    out
}

/// Both lists hold the same removals; both are sorted.
fn matched(model: &[Cut], cuts: &[Cut]) -> bool {
    let same = |a: &Cut, b: &Cut| {
        a.purpose == b.purpose && a.from == b.from && a.depth == b.depth && same_outline(&a.outline, &b.outline)
    };
    model.len() == cuts.len() && model.iter().zip(cuts).all(|(a, b)| same(a, b))
}

fn same_outline(a: &Outline, b: &Outline) -> bool {
    // A nanometre: a rounded vertex seen in a mirror may fall on the other side of its half.
    let near = |x: Length, y: Length| (x - y).nm().abs() <= 1;
    let same = |p: &Vertex, q: &Vertex| near(p.u, q.u) && near(p.v, q.v) && (p.bulge - q.bulge).abs() < 1e-9;
    a.0.len() == b.0.len() && a.0.iter().zip(&b.0).all(|(p, q)| same(p, q))
}

fn same_edges(a: &[Edge], b: &[Edge]) -> bool {
    let same = |p: &Edge, q: &Edge| {
        let faces = p.faces == q.faces
            || (p.faces == [q.faces[1], q.faces[0]] && !matches!(p.profile, crate::Profile::Raise { .. }));
        faces && p.profile == q.profile && p.from == q.from && p.to == q.to
    };
    a.iter().all(|p| b.iter().any(|q| same(p, q)))
}

/// Puts a part's cuts into one order, and each outline's first vertex at its least corner.
fn sort_cuts(part: &mut Part) {
    for cut in &mut part.cuts {
        let vertices = &mut cut.outline.0;
        let least = (0..vertices.len()).min_by_key(|&i| (vertices[i].v, vertices[i].u)).unwrap_or(0);
        vertices.rotate_left(least);
    }
    part.cuts.sort_by_key(|c| {
        let [u, v] = c.outline.bounds_of_vertices();
        (c.from, c.purpose, u, v, c.depth)
    });
}
