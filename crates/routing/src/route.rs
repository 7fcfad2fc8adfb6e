//! The whole way for a case: parts, setups, operations, programs, sheets.

use std::rc::Rc;

use case::{Case, Dir, Finding, Level, Part, PartId};
use measure::Unit;

use crate::claim::{Claim, claim};
use crate::clamp;
use crate::curve::Bounds;
use crate::emit::{self, Stretch};
use crate::face;
use crate::hole::bore;
use crate::machine::Machine;
use crate::operation::{self, Bench, Method, Operation, Work};
use crate::path::{Move, Pen};
use crate::pocket::{Cutting, pocket};
use crate::programs::{ByHand, Corners};
use crate::round::open_corners;
use crate::setup::Setup;
use crate::sheet;
use crate::time;
use crate::tool::{Feeds, Stuff, Tool, ToolKind, ToolTable};
use crate::wall::Field;

/// One RS-274 file and what is known of it. Lengths in mm in the program frame.
#[derive(Clone, Debug)]
pub struct Program {
    /// Its name: part, setup and, if there is a file for each tool, the tool: `P05-A-T3.nc`.
    pub file: String,
    /// The set-up sheet that goes with it.
    pub sheet: String,
    /// Its text.
    pub text: String,
    /// The parts it makes, all alike; it is written for the first.
    pub parts: Vec<PartId>,
    /// Which face is up, zero and axes.
    pub setup: Setup,
    /// The unit of its text.
    pub unit: Unit,
    /// Its tools in the order of use, with speed and feeds.
    pub tools: Vec<(Tool, Feeds)>,
    /// Ids of the cuts it makes.
    pub cuts: Vec<String>,
    /// What its tools' radii leave in inside corners.
    pub corners: Vec<Corners>,
    /// What it claims to cut, and with what, for its proof.
    pub claim: Claim,
    /// Places of clamps on the stock that it keeps clear: x min, y min, x max, y max.
    pub clamps: Vec<[f64; 4]>,
    /// Least and greatest x, y, z that the tool's body reaches.
    pub extent: [[f64; 3]; 2],
    /// Run time, tool changes included.
    pub seconds: f64,
}

/// A set-up sheet: plain text.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its name: `P05-A.txt`.
    pub file: String,
    /// Its text.
    pub text: String,
    /// The parts that are set up so.
    pub parts: Vec<PartId>,
}

/// Everything that the router needs for a case.
#[derive(Clone, Debug, Default)]
pub struct Routing {
    /// By part, setup and tool.
    pub programs: Vec<Program>,
    /// One for each setup.
    pub sheets: Vec<Sheet>,
    /// What is left to other means, with the reason.
    pub by_hand: Vec<ByHand>,
    /// The same for whoever reads findings, one for each part and reason.
    pub findings: Vec<Finding>,
}

/// Programs and sheets for all parts of a case. The same case, machine and tools give the same text.
pub fn route(case: &Case, machine: &Machine, tools: &ToolTable) -> Routing {
    let mut out = Routing::default();
    let shop = Shop { case, machine, tools, unit: machine.unit.unwrap_or(case.order.unit) };
    for (first, all) in case.kinds() {
        let is_mirror = |p: &&Part| p.id != first.id && p.same_as.is_some_and(|s| s.mirrored);
        let (mirrored, alike): (Vec<&Part>, Vec<&Part>) = all.into_iter().partition(is_mirror);
        for parts in [alike, mirrored] {
            shop.part(&parts, &mut out);
        }
    }
    out
}

/// What every step needs.
struct Shop<'a> {
    case: &'a Case,
    machine: &'a Machine,
    tools: &'a ToolTable,
    unit: Unit,
}

/// One tool's share of a setup.
struct Share {
    tool: usize,
    feeds: Feeds,
    moves: Vec<Move>,
    works: Vec<usize>,
    corners: Vec<(usize, usize)>,
}

impl Shop<'_> {
    /// All setups of a part and its likes.
    fn part(&self, parts: &[&Part], out: &mut Routing) {
        let Some(part) = parts.first() else { return };
        for e in &part.edges {
            let why = "a moulding bit, a plane or a router by hand works it";
            note(out, part, None, "worked edge", &format!("{} {}: {why}", e.faces[0].name(), e.faces[1].name()));
        }
        let fits = |up: Dir| Setup::for_face(part, up, self.machine, self.unit);
        let deepest = self.tools.tools.iter().filter(|t| t.kind == ToolKind::Straight).map(|t| t.flute).max();
        let deepest = deepest.unwrap_or_default() - self.machine.spoilboard;
        let mut letter = b'A';
        for (up, cuts) in face::assign(part, deepest, &|up| fits(up).is_ok()) {
            match fits(up) {
                Ok(setup) => {
                    let name = format!("{}-{}", part.id, char::from(letter));
                    if self.setup(parts, &setup, &cuts, &name, out) {
                        letter += 1;
                    }
                }
                Err(why) => cuts.into_iter().for_each(|i| left(out, part, i, &why)),
            }
        }
    }

    /// One setup; whether anything is machined in it.
    fn setup(&self, parts: &[&Part], setup: &Setup, cuts: &[usize], name: &str, out: &mut Routing) -> bool {
        let part = parts[0];
        let bench = Bench::new(part, setup, cuts);
        let (works, fields) = (&bench.works, bench.fields());
        let (operations, mut unserved) = operation::plan(works, &fields, self.tools, self.machine);
        let stuff = Stuff::of(&part.material);
        let mut shares: Vec<Share> = Vec::new();
        let mut swept: Vec<Bounds> = Vec::new();
        let mut tools: Vec<usize> = operations.iter().map(|o| o.tool).collect();
        tools.dedup();
        for t in tools {
            let tool = &self.tools.tools[t];
            if let Err(why) = self.reaches(setup, tool) {
                let these = operations.iter().filter(|o| o.tool == t).flat_map(|o| &o.works);
                unserved.extend(these.map(|w| (works[*w].index, why.clone())));
                continue;
            }
            let feeds = tool.feeds(self.machine, stuff);
            let mut pen = Pen::new(self.machine.clear.mm(), self.machine.approach.mm());
            let mut share = Share { tool: t, feeds, moves: Vec::new(), works: Vec::new(), corners: Vec::new() };
            for o in in_order(operations.iter().filter(|o| o.tool == t).collect(), works) {
                let before = pen.moves.len();
                if self.cut(&mut pen, o, &bench, &fields, tool) {
                    swept.extend(clamp::swept(&pen.moves[before..], tool, self.machine));
                    share.works.extend(&o.works);
                    share.corners.extend((o.corners > 0).then_some((o.works[0], o.corners)));
                } else {
                    pen.moves.truncate(before);
                    pen.forget();
                    let why = "there is no room for the bit to ramp in";
                    unserved.extend(o.works.iter().map(|w| (works[*w].index, why.into())));
                }
            }
            share.moves = pen.moves;
            if !share.works.is_empty() {
                shares.push(share);
            }
        }
        unserved.sort_by_key(|(i, _)| *i);
        unserved.dedup_by_key(|(i, _)| *i);
        unserved.iter().for_each(|(i, why)| left(out, part, *i, why));
        // A cut that is made in part only is not made.
        for s in &mut shares {
            let whole = |w: &usize| !unserved.iter().any(|(i, _)| *i == works[*w].index);
            s.works.retain(whole);
            s.corners.retain(|(w, _)| whole(w));
        }
        if shares.is_empty() {
            return false;
        }
        let clamps = clamp::places(&bench.blank(), &swept, self.machine);
        let files: Vec<Vec<Share>> = if self.machine.controller.tool_change {
            vec![shares]
        } else {
            shares.into_iter().map(|s| vec![s]).collect()
        };
        let from = out.programs.len();
        for shares in files {
            let program = self.program(parts, setup, name, works, &shares, &clamps);
            out.programs.push(program);
        }
        let left: Vec<(String, &str, &str)> =
            unserved.iter().map(|(i, why)| (part.cut_id(*i), part.cuts[*i].purpose.name(), why.as_str())).collect();
        out.sheets.push(Sheet {
            file: format!("{name}.txt"),
            text: sheet::text(&self.case.order, self.machine, parts, &out.programs[from..], &left),
            parts: parts.iter().map(|p| p.id).collect(),
        });
        true
    }

    /// Whether the spindle gets high enough over the stock with a tool, and low enough.
    fn reaches(&self, setup: &Setup, tool: &Tool) -> Result<(), String> {
        let m = self.machine;
        let high = setup.height() + m.clear + tool.stick_out;
        if high <= m.daylight {
            return Ok(());
        }
        let most = m.daylight - m.clear - tool.stick_out;
        let show = |l| format!("{} {}", crate::tool::decimal(l, self.unit), self.unit);
        Err(format!(
            "{} is too tall under the spindle with {}; {} at most: cut it by hand, or upright at the edge of the table",
            show(setup.height()),
            tool.name,
            show(most)
        ))
    }

    /// Writes one operation; whether it could be done.
    fn cut(&self, pen: &mut Pen, o: &Operation, bench: &Bench, fields: &[Rc<Field>], tool: &Tool) -> bool {
        let w = &bench.works[o.works[0]];
        let depth = w.depth + if w.through { self.machine.spoilboard.mm() } else { 0.0 };
        let cutting = Cutting {
            radius: tool.radius(),
            allowance: 0.3,
            step: 0.45 * tool.diameter.mm(),
            pass: tool.pass.mm(),
            ramp: libm::tan(tool.ramp.clamp(0.1, 80.0).to_radians()),
            run: 1.0,
            plunges: tool.plunges,
        };
        match o.method {
            Method::Down(at) => pen.hole(at, -depth, tool.pass.mm()),
            Method::Bore(centre, radius) => bore(pen, centre, radius, depth, &cutting),
            Method::Pocket => {
                let field = fields[o.works[0]].window(&w.region.bounds, 3.0 * tool.diameter.mm());
                if pocket(pen, &field, &w.region, depth, &cutting).is_err() {
                    return false;
                }
                if o.corners > 0 {
                    for (lesser, upper) in bench.shallower(w) {
                        open_corners(pen, &upper, &field, &w.region, lesser, &cutting);
                    }
                }
            }
        }
        pen.lift();
        true
    }

    fn program(
        &self,
        parts: &[&Part],
        setup: &Setup,
        name: &str,
        works: &[Work],
        shares: &[Share],
        clamps: &[Bounds],
    ) -> Program {
        let part = parts[0];
        let file = match shares {
            [only] if !self.machine.controller.tool_change => {
                format!("{name}-T{}.nc", self.tools.tools[only.tool].number)
            }
            _ => format!("{name}.nc"),
        };
        let tools: Vec<(Tool, Feeds)> = shares.iter().map(|s| (self.tools.tools[s.tool].clone(), s.feeds)).collect();
        let number = |s: &Share| self.tools.tools[s.tool].number;
        let made = shares.iter().flat_map(|s| s.works.iter().map(|w| (works[*w].index, number(s))));
        let mut cuts: Vec<(usize, u32)> = made.collect();
        cuts.sort_unstable();
        cuts.dedup_by_key(|(index, _)| *index);
        let claim = claim(part, setup, &cuts, &tools.iter().map(|t| &t.0).collect::<Vec<_>>(), clamps, self.machine);
        let corners = shares.iter().flat_map(|s| {
            let radius = self.tools.tools[s.tool].radius();
            s.corners.iter().map(move |(w, count)| Corners { cut: part.cut_id(works[*w].index), radius, count: *count })
        });
        let corners: Vec<Corners> = corners.collect();
        let seconds =
            shares.iter().map(|s| time::seconds(&s.moves, &s.feeds, self.machine) + self.machine.tool_change).sum();
        let stretches: Vec<Stretch> = shares
            .iter()
            .map(|s| Stretch { tool: self.tools.tools[s.tool].number, feeds: s.feeds, moves: s.moves.clone() })
            .collect();
        let comments = sheet::comments(&self.case.order, parts, setup, &tools, self.unit);
        Program {
            text: emit::program(&comments, &stretches, self.machine, self.unit),
            file,
            sheet: format!("{name}.txt"),
            parts: parts.iter().map(|p| p.id).collect(),
            setup: *setup,
            unit: self.unit,
            tools,
            cuts: cuts.into_iter().map(|(i, _)| part.cut_id(i)).collect(),
            corners,
            claim,
            clamps: clamps.to_vec(),
            extent: extent(shares, self.tools),
            seconds,
        }
    }
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
        let far = |o: &Operation| crate::curve::dist(at, place(o));
        let next = (0..open.len()).min_by(|&i, &j| far(open[i]).total_cmp(&far(open[j]))).unwrap_or(0);
        let o = open.remove(next);
        at = place(o);
        out.push(o);
    }
    out
}

fn extent(shares: &[Share], table: &ToolTable) -> [[f64; 3]; 2] {
    let mut low = [f64::INFINITY; 3];
    let mut high = [f64::NEG_INFINITY; 3];
    for s in shares {
        let r = table.tools[s.tool].radius();
        for m in &s.moves {
            let (p, around) = match *m {
                Move::Rapid(p) | Move::Line(p, _) => (p, r),
                Move::Arc { to, centre, .. } => {
                    let turn = crate::curve::dist([to[0], to[1]], centre);
                    ([centre[0], centre[1], to[2]], r + turn)
                }
                Move::Hole { at, bottom, .. } => ([at[0], at[1], bottom], r),
            };
            for i in 0..3 {
                let around = if i < 2 { around } else { 0.0 };
                low[i] = f64::min(low[i], p[i] - around);
                high[i] = f64::max(high[i], p[i] + around);
            }
        }
    }
    [low, high]
}

/// Notes that a cut is left to other means.
fn left(out: &mut Routing, part: &Part, cut: usize, why: &str) {
    note(out, part, Some(part.cut_id(cut)), part.cuts[cut].purpose.name(), why);
}

/// Notes that something is left to other means.
fn note(out: &mut Routing, part: &Part, cut: Option<String>, what: &str, why: &str) {
    let finding = Finding {
        level: Level::Note,
        rule: "not-routed",
        parts: vec![part.id],
        what: format!("{what} of the {} is not routed: {why}", part.name),
        figure: cut.clone().unwrap_or_default(),
        limit: String::new(),
        advice: "see the set-up sheets".into(),
        mend: None,
    };
    if !out.findings.iter().any(|f| f.parts == finding.parts && f.what == finding.what) {
        out.findings.push(finding);
    }
    out.by_hand.push(ByHand { part: part.id.to_string(), cut, what: what.into(), why: why.into() });
}
