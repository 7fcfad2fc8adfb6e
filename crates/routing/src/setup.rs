//! A setup: one clamping of one part, one face up; where program zero is and which way its axes run.
//!
//! Program frame: x and y along two edges of the blank, z up out of the face; zero at the left front corner of the
//! blank's top, so the stock fills 0..x, 0..y and -z..0. Nothing here rounds.

use case::frame::cross;
use case::{Axis, Dir, Outline, Part, Placement, Point};
use measure::{Length, Unit};

use crate::machine::Machine;

/// One clamping of one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Setup {
    /// The part's face under the spindle.
    pub up: Dir,
    /// Program zero, in the part frame.
    pub origin: Point,
    /// The part-frame direction of program x.
    pub x_axis: Dir,
    /// The part-frame direction of program y.
    pub y_axis: Dir,
    /// The stock's size along program x, y and z.
    pub size: Point,
}

impl Setup {
    /// Lays a blank of that size with a face up and its x along one of that face's directions.
    pub(crate) fn laid(size: Point, up: Dir, x_axis: Dir) -> Self {
        let y_axis = cross(up, x_axis);
        let at = |d: Dir| if d.positive { Length::ZERO } else { size[d.axis.index()] };
        let mut origin = [Length::ZERO; 3];
        origin[x_axis.axis.index()] = at(x_axis);
        origin[y_axis.axis.index()] = at(y_axis);
        origin[up.axis.index()] = if up.positive { size[up.axis.index()] } else { Length::ZERO };
        Self { up, origin, x_axis, y_axis, size: [x_axis, y_axis, up].map(|d| size[d.axis.index()]) }
    }

    /// The ways to lay a blank with that face up: its longer side along x, then turned a quarter.
    fn ways(size: Point, up: Dir) -> [Self; 2] {
        let (u, v) = up.axis.others();
        let along = |axis: Axis| Self::laid(size, up, Dir { axis, positive: true });
        if size[u.index()] >= size[v.index()] { [along(u), along(v)] } else { [along(v), along(u)] }
    }

    /// The setup for a face, turned so that the machine's travel holds it with the run-out on both sides.
    ///
    /// # Errors
    /// Says in words why the part cannot be machined so, and what would do.
    pub fn for_face(part: &Part, up: Dir, machine: &Machine, unit: Unit) -> Result<Self, String> {
        let [long, turned] = Self::ways(part.size, up);
        let show = |l: Length| format!("{} {unit}", crate::tool::decimal(l, unit));
        if long.size[0] < machine.least[0] || long.size[1] < machine.least[1] {
            return Err(format!(
                "{} x {} is too small to hold on the router safely; cut it by hand, or on a longer piece before it is cut off",
                show(long.size[0]),
                show(long.size[1])
            ));
        }
        let room: Vec<Length> = machine.travel.iter().map(|t| *t - machine.run_out * 2).collect();
        let fits = |s: &Self| s.size[0] <= room[0] && s.size[1] <= room[1];
        let Some(way) = [long, turned].into_iter().find(fits) else {
            let [most, across] = [room[0].max(room[1]), room[0].min(room[1])];
            let mend = if long.size[1] > across {
                "cut it by hand or on another machine"
            } else {
                "machine it in two clampings, or cut it by hand"
            };
            return Err(format!(
                "{} x {} is more than the machine's travel; it takes {} x {} at most: {mend}",
                show(long.size[0]),
                show(long.size[1]),
                show(most),
                show(across)
            ));
        };
        Ok(way)
    }

    /// A part-frame point in the program frame.
    pub fn to_program(&self, p: Point) -> Point {
        [self.x_axis, self.y_axis, self.up].map(|d| (p[d.axis.index()] - self.origin[d.axis.index()]) * d.sign())
    }

    /// The outline of a cut into this setup's face, in program x and y, counter-clockwise.
    pub fn outline(&self, outline: &Outline) -> Outline {
        let (u, v) = self.up.axis.others();
        // Right-handed either way up, so the plane is seen from behind exactly when (u, v) and (x, y) turn apart.
        let mirrored = cross(Dir { axis: u, positive: true }, Dir { axis: v, positive: true }) != self.up;
        outline.mapped(mirrored, |a, b| {
            let mut p = self.origin;
            p[u.index()] = a;
            p[v.index()] = b;
            let [x, y, _] = self.to_program(p);
            (x, y)
        })
    }

    /// Height of the stock.
    pub const fn height(&self) -> Length {
        self.size[2]
    }
}

/// Where a face or an end of a part looks when the piece stands and one is in front of it: `front`, `left`, `top`, …
pub(crate) fn looks(placement: &Placement, d: Dir) -> &'static str {
    match placement.dir_to_case(d) {
        Dir::PX => "right",
        Dir::NX => "left",
        Dir::PY => "back",
        Dir::NY => "front",
        Dir::PZ => "top",
        _ => "bottom",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::mm;

    #[test]
    fn every_face_gives_a_right_handed_frame_with_zero_on_top() {
        let size = [mm(600), mm(90), mm(20)];
        for up in Dir::ALL {
            for s in Setup::ways(size, up) {
                assert_eq!(cross(s.x_axis, s.y_axis), s.up);
                assert_eq!(s.to_program(s.origin), [Length::ZERO; 3]);
                let corners = [[Length::ZERO; 3], size].map(|p| s.to_program(p));
                let low: [Length; 3] = std::array::from_fn(|i| corners[0][i].min(corners[1][i]));
                let high: [Length; 3] = std::array::from_fn(|i| corners[0][i].max(corners[1][i]));
                assert_eq!(low, [Length::ZERO, Length::ZERO, -s.size[2]]);
                assert_eq!(high, [s.size[0], s.size[1], Length::ZERO]);
            }
        }
    }

    #[test]
    fn outlines_stay_counter_clockwise_and_land_where_their_corners_do() {
        let size = [mm(600), mm(90), mm(20)];
        for up in Dir::ALL {
            let (u, v) = up.axis.others();
            let o = Outline::rectangle([mm(1), mm(5)], [mm(2), mm(9)]);
            for s in Setup::ways(size, up) {
                let seen = s.outline(&o);
                assert!((seen.area() - o.area()).abs() < 1e-9 && seen.area() > 0.0);
                let mut p = s.origin;
                p[u.index()] = mm(1);
                p[v.index()] = mm(2);
                let corner = s.to_program(p);
                assert!(seen.0.iter().any(|q| [q.u, q.v] == [corner[0], corner[1]]));
            }
        }
    }
}
