//! The whole way for a case: parts, setups, operations, programs, sheets.

use std::collections::BTreeMap;

use case::{Case, Dir, Finding, Level, Part, PartId};
use measure::Unit;

use crate::claim::{Claim, claim};
use crate::emit::{self, Stretch};
use crate::face;
use crate::job::{Job, Means, Share};
use crate::machine::Machine;
use crate::nest::{Made, Placed};
use crate::path::Reach;
use crate::programs::{ByHand, Corners};
use crate::setup::Setup;
use crate::sheet;
use crate::time;
use crate::tool::{Feeds, Tool, ToolKind, ToolTable};

/// One RS-274 file and what is known of it. Lengths in mm in the program frame.
#[derive(Clone, Debug)]
pub struct Program {
    /// Its name: part, setup and, if there is a file for each tool, the tool: `P05-A-T3.nc`.
    pub file: String,
    /// The set-up sheet that goes with it.
    pub sheet: String,
    /// Its text.
    pub text: String,
    /// The parts it makes: all alike, and it is written for the first; or those that it cuts out of a sheet.
    pub parts: Vec<PartId>,
    /// Where each part lies, where it is cut out of a sheet; none elsewhere.
    pub placed: Vec<Placed>,
    /// Which face is up, zero and axes; those of the blank where parts are cut out of it.
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
    route_rest(case, machine, tools, &Made::new())
}

/// The same for what is left when parts have been cut out of sheets.
pub fn route_rest(case: &Case, machine: &Machine, tools: &ToolTable, made: &Made) -> Routing {
    let mut out = Routing::default();
    let means = Means { machine, tools, unit: machine.unit.unwrap_or(case.order.unit) };
    for (first, all) in case.kinds() {
        let is_mirror = |p: &&Part| p.id != first.id && p.same_as.is_some_and(|s| s.mirrored);
        let (mirrored, alike): (Vec<&Part>, Vec<&Part>) = all.into_iter().partition(is_mirror);
        for parts in [alike, mirrored] {
            let mut sorts: BTreeMap<Vec<usize>, Vec<&Part>> = BTreeMap::new();
            for part in parts {
                let done = made.get(&part.id).into_iter().flatten().copied().collect();
                sorts.entry(done).or_default().push(part);
            }
            for (done, parts) in sorts {
                Maker { case, means, parts: &parts, done: &done }.part(&mut out);
            }
        }
    }
    out
}

/// A part with its likes, and what every step needs.
struct Maker<'a> {
    case: &'a Case,
    means: Means<'a>,
    /// All alike; programs are written for the first.
    parts: &'a [&'a Part],
    /// Indices of the cuts that are made already.
    done: &'a [usize],
}

impl Maker<'_> {
    fn part(&self, out: &mut Routing) {
        let Some(part) = self.parts.first() else { return };
        for e in &part.edges {
            let why = "a moulding bit, a plane or a router by hand works it";
            note(out, part, None, "worked edge", &format!("{} {}: {why}", e.faces[0].name(), e.faces[1].name()));
        }
        let Means { machine, tools, unit } = self.means;
        let fits = |up: Dir| Setup::for_face(part, up, machine, unit);
        let deepest = tools.tools.iter().filter(|t| t.kind == ToolKind::Straight).map(|t| t.flute).max();
        let deepest = deepest.unwrap_or_default() - machine.spoilboard;
        let mut jobs: Vec<Job> = Vec::new();
        // What no job takes; the last sheet tells of it.
        let mut orphans: Vec<(usize, String)> = Vec::new();
        for (up, mut cuts) in face::assign(part, deepest, &|up| fits(up).is_ok()) {
            cuts.retain(|i| !self.done.contains(i));
            if cuts.is_empty() {
                continue;
            }
            match fits(up).map(|setup| Job::new(part, setup, &cuts, self.means)) {
                Ok(job) if job.shares.is_empty() => orphans.extend(job.left),
                Ok(job) => jobs.push(job),
                Err(why) => orphans.extend(cuts.into_iter().map(|i| (i, why.clone()))),
            }
        }
        let here = jobs.iter().flat_map(|j| &j.shares).flat_map(|s| s.cuts.iter().copied());
        let routed: Vec<usize> = here.chain(self.done.iter().copied()).collect();
        for (i, why) in jobs.iter().flat_map(|j| &j.left).chain(&orphans) {
            note(out, part, Some(part.cut_id(*i)), part.cuts[*i].purpose.name(), why);
        }
        if let Some(last) = jobs.last_mut() {
            last.left.extend(orphans);
        }
        for (job, letter) in jobs.iter().zip('A'..) {
            let name = format!("{}-{letter}", part.id);
            let files: Vec<&[Share]> =
                if machine.controller.tool_change { vec![&job.shares] } else { job.shares.chunks(1).collect() };
            let of_file = |shares: &&[Share]| self.program(job, &shares.iter().collect::<Vec<_>>(), &routed, &name);
            let programs: Vec<Program> = files.iter().map(of_file).collect();
            out.sheets.push(Sheet {
                file: format!("{name}.txt"),
                text: sheet::text(&self.case.order, machine, self.parts, &programs, &job.left),
                parts: self.parts.iter().map(|p| p.id).collect(),
            });
            out.programs.extend(programs);
        }
    }

    /// One file of a job; `routed` are the cuts of the part that any program makes.
    fn program(&self, job: &Job, shares: &[&Share], routed: &[usize], name: &str) -> Program {
        let part = self.parts[0];
        let Means { machine, tools: table, unit } = self.means;
        let tool = |s: &Share| &table.tools[s.tool];
        let file = match shares {
            [only] if !machine.controller.tool_change => format!("{name}-T{}.nc", tool(only).number),
            _ => format!("{name}.nc"),
        };
        let tools: Vec<(Tool, Feeds)> = shares.iter().map(|s| (tool(s).clone(), s.feeds)).collect();
        let mut made: Vec<(usize, u32)> =
            shares.iter().flat_map(|s| s.cuts.iter().map(|i| (*i, tool(s).number))).collect();
        made.sort_unstable();
        let corners = shares.iter().flat_map(|s| {
            let radius = tool(s).radius();
            s.corners.iter().map(move |(i, count)| Corners { cut: part.cut_id(*i), radius, count: *count })
        });
        let comments = sheet::comments(&self.case.order, self.parts, name, &job.setup, &tools, unit);
        let (text, extent, seconds) = Written { shares, comments, machine, table, unit }.text();
        Program {
            text,
            file,
            sheet: format!("{name}.txt"),
            parts: self.parts.iter().map(|p| p.id).collect(),
            placed: Vec::new(),
            setup: job.setup,
            unit,
            corners: corners.collect(),
            claim: claim(part, job, &made, routed, &tools, self.means),
            tools,
            cuts: made.into_iter().map(|(i, _)| part.cut_id(i)).collect(),
            clamps: job.clamps.clone(),
            extent,
            seconds,
        }
    }
}

/// What one file is written from.
pub(crate) struct Written<'a> {
    pub(crate) shares: &'a [&'a Share],
    pub(crate) comments: Vec<String>,
    pub(crate) machine: &'a Machine,
    pub(crate) table: &'a ToolTable,
    pub(crate) unit: Unit,
}

impl Written<'_> {
    /// Its text, what the tools' bodies reach, and its run time in seconds.
    pub(crate) fn text(&self) -> (String, [[f64; 3]; 2], f64) {
        let tool = |s: &Share| &self.table.tools[s.tool];
        let stretch = |s: &&Share| Stretch { tool: tool(s).number, feeds: s.feeds, moves: s.moves.clone() };
        let stretches: Vec<Stretch> = self.shares.iter().map(stretch).collect();
        let mut all = Reach::NONE;
        for s in self.shares {
            let one = Reach::NONE.with(&s.moves).grown(tool(s).radius());
            for i in 0..3 {
                all.min[i] = all.min[i].min(one.min[i]);
                all.max[i] = all.max[i].max(one.max[i]);
            }
        }
        // To a tenth of a micrometre, as the programs themselves.
        let extent = [all.min, all.max].map(|p| p.map(|v| (v * 1e4).round() / 1e4));
        let time = |s: &&Share| time::seconds(&s.moves, &s.feeds, self.machine) + self.machine.tool_change;
        let seconds = self.shares.iter().map(time).sum();
        (emit::program(&self.comments, &stretches, self.machine, self.unit), extent, seconds)
    }
}

/// Notes that something is left to other means.
pub(crate) fn note(out: &mut Routing, part: &Part, cut: Option<String>, what: &str, why: &str) {
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
