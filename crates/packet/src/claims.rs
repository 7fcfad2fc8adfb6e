//! What each program claims: from the part and the clamping to the proof's plain figures.
//!
//! The proof trusts nothing that comes from a tool's path, so a claim is worked out here from the case's own cuts and
//! the clamping alone, and not with the emitter's means.

use case::{Case, Cut, Dir, Part};
use proof::{Arcs, Box3, Claim, Controller, Other, Prism, Vertex};
use routing::{Program, Setup};

/// The claim of one program among all of a case.
pub fn claim(case: &Case, program: &Program, all: &[Program], machine: &routing::Machine) -> Option<Claim> {
    let part = case.part(*program.parts.first()?);
    let setup = &program.setup;
    let size = setup.size.map(measure::Length::mm);
    let (mut cuts, mut elsewhere) = (Vec::new(), Vec::new());
    let only_tool = match program.tools.as_slice() {
        [(tool, _)] => Some(tool.number),
        _ => None,
    };
    let made = |i: usize| program.cuts.contains(&part.cut_id(i));
    for (i, cut) in part.cuts.iter().enumerate().filter(|(_, c)| c.from == setup.up) {
        let prism = prism(part, setup, cut);
        if made(i) {
            cuts.push(proof::Cut { id: part.cut_id(i), through: part.is_through(cut), prism, tool: only_tool });
        } else {
            // Where cuts of two programs overlap, the one with the larger cut is held to clear it; by number when they
            // are as large. What is left to hand relieves nobody.
            let size = |i: usize| part.cuts[i].outline.area();
            let mut overlapping = (0..part.cuts.len()).filter(|j| made(*j) && overlap(cut, &part.cuts[*j]));
            let relieves = all.iter().any(|p| p.cuts.contains(&part.cut_id(i)))
                && overlapping.all(|j| (size(i), j) > (size(j), i));
            elsewhere.push(Other { prism, relieves });
        }
    }
    let clamp = |c: &[f64; 4]| Box3::new([c[0], c[2]], [c[1], c[3]], [-size[2], program.clamp_height]);
    Some(Claim {
        stock: Box3::new([0.0, size[0]], [0.0, size[1]], [-size[2], 0.0]),
        cuts,
        elsewhere,
        tabs: Vec::new(),
        clamps: program.clamps.iter().map(clamp).collect(),
        tools: program.tools.iter().map(|(tool, feeds)| tool_entry(tool, feeds)).collect(),
        machine: machine_entry(machine),
        run_out: machine.run_out.mm(),
        spoilboard: program.spoilboard,
    })
}

/// Two cuts from one face may have room in common.
fn overlap(a: &Cut, b: &Cut) -> bool {
    let ([a, b], meet) = ([a, b].map(|c| c.outline.bounds()), |a: [_; 2], b: [_; 2]| a[0] < b[1] && b[0] < a[1]);
    meet(a[0], b[0]) && meet(a[1], b[1])
}

/// A cut as it stands under the spindle.
fn prism(part: &Part, setup: &Setup, cut: &Cut) -> Prism {
    let along = |p: [f64; 3], d: Dir| {
        let i = d.axis.index();
        let v = p[i] - setup.origin[i].mm();
        if d.positive { v } else { -v }
    };
    let (u, v) = cut.from.axis.others();
    let place = |a: f64, b: f64, depth: f64| {
        let mut p = [0.0; 3];
        (p[u.index()], p[v.index()]) = (a, b);
        let i = cut.from.axis.index();
        p[i] = if cut.from.positive { part.size[i].mm() - depth } else { depth };
        [along(p, setup.x_axis), along(p, setup.y_axis), along(p, setup.up)]
    };
    // Seen from behind, what turned counter-clockwise turns clockwise.
    let ([x0, y0, _], [x1, y1, _], [x2, y2, _]) = (place(0.0, 0.0, 0.0), place(1.0, 0.0, 0.0), place(0.0, 1.0, 0.0));
    let turn = ((x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)).signum();
    let corner = |c: &case::Vertex| {
        let [x, y, _] = place(c.u.mm(), c.v.mm(), 0.0);
        Vertex { x, y, bulge: c.bulge * turn }
    };
    let depth = cut.depth.min(part.size[cut.from.axis.index()]).mm();
    let [top, bottom] = [0.0, depth].map(|d| place(0.0, 0.0, d)[2]);
    Prism { outline: cut.outline.0.iter().map(corner).collect(), z_top: top, z_bottom: bottom }
}

/// Slower than this share of the feed that its chip load asks for, a bit rubs and burns.
const SLOWEST: f64 = 0.25;

fn tool_entry(tool: &routing::Tool, feeds: &routing::Feeds) -> proof::Tool {
    let kind = match tool.kind {
        routing::ToolKind::Straight => proof::ToolKind::Straight,
        routing::ToolKind::Drill => proof::ToolKind::Drill,
    };
    proof::Tool {
        number: tool.number,
        kind,
        diameter: tool.diameter.mm(),
        point: None,
        flute: tool.flute.mm(),
        holder: tool.holder.mm(),
        stick_out: tool.stick_out.mm(),
        plunges: tool.plunges,
        ramp: tool.ramp,
        rpm: tool.rpm,
        feed: [SLOWEST * feeds.cut, feeds.cut],
        plunge_feed: feeds.plunge,
    }
}

fn machine_entry(machine: &routing::Machine) -> proof::Machine {
    let c = &machine.controller;
    proof::Machine {
        travel: machine.travel.map(measure::Length::mm),
        rapid: machine.rapid,
        feed: machine.feed,
        acceleration: machine.acceleration,
        spindle: machine.spindle,
        tool_change: machine.tool_change,
        controller: Controller {
            tool_change: c.tool_change,
            canned_cycles: c.canned_cycles,
            length_offset: c.length_offset,
            path_control: false,
            arcs: match c.arcs {
                routing::Arcs::None => Arcs::None,
                routing::Arcs::Quadrant => Arcs::Quadrant,
                routing::Arcs::Half => Arcs::Half,
                routing::Arcs::Whole => Arcs::Whole,
            },
            radius_arcs: false,
            line_numbers: c.line_numbers,
            percent: c.percent,
            coolant: false,
            inverse_time: false,
            inch: true,
            dwell: false,
            rare: false,
            bare_numbers: false,
        },
    }
}
