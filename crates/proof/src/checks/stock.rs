//! The stock at the moment of each move: rapids, holder, plunges and flutes against what is left of it.

use crate::claim::{Tool, ToolKind};
use crate::report::{Finding, Rule};
use crate::sweep::curve::{Bounds, Curve};
use crate::sweep::path::{Stretch, gap_to_box};
use crate::sweep::region::LEVEL;
use crate::sweep::remaining::Remaining;

use super::{Run, at_line};

pub(crate) fn stock(run: &Run<'_>, out: &mut Vec<Finding>) {
    let (min, max) = (run.claim.stock.min, run.claim.stock.max);
    let bounds = Bounds { min: [min[0], min[1]], max: [max[0], max[1]] };
    let remaining = Remaining { stock: bounds, top: max[2], path: run.path };
    for (i, s) in run.path.iter().enumerate() {
        if s.lowest() >= max[2] - LEVEL {
            continue;
        }
        let Some(tool) = run.tool(run.reading.motions[s.motion].tool) else { continue };
        let mut add = |rule, figure: f64, limit: f64, what: String| {
            let p = s.curve.at(0.5);
            let at = [p[0], p[1], s.lowest()];
            out.push(Finding {
                at: Some(at),
                given: run.given(s, at),
                ..at_line(rule, run.line(s), figure, limit, what)
            });
        };
        if s.rapid {
            if rapid_touches(&remaining, s, i) {
                add(Rule::Rapid, max[2] - s.lowest(), 0.0, "a rapid move goes through wood that is still there".into());
            }
        } else if gap_to_box(&s.curve, &bounds) < s.r {
            feeding(&remaining, s, i, tool, &mut add);
        }
        let holder = tool.stick_out + s.lowest() - tool.point_height();
        if holder < max[2] - LEVEL && remaining.touched(&s.curve, tool.holder / 2.0, holder, i + 1) {
            let what = format!("the holder of T{} touches wood that is still there", tool.number);
            add(Rule::Holder, max[2] - holder, 0.0, what);
        }
    }
}

/// A controller may bend a slanting rapid, each axis at its own top speed; both ways round must be clear then.
fn rapid_touches(remaining: &Remaining<'_>, s: &Stretch, i: usize) -> bool {
    let (a, b) = (s.curve.from(), s.curve.to());
    if s.blind {
        // From nowhere known: only above everything is safe.
        return true;
    }
    if a == b {
        // Straight up, the tool stays where it has been.
        return s.z[1] < s.z[0] && remaining.touched(&s.curve, s.r, s.lowest(), i);
    }
    let bent = [[a[0], b[1]], [b[0], a[1]]];
    let ways = [Curve::line(a, b), Curve::line(a, bent[0]), Curve::line(bent[0], b), Curve::line(a, bent[1])];
    ways.iter().chain(&[Curve::line(bent[1], b)]).any(|way| remaining.touched(way, s.r, s.lowest(), i))
}

fn feeding(
    remaining: &Remaining<'_>,
    s: &Stretch,
    i: usize,
    tool: &Tool,
    add: &mut impl FnMut(Rule, f64, f64, String),
) {
    let depth = remaining.top - s.lowest() + tool.point_height();
    if depth > tool.flute + LEVEL {
        let what = format!("{depth:.2} mm deep, the flutes of T{} are {:.2} mm long", tool.number, tool.flute);
        add(Rule::Flute, depth, tool.flute, what);
    }
    let run = s.curve.length();
    if tool.kind == ToolKind::Drill && run > 1e-3 && remaining.touched(&s.curve, s.r, s.lowest(), i) {
        add(Rule::Sideways, run, 0.0, format!("T{} is a drill and is moved sideways in the wood", tool.number));
    }
    let fall = s.z[0] - s.z[1];
    if !tool.plunges && fall > LEVEL {
        let angle = libm::atan2(fall, run).to_degrees();
        if angle > tool.ramp + 1e-3 && remaining.touched(&s.curve, s.r, s.lowest(), i) {
            let what = format!("T{} goes down at {angle:.1} degrees, it can at {:.1} at most", tool.number, tool.ramp);
            add(Rule::Plunge, angle, tool.ramp, what);
        }
    }
}
