//! Arcs in both formats, by NISTIR 6556, 3.5.3.

use std::f64::consts::TAU;

use super::fault::{G, Kind};
use super::motion::{Arc, Plane};

/// The radii at start and end may differ so much, in mm (3.5.3.2).
pub(super) const TOLERANCE_MM: f64 = 0.002;
/// The same for a program in inches: 0.0002 in.
pub(super) const TOLERANCE_INCH: f64 = 0.0002 * 25.4;

/// An arc whose ends are so near, mm, and that is no full circle, hangs on the last digits of its numbers.
const TINY_CHORD: f64 = 0.005;

/// How the text tells where the centre is; lengths in mm.
#[derive(Clone, Copy, Debug)]
pub(super) enum Format {
    /// Offsets from the start.
    Centre([f64; 2]),
    /// Radius, negative for more than half a turn.
    Radius(f64),
}

/// The arc from `start` to `end` in the plane, and by how much its radii differ.
///
/// # Errors
/// What the standard refuses.
pub(super) fn arc(
    plane: Plane,
    clockwise: bool,
    start: [f64; 2],
    end: [f64; 2],
    format: Format,
    tolerance: f64,
) -> Result<(Arc, f64), Kind> {
    let centre = match format {
        Format::Centre(offset) => [start[0] + offset[0], start[1] + offset[1]],
        Format::Radius(radius) => centre_by_radius(clockwise, start, end, radius)?,
    };
    let (s, e) = ([start[0] - centre[0], start[1] - centre[1]], [end[0] - centre[0], end[1] - centre[1]]);
    let (r0, r1) = match format {
        // The offsets as written are the better figure: no rounding of a far centre is in them.
        Format::Centre(offset) => (libm::hypot(offset[0], offset[1]), libm::hypot(e[0], e[1])),
        Format::Radius(r) => (r.abs(), r.abs()),
    };
    if r0 == 0.0 || r1 == 0.0 {
        return Err(Kind::ArcZeroRadius);
    }
    let mismatch = (r1 - r0).abs();
    if mismatch > tolerance {
        return Err(Kind::ArcRadii(r0, r1, 0));
    }
    let (a0, a1) = (libm::atan2(s[1], s[0]), libm::atan2(e[1], e[0]));
    let chord = libm::hypot(end[0] - start[0], end[1] - start[1]);
    let turned = if clockwise { a0 - a1 } else { a1 - a0 };
    let turned = if turned <= 0.0 { turned + TAU } else { turned };
    let turned = if chord == 0.0 { TAU } else { turned };
    if chord > 0.0 && chord < TINY_CHORD {
        return Err(Kind::ArcTinyChord(chord));
    }
    let sweep = if clockwise { -turned } else { turned };
    Ok((Arc { plane, centre, radius: r0.midpoint(r1), start: a0, sweep }, mismatch))
}

fn centre_by_radius(clockwise: bool, start: [f64; 2], end: [f64; 2], radius: f64) -> Result<[f64; 2], Kind> {
    if radius == 0.0 {
        return Err(Kind::ArcZeroRadius);
    }
    let (dx, dy) = (end[0] - start[0], end[1] - start[1]);
    let chord = libm::hypot(dx, dy);
    if chord == 0.0 {
        return Err(Kind::ArcNoChord);
    }
    let half = chord / 2.0;
    // No tolerance: the reference refuses R9.9999 over a chord of 20.
    if half > radius.abs() {
        return Err(Kind::ArcShortRadius(radius.abs(), half));
    }
    let rise = libm::sqrt((radius.abs() - half) * (radius.abs() + half));
    // The centre lies left of the chord for a short counter-clockwise arc, and for a long clockwise one.
    let left = if clockwise == (radius > 0.0) { -rise } else { rise };
    Ok([start[0] + dx / 2.0 - left * dy / chord, start[1] + dy / 2.0 + left * dx / chord])
}

/// `I`, `J` or `K` for the axes of a plane, in the order of [`Plane::axes`].
pub(super) fn offset_letters(plane: Plane) -> [u8; 3] {
    plane.axes().map(|axis| b"IJK"[axis])
}

/// The plane's own axis words.
pub(super) fn axis_letters(plane: Plane) -> [u8; 3] {
    plane.axes().map(|axis| b"XYZ"[axis])
}

/// `G2` or `G3`.
pub(super) const fn code(clockwise: bool) -> G {
    G(if clockwise { 20 } else { 30 })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn by_centre(clockwise: bool, end: [f64; 2], offset: [f64; 2]) -> Result<(Arc, f64), Kind> {
        arc(Plane::Xy, clockwise, [0.0, 0.0], end, Format::Centre(offset), TOLERANCE_MM)
    }

    #[test]
    fn quarter_half_and_full_turns_go_the_way_they_say() {
        let quarter = TAU / 4.0;
        for (clockwise, end, sweep) in [
            (false, [-10.0, 10.0], quarter),
            (true, [-10.0, 10.0], -3.0 * quarter),
            (false, [-20.0, 0.0], 2.0 * quarter),
            (true, [-20.0, 0.0], -2.0 * quarter),
            (false, [0.0, 0.0], TAU),
            (true, [0.0, 0.0], -TAU),
        ] {
            let (a, mismatch) = by_centre(clockwise, end, [-10.0, 0.0]).unwrap();
            assert!((a.sweep - sweep).abs() < 1e-12, "{clockwise} {end:?}: {}", a.sweep);
            assert!(mismatch < 1e-12);
        }
    }

    #[test]
    fn radii_may_differ_by_two_micrometres() {
        // NISTIR 6556, 3.5.3.2.
        assert!(by_centre(false, [-20.0019, 0.0], [-10.0, 0.0]).is_ok());
        assert_eq!(by_centre(false, [-20.0021, 0.0], [-10.0, 0.0]).unwrap_err().id(), "arc-radii");
    }

    #[test]
    fn radius_format() {
        // NISTIR 6556, 3.5.3.1: positive up to half a turn, negative beyond.
        let of = |clockwise, r| arc(Plane::Xy, clockwise, [0.0, 0.0], [10.0, 0.0], Format::Radius(r), TOLERANCE_MM);
        for (clockwise, r, below) in
            [(false, 10.0, false), (true, 10.0, true), (false, -10.0, true), (true, -10.0, false)]
        {
            let (a, _) = of(clockwise, r).unwrap();
            assert_eq!(a.centre[1] < 0.0, below, "{clockwise} {r}");
            assert_eq!(a.sweep.abs() > TAU / 2.0, r < 0.0);
            assert_eq!(a.sweep < 0.0, clockwise);
        }
        assert_eq!(of(false, 4.9999).unwrap_err().id(), "arc-short-radius");
        assert_eq!(of(false, 0.0).unwrap_err().id(), "arc-zero-radius");
    }

    #[test]
    fn a_rounded_away_chord_is_not_taken_for_a_circle() {
        assert_eq!(by_centre(false, [-0.0000001, 0.0001], [-10.0, 0.0]).unwrap_err().id(), "arc-tiny-chord");
    }
}
