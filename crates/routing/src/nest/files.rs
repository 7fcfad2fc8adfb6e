//! A nest's files: its programs, one for each tool or one for all, each with its claim, and its set-up sheet.

use std::collections::BTreeSet;

use case::{Part, PartId};

use super::outline::{Kind, kerf};
use super::{Bed, Laid, Nested, drawing, outline_id, page};
use crate::claim::{self, Claim, Other, Prism};
use crate::clamp;
use crate::job::{ALLOWANCE, Job, Means, Share};
use crate::machine::Machine;
use crate::programs::Corners;
use crate::round::corners;
use crate::route::{self, Program, Sheet};
use crate::tool::{Tool, ToolTable, decimal};

impl Bed<'_> {
    pub(super) fn write(&self, name: &str, out: &mut Nested) {
        let Means { machine, tools, unit } = self.means;
        let (part, names) = self.as_part();
        // Out of a part, inside tools may run no farther than its kerf; and thick ones would make light of the bridges.
        let near = Machine { run_out: self.reach(), ..machine.clone() };
        let thin = |t: &&Tool| t.diameter <= self.bit.diameter * 2;
        let few = ToolTable { tools: tools.tools.iter().filter(thin).cloned().collect(), collars: Vec::new() };
        let inside: Vec<usize> = (0..names.len()).collect();
        let mut job = Job::new(&part, self.setup, &inside, Means { machine: &near, tools: &few, unit });
        for share in &mut job.shares {
            let number = few.tools[share.tool].number;
            share.tool = tools.tools.iter().position(|t| t.number == number).unwrap_or(0);
        }
        let outlines = self.outlines();
        let mut swept = std::mem::take(&mut job.swept);
        swept.extend(clamp::swept(&outlines.moves, self.bit, machine));
        let blank = [0.0, 0.0, self.setup.size[0].mm(), self.setup.size[1].mm()];
        job.clamps = clamp::places(&blank, &swept, machine);
        let left: BTreeSet<(PartId, usize)> = job.left.iter().map(|(i, _)| names[*i]).collect();
        for (i, why) in &job.left {
            let (id, cut) = names[*i];
            let part = self.case.part(id);
            route::note(&mut out.routing, part, Some(part.cut_id(cut)), part.cuts[cut].purpose.name(), why);
        }
        for laid in &self.laid {
            let made = laid.kinds.iter().enumerate().filter(|(_, k)| !matches!(k, Kind::Elsewhere)).map(|(i, _)| i);
            let made = made.filter(|i| !left.contains(&(laid.part.id, *i))).collect();
            out.made.insert(laid.part.id, made);
        }
        // With no tool changes there is a file for each tool; the outlines come last in any case.
        let many = !machine.controller.tool_change;
        let mut files: Vec<(Vec<&Share>, bool)> = Vec::new();
        if many {
            files.extend(job.shares.iter().map(|s| (vec![s], false)));
            files.push((vec![&outlines], true));
        } else {
            files.push((job.shares.iter().chain([&outlines]).collect(), true));
        }
        let routed: Vec<usize> = job.shares.iter().flat_map(|s| s.cuts.iter().copied()).collect();
        let programs: Vec<Program> = files
            .into_iter()
            .map(|(shares, last)| self.program(name, &part, &names, &job, &shares, &routed, last))
            .collect();
        out.routing.sheets.push(Sheet {
            file: format!("{name}.txt"),
            text: page::text(self, name, &programs),
            parts: self.laid.iter().map(|l| l.part.id).collect(),
        });
        out.routing.programs.extend(programs);
        out.drawn.push(drawing::draft(self, name, &job.clamps));
    }

    #[expect(clippy::too_many_arguments, reason = "one file, told once")]
    fn program(
        &self,
        name: &str,
        part: &Part,
        names: &[(PartId, usize)],
        job: &Job,
        shares: &[&Share],
        routed: &[usize],
        outlines: bool,
    ) -> Program {
        let Means { machine, tools: table, unit } = self.means;
        let tool = |s: &Share| &table.tools[s.tool];
        let file = if machine.controller.tool_change {
            format!("{name}.nc")
        } else if outlines && job.shares.iter().any(|s| tool(s).number == self.bit.number) {
            format!("{name}-T{}-OUTLINES.nc", self.bit.number)
        } else {
            format!("{name}-T{}.nc", tool(shares[0]).number)
        };
        let mut tools: Vec<_> = shares.iter().map(|s| (tool(s).clone(), s.feeds)).collect();
        tools.dedup_by_key(|(t, _)| t.number);
        let mut made: Vec<(usize, u32)> =
            shares.iter().flat_map(|s| s.cuts.iter().map(|i| (*i, tool(s).number))).collect();
        made.sort_unstable();
        let id = |i: usize| self.case.part(names[i].0).cut_id(names[i].1);
        let mut kept: Vec<Corners> = Vec::new();
        for share in shares {
            let radius = tool(share).radius();
            kept.extend(share.corners.iter().map(|(i, count)| Corners { cut: id(*i), radius, count: *count }));
        }
        let mut claim = claim::claim(part, job, &made, routed, &tools, self.means);
        for cut in &mut claim.cuts {
            let index = (0..names.len()).find(|i| part.cut_id(*i) == cut.id);
            cut.id = index.map_or_else(String::new, id);
        }
        let mut cuts: Vec<String> = made.iter().map(|(i, _)| id(*i)).collect();
        cuts.dedup();
        if outlines {
            for laid in &self.laid {
                self.claim_outline(laid, &mut claim);
                let with = |(_, kind): &(usize, &Kind)| matches!(kind, Kind::Notch(_));
                cuts.extend(laid.kinds.iter().enumerate().filter(with).map(|(i, _)| laid.part.cut_id(i)));
                cuts.push(outline_id(laid.part));
                let count = corners(std::slice::from_ref(&laid.walls)).len();
                if count > 0 {
                    kept.push(Corners { cut: outline_id(laid.part), radius: self.bit.radius(), count });
                }
            }
        }
        let written = route::Written { shares, comments: self.comments(name, &tools), machine, table, unit };
        let (text, extent, seconds) = written.text();
        Program {
            text,
            file,
            sheet: format!("{name}.txt"),
            parts: self.laid.iter().map(|l| l.part.id).collect(),
            placed: self.laid.iter().map(|l| l.placed).collect(),
            setup: self.setup,
            unit,
            corners: kept,
            claim,
            tools,
            cuts,
            clamps: job.clamps.clone(),
            extent,
            seconds,
        }
    }

    /// The kerf round a part, the little more that a roughing round may take, and the bridges.
    fn claim_outline(&self, laid: &Laid, claim: &mut Claim) {
        let height = self.setup.height().mm();
        let prism = |outline: Vec<[f64; 3]>| Prism { outline, z_top: 0.0, z_bottom: -height };
        let id = outline_id(laid.part);
        let wide = self.bit.diameter.mm();
        let cut = |outline| claim::Cut {
            id: id.clone(),
            prism: prism(outline),
            through: true,
            frees: true,
            tool: self.bit.number,
        };
        claim.cuts.extend(kerf(&laid.walls, wide).into_iter().map(cut));
        let rough = kerf(&laid.walls, wide + ALLOWANCE);
        claim.elsewhere.extend(rough.into_iter().map(|o| Other { prism: prism(o), relieves: false }));
        claim.tabs.extend(laid.tabs.iter().map(|t| Prism {
            outline: t.iter().map(|p| [p[0], p[1], 0.0]).collect(),
            z_top: self.high() - height,
            z_bottom: -height,
        }));
    }

    fn comments(&self, name: &str, tools: &[(Tool, crate::Feeds)]) -> Vec<String> {
        let order = &self.case.order;
        let unit = self.means.unit;
        let [x, y, z] = self.setup.size.map(|l| decimal(l, unit));
        let ids: Vec<String> = self.laid.iter().map(|l| l.part.id.to_string()).collect();
        let mut out = vec![
            format!("{}, {}", order.title, order.number),
            format!("parts {} out of {}; see set-up sheet {name}", ids.join(" "), self.blank.name),
            "zero at the left front corner of the blank, top of stock; grain along X".into(),
            format!("stock {x} x {y} x {z} {unit}"),
        ];
        out.extend(
            tools
                .iter()
                .map(|(t, _)| format!("T{} {}, diameter {} {unit}", t.number, t.name, decimal(t.diameter, unit))),
        );
        out
    }
}
