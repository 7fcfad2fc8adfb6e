//! The proof: reads the text, runs it over the stock, and compares.

use crate::checks::{self, Run};
use crate::claim::Claim;
use crate::reader::{Class, Motion, Reading, read_twice};
use crate::report::{Fillet, Finding, Report, Rule};
use crate::sweep::gouge::gouges;
use crate::sweep::leftover::{Left, SLACK, leftovers};
use crate::sweep::path::{Stretch, stretches};
use crate::sweep::region::Plan;
use crate::time::seconds;

/// A gouge or a leftover up to this is none, mm: a tenth of what a shaving takes.
pub const TOLERANCE: f64 = 0.01;

/// Of each rule so many findings are listed.
const MOST_OF_A_RULE: usize = 12;

/// A corner that reaches farther from cleared room than so many radii of the tool is more than a corner.
const CORNER_RADII: f64 = 3.0;

/// Proves a program against its claim. Pure, and does not panic whatever the text or the claim.
pub fn prove(text: &str, claim: &Claim) -> Report {
    let [mut reading, second] = read_twice(text.as_bytes());
    let mut report = Report {
        lines: reading.lines,
        moves: reading.motions.len(),
        faults: reading.faults.clone(),
        findings: Vec::new(),
        more: 0,
        gouge: 0.0,
        leftover: 0.0,
        fillets: Vec::new(),
        worst_arc: reading.worst_arc,
        deepest: deepest(&reading.motions),
        fed: reading.motions.iter().filter(|m| !m.rapid).map(Motion::length).sum(),
        seconds: seconds(&reading, &claim.machine),
        bound: SLACK + reading.worst_arc.map_or(0.0, |w| w.mismatch / 2.0),
    };
    report.findings = claim.faults();
    let readable = reading.faults.iter().all(|f| f.kind.class() == Class::Chance);
    if readable && report.findings.is_empty() {
        checks::again(&reading, &second, &mut report.findings);
        let more: Vec<Motion> = checks::first_moves(&reading, &second).collect();
        reading.motions.extend(more);
        machine(&reading, claim, &mut report);
    }
    settle(&mut report);
    report
}

/// Everything that needs moves and stock.
fn machine(reading: &Reading, claim: &Claim, report: &mut Report) {
    let path = stretches(&reading.motions, |number| checks::tool(claim, number));
    let run = Run { claim, reading, path: &path };
    let out = &mut report.findings;
    checks::controller(&run, out);
    checks::rates(&run, out);
    checks::room(&run, out);
    checks::stock(&run, out);
    checks::loose(&run, out);
    checks::order(&run, out);
    let plan = Plan::new(claim);
    cut_wrongly(&run, &plan, report);
    left_standing(&run, &plan, report);
}

fn cut_wrongly(run: &Run<'_>, plan: &Plan, report: &mut Report) {
    let (found, worst) = gouges(plan, run.path, TOLERANCE);
    report.gouge = worst;
    for g in found {
        let s: &Stretch = &run.path[g.stretch];
        let slab = &plan.slabs[g.slab];
        let cut = slab.cuts.iter().copied().find(|i| plan.cut(*i).bounds.grown(s.r).meets(&s.bounds));
        // Under a cut's floor none is open.
        let over = || (0..run.claim.cuts.len()).find(|i| plan.cut(*i).holds(g.at));
        let (cut, what) = match (cut, over()) {
            (None, None) => (None, "into wood where there is no cut"),
            (None, over) => (over, "deeper than the cut"),
            (cut, _) => (cut, "into wood that must stay"),
        };
        let what = format!("{:.3} mm {what}", g.depth);
        report.findings.push(Finding {
            rule: Rule::Gouge,
            line: run.line(s),
            cut: cut.map(|i| run.claim.cuts[i].id.clone()),
            at: Some([g.at[0], g.at[1], g.z]),
            given: run.given(s, [g.at[0], g.at[1], g.z]),
            figure: g.depth,
            limit: TOLERANCE,
            what,
        });
    }
}

fn left_standing(run: &Run<'_>, plan: &Plan, report: &mut Report) {
    let claim = run.claim;
    let radius = |t: u32| checks::tool(claim, t).map(crate::claim::Tool::radius);
    let radii: Vec<Option<f64>> = claim.cuts.iter().map(|c| c.tool.and_then(radius)).collect();
    let left = leftovers(plan, run.path, &radii);
    for l in worst_of_each_cut(left.left) {
        report.leftover = report.leftover.max(l.thickness);
        if l.thickness > TOLERANCE {
            report.findings.push(Finding {
                rule: Rule::Leftover,
                line: l.near.map_or(0, |s| run.line(&run.path[s])),
                cut: Some(claim.cuts[l.cut].id.clone()),
                at: Some([l.at[0], l.at[1], l.z]),
                given: l.near.map_or_else(Vec::new, |s| run.given(&run.path[s], [l.at[0], l.at[1], l.z])),
                figure: l.thickness,
                limit: TOLERANCE,
                what: format!("{:.3} mm left that should have gone", l.thickness),
            });
        }
    }
    for (cut, fillets) in left.fillets {
        let id = &claim.cuts[cut].id;
        let thickest = run.path.iter().map(|s| s.r).fold(0.0, f64::max);
        let r = radii[cut].unwrap_or(thickest);
        for f in fillets {
            if f.size > CORNER_RADII * r {
                report.findings.push(Finding {
                    rule: Rule::Unreached,
                    line: 0,
                    cut: Some(id.clone()),
                    at: Some([f.at[0], f.at[1], f.z[0]]),
                    given: Vec::new(),
                    figure: f.size.min(1e6),
                    limit: CORNER_RADII * r,
                    what: "the tool cannot get in, or was never there".into(),
                });
            } else {
                report.fillets.push(Fillet { cut: id.clone(), at: f.at, z: f.z, size: f.size });
            }
        }
    }
}

/// Of each cut the height where most is left.
fn worst_of_each_cut(all: Vec<Left>) -> Vec<Left> {
    let mut out: Vec<Left> = Vec::new();
    for l in all {
        match out.iter_mut().find(|o| o.cut == l.cut) {
            Some(o) if o.thickness >= l.thickness => {}
            Some(o) => *o = l,
            None => out.push(l),
        }
    }
    out
}

/// In the order of the lines, the first few of each rule.
fn settle(report: &mut Report) {
    report.findings.sort_by_key(|f| (f.line, f.rule));
    let mut counts: Vec<(Rule, usize)> = Vec::new();
    let all = report.findings.len();
    report.findings.retain(|f| {
        let i = counts.iter().position(|c| c.0 == f.rule).unwrap_or_else(|| {
            counts.push((f.rule, 0));
            counts.len() - 1
        });
        counts[i].1 += 1;
        counts[i].1 <= MOST_OF_A_RULE
    });
    report.more = all - report.findings.len();
}

fn deepest(motions: &[Motion]) -> f64 {
    let lowest = motions.iter().map(|m| m.from[2].min(m.to[2])).fold(f64::INFINITY, f64::min);
    if lowest.is_finite() { lowest } else { 0.0 }
}
