//! Which pen an edge is drawn with: wide where it stands out before what is behind it, fine where two faces are flush.

use crate::view::{Picture, Stroke};
use paper::scene::{Path, Pen};

/// Faces that differ by less than this in depth are flush, mm of the piece: the line between them is fine.
const FLUSH: f64 = 3.0;
/// How far beside a line its two sides are looked at, and how often along it, mm of the piece.
const BESIDE: f64 = 0.3;
const SAMPLE: f64 = 20.0;
/// A stroke with its pens: by whether it is seen, and by the step in depth that it marks, which may change along it where other parts adjoin.
pub(crate) fn penned(picture: &Picture, stroke: &Stroke) -> Vec<(Pen, Path)> {
    let whole = |pen| vec![(pen, stroke.path.clone())];
    if stroke.hidden {
        return whole(Pen::Hidden);
    }
    let Some(side) = stroke.path.segments().next() else { return Vec::new() };
    if side.bulge != 0.0 {
        return whole(if [0.2, 0.5, 0.8].iter().any(|t| step(picture, &side, *t)) { Pen::Outline } else { Pen::Fine });
    }
    let length = libm::hypot(side.to[0] - side.from[0], side.to[1] - side.from[1]);
    let count = (length / SAMPLE).ceil().clamp(3.0, 400.0);
    let at = |k: f64| (k + 0.5) / count;
    let mut out = Vec::new();
    let (mut from, mut last, mut k) = (0.0, step(picture, &side, at(0.0)), 1.0);
    let mut push = |from: f64, to: f64, step: bool| {
        out.push((if step { Pen::Outline } else { Pen::Fine }, Path::line(side.at(from), side.at(to))));
    };
    while k < count {
        let now = step(picture, &side, at(k));
        if now != last {
            // Halve the stretch in which it changes until a hair is left.
            let (mut low, mut high) = (at(k - 1.0), at(k));
            while (high - low) * length > 0.05 {
                let middle = f64::midpoint(low, high);
                if step(picture, &side, middle) == last { low = middle } else { high = middle }
            }
            push(from, high, last);
            (from, last) = (high, now);
        }
        k += 1.0;
    }
    push(from, 1.0, last);
    out
}

/// What lies on the two sides of a stroke at `t` differs in depth by more than a flush joint does.
fn step(picture: &Picture, side: &case::Segment, t: f64) -> bool {
    let (before, at, after) = (side.at(t - 0.001), side.at(t), side.at(t + 0.001));
    let (dx, dy) = (after[0] - before[0], after[1] - before[1]);
    let length = libm::hypot(dx, dy).max(1e-9);
    let beside = |w: f64| {
        let p = [at[0] - w * dy / length, at[1] + w * dx / length];
        picture.front.at(p).map(|(_, depth)| depth)
    };
    match (beside(BESIDE), beside(-BESIDE)) {
        (Some(a), Some(b)) => (a - b).abs() >= FLUSH,
        (None, None) => false,
        _ => true,
    }
}
