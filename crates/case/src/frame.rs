//! Axes, directions, boxes and the 24 axis-aligned placements.
//!
//! Case frame: X to the right and Y away from one who stands in front of the piece, Z up, origin at the front left
//! foot. Part frame: x along the grain, y across it, z the thickness; the blank fills `0..size`. Everything that is
//! square to the case is placed by a [`Placement`]; nothing here rounds.

use measure::Length;

use crate::outline::Outline;

/// A point or a size, by axis (x, y, z).
pub type Point = [Length; 3];

/// One of three axes; of the part or of the case, as the context says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Along the grain in a part; to the right in the case.
    X,
    /// Across the grain in a part; away from the viewer in the case.
    Y,
    /// The thickness in a part; up in the case.
    Z,
}

impl Axis {
    /// All three, in order.
    pub const ALL: [Self; 3] = [Self::X, Self::Y, Self::Z];

    /// 0, 1 or 2.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The two other axes in the order x, y, z: the (u, v) of a face square to this axis.
    pub const fn others(self) -> (Self, Self) {
        match self {
            Self::X => (Self::Y, Self::Z),
            Self::Y => (Self::X, Self::Z),
            Self::Z => (Self::X, Self::Y),
        }
    }
}

/// A direction along an axis; as a face, the face that looks that way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dir {
    /// The axis.
    pub axis: Axis,
    /// Towards growing coordinates.
    pub positive: bool,
}

impl Dir {
    /// `+x`.
    pub const PX: Self = Self { axis: Axis::X, positive: true };
    /// `-x`.
    pub const NX: Self = Self { axis: Axis::X, positive: false };
    /// `+y`.
    pub const PY: Self = Self { axis: Axis::Y, positive: true };
    /// `-y`.
    pub const NY: Self = Self { axis: Axis::Y, positive: false };
    /// `+z`.
    pub const PZ: Self = Self { axis: Axis::Z, positive: true };
    /// `-z`.
    pub const NZ: Self = Self { axis: Axis::Z, positive: false };
    /// All six.
    pub const ALL: [Self; 6] = [Self::PX, Self::NX, Self::PY, Self::NY, Self::PZ, Self::NZ];

    /// The opposite direction.
    pub const fn opposite(self) -> Self {
        Self { axis: self.axis, positive: !self.positive }
    }

    /// `+1` or `-1`.
    pub const fn sign(self) -> i64 {
        if self.positive { 1 } else { -1 }
    }

    /// `+x`, `-z`, …
    pub const fn name(self) -> &'static str {
        match (self.axis, self.positive) {
            (Axis::X, true) => "+x",
            (Axis::X, false) => "-x",
            (Axis::Y, true) => "+y",
            (Axis::Y, false) => "-y",
            (Axis::Z, true) => "+z",
            (Axis::Z, false) => "-z",
        }
    }
}

/// An axis-aligned box from `min` to `max`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Box3 {
    /// The corner with the least coordinates.
    pub min: Point,
    /// The corner with the greatest.
    pub max: Point,
}

impl Box3 {
    /// From three intervals.
    pub const fn new(x: [Length; 2], y: [Length; 2], z: [Length; 2]) -> Self {
        Self { min: [x[0], y[0], z[0]], max: [x[1], y[1], z[1]] }
    }

    /// The sizes by axis.
    pub fn size(&self) -> Point {
        std::array::from_fn(|i| self.max[i] - self.min[i])
    }

    /// The interval along an axis.
    pub const fn along(&self, axis: Axis) -> [Length; 2] {
        [self.min[axis.index()], self.max[axis.index()]]
    }

    /// The same box with another interval along an axis.
    #[must_use]
    pub const fn with(mut self, axis: Axis, range: [Length; 2]) -> Self {
        self.min[axis.index()] = range[0];
        self.max[axis.index()] = range[1];
        self
    }

    /// What both have in common, if that has volume.
    pub fn intersection(&self, o: &Self) -> Option<Self> {
        let b = Self {
            min: std::array::from_fn(|i| self.min[i].max(o.min[i])),
            max: std::array::from_fn(|i| self.max[i].min(o.max[i])),
        };
        (0..3).all(|i| b.min[i] < b.max[i]).then_some(b)
    }

    /// The least box that holds both.
    #[must_use]
    pub fn union(&self, o: &Self) -> Self {
        Self {
            min: std::array::from_fn(|i| self.min[i].min(o.min[i])),
            max: std::array::from_fn(|i| self.max[i].max(o.max[i])),
        }
    }
}

/// How a part stands in the case: one of the 24 turns, and an exact offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placement {
    /// Where the part's origin stands in the case frame.
    pub origin: Point,
    /// The case-frame directions of the part's x, y and z; right-handed.
    pub axes: [Dir; 3],
}

impl Placement {
    /// Lays a blank of the case-frame box `at` so that its grain runs along `x` and its thickness along `z`.
    ///
    /// # Panics
    /// If both name the same axis.
    pub fn filling(at: &Box3, x: Dir, z: Dir) -> Self {
        let y = cross(z, x);
        let axes = [x, y, z];
        let mut origin = at.min;
        for d in axes {
            if !d.positive {
                origin[d.axis.index()] = at.max[d.axis.index()];
            }
        }
        Self { origin, axes }
    }

    /// A part-frame point in the case frame.
    pub fn to_case(&self, p: Point) -> Point {
        let mut out = self.origin;
        for (d, value) in self.axes.iter().zip(p) {
            out[d.axis.index()] += value * d.sign();
        }
        out
    }

    /// A case-frame point in the part frame.
    pub fn to_part(&self, p: Point) -> Point {
        self.axes.map(|d| (p[d.axis.index()] - self.origin[d.axis.index()]) * d.sign())
    }

    /// A part-frame direction in the case frame.
    pub const fn dir_to_case(&self, d: Dir) -> Dir {
        let a = self.axes[d.axis.index()];
        if d.positive { a } else { a.opposite() }
    }

    /// A case-frame direction in the part frame.
    pub fn dir_to_part(&self, d: Dir) -> Dir {
        let (axis, a) = Axis::ALL.into_iter().zip(self.axes).find(|(_, a)| a.axis == d.axis).unwrap_or((Axis::X, d));
        Dir { axis, positive: a.positive == d.positive }
    }

    /// A part-frame box in the case frame.
    pub fn box_to_case(&self, b: &Box3) -> Box3 {
        ordered(self.to_case(b.min), self.to_case(b.max))
    }

    /// A case-frame box in the part frame.
    pub fn box_to_part(&self, b: &Box3) -> Box3 {
        ordered(self.to_part(b.min), self.to_part(b.max))
    }
}

impl Placement {
    /// An outline in the case plane square to `axis`, told in its (u, v), in the (u, v) of the same plane in the part.
    pub fn outline_to_part(&self, axis: Axis, outline: &Outline) -> Outline {
        let (cu, cv) = axis.others();
        let (pu, pv) = self.dir_to_part(Dir { axis, positive: true }).axis.others();
        let map = |u: Length, v: Length| {
            let mut p = self.origin;
            p[cu.index()] = u;
            p[cv.index()] = v;
            let q = self.to_part(p);
            (q[pu.index()], q[pv.index()])
        };
        let du = self.dir_to_part(Dir { axis: cu, positive: true });
        let dv = self.dir_to_part(Dir { axis: cv, positive: true });
        let swapped = du.axis != pu;
        outline.mapped((du.sign() * dv.sign() < 0) != swapped, map)
    }

    /// An outline in the part's plane square to `axis`, told in its (u, v), in the (u, v) of the same plane in the case.
    pub fn outline_to_case(&self, axis: Axis, outline: &Outline) -> Outline {
        let (pu, pv) = axis.others();
        let (cu, cv) = self.dir_to_case(Dir { axis, positive: true }).axis.others();
        let map = |u: Length, v: Length| {
            let mut p = [Length::ZERO; 3];
            p[pu.index()] = u;
            p[pv.index()] = v;
            let q = self.to_case(p);
            (q[cu.index()], q[cv.index()])
        };
        let (du, dv) = (self.axes[pu.index()], self.axes[pv.index()]);
        let swapped = du.axis != cu;
        outline.mapped((du.sign() * dv.sign() < 0) != swapped, map)
    }
}

fn ordered(a: Point, b: Point) -> Box3 {
    Box3 { min: std::array::from_fn(|i| a[i].min(b[i])), max: std::array::from_fn(|i| a[i].max(b[i])) }
}

/// The cross product of two directions on different axes.
///
/// # Panics
/// If both lie on one axis.
pub fn cross(a: Dir, b: Dir) -> Dir {
    assert!(a.axis != b.axis, "a cross product of parallel directions has no direction");
    let axis = Axis::ALL[3 - a.axis.index() - b.axis.index()];
    let cyclic = (a.axis.index() + 1) % 3 == b.axis.index();
    Dir { axis, positive: (a.positive == b.positive) == cyclic }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::mm;

    #[test]
    fn there_are_24_right_handed_placements_and_each_maps_back() {
        let at = Box3::new([mm(1), mm(11)], [mm(2), mm(22)], [mm(3), mm(33)]);
        let mut seen = Vec::new();
        for x in Dir::ALL {
            for z in Dir::ALL.into_iter().filter(|z| z.axis != x.axis) {
                let p = Placement::filling(&at, x, z);
                assert_eq!(cross(p.axes[0], p.axes[1]), p.axes[2]);
                let size = p.box_to_part(&at);
                assert_eq!(size.min, [Length::ZERO; 3]);
                assert_eq!(p.box_to_case(&size), at);
                for d in Dir::ALL {
                    assert_eq!(p.dir_to_case(p.dir_to_part(d)), d);
                }
                for axis in Axis::ALL {
                    let outline = Outline::rectangle([mm(4), mm(9)], [mm(5), mm(7)]);
                    let there = p.outline_to_part(axis, &outline);
                    let back = p.outline_to_case(p.dir_to_part(Dir { axis, positive: true }).axis, &there);
                    assert!(there.area() > 0.0 && back.area() > 0.0);
                    assert_eq!(back.bounds(), outline.bounds());
                }
                assert!(!seen.contains(&p.axes));
                seen.push(p.axes);
            }
        }
        assert_eq!(seen.len(), 24);
    }
}
