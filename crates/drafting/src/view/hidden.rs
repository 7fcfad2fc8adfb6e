//! Which parts of which edges are hidden: each edge is clipped against the nearer faces that lie over it.
//!
//! Coordinates are the camera's: x and y on the picture plane, z towards the eye. A tree over the faces' boxes gives,
//! for each edge, the faces that overlap it and reach nearer than its far end. Against each, the stretch of the edge
//! that lies within the face's outline and deeper than its plane is found exactly, by intervals of the edge's
//! parameter; what no interval covers is seen. A face's rim counts as the face, so that an edge exactly behind a
//! silhouette is hidden, where the silhouette itself is drawn anyway.

use nalgebra::Vector3;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::Piece;
use crate::scene::At;

/// Faces turned away from the eye, or seen so nearly edge-on, hide nothing and show nothing.
pub(super) const EDGE_ON: f64 = 1e-4;
/// A face must be nearer by this to hide an edge, mm: less than any clearance, more than rounding.
const NEARER: f64 = 1e-3;
/// Rims are this wide, mm.
const RIM: f64 = 1e-5;

/// Edges and faces gathered for one picture.
#[derive(Default)]
pub(super) struct Stage {
    edges: Vec<Edge>,
    faces: Vec<Face>,
    /// The faces' points, ring after ring.
    points: Vec<At>,
}

struct Edge {
    body: usize,
    ends: [Vector3<f64>; 2],
    circle: Option<usize>,
}

struct Face {
    /// The ends of its rings in the stage's points; the first starts where the previous face ended.
    start: usize,
    ring_ends: Vec<usize>,
    convex: bool,
    /// +1 if its outer ring runs counter-clockwise, else -1.
    winding: f64,
    /// Its depth is `plane[0] * x + plane[1] * y + plane[2]`.
    plane: [f64; 3],
    low: [f64; 3],
    high: [f64; 3],
}

impl Stage {
    pub(super) fn edge(&mut self, body: usize, a: Vector3<f64>, b: Vector3<f64>, circle: Option<usize>) {
        if (a - b).xy().norm_squared() > RIM * RIM {
            self.edges.push(Edge { body, ends: [a, b], circle });
        }
    }

    pub(super) fn face(&mut self, rings: &[Vec<Vector3<f64>>], normal: Vector3<f64>, convex: bool) {
        let Some(outer) = rings.first().filter(|r| r.len() > 2) else { return };
        let start = self.points.len();
        let mut ring_ends = Vec::with_capacity(rings.len());
        for ring in rings {
            self.points.extend(ring.iter().map(|p| [p.x, p.y]));
            ring_ends.push(self.points.len());
        }
        let n = outer.len();
        let area: f64 = (0..n).map(|i| (outer[i], outer[(i + 1) % n])).map(|(a, b)| a.x * b.y - b.x * a.y).sum();
        let d = normal.dot(&outer[0]);
        let mut low = outer[0];
        let mut high = outer[0];
        for p in outer {
            low = low.inf(p);
            high = high.sup(p);
        }
        self.faces.push(Face {
            start,
            ring_ends,
            convex,
            winding: area.signum(),
            plane: [-normal.x / normal.z, -normal.y / normal.z, d / normal.z],
            low: low.into(),
            high: high.into(),
        });
    }

    /// Cuts every edge into what is seen and what is hidden; hidden pieces only of the bodies that are `dashed`.
    pub(super) fn resolve(&self, dashed: impl Fn(usize) -> bool) -> Vec<Piece> {
        let boxes = self.faces.iter().enumerate();
        let tree = RTree::bulk_load(
            boxes.map(|(i, f)| GeomWithData::new(Rectangle::from_corners(f.low, f.high), i)).collect(),
        );
        let mut out = Vec::with_capacity(self.edges.len());
        let mut covered: Vec<[f64; 2]> = Vec::new();
        for edge in &self.edges {
            let [a, b] = edge.ends;
            covered.clear();
            let (low, high) = (a.inf(&b), a.sup(&b));
            let query =
                AABB::from_corners([low.x - RIM, low.y - RIM, low.z + NEARER], [high.x + RIM, high.y + RIM, f64::MAX]);
            for candidate in tree.locate_in_envelope_intersecting(&query) {
                self.cover(&self.faces[candidate.data], &edge.ends, &mut covered);
                if covered.last().is_some_and(|c| c[0] <= 0.0 && c[1] >= 1.0) {
                    break;
                }
            }
            cut(edge, &mut covered, dashed(edge.body), &mut out);
        }
        out
    }

    /// Adds the stretches of an edge that a face hides.
    fn cover(&self, face: &Face, [a, b]: &[Vector3<f64>; 2], covered: &mut Vec<[f64; 2]>) {
        let depth = |p: &Vector3<f64>| face.plane[0] * p.x + face.plane[1] * p.y + face.plane[2] - p.z - NEARER;
        // The stretch on which the face's plane is nearer.
        let (da, db) = (depth(a), depth(b));
        let mut range = [0.0, 1.0];
        match (da > 0.0, db > 0.0) {
            (false, false) => return,
            (true, true) => {}
            (true, false) => range[1] = da / (da - db),
            (false, true) => range[0] = da / (da - db),
        }
        if face.convex {
            let ring = &self.points[face.start..face.ring_ends[0]];
            if let Some(span) = within_convex(ring, face.winding, [a.x, a.y], [b.x, b.y], range) {
                covered.push(span);
            }
        } else {
            self.within_any(face, [a.x, a.y], [b.x, b.y], range, covered);
        }
    }

    /// The stretches of a line within a face of any shape: cut at every crossing, and each piece told by its middle.
    fn within_any(&self, face: &Face, a: At, b: At, range: [f64; 2], covered: &mut Vec<[f64; 2]>) {
        let d = [b[0] - a[0], b[1] - a[1]];
        let mut cuts = vec![range[0], range[1]];
        for [p, q] in self.sides(face) {
            let side = |s: At| d[0] * (s[1] - a[1]) - d[1] * (s[0] - a[0]);
            let (sp, sq) = (side(p), side(q));
            if (sp < 0.0) != (sq < 0.0) {
                let k = sp / (sp - sq);
                let hit = [p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1])];
                let t = ((hit[0] - a[0]) * d[0] + (hit[1] - a[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1]);
                if range[0] < t && t < range[1] {
                    cuts.push(t);
                }
            } else if sp == 0.0 && sq == 0.0 {
                // Along the line: the piece beside it may start or end at either point.
                for s in [p, q] {
                    let t = ((s[0] - a[0]) * d[0] + (s[1] - a[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1]);
                    if range[0] < t && t < range[1] {
                        cuts.push(t);
                    }
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let t = (pair[0] + pair[1]) / 2.0;
            if pair[0] < pair[1] && self.holds(face, [a[0] + t * d[0], a[1] + t * d[1]]) {
                covered.push([pair[0], pair[1]]);
            }
        }
    }

    fn sides<'a>(&'a self, face: &'a Face) -> impl Iterator<Item = [At; 2]> + 'a {
        let starts = std::iter::once(face.start).chain(face.ring_ends.iter().copied());
        starts.zip(&face.ring_ends).flat_map(|(start, end)| {
            let ring = &self.points[start..*end];
            (0..ring.len()).map(move |i| [ring[i], ring[(i + 1) % ring.len()]])
        })
    }

    /// The face holds the point, its rim included.
    fn holds(&self, face: &Face, p: At) -> bool {
        let mut inside = false;
        for [a, b] in self.sides(face) {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let t = (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            let (ex, ey) = (a[0] + t * dx - p[0], a[1] + t * dy - p[1]);
            if ex * ex + ey * ey < RIM * RIM {
                return true;
            }
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / dy * dx {
                inside = !inside;
            }
        }
        inside
    }
}

/// The stretch of a line within a convex ring.
fn within_convex(ring: &[At], winding: f64, a: At, b: At, range: [f64; 2]) -> Option<[f64; 2]> {
    let [mut t0, mut t1] = range;
    for i in 0..ring.len() {
        let (p, q) = (ring[i], ring[if i + 1 == ring.len() { 0 } else { i + 1 }]);
        let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
        // Positive inside, times the side's length.
        let inside = |s: At| winding * (dx * (s[1] - p[1]) - dy * (s[0] - p[0]));
        let rim = RIM * (dx.abs() + dy.abs());
        let (sa, sb) = (inside(a) + rim, inside(b) + rim);
        match (sa >= 0.0, sb >= 0.0) {
            (false, false) => return None,
            (true, true) => {}
            (true, false) => t1 = t1.min(sa / (sa - sb)),
            (false, true) => t0 = t0.max(sa / (sa - sb)),
        }
        if t0 >= t1 {
            return None;
        }
    }
    Some([t0, t1])
}

/// Cuts an edge at the stretches that cover it.
fn cut(edge: &Edge, covered: &mut [[f64; 2]], dashed: bool, out: &mut Vec<Piece>) {
    let [a, b] = edge.ends;
    let at = |t: f64| [a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)];
    let length = (b - a).xy().norm();
    let mut piece = |from: f64, to: f64, hidden: bool| {
        if (to - from) * length > RIM && (!hidden || dashed) {
            out.push(Piece { body: edge.body, ends: [at(from), at(to)], hidden, circle: edge.circle });
        }
    };
    covered.sort_by(|x, y| x[0].total_cmp(&y[0]));
    let mut done = 0.0;
    let mut hidden_from = 0.0;
    for span in covered.iter() {
        // Gaps of less than a hair are the seams between faces.
        if (span[0] - done) * length > 4.0 * RIM {
            piece(hidden_from, done, true);
            piece(done, span[0], false);
            hidden_from = span[0];
        }
        done = f64::max(done, span[1]);
    }
    piece(hidden_from, done, true);
    if (1.0 - done) * length > 4.0 * RIM {
        piece(done, 1.0, false);
    }
}
