//! The rules of the dry fit, and what they find. A finding here means that the design or the program is wrong, or that
//! sizes which suit each rule of the trade do not suit one another: it always stops.

use case::{Case, Finding, Level, PartId};
use measure::Length;

use crate::clearance::CLEARANCE;
use crate::common::common;
use crate::contact::HELD;
use crate::let_in::LET_IN;
use crate::order::order;
use crate::seat::SEATED;
use crate::shelf::SHELF_OUT;
use crate::solid::{Body, Solid, solids};
use crate::swing::DOOR_SWING;

/// A rule: what it is called, what it asks, why it stands, and where it comes from.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its id.
    pub id: &'static str,
    /// What it asks, in one sentence.
    pub asks: &'static str,
    /// Why.
    pub why: &'static str,
    /// Publication, or `common practice, no source`, or `geometry`.
    pub source: &'static str,
    pub(crate) check: fn(&Fit<'_>, &mut Vec<Found>),
}

/// All rules, in the order in which they are asked. Motion is only asked of a piece whose parts have room.
pub const RULES: &[Rule] = &[COMMON_VOLUME, CLEARANCE, HELD, SEATED, ASSEMBLY, LET_IN, DOOR_SWING, SHELF_OUT];

/// A case and its solids.
pub(crate) struct Fit<'a> {
    pub(crate) case: &'a Case,
    pub(crate) solids: Vec<Solid>,
}

/// What a rule found.
pub(crate) struct Found {
    pub(crate) parts: Vec<PartId>,
    pub(crate) what: String,
    pub(crate) figure: String,
    pub(crate) limit: String,
    pub(crate) advice: &'static str,
}

/// Everything that the dry fit finds in a case that the inspection has nothing against; all of it stops the piece.
pub fn check(case: &Case) -> Vec<Finding> {
    let fit = Fit { case, solids: solids(case) };
    let mut findings = Vec::new();
    for rule in RULES {
        let mut found = Vec::new();
        (rule.check)(&fit, &mut found);
        findings.extend(found.into_iter().map(|f| Finding {
            level: Level::Stop,
            rule: rule.id,
            parts: f.parts,
            what: f.what,
            figure: f.figure,
            limit: f.limit,
            advice: f.advice.into(),
            mend: None,
        }));
        // What is wrong with the parts would be told again, and worse, by how they move.
        if rule.id == COMMON_VOLUME.id && !findings.is_empty() {
            break;
        }
    }
    findings
}

impl Fit<'_> {
    pub(crate) fn name(&self, body: Body) -> String {
        match body {
            Body::Part(id) => self.case.part(id).name.clone(),
            Body::Pane(i) => format!("pane {}", self.case.panes[i].id),
        }
    }

    pub(crate) fn show(&self, l: Length) -> String {
        self.case.order.ruler.show(l)
    }

    /// The first part of a kind: a finding on it stands for its likes.
    pub(crate) fn kind(&self, body: Body) -> Body {
        match body {
            Body::Part(id) => Body::Part(self.case.part(id).same_as.map_or(id, |s| s.part)),
            Body::Pane(_) => body,
        }
    }
}

pub(crate) fn part_ids(bodies: &[Body]) -> Vec<PartId> {
    bodies.iter().filter_map(|b| if let Body::Part(id) = b { Some(*id) } else { None }).collect()
}

const COMMON_VOLUME: Rule = Rule {
    id: "common-volume",
    asks: "No two parts fill the same space.",
    why: "They cannot be put together.",
    source: "geometry; what is thinner than a micrometre, or than 0.02 mm at slopes and arcs, is taken for contact",
    check: common_volume,
};

fn common_volume(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let mut told: Vec<[Body; 2]> = Vec::new();
    for (i, a) in fit.solids.iter().enumerate() {
        for b in &fit.solids[i + 1..] {
            let Some(c) = common(a, b) else { continue };
            let kinds = [fit.kind(a.body), fit.kind(b.body)];
            if told.contains(&kinds) {
                continue;
            }
            told.push(kinds);
            found.push(Found {
                parts: part_ids(&[a.body, b.body]),
                what: format!("the {} and the {} run into one another", fit.name(a.body), fit.name(b.body)),
                figure: format!("{} deep", fit.show(c.depth)),
                limit: "contact".into(),
                advice: "give one of them more room",
            });
        }
    }
}

const ASSEMBLY: Rule = Rule {
    id: "assembly-order",
    asks: "A sequence of straight moves puts the piece together: each part or sub-assembly goes home past what stands \
           already, and each glued joint closes along its own way.",
    why: "What is closed off too early can only be got in by force, or not at all.",
    source: "geometry",
    check: assembly,
};

fn assembly(fit: &Fit<'_>, found: &mut Vec<Found>) {
    if let Err(stuck) = order(fit.case, &fit.solids) {
        let names: Vec<String> = stuck.0.iter().take(4).map(|b| fit.name(*b)).collect();
        let more = stuck.0.len().saturating_sub(names.len());
        let more = if more == 0 { String::new() } else { format!(" and {more} more") };
        found.push(Found {
            parts: part_ids(&stuck.0),
            what: "no sequence of straight moves puts the piece together".into(),
            figure: format!("{} parts that lock one another: {}{more}", stuck.0.len(), names.join(", ")),
            limit: "none".into(),
            advice: "shorten the tenons that lock them, or let one joint stay dry",
        });
    }
}
