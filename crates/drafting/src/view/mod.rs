//! Views of solids: one hidden-line engine for elevations, plans, sections and any oblique direction.
//!
//! A [`Camera`] looks at bodies in the case frame. [`look`] projects them without perspective, finds which parts of
//! which edges are seen, and returns strokes on the picture plane, in millimetres of the piece: x to the camera's
//! right, y up, the case's origin at the origin. Sections are views of solids that were cut before.

mod grid;
mod hidden;
mod region;
mod tidy;

use case::{Dir, Placement};
use nalgebra::{Matrix3, Vector3};

pub(crate) use hidden::Front;

use crate::solid::Solid;
use paper::scene::{At, Path, Rect};

/// From where one looks: three unit vectors in the case frame, right-handed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Camera {
    right: Vector3<f64>,
    up: Vector3<f64>,
    /// From the piece to the eye.
    toward: Vector3<f64>,
}

impl Camera {
    /// From the front.
    pub(crate) fn front() -> Self {
        Self::new(Vector3::x(), Vector3::z())
    }

    /// At the right end.
    pub(crate) fn right_end() -> Self {
        Self::new(Vector3::y(), Vector3::z())
    }

    /// From above, the front at the bottom of the picture.
    pub(crate) fn plan() -> Self {
        Self::new(Vector3::x(), Vector3::y())
    }

    /// With two directions to the right and up the picture.
    pub(crate) fn at(right: Dir, up: Dir) -> Self {
        let unit = |d: Dir| {
            let mut v = Vector3::zeros();
            v[d.axis.index()] = if d.positive { 1.0 } else { -1.0 };
            v
        };
        Self::new(unit(right), unit(up))
    }

    fn new(right: Vector3<f64>, up: Vector3<f64>) -> Self {
        Self { right, up, toward: right.cross(&up) }
    }

    /// From in front, turned `azimuth` degrees to the right of the piece and `elevation` degrees up; the isometric view
    /// is at 45° and 35.264°.
    pub(crate) fn oblique(azimuth: f64, elevation: f64) -> Self {
        let (sa, ca) = libm::sincos(azimuth.to_radians());
        let (se, ce) = libm::sincos(elevation.to_radians());
        Self::new(Vector3::new(ca, sa, 0.0), Vector3::new(-sa * se, ca * se, ce))
    }

    /// A point of the case on the picture plane, both in mm.
    pub(crate) fn see(&self, p: [f64; 3]) -> At {
        let p = Vector3::from(p);
        [self.right.dot(&p), self.up.dot(&p)]
    }

    /// The picture plane's coordinates of a point of the case, and its distance towards the eye.
    fn matrix(&self) -> Matrix3<f64> {
        Matrix3::from_rows(&[self.right.transpose(), self.up.transpose(), self.toward.transpose()])
    }
}

/// A solid in its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Body<'a> {
    /// Its solid, in the part's frame.
    pub(crate) solid: &'a Solid,
    /// The directions of the part's axes in the case, as columns.
    axes: Matrix3<f64>,
    origin: Vector3<f64>,
}

impl<'a> Body<'a> {
    /// A solid that stands as its part does.
    pub(crate) fn new(solid: &'a Solid, placement: &Placement) -> Self {
        let mut axes = Matrix3::zeros();
        for (column, dir) in placement.axes.iter().enumerate() {
            axes[(dir.axis.index(), column)] = if dir.positive { 1.0 } else { -1.0 };
        }
        Self { solid, axes, origin: Vector3::from(placement.origin.map(measure::Length::mm)) }
    }

    /// The same, moved by so many millimetres in the case frame.
    pub(crate) fn moved(mut self, by: [f64; 3]) -> Self {
        self.origin += Vector3::from(by);
        self
    }

    /// A solid by itself, in its part's own frame.
    pub(crate) fn in_its_own_frame(solid: &'a Solid) -> Self {
        Self { solid, axes: Matrix3::identity(), origin: Vector3::zeros() }
    }
}

/// A piece of an edge as it is seen, or as it would be seen through what hides it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stroke {
    /// Which body, by its place in the list given to [`look`].
    pub(crate) body: usize,
    /// A line, or an arc where the view is along its axis.
    pub(crate) path: Path,
    /// Something nearer hides it.
    pub(crate) hidden: bool,
    /// The drawing breaks the body off here.
    pub(crate) broken: bool,
}

/// A face that a section plane has cut.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CutFace {
    /// Which body.
    pub(crate) body: usize,
    /// Its outer ring and its holes.
    pub(crate) rings: Vec<Vec<At>>,
}

/// What is seen.
#[derive(Debug)]
pub(crate) struct Picture {
    /// Edges, each place drawn once: visible before hidden, earlier bodies before later ones.
    pub(crate) strokes: Vec<Stroke>,
    /// Cut faces.
    pub(crate) cuts: Vec<CutFace>,
    /// What is seen where.
    pub(crate) front: Front,
}

impl Picture {
    /// The least rectangle round all strokes; arcs by their chords' points.
    pub(crate) fn bounds(&self) -> Option<Rect> {
        let points = self.strokes.iter().flat_map(|s| s.path.flattened(1.0));
        points.map(|p| Rect { min: p, max: p }).reduce(|a, b| a.union(&b))
    }
}

/// A piece of a projected edge before it is tidied.
#[derive(Clone, Copy, Debug)]
struct Piece {
    body: usize,
    ends: [At; 2],
    hidden: bool,
    broken: bool,
    /// Number of a circle in the picture that it follows.
    circle: Option<usize>,
}

/// A circle seen face on.
#[derive(Clone, Copy, Debug)]
struct Disc {
    centre: At,
    radius: f64,
}

/// Looks at bodies. `dashed` says of which bodies the hidden edges are wanted: those of faces that are turned away too.
pub(crate) fn look(camera: &Camera, bodies: &[Body<'_>], dashed: impl Fn(usize) -> bool) -> Picture {
    let mut stage = hidden::Stage::default();
    let mut discs = Vec::new();
    let mut cuts = Vec::new();
    for (index, body) in bodies.iter().enumerate() {
        let turn = camera.matrix() * body.axes;
        let shift = camera.matrix() * body.origin;
        let see = |p: [f64; 3]| turn * Vector3::from(p) + shift;
        let first_disc = discs.len();
        for circle in &body.solid.circles {
            let (u, v) = circle.axis.others();
            let mut centre = [0.0; 3];
            centre[u.index()] = circle.centre[0];
            centre[v.index()] = circle.centre[1];
            let centre = see(centre);
            discs.push(Disc { centre: [centre.x, centre.y], radius: circle.radius });
        }
        for face in &body.solid.faces {
            let normal = turn * Vector3::from(face.normal);
            let seen = normal.z > hidden::EDGE_ON;
            // What is looked at along itself has no edges but those of its neighbours.
            if !seen && (normal.z > -hidden::EDGE_ON || !dashed(index)) {
                continue;
            }
            let face_on = normal.z.abs() > 1.0 - 1e-9;
            let rings: Vec<Vec<Vector3<f64>>> =
                face.rings.iter().map(|r| r.iter().map(|b| see(b.at)).collect()).collect();
            if seen {
                stage.face(index, &rings, normal, face.convex);
            }
            if seen && face.cut {
                let rings = rings.iter().map(|r| r.iter().map(|p| [p.x, p.y]).collect()).collect();
                cuts.push(CutFace { body: index, rings });
            }
            for (ring, bounds) in rings.iter().zip(&face.rings) {
                for (i, bound) in bounds.iter().enumerate() {
                    let ends = [ring[i], ring[(i + 1) % ring.len()]];
                    let circle = bound.circle.filter(|_| face_on).map(|c| first_disc + c);
                    // A curved surface has an edge where it turns away, and it is the seen side's.
                    let turns = |n: [f64; 3]| seen && (turn * Vector3::from(n)).z <= hidden::EDGE_ON;
                    match (bound.smooth.is_none_or(turns), seen) {
                        (true, true) => stage.edge(ends, circle, bound.broken),
                        (true, false) => stage.far_edge(index, ends, circle, bound.broken),
                        (false, _) => {}
                    }
                }
            }
        }
    }
    let (pieces, front) = stage.resolve(dashed);
    Picture { strokes: tidy::tidy(pieces, &discs), cuts, front }
}

#[cfg(test)]
mod referee;
#[cfg(test)]
mod tests;
