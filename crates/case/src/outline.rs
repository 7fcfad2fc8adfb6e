//! Closed outlines of lines and true arcs.
//!
//! An outline is counter-clockwise in its (u, v) plane, is closed (the first vertex is not repeated), and does not
//! cross itself. Vertices are exact; an arc is told by its bulge, tan(quarter of its angle), positive when it turns
//! counter-clockwise, on the vertex where it starts.

use measure::Length;

/// A corner of an outline, and the segment that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// First coordinate of the plane.
    pub u: Length,
    /// Second coordinate of the plane.
    pub v: Length,
    /// tan(angle/4) of the arc to the next vertex; 0 for a line.
    pub bulge: f64,
}

/// A closed outline, counter-clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline(pub Vec<Vertex>);

/// One side of an outline, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Start.
    pub from: [f64; 2],
    /// End.
    pub to: [f64; 2],
    /// tan(angle/4); 0 for a line.
    pub bulge: f64,
}

/// The circle that an arc lies on, in millimetres and radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Centre.
    pub centre: [f64; 2],
    /// Radius.
    pub radius: f64,
    /// Angle of the start point, from +u towards +v.
    pub start: f64,
    /// Signed sweep, counter-clockwise positive.
    pub sweep: f64,
}

impl Segment {
    /// The arc, or nothing for a line.
    pub fn arc(&self) -> Option<Arc> {
        if self.bulge == 0.0 {
            return None;
        }
        let b = self.bulge;
        let (dx, dy) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
        // The centre lies off the middle of the chord, to its left for a small counter-clockwise arc.
        let k = (1.0 - b * b) / (4.0 * b);
        let centre = [(self.from[0] + self.to[0]) / 2.0 - k * dy, (self.from[1] + self.to[1]) / 2.0 + k * dx];
        let (rx, ry) = (self.from[0] - centre[0], self.from[1] - centre[1]);
        Some(Arc { centre, radius: libm::hypot(rx, ry), start: libm::atan2(ry, rx), sweep: 4.0 * libm::atan(b) })
    }

    /// The point at `t` from 0 to 1 along it.
    pub fn at(&self, t: f64) -> [f64; 2] {
        self.arc().map_or_else(
            || [self.from[0] + t * (self.to[0] - self.from[0]), self.from[1] + t * (self.to[1] - self.from[1])],
            |a| {
                let angle = a.start + t * a.sweep;
                [a.centre[0] + a.radius * libm::cos(angle), a.centre[1] + a.radius * libm::sin(angle)]
            },
        )
    }

    /// The chain of points after the start that stays within `chord` mm of the segment, its end included.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count of facets, small and positive"
    )]
    pub fn flattened(&self, chord: f64) -> Vec<[f64; 2]> {
        let Some(a) = self.arc() else { return vec![self.to] };
        let step = 2.0 * libm::acos((1.0 - chord / a.radius).max(0.0));
        let n = ((a.sweep.abs() / step).ceil() as usize).max(1);
        let mut out: Vec<_> = (1..n).map(|i| self.at(i as f64 / n as f64)).collect();
        out.push(self.to);
        out
    }
}

impl Outline {
    /// A rectangle from `u[0]` to `u[1]` and `v[0]` to `v[1]`.
    pub fn rectangle(u: [Length; 2], v: [Length; 2]) -> Self {
        let at = |u, v| Vertex { u, v, bulge: 0.0 };
        Self(vec![at(u[0], v[0]), at(u[1], v[0]), at(u[1], v[1]), at(u[0], v[1])])
    }

    /// A full circle, as two half circles.
    pub fn circle(centre: [Length; 2], diameter: Length) -> Self {
        let r = diameter.half();
        let at = |u| Vertex { u, v: centre[1], bulge: 1.0 };
        Self(vec![at(centre[0] - r), at(centre[0] - r + diameter)])
    }

    /// Centre and diameter, if it is a full circle of two half circles.
    pub fn as_circle(&self) -> Option<([Length; 2], Length)> {
        match self.0.as_slice() {
            [a, b] if a.bulge == 1.0 && b.bulge == 1.0 && a.v == b.v => {
                let d = (b.u - a.u).abs();
                Some(([a.u.min(b.u) + d.half(), a.v], d))
            }
            _ => None,
        }
    }

    /// The bounds, if all four sides are square to the axes and it has four.
    pub fn as_rectangle(&self) -> Option<[[Length; 2]; 2]> {
        let v = &self.0;
        let straight = v.len() == 4
            && v.iter().all(|p| p.bulge == 0.0)
            && (0..4).all(|i| {
                let (a, b) = (&v[i], &v[(i + 1) % 4]);
                (a.u == b.u) != (a.v == b.v)
            });
        straight.then(|| self.bounds_of_vertices())
    }

    /// The sides, in millimetres.
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        let n = self.0.len();
        (0..n).map(move |i| {
            let (a, b) = (&self.0[i], &self.0[(i + 1) % n]);
            Segment { from: [a.u.mm(), a.v.mm()], to: [b.u.mm(), b.v.mm()], bulge: a.bulge }
        })
    }

    /// Signed area in mm², positive when counter-clockwise; arcs are exact.
    pub fn area(&self) -> f64 {
        self.segments()
            .map(|s| {
                let trapezoid = (s.from[0] * s.to[1] - s.to[0] * s.from[1]) / 2.0;
                trapezoid + s.arc().map_or(0.0, |a| a.radius * a.radius / 2.0 * (a.sweep - libm::sin(a.sweep)))
            })
            .sum()
    }

    /// `[[u min, u max], [v min, v max]]` of the vertices alone: exact, and right where there are no arcs.
    pub fn bounds_of_vertices(&self) -> [[Length; 2]; 2] {
        let range = |f: fn(&Vertex) -> Length| {
            let low = self.0.iter().map(f).min().unwrap_or_default();
            let high = self.0.iter().map(f).max().unwrap_or_default();
            [low, high]
        };
        [range(|p| p.u), range(|p| p.v)]
    }

    /// `[[u min, u max], [v min, v max]]` with the arcs' own extremes, to the nanometre.
    pub fn bounds(&self) -> [[Length; 2]; 2] {
        let mut b = self.bounds_of_vertices();
        for s in self.segments() {
            let Some(a) = s.arc() else { continue };
            for (k, (axis, sign)) in [(0, 1.0), (1, 1.0), (0, -1.0), (1, -1.0)].into_iter().enumerate() {
                if turns_through(&a, k as f64 * std::f64::consts::FRAC_PI_2) {
                    let reach = Length::from_mm(a.centre[axis] + sign * a.radius);
                    b[axis] = [b[axis][0].min(reach), b[axis][1].max(reach)];
                }
            }
        }
        b
    }

    /// The outline with both coordinates mapped; `mirrored` says that the map turns left into right, and the outline
    /// is then reversed so that it stays counter-clockwise.
    #[must_use]
    pub fn mapped(&self, mirrored: bool, map: impl Fn(Length, Length) -> (Length, Length)) -> Self {
        let at = |p: &Vertex, bulge| {
            let (u, v) = map(p.u, p.v);
            Vertex { u, v, bulge }
        };
        if let Some((centre, diameter)) = self.as_circle() {
            let (u, v) = map(centre[0], centre[1]);
            return Self::circle([u, v], diameter);
        }
        if !mirrored {
            return Self(self.0.iter().map(|p| at(p, p.bulge)).collect());
        }
        let n = self.0.len();
        // Walked backwards, the segment that leaves vertex i is the one that arrived at it. Mirroring turns each
        // arc the other way and walking it backwards turns it back, so the bulge keeps its sign.
        Self((0..n).rev().map(|i| at(&self.0[i], self.0[(i + n - 1) % n].bulge)).collect())
    }

    /// A polygon that stays within `chord` mm of the outline; closed, first point not repeated.
    pub fn flattened(&self, chord: f64) -> Vec<[f64; 2]> {
        let mut out: Vec<[f64; 2]> = self.segments().flat_map(|s| s.flattened(chord)).collect();
        out.rotate_right(1);
        out
    }
}

fn turns_through(a: &Arc, angle: f64) -> bool {
    let tau = std::f64::consts::TAU;
    let turned = (angle - a.start).rem_euclid(tau);
    if a.sweep >= 0.0 { turned <= a.sweep } else { turned >= tau + a.sweep || turned == 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::mm;

    #[test]
    fn a_circle_has_its_area_bounds_and_centre() {
        let c = Outline::circle([mm(30), mm(20)], mm(10));
        assert!((c.area() - std::f64::consts::PI * 25.0).abs() < 1e-9);
        assert_eq!(c.bounds(), [[mm(25), mm(35)], [mm(15), mm(25)]]);
        assert_eq!(c.as_circle(), Some(([mm(30), mm(20)], mm(10))));
    }

    #[test]
    fn mirroring_keeps_area_and_direction() {
        let half = Outline(vec![
            Vertex { u: mm(0), v: mm(0), bulge: 0.0 },
            Vertex { u: mm(20), v: mm(0), bulge: 0.3 },
            Vertex { u: mm(0), v: mm(10), bulge: 0.0 },
        ]);
        let m = half.mapped(true, |u, v| (mm(100) - u, v));
        assert!((half.area() - m.area()).abs() < 1e-9);
        let b = half.bounds();
        assert_eq!(m.bounds(), [[mm(100) - b[0][1], mm(100) - b[0][0]], b[1]]);
    }
}
