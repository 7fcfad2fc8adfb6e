//! Room: the machine's travel, the run-out beside the stock, the spoilboard below it, the clamps on it.

use crate::report::{Finding, Rule};
use crate::sweep::curve::Bounds;
use crate::sweep::path::{Stretch, gap_to_box};

use super::{Run, at_line};

/// Rounded figures may exceed a limit by this, mm.
const ROUNDING: f64 = 1e-3;

pub(crate) fn room(run: &Run<'_>, out: &mut Vec<Finding>) {
    travel(run, out);
    beside_and_below(run, out);
    clamps(run, out);
}

fn travel(run: &Run<'_>, out: &mut Vec<Finding>) {
    let mut min = [(f64::INFINITY, 0); 3];
    let mut max = [(f64::NEG_INFINITY, 0); 3];
    for s in run.path {
        let line = run.line(s);
        let (low, high) = (s.bounds.min, s.bounds.max);
        let known = |axis: usize| !(s.blind && run.reading.motions[s.motion].blind & (1 << axis) != 0);
        let ranges = [[low[0], high[0]], [low[1], high[1]], [s.lowest(), s.highest()]];
        for (axis, [low, high]) in ranges.into_iter().enumerate().filter(|(axis, _)| known(*axis) || !s.rapid) {
            if low < min[axis].0 {
                min[axis] = (low, line);
            }
            if high > max[axis].0 {
                max[axis] = (high, line);
            }
        }
    }
    for axis in 0..3 {
        let (needed, limit) = (max[axis].0 - min[axis].0, run.claim.machine.travel[axis]);
        if needed > limit + ROUNDING {
            let name = ["X", "Y", "Z"][axis];
            let line = max[axis].1.max(min[axis].1);
            let what = format!("the program runs over {needed:.1} mm along {name}, the machine over {limit:.1} mm");
            out.push(at_line(Rule::Travel, line, needed, limit, what));
        }
    }
}

fn beside_and_below(run: &Run<'_>, out: &mut Vec<Finding>) {
    let claim = run.claim;
    let (min, max) = (claim.stock.min, claim.stock.max);
    for s in run.path {
        let b = s.bounds.grown(s.r);
        let beside = (min[0] - b.min[0]).max(b.max[0] - max[0]).max(min[1] - b.min[1]).max(b.max[1] - max[1]);
        let end = [s.curve.to()[0], s.curve.to()[1], s.lowest()];
        if beside > claim.run_out + ROUNDING {
            let what =
                format!("the tool's edge goes {beside:.2} mm beside the stock, {:.2} mm is allowed", claim.run_out);
            let finding = at_line(Rule::RunOut, run.line(s), beside, claim.run_out, what);
            out.push(Finding { at: Some(end), given: run.given(s, end), ..finding });
        }
        let motion = &run.reading.motions[s.motion];
        let below = min[2] - motion.from[2].min(motion.to[2]);
        if below > claim.spoilboard + ROUNDING {
            let what = format!("the tool goes {below:.3} mm below the stock, {:.3} mm is allowed", claim.spoilboard);
            let finding = at_line(Rule::Spoilboard, run.line(s), below, claim.spoilboard, what);
            out.push(Finding { at: Some(end), given: run.given(s, end), ..finding });
        }
    }
}

fn clamps(run: &Run<'_>, out: &mut Vec<Finding>) {
    for s in run.path {
        let motion = &run.reading.motions[s.motion];
        let tip = motion.from[2].min(motion.to[2]);
        let Some(tool) = run.tool(motion.tool) else { continue };
        for c in &run.claim.clamps {
            let b = Bounds { min: [c.min[0], c.min[1]], max: [c.max[0], c.max[1]] };
            let bodies = [(s.r, tip, "the tool"), (tool.holder / 2.0, tip + tool.stick_out, "the holder")];
            let hit = bodies.into_iter().find(|(r, z, _)| *z < c.max[2] && near(s, &b, *r));
            if let Some((r, z, body)) = hit {
                let at = s.curve.to();
                let what = format!("{body} runs into a clamp");
                let finding = at_line(Rule::Clamp, run.line(s), r - gap_to_box(&s.curve, &b), 0.0, what);
                out.push(Finding { at: Some([at[0], at[1], z]), given: run.given(s, [at[0], at[1], z]), ..finding });
            }
        }
    }
}

fn near(s: &Stretch, b: &Bounds, r: f64) -> bool {
    s.bounds.grown(r).meets(b) && gap_to_box(&s.curve, b) < r
}
