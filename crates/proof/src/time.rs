//! Run time: every move speeds up and slows down within the axes' accelerations, and passes a corner as fast as a small
//! rounding of it would allow.

use crate::claim::Machine;
use crate::reader::{Motion, Reading};

/// How far from a corner the rounding may run that sets the speed there, mm; about what controllers are set to (common
/// practice, no source).
const CORNER: f64 = 0.01;

/// Seconds for the whole program.
pub(crate) fn seconds(reading: &Reading, machine: &Machine) -> f64 {
    let moves: Vec<Move> = reading.motions.iter().filter_map(|m| Move::new(m, machine)).collect();
    // The speed at the start of each move: what the corner allows, then what can be reached and what can be stopped from.
    let mut entry = vec![0.0_f64; moves.len() + 1];
    for i in 1..moves.len() {
        entry[i] = corner_speed(&moves[i - 1], &moves[i]);
    }
    for (i, m) in moves.iter().enumerate().rev() {
        entry[i] = entry[i].min((entry[i + 1] * entry[i + 1] + 2.0 * m.acceleration * m.length).sqrt());
    }
    for (i, m) in moves.iter().enumerate() {
        entry[i + 1] = entry[i + 1].min((entry[i] * entry[i] + 2.0 * m.acceleration * m.length).sqrt());
    }
    let moving: f64 = moves.iter().enumerate().map(|(i, m)| m.seconds(entry[i], entry[i + 1])).sum();
    moving + reading.dwell + reading.changes.len() as f64 * machine.tool_change
}

/// A move as the axes feel it: mm, mm/s, mm/s².
struct Move {
    length: f64,
    speed: f64,
    acceleration: f64,
    first: [f64; 3],
    last: [f64; 3],
}

impl Move {
    fn new(m: &Motion, machine: &Machine) -> Option<Self> {
        let length = m.length();
        if length < 1e-9 || !length.is_finite() {
            return None;
        }
        let (first, last) = directions(m, length);
        // An arc turns through all directions of its plane.
        let share = |axis: usize| match m.arc {
            Some(a) if a.plane.axes()[2] != axis => 1.0,
            _ => first[axis].abs(),
        };
        let slowest = |per_axis: &[f64; 3]| {
            let each = (0..3).filter(|i| share(*i) > 1e-9).map(|i| per_axis[i] / share(i));
            each.fold(f64::INFINITY, f64::min)
        };
        let top = slowest(&machine.rapid) / 60.0;
        let speed = if m.rapid { top } else { (m.feed / 60.0).min(top) };
        let acceleration = slowest(&machine.acceleration);
        (speed > 0.0 && acceleration > 0.0).then_some(Self { length, speed, acceleration, first, last })
    }

    /// From one speed to another over the length, at most at the top speed.
    fn seconds(&self, from: f64, to: f64) -> f64 {
        let a = self.acceleration;
        if !a.is_finite() {
            return self.length / self.speed;
        }
        let peak = (a * self.length + (from * from + to * to) / 2.0).sqrt().min(self.speed.max(from).max(to));
        let ramps = (peak - from + peak - to) / a;
        let on_ramps = (2.0 * peak * peak - from * from - to * to) / (2.0 * a);
        ramps + (self.length - on_ramps).max(0.0) / peak
    }
}

/// Unit vectors of the way at start and end.
fn directions(m: &Motion, length: f64) -> ([f64; 3], [f64; 3]) {
    let Some(a) = m.arc else {
        let d = [0, 1, 2].map(|i| (m.to[i] - m.from[i]) / length);
        return (d, d);
    };
    let [u, v, w] = a.plane.axes();
    let along = a.radius * a.sweep / length;
    let climb = (m.to[w] - m.from[w]) / length;
    let at = |angle: f64| {
        let (sin, cos) = libm::sincos(angle);
        let mut d = [0.0; 3];
        (d[u], d[v], d[w]) = (-sin * along, cos * along, climb);
        d
    };
    (at(a.start), at(a.start + a.sweep))
}

fn corner_speed(a: &Move, b: &Move) -> f64 {
    let cos = -(a.last[0] * b.first[0] + a.last[1] * b.first[1] + a.last[2] * b.first[2]);
    let most = a.speed.min(b.speed);
    if cos > 0.999_999 {
        return 0.0;
    }
    if cos < -0.999_999 {
        return most;
    }
    let half = ((1.0 - cos) / 2.0).sqrt();
    let allowed = (a.acceleration.min(b.acceleration) * CORNER * half / (1.0 - half)).sqrt();
    most.min(allowed)
}
