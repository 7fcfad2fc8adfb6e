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
use super::grid::Grid;
use super::region::{RIM, Region};
use paper::scene::{At, Rect};

/// Faces turned away from the eye, or seen so nearly edge-on, hide nothing and show nothing.
pub(super) const EDGE_ON: f64 = 1e-4;
/// A face must be nearer by this to hide an edge, mm: less than any clearance, more than rounding.
const NEARER: f64 = 1e-3;

/// Edges and faces gathered for one picture.
#[derive(Default)]
pub(super) struct Stage {
    edges: Vec<Edge>,
    faces: Vec<Face>,
}

/// The faces of a picture, to be asked what is seen at a place.
#[derive(Debug)]
pub(crate) struct Front {
    faces: Vec<Face>,
    grid: Grid,
}

/// The box of a face in the camera's coordinates, and its number.
type Boxed = GeomWithData<Rectangle<[f64; 3]>, usize>;

struct Edge {
    body: usize,
    /// The number of its face; none if that is turned away, so that its own body hides it.
    face: Option<usize>,
    ends: [Vector3<f64>; 2],
    circle: Option<usize>,
    broken: bool,
}

/// So many of the largest faces are asked first whether one of them hides a whole face.
const SCREENS: usize = 48;

#[derive(Debug)]
struct Face {
    body: usize,
    region: Region,
    /// Its depth is `plane[0] * x + plane[1] * y + plane[2]`.
    plane: [f64; 3],
    low: [f64; 3],
    high: [f64; 3],
}

impl Face {
    /// How near its plane is at a place.
    fn depth(&self, p: At) -> f64 {
        self.plane[0] * p[0] + self.plane[1] * p[1] + self.plane[2]
    }

    /// Adds the stretches of an edge that the face hides.
    fn cover(&self, [a, b]: &[Vector3<f64>; 2], covered: &mut Vec<[f64; 2]>) {
        let depth = |p: &Vector3<f64>| self.depth([p.x, p.y]) - p.z - NEARER;
        // The stretch on which the face's plane is nearer.
        let (da, db) = (depth(a), depth(b));
        let range = match (da > 0.0, db > 0.0) {
            (false, false) => return,
            (true, true) => [0.0, 1.0],
            (true, false) => [0.0, da / (da - db)],
            (false, true) => [da / (da - db), 1.0],
        };
        self.region.spans([a.x, a.y], [b.x, b.y], range, covered);
    }
}

impl Stage {
    /// Adds an edge of the face that was added last.
    pub(super) fn edge(&mut self, ends: [Vector3<f64>; 2], circle: Option<usize>, broken: bool) {
        if let Some(face) = self.faces.len().checked_sub(1) {
            self.push(Edge { body: self.faces[face].body, face: Some(face), ends, circle, broken });
        }
    }

    /// Adds an edge of a face that is turned away. Where it is one of a face that is seen, that one says so too.
    pub(super) fn far_edge(&mut self, body: usize, ends: [Vector3<f64>; 2], circle: Option<usize>, broken: bool) {
        self.push(Edge { body, face: None, ends, circle, broken });
    }

    /// An edge that is seen end on is a point, and not drawn.
    fn push(&mut self, edge: Edge) {
        let [a, b] = edge.ends;
        if (a - b).xy().norm_squared() > RIM * RIM {
            self.edges.push(edge);
        }
    }

    /// Adds a face that is turned to the eye; `rings` are its corners as the camera sees them.
    pub(super) fn face(&mut self, body: usize, rings: &[Vec<Vector3<f64>>], normal: Vector3<f64>, convex: bool) {
        let Some(outer) = rings.first().filter(|r| r.len() > 2) else { return };
        let d = normal.dot(&outer[0]);
        let mut low = outer[0];
        let mut high = outer[0];
        for p in outer {
            low = low.inf(p);
            high = high.sup(p);
        }
        let flat = rings.iter().map(|r| r.iter().map(|p| [p.x, p.y]).collect()).collect();
        self.faces.push(Face {
            body,
            region: Region::new(flat, convex),
            plane: [-normal.x / normal.z, -normal.y / normal.z, d / normal.z],
            low: low.into(),
            high: high.into(),
        });
    }

    /// Cuts every edge into what is seen and what is hidden; hidden pieces only of the bodies that are `dashed`.
    pub(super) fn resolve(self, dashed: impl Fn(usize) -> bool) -> (Vec<Piece>, Front) {
        let boxes = self.faces.iter().enumerate();
        let boxes = boxes.map(|(i, f)| Boxed::new(Rectangle::from_corners(f.low, f.high), i));
        let tree: RTree<Boxed> = RTree::bulk_load(boxes.collect());
        let screened = screened(&self.faces);
        let mut out = Vec::with_capacity(self.edges.len());
        let mut covered: Vec<[f64; 2]> = Vec::new();
        for edge in &self.edges {
            let [a, b] = edge.ends;
            covered.clear();
            let dashed = dashed(edge.body);
            if edge.face.is_none_or(|face| screened[face]) {
                covered.push([0.0, 1.0]);
                cut(edge, &mut covered, dashed, &mut out);
                continue;
            }
            let (low, high) = (a.inf(&b), a.sup(&b));
            let query =
                AABB::from_corners([low.x - RIM, low.y - RIM, low.z + NEARER], [high.x + RIM, high.y + RIM, f64::MAX]);
            for candidate in tree.locate_in_envelope_intersecting(&query) {
                self.faces[candidate.data].cover(&edge.ends, &mut covered);
                if covered.last().is_some_and(|c| c[0] <= 0.0 && c[1] >= 1.0) {
                    break;
                }
            }
            cut(edge, &mut covered, dashed, &mut out);
        }
        (out, Front::new(self.faces))
    }
}

impl Front {
    fn new(faces: Vec<Face>) -> Self {
        let outline = |f: &Face| Rect { min: [f.low[0], f.low[1]], max: [f.high[0], f.high[1]] };
        let outlines: Vec<Rect> = faces.iter().map(outline).collect();
        let grid = Grid::new(&outlines, |a, b| faces[*b].high[2].total_cmp(&faces[*a].high[2]));
        Self { faces, grid }
    }

    /// The body that is seen at a place, and how near its face is there; nothing where one looks past everything.
    pub(crate) fn at(&self, p: At) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for &i in self.grid.over(p) {
            let face = &self.faces[i];
            if best.is_some_and(|(_, nearest)| nearest >= face.high[2]) {
                break;
            }
            let outside = (0..2).any(|k| p[k] < face.low[k] || p[k] > face.high[k]);
            let depth = face.depth(p);
            if !outside && best.is_none_or(|(_, nearest)| depth > nearest) && face.region.holds(p) {
                best = Some((face.body, depth));
            }
        }
        best
    }
}

/// Which faces lie wholly behind one of the largest.
fn screened(faces: &[Face]) -> Vec<bool> {
    let area = |f: &Face| (f.high[0] - f.low[0]) * (f.high[1] - f.low[1]);
    let mut screens: Vec<&Face> = faces.iter().filter(|f| matches!(f.region, Region::Convex { .. })).collect();
    screens.sort_by(|a, b| area(b).total_cmp(&area(a)));
    screens.truncate(SCREENS);
    let behind = |f: &Face| {
        let corners = [f.low, [f.high[0], f.low[1], 0.0], f.high, [f.low[0], f.high[1], 0.0]];
        screens.iter().any(|s| {
            s.high[2] > f.high[2]
                && corners.iter().all(|c| {
                    let p = [c[0], c[1]];
                    s.depth(p) > f.high[2] + NEARER && s.region.holds(p)
                })
        })
    };
    faces.iter().map(behind).collect()
}

/// Cuts an edge at the stretches that cover it.
fn cut(edge: &Edge, covered: &mut [[f64; 2]], dashed: bool, out: &mut Vec<Piece>) {
    let [a, b] = edge.ends;
    let at = |t: f64| [a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)];
    let length = (b - a).xy().norm();
    let mut piece = |from: f64, to: f64, hidden: bool| {
        if (to - from) * length > RIM && (!hidden || dashed) {
            let ends = [at(from), at(to)];
            out.push(Piece { body: edge.body, ends, hidden, broken: edge.broken, circle: edge.circle });
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
