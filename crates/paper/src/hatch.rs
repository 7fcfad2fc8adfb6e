//! Hatching of cut faces: parallel lines, clipped to a face with holes.

use crate::scene::{At, Path};

/// How the lines of a hatching lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hatch {
    /// Degrees, counter-clockwise.
    pub angle: f64,
    /// Distances from each line to the next, mm on the sheet, over and over.
    pub pitch: &'static [f64],
}

/// The lines of a hatching within rings (even-odd), all in sheet mm. They start from a fixed origin, so that the parts
/// of one face match.
pub fn hatch(rings: &[Vec<At>], style: Hatch) -> Vec<Path> {
    let (s, c) = libm::sincos(style.angle.to_radians());
    let turned: Vec<Vec<At>> =
        rings.iter().map(|r| r.iter().map(|p| [p[0] * c + p[1] * s, p[1] * c - p[0] * s]).collect()).collect();
    let heights = || turned.iter().flatten().map(|p| p[1]);
    let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
    let period: f64 = style.pitch.iter().sum();
    let mut out = Vec::new();
    if !(period > 0.0 && low < high) {
        return out;
    }
    let mut v = (low / period).floor() * period;
    for step in style.pitch.iter().cycle() {
        v += step;
        if v >= high {
            break;
        }
        if v > low {
            let back = |u: f64| [u * c - v * s, u * s + v * c];
            out.extend(crossings(&turned, v).chunks_exact(2).map(|k| Path::line(back(k[0]), back(k[1]))));
        }
    }
    out
}

/// Where a level line at `v` enters and leaves the rings, in order.
fn crossings(rings: &[Vec<At>], v: f64) -> Vec<f64> {
    let mut hits: Vec<f64> = rings
        .iter()
        .flat_map(|ring| (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()])))
        .filter(|(a, b)| (a[1] > v) != (b[1] > v))
        .map(|(a, b)| a[0] + (v - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        .collect();
    hits.sort_by(f64::total_cmp);
    hits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_within_the_face_and_out_of_its_holes() {
        let square = |a: f64, b: f64| vec![[a, a], [b, a], [b, b], [a, b]];
        let rings = [square(0.0, 10.0), square(4.0, 6.0)];
        let lines = hatch(&rings, Hatch { angle: 45.0, pitch: &[1.0] });
        let length: f64 = lines
            .iter()
            .flat_map(|l| l.segments())
            .map(|s| libm::hypot(s.to[0] - s.from[0], s.to[1] - s.from[1]))
            .sum();
        // Lines 1 mm apart are as long as the face is large, to within a line's length.
        assert!((length - 96.0).abs() < 3.0, "{length}");
        for l in &lines {
            let [a, b] = [l.vertices[0].0, l.vertices[1].0];
            let m = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
            let inside = |lo: f64, hi: f64| m.iter().all(|v| lo < *v && *v < hi);
            assert!(inside(0.0, 10.0) && !inside(4.0, 6.0), "{m:?}");
        }
    }
}
