//! Words that the claim's controller does not understand, and tools that it does not have.

use crate::claim::{Arcs, TextUnit};
use crate::reader::Feature;
use crate::report::{Finding, Rule};

use super::{Run, at_line};

/// What small controllers hold of a line, spaces and comments left out.
const SHORT_LINE: Feature = Feature::LongLine;

pub(crate) fn controller(run: &Run<'_>, out: &mut Vec<Finding>) {
    let c = &run.claim.machine.controller;
    let refused = [
        (Feature::CannedCycle, c.canned_cycles),
        (Feature::ToolChange, c.tool_change),
        (Feature::LengthOffset, c.length_offset),
        (Feature::PathControl, c.path_control),
        (Feature::Percent, c.percent),
        (Feature::BlockDelete, c.rare),
        (Feature::OptionalStop, c.rare),
        (Feature::Rare, c.rare),
        (SHORT_LINE, c.rare),
        (Feature::NotAscii, c.rare),
        (Feature::Coolant, c.coolant),
        (Feature::LineNumber, c.line_numbers),
        (Feature::NoPoint, c.bare_numbers),
        (Feature::RadiusArc, c.radius_arcs),
        (Feature::FullCircle, c.arcs >= Arcs::Whole),
        (Feature::LongArc, c.arcs >= Arcs::Whole),
        (Feature::OtherPlane, c.arcs >= Arcs::Whole),
        (Feature::InverseTime, c.inverse_time),
        (Feature::Inch, c.inch),
        (Feature::Dwell, c.dwell),
    ];
    for (feature, taken) in refused {
        if let Some(place) = run.reading.uses(feature).filter(|_| !taken) {
            let what = format!("the controller does not take {}", feature.name());
            out.push(at_line(Rule::Controller, place.line, 1.0, 0.0, what));
        }
    }
    agreed(run, out);
    if c.arcs < Arcs::Half {
        arcs(run, out);
    }
    tools(run, out);
}

/// The text is in the unit that is promised, and counts from the zero that the operator sets.
fn agreed(run: &Run<'_>, out: &mut Vec<Finding>) {
    if let Some(unit) = run.claim.unit {
        let (mm, name) = if unit == TextUnit::Inch { (25.4, "inches (G20)") } else { (1.0, "millimetres (G21)") };
        if let Some((line, found)) = run.reading.units.iter().find(|(_, found)| *found != mm) {
            let what = format!("one unit is {found} mm here, the program is to be in {name}");
            out.push(at_line(Rule::Units, *line, *found, mm, what));
        }
    }
    let Some(offset) = &run.claim.work_offset else { return };
    if let Some((line, found)) = run.reading.systems.iter().find(|(_, found)| found.to_string() != *offset) {
        let what = format!("{found} counts from another zero than {offset}, which the operator sets");
        out.push(at_line(Rule::Offset, *line, f64::from(found.0) / 10.0, 0.0, what));
    }
}

/// Arcs where the controller takes none, or none across a quadrant.
fn arcs(run: &Run<'_>, out: &mut Vec<Finding>) {
    let quarter = std::f64::consts::FRAC_PI_2;
    let none = run.claim.machine.controller.arcs == Arcs::None;
    for m in &run.reading.motions {
        let Some(a) = m.arc else { continue };
        let (from, to) = (a.start.min(a.start + a.sweep) / quarter, a.start.max(a.start + a.sweep) / quarter);
        if none || (from + 1e-6).floor() + 1.0 < to - 1e-6 {
            let what =
                if none { "the controller takes no arcs" } else { "the controller takes no arc across a quadrant" };
            out.push(at_line(Rule::Controller, m.line, a.sweep.abs().to_degrees(), 90.0, what.into()));
        }
    }
}

/// Every move needs a tool that the claim knows, and on a machine that takes up tool lengths, its length.
fn tools(run: &Run<'_>, out: &mut Vec<Finding>) {
    let mut last = None;
    for m in run.reading.motions.iter().filter(|m| !m.rapid) {
        if last == Some(m.tool) {
            continue;
        }
        last = Some(m.tool);
        if run.tool(m.tool).is_none() {
            let what = if m.tool == 0 {
                "a feed move, and no tool has been put in".into()
            } else {
                format!("tool T{} is not among those at hand", m.tool)
            };
            out.push(at_line(Rule::Tool, m.line, f64::from(m.tool), 0.0, what));
        }
    }
    if let Some((line, t)) = run.reading.changes.first()
        && run.claim.machine.controller.length_offset
        && run.reading.uses(Feature::LengthOffset).is_none()
    {
        let what = format!("the length of T{t} is not taken up (G43)");
        out.push(at_line(Rule::Tool, *line, f64::from(*t), 0.0, what));
    }
}
