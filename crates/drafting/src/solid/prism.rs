//! A prism: one removal from a blank, along an axis of the part.

use case::{Axis, Cut, Edge, Part, Profile, Segment};

use super::{Bounds, Circle};

/// Where a side of an outline may run so smoothly into the next surface that no edge is seen: the next side, or what
/// else lies beyond the end of an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Seam {
    /// In the two axes that remain beside the prism's own, mm.
    pub(crate) at: [f64; 2],
    /// The normals before it and after it, as the outline runs; out of the wood.
    pub(crate) normals: [[f64; 2]; 2],
}

/// A removal along `axis` over `range`; its outline is counter-clockwise in the two other axes.
#[derive(Clone, Debug)]
pub(crate) struct Prism {
    pub(crate) axis: Axis,
    pub(crate) range: [f64; 2],
    pub(crate) outline: Vec<[f64; 2]>,
    pub(crate) circles: Vec<Circle>,
    pub(crate) seams: Vec<Seam>,
    pub(crate) bounds: Bounds,
}

/// Cosine of the least turn that is seen as an edge, 12°: more than tangent curves turn once they are flattened, less
/// than any moulding does.
pub(crate) const SMOOTH: f64 = 0.978;
/// How far a prism stands out over the face it enters, mm, so that no skin is left there.
const PROUD: f64 = 1.0;

impl Prism {
    pub(crate) fn of_cut(part: &Part, cut: &Cut, chord: f64) -> Self {
        let whole = part.size[cut.from.axis.index()].mm();
        let depth = cut.depth.mm();
        let range = if part.is_through(cut) {
            [-PROUD, whole + PROUD]
        } else if cut.from.positive {
            [whole - depth, whole + PROUD]
        } else {
            [-PROUD, depth]
        };
        let sides: Vec<Segment> = cut.outline.segments().collect();
        Self::new(cut.from.axis, range, &sides, chord)
    }

    /// A worked edge as the prism that it takes off along its arris; nothing for a profile of no size.
    pub(crate) fn of_edge(part: &Part, edge: &Edge, chord: f64) -> Option<Self> {
        let [a, b] = edge.faces;
        if a.axis == b.axis {
            return None;
        }
        let axis = Axis::ALL[3 - a.axis.index() - b.axis.index()];
        // Points as distances inward from the first and from the second face, with the bulge of the side that follows.
        let p = PROUD;
        let section: Vec<([f64; 2], f64)> = match edge.profile {
            Profile::Round { radius } => {
                let r = radius.mm();
                let quarter = libm::tan(std::f64::consts::PI / 8.0);
                vec![([-p, -p], 0.0), ([-p, r], 0.0), ([0.0, r], quarter), ([r, 0.0], 0.0), ([r, -p], 0.0)]
            }
            Profile::Chamfer { width } => {
                let w = width.mm();
                vec![([-p, -p], 0.0), ([-p, w], 0.0), ([0.0, w], 0.0), ([w, 0.0], 0.0), ([w, -p], 0.0)]
            }
            Profile::Raise { width, tongue, depth, step } => {
                let (w, t, d, s) = (width.mm(), tongue.mm(), depth.mm(), step.mm());
                vec![([-p, -p], 0.0), ([-p, w], 0.0), ([s, w], 0.0), ([d, t], 0.0), ([d, -p], 0.0)]
            }
        };
        let place = |side: case::Dir, inward: f64| {
            if side.positive { part.size[side.axis.index()].mm() - inward } else { inward }
        };
        let first_is_u = a.axis.index() < b.axis.index();
        let mapped: Vec<([f64; 2], f64)> = section
            .iter()
            .map(|&([i, j], bulge)| {
                let (u, v) = (place(a, i), place(b, j));
                (if first_is_u { [u, v] } else { [v, u] }, bulge)
            })
            .collect();
        let n = mapped.len();
        let mut sides: Vec<Segment> =
            (0..n).map(|i| Segment { from: mapped[i].0, to: mapped[(i + 1) % n].0, bulge: -mapped[i].1 }).collect();
        // Told clockwise in distances inward: either the map has mirrored it, and its arcs, or it is walked backwards.
        if sides.iter().map(|s| s.from[0] * s.to[1] - s.to[0] * s.from[1]).sum::<f64>() < 0.0 {
            sides.reverse();
            for s in &mut sides {
                std::mem::swap(&mut s.from, &mut s.to);
            }
        }
        let (from, to) = (edge.from.mm(), edge.to.mm());
        let length = part.size[axis.index()].mm();
        // A run to the end of the blank goes out over it.
        let range = [if from <= 0.0 { -PROUD } else { from }, if to >= length { length + PROUD } else { to }];
        (from < to).then(|| Self::new(axis, range, &sides, chord))
    }

    fn new(axis: Axis, range: [f64; 2], sides: &[Segment], chord: f64) -> Self {
        let mut outline = Vec::new();
        // For each vertex of the flattened outline, the circle that the side after it lies on.
        let mut arcs: Vec<Option<usize>> = Vec::new();
        let mut circles: Vec<Circle> = Vec::new();
        for side in sides.iter().filter(|s| s.from != s.to) {
            outline.push(side.from);
            let Some(arc) = side.arc() else {
                arcs.push(None);
                continue;
            };
            // Never so coarse that a small hole looks flat-sided.
            let chord = chord.min(arc.radius * 0.05);
            circles.push(Circle { axis, centre: arc.centre, radius: arc.radius, chord });
            let points = side.flattened(chord);
            outline.extend_from_slice(&points[..points.len() - 1]);
            arcs.resize(outline.len(), Some(circles.len() - 1));
        }
        let seams = seams(&outline, &arcs, &circles);
        let bounds = Self::bounds(axis, range, &outline);
        Self { axis, range, outline, circles, seams, bounds }
    }

    fn bounds(axis: Axis, range: [f64; 2], outline: &[[f64; 2]]) -> Bounds {
        let mut bounds = Bounds { min: [0.0; 3], max: [0.0; 3] };
        let (u, v) = axis.others();
        bounds.min[axis.index()] = range[0];
        bounds.max[axis.index()] = range[1];
        for (k, other) in [u, v].into_iter().enumerate() {
            let values = outline.iter().map(|p| p[k]);
            bounds.min[other.index()] = values.clone().fold(f64::INFINITY, f64::min);
            bounds.max[other.index()] = values.fold(f64::NEG_INFINITY, f64::max);
        }
        bounds
    }

    /// The point lies within it.
    pub(crate) fn holds(&self, p: [f64; 3]) -> bool {
        if (0..3).any(|i| p[i] <= self.bounds.min[i] || p[i] >= self.bounds.max[i]) {
            return false;
        }
        let (u, v) = self.axis.others();
        let (u, v, n) = (p[u.index()], p[v.index()], self.outline.len());
        let crossed = (0..n)
            .map(|i| (self.outline[i], self.outline[(i + 1) % n]))
            .filter(|(a, b)| (a[1] <= v) != (b[1] <= v) && u < a[0] + (v - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
        crossed.count() % 2 == 1
    }

    /// Where the line `from + s * direction` runs within the outline: intervals of `s` that share no point, in order.
    pub(crate) fn spans(&self, from: [f64; 2], direction: [f64; 2]) -> Vec<[f64; 2]> {
        let side = |p: [f64; 2]| direction[0] * (p[1] - from[1]) - direction[1] * (p[0] - from[0]);
        let along = |p: [f64; 2]| direction[0] * (p[0] - from[0]) + direction[1] * (p[1] - from[1]);
        let n = self.outline.len();
        let mut hits: Vec<f64> = (0..n)
            .filter_map(|i| {
                let (a, b) = (self.outline[i], self.outline[(i + 1) % n]);
                let (da, db) = (side(a), side(b));
                ((da < 0.0) != (db < 0.0)).then(|| {
                    let t = da / (da - db);
                    along(a) + t * (along(b) - along(a))
                })
            })
            .collect();
        hits.sort_by(f64::total_cmp);
        hits.chunks_exact(2).map(|c| [c[0], c[1]]).filter(|c| c[0] < c[1]).collect()
    }
}

/// The normal out of the wood of the side from `a` to `b` of a counter-clockwise outline: into the cut, to the left.
pub(crate) fn side_normal(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let (du, dv) = (b[0] - a[0], b[1] - a[1]);
    let length = libm::hypot(du, dv);
    [-dv / length, du / length]
}

fn seams(outline: &[[f64; 2]], arcs: &[Option<usize>], circles: &[Circle]) -> Vec<Seam> {
    let n = outline.len();
    let mut out = Vec::new();
    for i in 0..n {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        let at = outline[i];
        let facets = [side_normal(outline[before], at), side_normal(at, outline[after])];
        // What the facets stand for: a line's own normal, or that of the circle here.
        let arcs = [arcs[before], arcs[i]].map(|arc| arc.map(|a| &circles[a]));
        let normals = [0, 1].map(|k| arcs[k].map_or(facets[k], |c| radial(c, at, facets[k])));
        if dot(normals[0], normals[1]) > SMOOTH {
            out.push(Seam { at, normals: facets });
            continue;
        }
        // An arc that ends in a corner of its outline may run smoothly into a face of the blank.
        if arcs[0].is_some() {
            out.push(Seam { at, normals: [facets[0], normals[0]] });
        }
        if arcs[1].is_some() {
            out.push(Seam { at, normals: [normals[1], facets[1]] });
        }
    }
    out
}

/// The normal of a circle at a point of it, to the side of a facet's.
fn radial(circle: &Circle, at: [f64; 2], facet: [f64; 2]) -> [f64; 2] {
    let normal = [0, 1].map(|k| (at[k] - circle.centre[k]) / circle.radius);
    normal.map(|r| r * dot(normal, facet).signum())
}

pub(crate) fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
