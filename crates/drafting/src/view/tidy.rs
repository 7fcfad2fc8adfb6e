//! Draws each place once: pieces that lie on one line or on one circle are joined, and a seen one wins over a hidden
//! one.

use std::cmp::Ordering;

use super::{Disc, Piece, Stroke};
use paper::scene::{At, Path};

/// Lines nearer than this are one, mm of the piece.
const SAME: f64 = 2e-3;
/// A hidden line so near to a seen one lies under it, mm of the piece.
const UNDER: f64 = 0.02;
/// Directions nearer than this are one, radians.
const PARALLEL: f64 = 1e-5;

/// Joins pieces into strokes.
pub(super) fn tidy(pieces: Vec<Piece>, discs: &[Disc]) -> Vec<Stroke> {
    let (round, straight): (Vec<_>, Vec<_>) = pieces.into_iter().partition(|p| p.circle.is_some());
    let mut out = lines(straight);
    out.extend(arcs(round, discs));
    let (hidden, mut out): (Vec<_>, Vec<_>) = out.into_iter().partition(|s| s.hidden);
    let left = hidden.into_iter().flat_map(|h| uncovered(h, &out)).collect::<Vec<_>>();
    out.extend(left);
    // Hidden strokes go first, so that the seen ones lie over their ends; then by body.
    out.sort_by_key(|s| (!s.hidden, s.body));
    out
}

/// A stretch of a line or circle.
struct Stretch {
    range: [f64; 2],
    body: usize,
    hidden: bool,
    broken: bool,
}

/// Keeps of each stretch what no earlier one covers: seen before hidden, then by body; and joins what then touches.
fn claim(mut stretches: Vec<Stretch>, hair: f64) -> Vec<Stretch> {
    stretches.sort_by(|a, b| {
        (a.hidden, a.broken, a.body).cmp(&(b.hidden, b.broken, b.body)).then(a.range[0].total_cmp(&b.range[0]))
    });
    let mut kept: Vec<Stretch> = Vec::new();
    for s in stretches {
        let mut left = vec![s.range];
        for k in &kept {
            left = left
                .into_iter()
                .flat_map(|[a, b]| [[a, b.min(k.range[0])], [a.max(k.range[1]), b]])
                .filter(|[a, b]| b - a > hair)
                .collect();
        }
        for range in left {
            // An earlier stretch of the same kind that ends where this one starts, or the other way round.
            let touches = |k: &&mut Stretch| {
                k.body == s.body
                    && k.hidden == s.hidden
                    && k.broken == s.broken
                    && ((k.range[1] - range[0]).abs() <= hair || (range[1] - k.range[0]).abs() <= hair)
            };
            if let Some(k) = kept.iter_mut().find(touches) {
                k.range = [k.range[0].min(range[0]), k.range[1].max(range[1])];
            } else {
                kept.push(Stretch { range, ..s });
            }
        }
    }
    kept
}

struct Line {
    piece: Piece,
    angle: f64,
    offset: f64,
}

fn lines(pieces: Vec<Piece>) -> Vec<Stroke> {
    let mut lines: Vec<Line> = pieces.into_iter().map(directed).collect();
    lines.sort_by(|a, b| a.angle.total_cmp(&b.angle));
    let mut out = Vec::new();
    for bundle in runs(&mut lines, |l| l.angle, PARALLEL) {
        let (s, c) = libm::sincos(bundle[0].angle);
        for line in bundle.iter_mut() {
            let [a, b] = line.piece.ends;
            line.offset = ((a[1] + b[1]) * c - (a[0] + b[0]) * s) / 2.0;
        }
        bundle.sort_by(|a, b| a.offset.total_cmp(&b.offset));
        for line in runs(bundle, |l| l.offset, SAME) {
            let along = |p: At| p[0] * c + p[1] * s;
            let offset = line[0].offset;
            let stretches = line.iter().map(|l| Stretch {
                range: l.piece.ends.map(along),
                body: l.piece.body,
                hidden: l.piece.hidden,
                broken: l.piece.broken,
            });
            for k in claim(stretches.collect(), SAME) {
                let [from, to] = k.range.map(|t| [t * c - offset * s, t * s + offset * c]);
                out.push(Stroke { body: k.body, path: Path::line(from, to), hidden: k.hidden, broken: k.broken });
            }
        }
    }
    out
}

/// The piece with its ends in order along a direction from -90° (excluded) to 90°.
fn directed(mut piece: Piece) -> Line {
    let [a, b] = piece.ends;
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let steep = dx.abs() < PARALLEL * dy.abs();
    if if steep { dy < 0.0 } else { dx < 0.0 } {
        piece.ends.swap(0, 1);
    }
    let [a, b] = piece.ends;
    let angle = if steep { std::f64::consts::FRAC_PI_2 } else { libm::atan2(b[1] - a[1], b[0] - a[0]) };
    Line { piece, angle, offset: 0.0 }
}

/// Slices of sorted items whose keys lie within `reach` of the first.
fn runs<T>(items: &mut [T], key: impl Fn(&T) -> f64, reach: f64) -> Vec<&mut [T]> {
    let mut out = Vec::new();
    let mut rest = items;
    while !rest.is_empty() {
        let first = key(&rest[0]);
        let n = rest.iter().take_while(|i| key(i) - first <= reach).count();
        let (run, tail) = rest.split_at_mut(n);
        out.push(run);
        rest = tail;
    }
    out
}

fn arcs(mut pieces: Vec<Piece>, discs: &[Disc]) -> Vec<Stroke> {
    // The rims of two holes may be one circle.
    let disc = |p: &Piece| p.circle.map_or(Disc { centre: [0.0; 2], radius: 0.0 }, |c| discs[c]);
    let key = |p: &Piece| [disc(p).centre[0], disc(p).centre[1], disc(p).radius].map(|v| (v / SAME).round());
    pieces.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(Ordering::Equal));
    let mut out = Vec::new();
    for run in pieces.chunk_by(|a, b| key(a) == key(b)) {
        let disc = disc(&run[0]);
        let angle = |p: At| libm::atan2(p[1] - disc.centre[1], p[0] - disc.centre[0]);
        let tau = std::f64::consts::TAU;
        let mut stretches = Vec::new();
        for p in run {
            let (mut from, mut to) = (angle(p.ends[0]), angle(p.ends[1]));
            // The short way round, whichever way it was told.
            if (to - from).rem_euclid(tau) > std::f64::consts::PI {
                std::mem::swap(&mut from, &mut to);
            }
            let sweep = (to - from).rem_euclid(tau);
            let end = from + sweep;
            let mut add = |range| stretches.push(Stretch { range, body: p.body, hidden: p.hidden, broken: p.broken });
            // Told from -180° to 180°, cut there.
            if end > std::f64::consts::PI {
                add([from, std::f64::consts::PI]);
                add([-std::f64::consts::PI, end - tau]);
            } else {
                add([from, end]);
            }
        }
        let mut kept = claim(stretches, SAME / disc.radius);
        rejoin(&mut kept, SAME / disc.radius);
        let stroke =
            |k: &Stretch| Stroke { body: k.body, path: arc(&disc, k.range), hidden: k.hidden, broken: k.broken };
        out.extend(kept.iter().map(stroke));
    }
    out
}

/// What seen lines leave of a hidden one. Facets of one curve, found from its two sides, may differ so much in direction or
/// in place that [`lines`] does not know them for one line.
fn uncovered(hidden: Stroke, seen: &[Stroke]) -> Vec<Stroke> {
    let ends = |s: &Stroke| match s.path.vertices[..] {
        [(a, 0.0), (b, _)] => Some([a, b]),
        _ => None,
    };
    let Some([a, b]) = ends(&hidden) else { return vec![hidden] };
    let d = [b[0] - a[0], b[1] - a[1]];
    let length = libm::hypot(d[0], d[1]);
    let place = |p: At| {
        let q = [p[0] - a[0], p[1] - a[1]];
        [(q[0] * d[0] + q[1] * d[1]) / length, (q[1] * d[0] - q[0] * d[1]) / length]
    };
    // A facet of an arc that is drawn true has both ends on it.
    let on_arc = |s: &Stroke| {
        let arcs = s.path.segments().filter_map(|side| Some((side, side.arc()?)));
        arcs.into_iter().any(|(side, arc)| {
            let on = |p: At| {
                let q = [p[0] - arc.centre[0], p[1] - arc.centre[1]];
                let turned = (libm::atan2(q[1], q[0]) - arc.start) * arc.sweep.signum();
                let hair = UNDER / arc.radius;
                (libm::hypot(q[0], q[1]) - arc.radius).abs() < UNDER
                    && (turned + hair).rem_euclid(std::f64::consts::TAU) <= arc.sweep.abs() + 2.0 * hair
            };
            length < arc.radius && on(a) && on(b) && side.bulge != 0.0
        })
    };
    if seen.iter().any(on_arc) {
        return Vec::new();
    }
    let mut left = vec![[0.0, length]];
    for [p, q] in seen.iter().filter_map(ends) {
        let [[s0, o0], [s1, o1]] = [place(p), place(q)];
        let (low, high) = (s0.min(s1).max(0.0), s0.max(s1).min(length));
        // How far the seen line lies off where it runs beside the hidden one.
        let off = |s: f64| o0 + (s - s0) / (s1 - s0) * (o1 - o0);
        if low < high && off(low).abs() < UNDER && off(high).abs() < UNDER {
            left = left.into_iter().flat_map(|[f, t]| [[f, t.min(low)], [f.max(high), t]]).collect();
            left.retain(|[f, t]| t - f > SAME);
        }
    }
    if left == [[0.0, length]] {
        return vec![hidden];
    }
    let at = |s: f64| [a[0] + s / length * d[0], a[1] + s / length * d[1]];
    left.into_iter().map(|[f, t]| Stroke { path: Path::line(at(f), at(t)), ..hidden }).collect()
}

/// Joins two stretches that meet at 180°, where the count of angles starts again.
fn rejoin(kept: &mut Vec<Stretch>, hair: f64) {
    let pi = std::f64::consts::PI;
    let mut high = 0;
    while high < kept.len() {
        let k = &kept[high];
        let meets = |o: &Stretch| {
            (o.body, o.hidden, o.broken) == (k.body, k.hidden, k.broken) && (o.range[0] + pi).abs() < hair
        };
        match kept.iter().position(meets).filter(|low| *low != high && (k.range[1] - pi).abs() < hair) {
            Some(low) => {
                kept[high].range[1] = kept[low].range[1] + std::f64::consts::TAU;
                kept.remove(low);
            }
            None => high += 1,
        }
    }
}

fn arc(disc: &Disc, [from, to]: [f64; 2]) -> Path {
    let tau = std::f64::consts::TAU;
    if to - from > tau - 1e-3 {
        return Path::circle(disc.centre, disc.radius);
    }
    let at = |angle: f64| {
        let (s, c) = libm::sincos(angle);
        [disc.centre[0] + disc.radius * c, disc.centre[1] + disc.radius * s]
    };
    Path::arc(at(from), at(to), libm::tan((to - from) / 4.0))
}
