//! One clamping worked through: what each tool does in it, where clamps may stand, what is left.

use case::Part;
use measure::{Length, Unit};

use crate::clamp;
use crate::curve::{Bounds, dist};
use crate::hole::bore;
use crate::machine::Machine;
use crate::operation::{self, Bench, Method, Operation, Work};
use crate::path::{Move, Pen};
use crate::pocket::{Cutting, NoEntry, pocket};
use crate::profile::{Kerf, profile};
use crate::round::open_corners;
use crate::setup::Setup;
use crate::tool::{Feeds, Stuff, Tool, ToolTable, decimal};
use crate::wall::Field;

/// Left on the walls for the last round, in mm. Thin enough to be taken at full depth.
pub(crate) const ALLOWANCE: f64 = 0.3;

/// Between rows, as a share of the diameter. Above a half a row would leave the last one's edge standing.
const STEP: f64 = 0.45;

/// How far a tool's edge clears the blank where it runs out, in mm.
const RUN: f64 = 1.0;

/// What is done in one clamping.
pub(crate) struct Job {
    pub(crate) setup: Setup,
    /// By tool, in the order of use; empty if nothing is machined.
    pub(crate) shares: Vec<Share>,
    pub(crate) clamps: Vec<Bounds>,
    /// What tools sweep below the clamps' tops.
    pub(crate) swept: Vec<Bounds>,
    /// Indices of the cuts that are left, and why.
    pub(crate) left: Vec<(usize, String)>,
}

/// One tool's share.
pub(crate) struct Share {
    /// Index into the tool table.
    pub(crate) tool: usize,
    pub(crate) feeds: Feeds,
    pub(crate) moves: Vec<Move>,
    /// Indices of the cuts that it makes.
    pub(crate) cuts: Vec<usize>,
    /// Of those with inside corners the index, and how many.
    pub(crate) corners: Vec<(usize, usize)>,
    /// What is cut of those that are not cleared, by index.
    pub(crate) kerfs: Vec<(usize, Kerf)>,
    /// Those that go with an offcut.
    pub(crate) dropped: Vec<usize>,
}

/// The machine, the tools, and the unit in which to talk of them.
#[derive(Clone, Copy)]
pub(crate) struct Means<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) tools: &'a ToolTable,
    pub(crate) unit: Unit,
}

impl Job {
    /// Works through the cuts of those indices.
    pub(crate) fn new(part: &Part, setup: Setup, cuts: &[usize], means: Means<'_>) -> Self {
        let bench = Bench::new(part, &setup, cuts);
        let (works, fields) = (&bench.works, bench.fields());
        let (operations, mut left) = operation::plan(works, &fields, means.tools, means.machine);
        let mut shares = Vec::new();
        let mut swept: Vec<Bounds> = Vec::new();
        let mut tools: Vec<usize> = operations.iter().map(|o| o.tool).collect();
        tools.dedup();
        for t in tools {
            let tool = &means.tools.tools[t];
            let operations: Vec<&Operation> = operations.iter().filter(|o| o.tool == t).collect();
            let deep = operations.iter().map(|o| depth(&works[o.works[0]], means.machine)).fold(0.0, f64::max);
            if let Err(why) = reaches(&setup, tool, deep, means) {
                let these = operations.iter().flat_map(|o| &o.works);
                left.extend(these.map(|w| (works[*w].index, why.clone())));
                continue;
            }
            let mut pen = Pen::new(means.machine.clear.mm(), means.machine.approach.mm());
            let mut cuts = Vec::new();
            let mut corners: Vec<(usize, usize)> = Vec::new();
            let mut kerfs = Vec::new();
            let mut dropped = Vec::new();
            for o in in_order(operations, works) {
                let before = pen.moves.len();
                let indices = o.works.iter().map(|w| works[*w].index);
                let (w, field) = (&works[o.works[0]], &fields[o.works[0]]);
                if let Ok(kerf) = write(&mut pen, o, &bench, w, field, tool, means.machine) {
                    if let Some(kerf) = kerf {
                        kerfs.push((w.index, kerf));
                        dropped.extend(indices.clone().skip(1));
                    }
                    swept.extend(clamp::swept(&pen.moves[before..], tool, means.machine));
                    cuts.extend(indices);
                    match corners.last_mut() {
                        Some((index, count)) if *index == w.index => *count += o.corners,
                        _ => corners.push((w.index, o.corners)),
                    }
                } else {
                    pen.take_back(before);
                    left.extend(indices.map(|i| (i, "there is no room for the bit to ramp in".into())));
                }
            }
            let feeds = tool.feeds(means.machine, Stuff::of(&part.material));
            shares.push(Share { tool: t, feeds, moves: pen.moves, cuts, corners, kerfs, dropped });
        }
        left.sort_by_key(|(i, _)| *i);
        left.dedup_by_key(|(i, _)| *i);
        // A cut that is made in part only is not made.
        let whole = |i: &usize| !left.iter().any(|(l, _)| l == i);
        for s in &mut shares {
            s.cuts.retain(whole);
            s.cuts.sort_unstable();
            s.cuts.dedup();
            s.corners.retain(|(i, count)| *count > 0 && whole(i));
        }
        shares.retain(|s| !s.cuts.is_empty());
        let clamps = clamp::places(&bench.blank(), &swept, means.machine);
        Self { setup, shares, clamps, swept, left }
    }
}

/// Whether the spindle gets high enough over the stock with a tool, and low enough for it to cut that deep.
pub(crate) fn reaches(setup: &Setup, tool: &Tool, depth: f64, means: Means<'_>) -> Result<(), String> {
    let m = means.machine;
    let show = |l| format!("{} {}", decimal(l, means.unit), means.unit);
    let most = m.daylight - m.clear - tool.stick_out;
    if setup.height() > most {
        let mend = "cut it by hand, or upright at the edge of the table";
        let height = show(setup.height());
        return Err(format!(
            "{height} is too tall under the spindle with {}; {} at most: {mend}",
            tool.name,
            show(most)
        ));
    }
    let lowest = m.daylight - m.travel[2] - tool.stick_out;
    let short = lowest - (setup.height() - Length::from_mm(depth));
    if short > Length::ZERO {
        return Err(format!("{} does not reach down by {}; pack the work up as much", tool.name, show(short)));
    }
    Ok(())
}

/// How deep the tool goes for a work.
fn depth(w: &Work, machine: &Machine) -> f64 {
    w.depth + if w.through { machine.spoilboard.mm() } else { 0.0 }
}

/// How a tool clears.
pub(crate) fn cutting(tool: &Tool) -> Cutting {
    Cutting {
        radius: tool.radius(),
        allowance: ALLOWANCE,
        step: STEP * tool.diameter.mm(),
        pass: tool.pass.mm(),
        ramp: libm::tan(tool.ramp.clamp(0.1, 80.0).to_radians()),
        run: RUN,
        plunges: tool.plunges,
    }
}

/// Writes one operation.
fn write(
    pen: &mut Pen,
    o: &Operation,
    bench: &Bench,
    w: &Work,
    field: &Field,
    tool: &Tool,
    machine: &Machine,
) -> Result<Option<Kerf>, NoEntry> {
    let depth = depth(w, machine);
    let cutting = cutting(tool);
    let field = field.window(&w.region.bounds, 3.0 * tool.diameter.mm());
    let mut kerf = None;
    match o.method {
        Method::Down(at) => pen.hole(at, -depth, tool.pass.mm()),
        Method::Bore(centre, radius) => bore(pen, centre, radius, depth, &cutting),
        Method::Profile => kerf = profile(pen, &field, &w.region, w.depth, depth, &cutting),
        Method::Pocket => {}
    }
    if kerf.is_none() && matches!(o.method, Method::Pocket | Method::Profile) {
        pocket(pen, &field, &w.region, depth, &cutting)?;
        if o.corners > 0 {
            for (lesser, upper) in bench.shallower(w) {
                open_corners(pen, &upper, &field, &w.region, lesser, &cutting);
            }
        }
    }
    pen.lift();
    Ok(kerf)
}

/// Operations from the nearest to the next nearest, from program zero on.
fn in_order<'a>(mut open: Vec<&'a Operation>, works: &[Work]) -> Vec<&'a Operation> {
    let place = |o: &Operation| {
        let b = &works[o.works[0]].region.bounds;
        [(b[0] + b[2]) / 2.0, (b[1] + b[3]) / 2.0]
    };
    let mut at = [0.0; 2];
    let mut out = Vec::new();
    while !open.is_empty() {
        let far = |o: &Operation| dist(at, place(o));
        let next = (0..open.len()).min_by(|&i, &j| far(open[i]).total_cmp(&far(open[j]))).unwrap_or(0);
        let o = open.remove(next);
        at = place(o);
        out.push(o);
    }
    out
}
