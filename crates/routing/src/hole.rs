//! Round holes bored on a helix by a bit thinner than they are.

use crate::curve::{Curve, P2};
use crate::path::{Pen, Rate};
use crate::pocket::Cutting;

const TURN: f64 = std::f64::consts::TAU;

/// Bores a hole of radius `hole`: down on a helix, once round at the bottom, and once round to size at full depth.
/// Leaves no core if the tool's radius is at least half the hole's.
pub(crate) fn bore(pen: &mut Pen, centre: P2, hole: f64, depth: f64, cut: &Cutting) {
    let full = hole - cut.radius;
    let rough = if full > 2.0 * cut.allowance { full - cut.allowance } else { full };
    let at = |r: f64| [centre[0] + r, centre[1]];
    let round = |r: f64| Curve::arc(centre, r, 0.0, TURN);
    pen.down(at(rough), 0.0);
    let pitch = (TURN * rough * cut.ramp).min(cut.pass);
    let turns = (depth / pitch).ceil().max(1.0);
    let mut k = 1.0;
    while k <= turns {
        pen.along(&round(rough), -depth * k / turns, Rate::Ramp);
        k += 1.0;
    }
    pen.along(&round(rough), -depth, Rate::Cut);
    if full > rough {
        pen.line(at(full));
        pen.along(&round(full), -depth, Rate::Cut);
    }
    pen.line(centre);
    pen.lift();
}
