//! The outline of a cut as a region of its plane, in pieces that rise or fall all the way, so that what it covers of a
//! rectangle or of a strip is told without flattening its arcs.
//!
//! Millimetres as `f64`; rectangles are never entered here as regions, since their bounds say it all exactly.

use case::{Arc, Outline, Segment};
use smallvec::SmallVec;

/// A nanometre: what lies nearer to a line than this lies on it.
const NEAR: f64 = 1e-6;

/// A piece of an outline's side, monotone in both coordinates; `a` has the lesser first coordinate.
#[derive(Clone, Copy, Debug)]
struct Piece {
    a: [f64; 2],
    b: [f64; 2],
    bend: Option<Bend>,
}

/// The quarter of a circle that a piece lies in.
#[derive(Clone, Copy, Debug)]
struct Bend {
    centre: [f64; 2],
    radius: f64,
    /// On which side of the centre the piece lies, by coordinate.
    side: [f64; 2],
}

/// A closed region of a plane.
#[derive(Clone, Debug)]
pub(crate) struct Region {
    pieces: Vec<Piece>,
}

/// How a region lies to a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lie {
    /// It covers the rectangle.
    Over,
    /// It has nothing of the rectangle's inside.
    Off,
    /// Its edge runs through the rectangle.
    Across,
}

/// What a region covers of a strip of its plane, as intervals across the strip's line.
#[derive(Clone, Debug)]
pub(crate) enum Strip {
    /// A corner lies inside the strip, at this coordinate.
    Corner(f64),
    /// Covered all along the strip, and covered somewhere along it.
    Covered(Covered),
}

/// What a strip has covered.
#[derive(Clone, Debug)]
pub(crate) struct Covered {
    /// Everywhere in the strip.
    pub(crate) surely: SmallVec<[[f64; 2]; 2]>,
    /// Somewhere in the strip.
    pub(crate) perhaps: SmallVec<[[f64; 2]; 2]>,
}

impl Region {
    /// The region within an outline, in the outline's own coordinates.
    pub(crate) fn new(outline: &Outline) -> Self {
        Self { pieces: outline.segments().flat_map(|s| pieces(&s)).collect() }
    }

    /// The same region with its coordinates exchanged.
    pub(crate) fn transposed(&self) -> Self {
        let swap = |[p, q]: [f64; 2]| [q, p];
        let turned = |piece: &Piece| {
            let bend = piece.bend.map(|b| Bend { centre: swap(b.centre), side: swap(b.side), ..b });
            Piece::new(swap(piece.a), swap(piece.b), bend)
        };
        Self { pieces: self.pieces.iter().map(turned).collect() }
    }

    /// The same region moved.
    pub(crate) fn moved(&self, by: [f64; 2]) -> Self {
        let shift = |p: [f64; 2]| [p[0] + by[0], p[1] + by[1]];
        let moved = |p: &Piece| {
            let bend = p.bend.map(|b| Bend { centre: shift(b.centre), ..b });
            Piece { a: shift(p.a), b: shift(p.b), bend }
        };
        Self { pieces: self.pieces.iter().map(moved).collect() }
    }

    /// How it lies to the rectangle of two intervals.
    pub(crate) fn lie(&self, rect: [[f64; 2]; 2]) -> Lie {
        if self.pieces.iter().any(|p| p.crosses(rect)) {
            return Lie::Across;
        }
        let centre = rect.map(|[low, high]| (low + high) / 2.0);
        if self.holds(centre) { Lie::Over } else { Lie::Off }
    }

    /// A line of the plane that divides a rectangle where a side of the region begins, ends or runs square: which
    /// coordinate, and its value.
    pub(crate) fn line_in(&self, rect: [[f64; 2]; 2]) -> Option<(usize, f64)> {
        let crossing = self.pieces.iter().filter(|p| p.crosses(rect));
        let ends = crossing.flat_map(|p| [p.a, p.b]).flat_map(|end| [(0, end[0]), (1, end[1])]);
        let mut inside = ends.filter(|(k, x)| rect[*k][0] + NEAR < *x && *x < rect[*k][1] - NEAR);
        inside.next()
    }

    /// Whether a point off the edge lies within.
    fn holds(&self, point: [f64; 2]) -> bool {
        let beyond = |p: &&Piece| (p.a[1] > point[1]) != (p.b[1] > point[1]) && p.first_at(point[1]) > point[0];
        self.pieces.iter().filter(beyond).count() % 2 == 1
    }

    /// What it covers, in the second coordinate, of the strip between two first coordinates.
    pub(crate) fn strip(&self, strip: [f64; 2]) -> Strip {
        let [low, high] = strip;
        let inside = |x: f64| low + NEAR < x && x < high - NEAR;
        let corners = self.pieces.iter().flat_map(|p| [p.a[0], p.b[0]]).filter(|x| inside(*x));
        let middle = (low + high) / 2.0;
        if let Some(x) = corners.min_by(|x, y| (x - middle).abs().total_cmp(&(y - middle).abs())) {
            return Strip::Corner(x);
        }
        let across = |p: &&Piece| p.a[0] <= low + NEAR && p.b[0] >= high - NEAR;
        let mut edges: SmallVec<[[f64; 3]; 4]> = self
            .pieces
            .iter()
            .filter(across)
            .map(|p| {
                let (l, h) = (p.second_at(low), p.second_at(high));
                [p.second_at(middle), l.min(h), l.max(h)]
            })
            .collect();
        edges.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let pairs = || edges.chunks_exact(2);
        Strip::Covered(Covered {
            surely: pairs().map(|e| [e[0][2], e[1][1]]).filter(|[l, h]| l < h).collect(),
            perhaps: pairs().map(|e| [e[0][1], e[1][2]]).collect(),
        })
    }
}

impl Piece {
    fn new(from: [f64; 2], to: [f64; 2], bend: Option<Bend>) -> Self {
        if from[0] <= to[0] { Self { a: from, b: to, bend } } else { Self { a: to, b: from, bend } }
    }

    /// Its second coordinate where the first is `x`, held to its ends.
    fn second_at(&self, x: f64) -> f64 {
        let t = if x <= self.a[0] {
            return self.a[1];
        } else if x >= self.b[0] {
            return self.b[1];
        } else {
            (x - self.a[0]) / (self.b[0] - self.a[0])
        };
        self.bend.map_or(self.a[1] + t * (self.b[1] - self.a[1]), |b| b.reach(0, x))
    }

    /// Its first coordinate where the second is `y`, which must lie between its ends'.
    fn first_at(&self, y: f64) -> f64 {
        let t = (y - self.a[1]) / (self.b[1] - self.a[1]);
        self.bend.map_or(self.a[0] + t * (self.b[0] - self.a[0]), |b| b.reach(1, y))
    }

    /// Whether it runs through the inside of a rectangle.
    fn crosses(&self, [[x0, x1], [y0, y1]]: [[f64; 2]; 2]) -> bool {
        let (low, high) = (self.a[0].max(x0), self.b[0].min(x1));
        if self.b[0] - self.a[0] <= NEAR {
            if self.a[0] < x0 + NEAR || self.a[0] > x1 - NEAR {
                return false;
            }
        } else if high - low <= NEAR {
            return false;
        }
        let (l, h) = if self.b[0] - self.a[0] <= NEAR {
            (self.a[1], self.b[1])
        } else {
            (self.second_at(low), self.second_at(high))
        };
        l.max(h) > y0 + NEAR && l.min(h) < y1 - NEAR
    }
}

impl Bend {
    /// The other coordinate where coordinate `k` is `x`.
    fn reach(&self, k: usize, x: f64) -> f64 {
        let d = x - self.centre[k];
        let other = 1 - k;
        self.centre[other] + self.side[other] * (self.radius * self.radius - d * d).max(0.0).sqrt()
    }
}

fn pieces(segment: &Segment) -> Vec<Piece> {
    let Some(arc) = segment.arc() else {
        return vec![Piece::new(segment.from, segment.to, None)];
    };
    let mut ends = vec![segment.from];
    ends.extend(quarters(&arc).into_iter().map(|t| on(&arc, t)));
    ends.push(segment.to);
    let bend = |from: [f64; 2], to: [f64; 2]| {
        let middle: [f64; 2] = std::array::from_fn(|k| (from[k] + to[k]) / 2.0 - arc.centre[k]);
        Bend { centre: arc.centre, radius: arc.radius, side: middle.map(f64::signum) }
    };
    ends.windows(2).map(|w| Piece::new(w[0], w[1], Some(bend(w[0], w[1])))).collect()
}

/// The angles strictly inside an arc at which it is furthest along an axis.
fn quarters(arc: &Arc) -> Vec<f64> {
    let quarter = std::f64::consts::FRAC_PI_2;
    let (low, high) = (arc.start.min(arc.start + arc.sweep), arc.start.max(arc.start + arc.sweep));
    let mut out = Vec::new();
    let mut angle = (low / quarter).ceil() * quarter;
    while angle < high - 1e-12 {
        if angle > low + 1e-12 {
            out.push(angle);
        }
        angle += quarter;
    }
    if arc.sweep < 0.0 {
        out.reverse();
    }
    out
}

fn on(arc: &Arc, angle: f64) -> [f64; 2] {
    [arc.centre[0] + arc.radius * libm::cos(angle), arc.centre[1] + arc.radius * libm::sin(angle)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Vertex;
    use measure::mm;

    fn disc() -> Region {
        Region::new(&Outline::circle([mm(0), mm(0)], mm(20)))
    }

    #[test]
    fn a_disc_lies_over_off_and_across() {
        let r = disc();
        assert_eq!(r.lie([[-7.0, 7.0], [-7.0, 7.0]]), Lie::Over);
        assert_eq!(r.lie([[7.2, 9.0], [7.2, 9.0]]), Lie::Off);
        assert_eq!(r.lie([[-1.0, 1.0], [9.0, 11.0]]), Lie::Across);
        assert_eq!(r.lie([[-50.0, 50.0], [-50.0, 50.0]]), Lie::Across);
        assert_eq!(r.lie([[10.0, 12.0], [-1.0, 1.0]]), Lie::Off);
    }

    #[test]
    fn a_strip_of_a_disc() {
        let Strip::Covered(Covered { surely, perhaps }) = disc().strip([6.0, 8.0]) else { panic!("no corner there") };
        assert_eq!((surely.len(), perhaps.len()), (1, 1));
        assert!((surely[0][1] - 6.0).abs() < 1e-9 && (perhaps[0][1] - 8.0).abs() < 1e-9);
        assert!(matches!(disc().strip([-1.0, 1.0]), Strip::Corner(x) if x.abs() < 1e-9));
        let Strip::Covered(Covered { surely, perhaps }) = disc().strip([10.0, 12.0]) else { panic!("no corner there") };
        assert!(surely.is_empty() && perhaps.is_empty());
    }

    /// A step whose notch is a hollow arc: the strip through the notch is covered in two intervals.
    #[test]
    fn a_strip_across_a_hollow() {
        let at = |u, v, bulge| Vertex { u: mm(u), v: mm(v), bulge };
        // A square of 40 with a half circle of 20 bitten out of its right side.
        let bitten = Outline(vec![
            at(0, 0, 0.0),
            at(40, 0, 0.0),
            at(40, 10, -1.0),
            at(40, 30, 0.0),
            at(40, 40, 0.0),
            at(0, 40, 0.0),
        ]);
        let r = Region::new(&bitten);
        assert_eq!(r.lie([[32.0, 39.0], [15.0, 25.0]]), Lie::Off);
        assert_eq!(r.lie([[1.0, 29.0], [1.0, 39.0]]), Lie::Over);
        let Strip::Covered(Covered { surely, .. }) = r.strip([34.0, 36.0]) else { panic!("no corner there") };
        assert_eq!(surely.len(), 2);
        // At u = 34 the half circle stands 8 off its centre line.
        assert!((surely[0][1] - (20.0 - libm::sqrt(84.0))).abs() < 1e-9, "{surely:?}");
        let turned = r.transposed();
        assert_eq!(turned.lie([[15.0, 25.0], [32.0, 39.0]]), Lie::Off);
    }
}
