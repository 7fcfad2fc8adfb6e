//! The inspection: does it fit, hold together and stand? Each rule has an id, a reason and a source; each file holds a
//! family of rules.
//!
//! Rules read the laid-out parts and the specification; they change nothing. The list in `docs/findings.md` is made
//! from [`RULES`].

mod cuts;
mod doors;
mod frame;
mod panels;
mod seasons;
mod shape;
mod shelves;
mod steady;

use std::cell::OnceCell;

use design::spec::PostAndRail;
use measure::{Length, Ruler, Unit};

use crate::finding::{Finding, Level};
use crate::part::PartId;
use crate::weight::{self, Stand};
use crate::{Case, JointKind, Part};

/// A rule: what it is called, how grave it is, why it stands, and where it comes from.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its id.
    pub id: &'static str,
    /// The level of its findings.
    pub level: Level,
    /// What it asks, in one sentence.
    pub asks: &'static str,
    /// Why.
    pub why: &'static str,
    /// Publication, or `common practice, no source`, or `geometry`.
    pub source: &'static str,
    check: fn(&mut Inspection<'_>),
}

/// All rules, in the order in which they are checked and listed.
pub const RULES: &[Rule] = &[
    shape::PART_SIZE,
    shape::SIZE_CLOSES,
    cuts::CUT_IN_BLANK,
    cuts::CUTS_MEET,
    cuts::MORTISE_WALL,
    frame::TENON_SIZE,
    frame::CURVE,
    frame::CROWN,
    frame::PEGS,
    panels::PANEL_ROOM,
    panels::GROOVES,
    seasons::WOOD_KNOWN,
    seasons::BINDS,
    seasons::LEAVES,
    seasons::HELD,
    seasons::EVEN_GAPS,
    seasons::WIDE_RAIL,
    doors::DOOR_FIELDS,
    doors::DOOR_SIZE,
    doors::ARCHED_LIGHTS,
    doors::MID_RAIL,
    doors::RABBET,
    doors::HINGES,
    shelves::SHELF_HOLES,
    shelves::SHELF_SAG,
    shelves::SHELF_SIGHT,
    steady::TIPPING,
    steady::TIPS_OVER,
    steady::WEIGHT,
    steady::GLASS,
    steady::GLASS_THIN,
    steady::GLASS_LOW,
];

/// A rule at work.
struct Inspection<'a> {
    case: &'a Case,
    spec: &'a PostAndRail,
    rule: &'static Rule,
    found: Vec<Finding>,
    /// How the piece stands, worked out once for all rules.
    stand: &'a OnceCell<Stand>,
}

/// Everything that the rules find in a laid-out case.
pub fn inspect(case: &Case, spec: &PostAndRail) -> Vec<Finding> {
    let mut found = Vec::new();
    let stand = OnceCell::new();
    for rule in RULES {
        let mut at_work = Inspection { case, spec, rule, found: Vec::new(), stand: &stand };
        (rule.check)(&mut at_work);
        found.append(&mut at_work.found);
    }
    found.sort_by_key(|f| std::cmp::Reverse(f.level));
    found
}

impl Inspection<'_> {
    fn ruler(&self) -> Ruler {
        self.case.order.ruler
    }

    /// How the piece stands.
    fn stand(&self) -> Stand {
        *self.stand.get_or_init(|| weight::stand(self.case))
    }

    /// The gap round the doors.
    fn gap(&self) -> Length {
        let hinge = self.case.joints.iter().find(|j| j.kind == JointKind::Hinge);
        hinge.and_then(|j| j.clearances.iter().find(|(name, _)| *name == "gap")).map_or(Length::ZERO, |(_, gap)| *gap)
    }

    fn show(&self, l: Length) -> String {
        self.ruler().show(l)
    }

    /// Prints a length finer than the ruler does: a play of less than a division is still one.
    fn show_fine(&self, l: Length) -> String {
        match self.ruler().unit {
            Unit::Inch => format!("{:.3} in", l.inches()),
            Unit::Millimetre => format!("{:.2} mm", l.mm()),
        }
    }

    /// Prints what comes off a formula, in mm, as finely as it may be measured.
    fn show_mm(&self, mm: f64) -> String {
        self.show(Length::from_mm(mm))
    }

    /// The same, drawn in to a whole inch or centimetre.
    fn show_down(&self, mm: f64) -> String {
        let step = match self.ruler().unit {
            Unit::Inch => 25.4,
            Unit::Millimetre => 10.0,
        };
        self.show_mm((mm / step).floor() * step)
    }

    /// Notes a finding.
    fn find(
        &mut self,
        parts: &[PartId],
        what: impl Into<String>,
        figure: String,
        limit: String,
        advice: impl Into<String>,
    ) {
        self.found.push(Finding {
            level: self.rule.level,
            rule: self.rule.id,
            parts: parts.to_vec(),
            what: what.into(),
            figure,
            limit,
            advice: advice.into(),
            mend: None,
        });
    }

    /// Notes a finding if `length` is under `least`.
    fn at_least(&mut self, parts: &[PartId], what: &str, length: Length, least: Length, advice: &str) {
        if length < least {
            let limit = format!("at least {}", self.show(least));
            self.find(parts, what, self.show(length), limit, advice);
        }
    }

    /// Notes a finding if `length` is over `most`.
    fn at_most(&mut self, parts: &[PartId], what: &str, length: Length, most: Length, advice: &str) {
        if length > most {
            let limit = format!("at most {}", self.show(most));
            self.find(parts, what, self.show(length), limit, advice);
        }
    }

    /// The first of each kind of part: a finding on one stands for its likes.
    fn firsts(&self) -> impl Iterator<Item = &Part> {
        self.case.parts.iter().filter(|p| p.same_as.is_none())
    }

    fn ids(&self, pick: impl Fn(&Part) -> bool) -> Vec<PartId> {
        self.case.parts.iter().filter(|p| pick(p)).map(|p| p.id).collect()
    }
}
