//! What faults are planted in: the standard designs as they are ordered without a word more, and their programs, on the
//! built-in machine and on ones that take more; and a design with a curve so high that its waste is held by bridges.

use case::Case;
use design::{Job, Resolved, builtin};
use fault::Source;
use measure::{Unit, mm};
use proof::Claim;
use routing::{Controller, Machine, Program, ToolTable, route};

/// One program that is good as it is.
#[derive(Clone)]
pub(crate) struct Subject {
    /// Design, machine and file.
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) claim: Claim,
    /// One unit of the text in mm.
    pub(crate) unit: f64,
}

impl Subject {
    /// Length in the text's unit of so many mm.
    pub(crate) fn units(&self, mm: f64) -> f64 {
        mm / self.unit
    }

    pub(crate) fn lines(&self) -> Vec<&str> {
        self.text.lines().collect()
    }

    /// It writes every hole out and changes no tools, as the simple reader of the tests wants it.
    pub(crate) fn is_plain(&self) -> bool {
        !self.claim.machine.controller.canned_cycles && !self.claim.machine.controller.tool_change
    }
}

/// A design, resolved with some settings.
pub(crate) fn resolved(design: &str, settings: &[&str]) -> Resolved {
    read(&format!("design = \"{design}\"\n"), settings, "")
}

pub(crate) fn read(order: &str, settings: &[&str], own: &str) -> Resolved {
    let settings: Vec<String> = settings.iter().map(ToString::to_string).collect();
    let open = |_: &str| Ok(Source::new("own.toml", own));
    Job::read(&Source::new("order.toml", order), &settings, open).unwrap_or_else(|faults| panic!("{faults}")).1
}

/// Shelves whose lower rails are curved by more than a bit clears.
fn high_curve() -> Case {
    let own = builtin::DESIGNS.iter().find(|(name, _)| *name == "open-shelves").map_or("", |(_, text)| text);
    let own = own
        .replace("default = \"1 1/4 in\"\nleast = \"0 in\"\nmost = \"2 in\"", "default = \"3 1/4 in\"")
        .replace("front_bottom_rail = \"3 1/2 in\"", "front_bottom_rail = \"6 in\"");
    case::build(&read("design = \"own.toml\"\n", &[], &own))
}

/// All programs.
pub(crate) fn programs() -> Vec<Subject> {
    let plain = Machine::default();
    let changer = Controller { tool_change: true, length_offset: true, canned_cycles: true, ..plain.controller };
    let changer = Machine { controller: changer, ..plain.clone() };
    let mut out = Vec::new();
    for (design, _) in builtin::DESIGNS {
        let case = case::build(&resolved(design, &[]));
        add(&mut out, design, &case, &plain);
    }
    add(&mut out, "low-cupboard, tools changed", &case::build(&resolved("low-cupboard", &[])), &changer);
    add(&mut out, "high curve", &high_curve(), &plain);
    out
}

fn add(out: &mut Vec<Subject>, name: &str, case: &Case, machine: &Machine) {
    let routing = route(case, machine, &ToolTable::default());
    assert!(!routing.programs.is_empty(), "{name}");
    out.extend(subjects(name, routing.programs));
}

/// Programs with their claims as the proof reads them.
pub(crate) fn subjects(name: &str, programs: Vec<Program>) -> impl Iterator<Item = Subject> + '_ {
    programs.into_iter().map(move |p| {
        let claim = serde_json::to_value(&p.claim).and_then(serde_json::from_value).unwrap_or_else(|e| panic!("{e}"));
        let unit = if p.unit == Unit::Inch { 25.4 } else { mm(1).mm() };
        Subject { name: format!("{name}: {}", p.file), text: p.text, claim, unit }
    })
}
