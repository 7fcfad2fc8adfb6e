//! How long a path runs: trapezoids of speed between corners, tool changes added.
//!
//! A corner that is not smooth is taken as a stop, as controllers without blending make it. Real machines differ by
//! their own settings; the figure is for planning a day, not for a stopwatch.

use crate::curve::{Curve, dist};
use crate::machine::Machine;
use crate::path::{Move, P3, Rate};
use crate::tool::Feeds;

/// One straight or round stretch, in mm and mm/s.
#[derive(Clone, Copy, Debug)]
struct Leg {
    length: f64,
    speed: f64,
    acceleration: f64,
    start: P3,
    end: P3,
}

/// Seconds that the moves of one tool take from the clear height and back, without its change.
pub(crate) fn seconds(moves: &[Move], feeds: &Feeds, machine: &Machine) -> f64 {
    let mut legs: Vec<Leg> = Vec::new();
    let mut at: Option<P3> = None;
    let rate = |r: Rate| match r {
        Rate::Cut => feeds.cut,
        Rate::Ramp => feeds.ramp,
        Rate::Plunge => feeds.plunge,
    };
    for m in moves {
        let from = at;
        match *m {
            Move::Rapid(to) => {
                legs.extend(from.and_then(|f| straight(f, to, None, machine)));
                at = Some(to);
            }
            Move::Line(to, r) => {
                legs.extend(from.and_then(|f| straight(f, to, Some(rate(r)), machine)));
                at = Some(to);
            }
            Move::Arc { to, centre, sweep, rate: r } => {
                if let Some(f) = from {
                    legs.push(round(f, to, centre, sweep, rate(r), machine));
                }
                at = Some(to);
            }
            Move::Hole { at: p, bottom, peck } => {
                let top = machine.approach.mm();
                let n = (-bottom / peck - 1e-9).ceil().max(1.0);
                let z = |z: f64| [p[0], p[1], z];
                let mut floor = 0.0;
                let mut k = 1.0;
                while k <= n {
                    if k > 1.0 {
                        legs.extend(straight(z(top), z(floor + 0.5), None, machine));
                    }
                    let from = if k > 1.0 { floor + 0.5 } else { top };
                    floor = bottom * k / n;
                    legs.extend(straight(z(from), z(floor), Some(feeds.plunge), machine));
                    legs.extend(straight(z(floor), z(top), None, machine));
                    k += 1.0;
                }
                at = Some(z(top));
            }
        }
    }
    total(&legs)
}

fn straight(from: P3, to: P3, feed: Option<f64>, machine: &Machine) -> Option<Leg> {
    let d: P3 = std::array::from_fn(|i| to[i] - from[i]);
    let length = (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt();
    if length <= 0.0 {
        return None;
    }
    let u = d.map(|x| x / length);
    let along = |limit: &[f64; 3]| {
        (0..3).filter(|&i| u[i].abs() > 1e-9).map(|i| limit[i] / u[i].abs()).fold(f64::INFINITY, f64::min)
    };
    let speed = feed.unwrap_or_else(|| along(&machine.rapid)).min(along(&machine.rapid)) / 60.0;
    Some(Leg { length, speed, acceleration: along(&machine.acceleration), start: u, end: u })
}

fn round(from: P3, to: P3, centre: [f64; 2], sweep: f64, feed: f64, machine: &Machine) -> Leg {
    let radius = dist([from[0], from[1]], centre);
    let start = libm::atan2(from[1] - centre[1], from[0] - centre[0]);
    let c = Curve::arc(centre, radius, start, sweep);
    let (flat, rise) = (c.length(), to[2] - from[2]);
    let length = libm::hypot(flat, rise).max(1e-9);
    let dir = |t: f64| {
        let u = c.tangent(t);
        [u[0] * flat / length, u[1] * flat / length, rise / length]
    };
    let a = machine.acceleration[0].min(machine.acceleration[1]);
    // Round a small circle the turning itself uses up the acceleration.
    let speed = (feed / 60.0).min((a * radius).sqrt());
    Leg { length, speed, acceleration: a, start: dir(0.0), end: dir(1.0) }
}

fn total(legs: &[Leg]) -> f64 {
    let n = legs.len();
    // Speed at the start of each leg, and at the very end.
    let mut joint = vec![0.0; n + 1];
    for i in 1..n {
        let (a, b) = (&legs[i - 1], &legs[i]);
        let turn: f64 = (0..3).map(|k| a.end[k] * b.start[k]).sum();
        if turn > 0.98 {
            joint[i] = a.speed.min(b.speed);
        }
    }
    for i in 0..n {
        let reach = (joint[i] * joint[i] + 2.0 * legs[i].acceleration * legs[i].length).sqrt();
        joint[i + 1] = f64::min(joint[i + 1], reach);
    }
    for i in (0..n).rev() {
        let reach = (joint[i + 1] * joint[i + 1] + 2.0 * legs[i].acceleration * legs[i].length).sqrt();
        joint[i] = f64::min(joint[i], reach);
    }
    legs.iter().enumerate().map(|(i, l)| trapezoid(l, joint[i], joint[i + 1])).sum()
}

fn trapezoid(l: &Leg, v0: f64, v1: f64) -> f64 {
    let a = l.acceleration;
    let peak = ((2.0 * a * l.length + v0 * v0 + v1 * v1) / 2.0).sqrt().min(l.speed);
    let ramps = (2.0 * peak * peak - v0 * v0 - v1 * v1) / (2.0 * a);
    (peak - v0) / a + (peak - v1) / a + (l.length - ramps).max(0.0) / peak
}

#[cfg(test)]
mod tests {
    use super::*;

    fn machine() -> Machine {
        Machine { rapid: [6000.0; 3], acceleration: [100.0; 3], ..Machine::default() }
    }
    const FEEDS: Feeds = Feeds { rpm: 18_000.0, cut: 3000.0, ramp: 1500.0, plunge: 900.0 };

    #[test]
    fn a_long_move_is_a_trapezoid_and_a_short_one_a_triangle() {
        let line = |x: f64| vec![Move::Rapid([0.0; 3]), Move::Line([x, 0.0, 0.0], Rate::Cut)];
        // 50 mm/s at 100 mm/s²: half a second and 12.5 mm up, the same down, 75 mm between at 50 mm/s.
        assert!((seconds(&line(100.0), &FEEDS, &machine()) - 2.5).abs() < 1e-9);
        // 4 mm: up for 2 mm, down for 2 mm: 2 · √(2·2/100).
        assert!((seconds(&line(4.0), &FEEDS, &machine()) - 0.4).abs() < 1e-9);
    }

    #[test]
    fn a_straight_joint_costs_nothing_and_a_corner_does() {
        let via = |p: P3| {
            let m = vec![Move::Rapid([0.0; 3]), Move::Line(p, Rate::Cut), Move::Line([100.0, 0.0, 0.0], Rate::Cut)];
            seconds(&m, &FEEDS, &machine())
        };
        assert!((via([50.0, 0.0, 0.0]) - 2.5).abs() < 1e-9);
        assert!(via([50.0, 50.0, 0.0]) > 3.5);
    }
}
