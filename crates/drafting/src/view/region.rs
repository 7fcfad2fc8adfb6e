//! A closed region of the picture plane: does it hold a point, and which stretches of a line lie in it?
//!
//! The rim counts as inside. A region that turns only one way is asked side by side. Any other has its sides sorted
//! into bands across its longer extent, so that a face with fifty holes is asked only about those near the question.

use paper::scene::At;

/// Rims are this wide, mm.
pub(super) const RIM: f64 = 1e-5;

/// Rings, the outer one first; even-odd.
#[derive(Debug)]
pub(super) enum Region {
    Convex {
        ring: Vec<At>,
        /// +1 if it runs counter-clockwise, else -1.
        winding: f64,
    },
    Any(Bands),
}

/// The sides of a region, by bands square to an axis.
#[derive(Debug)]
pub(super) struct Bands {
    axis: usize,
    from: f64,
    per_mm: f64,
    /// Where each band starts in `sides`; one more than there are bands. A side is in every band that it touches.
    starts: Vec<usize>,
    sides: Vec<[At; 2]>,
}

impl Region {
    pub(super) fn new(rings: Vec<Vec<At>>, convex: bool) -> Self {
        if convex {
            let ring = rings.into_iter().next().unwrap_or_default();
            let n = ring.len();
            let area: f64 = (0..n).map(|i| (ring[i], ring[(i + 1) % n])).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
            return Self::Convex { ring, winding: area.signum() };
        }
        let sides = rings.iter().flat_map(|r| (0..r.len()).map(move |i| [r[i], r[(i + 1) % r.len()]]));
        Self::Any(Bands::new(sides.collect()))
    }

    /// It holds the point, its rim included.
    pub(super) fn holds(&self, p: At) -> bool {
        match self {
            Self::Convex { ring, winding } => sides(ring).all(|[a, b]| {
                let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
                winding * (dx * (p[1] - a[1]) - dy * (p[0] - a[0])) >= -RIM * (dx.abs() + dy.abs())
            }),
            Self::Any(bands) => bands.holds(p),
        }
    }

    /// Adds the stretches of the line from `a` to `b`, as shares of its length within `range`, that lie in the region.
    pub(super) fn spans(&self, a: At, b: At, range: [f64; 2], out: &mut Vec<[f64; 2]>) {
        match self {
            Self::Convex { ring, winding } => out.extend(within_convex(ring, *winding, a, b, range)),
            Self::Any(bands) => bands.spans(a, b, range, out),
        }
    }
}

fn sides(ring: &[At]) -> impl Iterator<Item = [At; 2]> + '_ {
    (0..ring.len()).map(|i| [ring[i], ring[if i + 1 == ring.len() { 0 } else { i + 1 }]])
}

fn within_convex(ring: &[At], winding: f64, a: At, b: At, range: [f64; 2]) -> Option<[f64; 2]> {
    let [mut t0, mut t1] = range;
    for [p, q] in sides(ring) {
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

impl Bands {
    fn new(sides: Vec<[At; 2]>) -> Self {
        let range = |k: usize| {
            let values = sides.iter().map(move |s| s[0][k]);
            [values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max)]
        };
        let (x, y) = (range(0), range(1));
        let (axis, [from, to]) = if x[1] - x[0] > y[1] - y[0] { (0, x) } else { (1, y) };
        let count = (sides.len() / 6).clamp(1, 128);
        let per_mm = count as f64 / (to - from).max(RIM);
        let mut bands = Self { axis, from, per_mm, starts: vec![0], sides: Vec::new() };
        let mut lists: Vec<Vec<[At; 2]>> = vec![Vec::new(); count];
        for side in sides {
            let (a, b) = (side[0][axis], side[1][axis]);
            let (low, high) = (bands.band(a.min(b) - RIM, count), bands.band(a.max(b) + RIM, count));
            for list in &mut lists[low..=high] {
                list.push(side);
            }
        }
        for list in lists {
            bands.sides.extend(list);
            bands.starts.push(bands.sides.len());
        }
        bands
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the bands that there are")]
    fn band(&self, at: f64, count: usize) -> usize {
        ((at - self.from) * self.per_mm).clamp(0.0, count as f64 - 1.0) as usize
    }

    fn within(&self, low: f64, high: f64) -> &[[At; 2]] {
        let count = self.starts.len() - 1;
        &self.sides[self.starts[self.band(low, count)]..self.starts[self.band(high, count) + 1]]
    }

    fn holds(&self, p: At) -> bool {
        let (k, j) = (self.axis, 1 - self.axis);
        let mut inside = false;
        for [a, b] in self.within(p[k], p[k]) {
            let d = [b[0] - a[0], b[1] - a[1]];
            let t = (((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
            let off = [a[0] + t * d[0] - p[0], a[1] + t * d[1] - p[1]];
            if off[0] * off[0] + off[1] * off[1] < RIM * RIM {
                return true;
            }
            if (a[k] > p[k]) != (b[k] > p[k]) && p[j] < a[j] + (p[k] - a[k]) / d[k] * d[j] {
                inside = !inside;
            }
        }
        inside
    }

    /// Cuts the line wherever a side crosses it or ends on it, and tells each piece by its middle.
    fn spans(&self, a: At, b: At, range: [f64; 2], out: &mut Vec<[f64; 2]>) {
        let d = [b[0] - a[0], b[1] - a[1]];
        let square = d[0] * d[0] + d[1] * d[1];
        let rim = RIM * square.sqrt();
        let mut cuts = vec![range[0], range[1]];
        let ends = [a[self.axis] + range[0] * d[self.axis], a[self.axis] + range[1] * d[self.axis]];
        for [p, q] in self.within(ends[0].min(ends[1]), ends[0].max(ends[1])) {
            let side = |s: &At| d[0] * (s[1] - a[1]) - d[1] * (s[0] - a[0]);
            let (sp, sq) = (side(p), side(q));
            let mut cut = |s: At| {
                let t = ((s[0] - a[0]) * d[0] + (s[1] - a[1]) * d[1]) / square;
                if range[0] < t && t < range[1] {
                    cuts.push(t);
                }
            };
            if sp.abs() <= rim || sq.abs() <= rim {
                [(sp, p), (sq, q)].into_iter().filter(|(s, _)| s.abs() <= rim).for_each(|(_, s)| cut(*s));
            } else if (sp < 0.0) != (sq < 0.0) {
                let k = sp / (sp - sq);
                cut([p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1])]);
            }
        }
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let t = f64::midpoint(pair[0], pair[1]);
            if pair[0] < pair[1] && self.holds([a[0] + t * d[0], a[1] + t * d[1]]) {
                out.push([pair[0], pair[1]]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plate with ten square holes in a row, and the same as an even-odd count of crossings with no bands.
    #[test]
    fn bands_change_nothing() {
        let square = |x: f64, y: f64, s: f64| vec![[x, y], [x + s, y], [x + s, y + s], [x, y + s]];
        let mut rings = vec![vec![[0.0, 0.0], [200.0, 0.0], [200.0, 20.0], [0.0, 20.0]]];
        rings.extend((0..10).map(|k| square(5.0 + 20.0 * f64::from(k), 6.0, 8.0)));
        let region = Region::new(rings, false);
        let mut out = Vec::new();
        region.spans([-10.0, 10.0], [210.0, 10.0], [0.0, 1.0], &mut out);
        assert_eq!(out.len(), 11);
        let covered: f64 = out.iter().map(|s| (s[1] - s[0]) * 220.0).sum();
        assert!((covered - 120.0).abs() < 1e-6);
        for k in 0..200 {
            let p = [f64::from(k) + 0.5, 10.5];
            let in_hole = (p[0] - 5.0).rem_euclid(20.0) < 8.0 && p[0] > 5.0;
            assert_eq!(region.holds(p), !in_hole, "{p:?}");
        }
        // Along the rim of the holes, and along the plate's own.
        for (y, pieces) in [(6.0, 220.0), (20.0, 220.0), (20.1, 0.0)] {
            out.clear();
            region.spans([-10.0, y], [210.0, y], [0.0, 1.0], &mut out);
            let covered: f64 = out.iter().map(|s| (s[1] - s[0]) * 220.0).sum();
            assert!((covered - f64::min(pieces, 200.0)).abs() < 1e-6, "{y}: {covered}");
        }
    }
}
