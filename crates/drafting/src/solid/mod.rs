//! The solid of a part: a box less prisms, as planar faces with their edges.
//!
//! A cut is a prism along one axis of its part, and so is a worked edge, along its arris. Each boundary face of what
//! is left lies on the box, on the end of a prism or on its wall, and is that patch less the sections of all prisms
//! just beneath it. Arcs are flattened into facets; the circles they lie on are kept, so that a view along their axis
//! can draw them true. Frame: the part's, mm.

mod face;
mod prism;

use case::{Axis, Cut, Edge, Part};

pub(crate) use face::Face;
pub(crate) use prism::Prism;

/// The circle of a flattened arc: its axis, and its centre in the two other coordinates, in the order x, y, z.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Circle {
    pub(crate) axis: Axis,
    pub(crate) centre: [f64; 2],
    pub(crate) radius: f64,
    /// Its facets lie no farther off it than this.
    pub(crate) chord: f64,
}

/// A box from `min` to `max`, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bounds {
    pub(crate) min: [f64; 3],
    pub(crate) max: [f64; 3],
}

impl Bounds {
    pub(crate) fn overlaps(&self, o: &Self) -> bool {
        (0..3).all(|i| self.min[i] < o.max[i] && o.min[i] < self.max[i])
    }
}

/// A side of a box: an axis, and whether it is the side of growing coordinates.
pub(crate) type Side = case::Dir;

/// A part, or what a section leaves of it.
#[derive(Clone, Debug)]
pub(crate) struct Solid {
    pub(crate) faces: Vec<Face>,
    pub(crate) circles: Vec<Circle>,
}

/// What a part is made of before its faces are worked out: cheap, and all that a section needs.
#[derive(Clone, Debug)]
pub(crate) struct Blank {
    pub(crate) bounds: Bounds,
    pub(crate) prisms: Vec<Prism>,
    /// The side that a section plane has cut, if any.
    pub(crate) cut: Option<Side>,
    /// The sides where the drawing breaks it off.
    pub(crate) broken: Vec<Side>,
}

impl Blank {
    /// The blank of a part with those of its cuts that `keep` picks, its arcs flattened to within `chord` mm.
    pub(crate) fn of(part: &Part, chord: f64, keep: impl Fn(&Cut) -> bool) -> Self {
        Self::picked(part, chord, keep, |_| true)
    }

    /// The same, with those worked edges that `work` picks.
    pub(crate) fn picked(part: &Part, chord: f64, keep: impl Fn(&Cut) -> bool, work: impl Fn(&Edge) -> bool) -> Self {
        let bounds = Bounds { min: [0.0; 3], max: part.size.map(measure::Length::mm) };
        let cuts = part.cuts.iter().filter(|c| keep(c)).map(|c| Prism::of_cut(part, c, chord));
        let edges = part.edges.iter().filter(|e| work(e)).filter_map(|e| Prism::of_edge(part, e, chord));
        let prisms = cuts.chain(edges).filter(|p| p.bounds.overlaps(&bounds)).collect();
        Self { bounds, prisms, cut: None, broken: Vec::new() }
    }

    /// There is wood at the point.
    fn holds(&self, p: [f64; 3]) -> bool {
        (0..3).all(|i| self.bounds.min[i] < p[i] && p[i] < self.bounds.max[i])
            && !self.prisms.iter().any(|prism| prism.holds(p))
    }

    /// What lies on the far side of a plane: `toward` names the side that is taken away, `at` the plane's place on its
    /// axis. Nothing if all is taken away; the whole, uncut, if the plane misses it.
    pub(crate) fn beyond(&self, toward: Side, at: f64) -> Option<Self> {
        let axis = toward.axis.index();
        let mut left = self.clone();
        if toward.positive {
            if at <= self.bounds.min[axis] {
                return None;
            }
            if at < self.bounds.max[axis] {
                left.bounds.max[axis] = at;
                left.cut = Some(toward);
            }
        } else {
            if at >= self.bounds.max[axis] {
                return None;
            }
            if at > self.bounds.min[axis] {
                left.bounds.min[axis] = at;
                left.cut = Some(toward);
            }
        }
        left.prisms.retain(|p| p.bounds.overlaps(&left.bounds));
        Some(left)
    }

    /// What lies within a window, broken off where it goes on beyond; nothing if nothing does.
    pub(crate) fn within(mut self, window: &Bounds) -> Option<Self> {
        for side in case::Dir::ALL {
            let k = side.axis.index();
            let (own, limit) = if side.positive {
                (&mut self.bounds.max[k], window.max[k])
            } else {
                (&mut self.bounds.min[k], window.min[k])
            };
            if if side.positive { *own > limit } else { *own < limit } {
                *own = limit;
                self.broken.push(side);
            }
        }
        let left = (0..3).all(|k| self.bounds.min[k] < self.bounds.max[k]);
        self.prisms.retain(|p| p.bounds.overlaps(&self.bounds));
        left.then_some(self)
    }

    /// Works out the face that a section plane has cut, and no other.
    pub(crate) fn section(&self) -> Solid {
        Solid { faces: face::cut_faces(self), circles: self.prisms.iter().flat_map(|p| p.circles.clone()).collect() }
    }

    /// Works out the faces.
    pub(crate) fn solid(&self) -> Solid {
        Solid { faces: face::faces(self), circles: self.prisms.iter().flat_map(|p| p.circles.clone()).collect() }
    }
}

#[cfg(test)]
mod tests;
