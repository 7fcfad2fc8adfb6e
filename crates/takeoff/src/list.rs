//! Grouping and counting: parts by what they are cut from, panes by size, fittings by what to ask for.

use std::collections::BTreeMap;

use case::{Case, Fitting, Form, Material, Pane, Part, PartId, Point, Role};
use measure::Length;

use crate::quantity::Quantity;

/// Everything that is cut or bought.
#[derive(Clone, Debug)]
pub struct Takeoff {
    /// Parts of one material, solid wood first, then by name.
    pub groups: Vec<Group>,
    /// Small parts that are cut from strips of one section.
    pub strips: Vec<Strip>,
    /// Glass, by size.
    pub panes: Vec<PaneLine>,
    /// Bought things, by kind and specification.
    pub fittings: Vec<FittingLine>,
}

/// The parts of one material.
#[derive(Clone, Debug)]
pub struct Group {
    /// Their material.
    pub material: Material,
    /// Alike parts together: the thickest first, then in the order of their numbers.
    pub lines: Vec<Line>,
}

/// Parts that are alike, mirror images included.
#[derive(Clone, Debug)]
pub struct Line {
    /// Their numbers.
    pub parts: Vec<PartId>,
    /// What their names have in common.
    pub name: String,
    /// The sub-assembly, where they all belong to one.
    pub assembly: String,
    /// How many of them are the mirror image of the first.
    pub mirrored: usize,
    /// Finished blank: x along the grain, y across, z thick; tenons included.
    pub finished: Point,
}

/// Running stock: one section, and the lengths that are cut from it.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Its material.
    pub material: Material,
    /// What the pieces are: `bead`, `peg`, `button`.
    pub name: &'static str,
    /// Finished width and thickness of the section.
    pub section: [Length; 2],
    /// The pieces.
    pub lines: Vec<Line>,
}

/// Panes of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaneLine {
    /// Their ids.
    pub panes: Vec<String>,
    /// x, y and thickness, as the pane stands in the model.
    pub size: Point,
    /// The sub-assemblies that they go into.
    pub assemblies: Vec<String>,
}

/// Fittings of one kind and specification.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FittingLine {
    /// `butt hinge`.
    pub kind: &'static str,
    /// What to ask for.
    pub spec: String,
    /// How many.
    pub count: usize,
    /// The parts they are fixed to.
    pub parts: Vec<PartId>,
}

/// The trade's word for what small parts are cut from a strip; nothing for all others.
const fn running(role: Role) -> Option<&'static str> {
    match role {
        Role::Bead => Some("bead"),
        Role::Peg => Some("peg"),
        Role::Button => Some("button"),
        Role::Stop => Some("stop"),
        Role::Edging => Some("edging"),
        _ => None,
    }
}

pub(crate) fn take_off(case: &Case) -> Takeoff {
    let mut groups: BTreeMap<(Form, &Material), Vec<Line>> = BTreeMap::new();
    let mut strips: BTreeMap<(&Material, &'static str, [Length; 2]), Vec<Line>> = BTreeMap::new();
    for (first, all) in case.kinds() {
        let line = line(first, &all);
        match running(first.role) {
            Some(name) if first.material.form == Form::Solid => {
                let section = [first.size[1], first.size[2]];
                strips.entry((&first.material, name, section)).or_default().push(line);
            }
            _ => groups.entry((first.material.form, &first.material)).or_default().push(line),
        }
    }
    let group = |((_, material), mut lines): ((_, &Material), Vec<Line>)| {
        lines.sort_by_key(|l| std::cmp::Reverse(l.finished[2]));
        Group { material: material.clone(), lines }
    };
    let strip = |((material, name, section), lines): ((&Material, _, _), _)| Strip {
        material: material.clone(),
        name,
        section,
        lines,
    };
    Takeoff {
        groups: groups.into_iter().map(group).collect(),
        strips: strips.into_iter().map(strip).collect(),
        panes: panes(&case.panes),
        fittings: fittings(&case.fittings),
    }
}

fn line(first: &Part, all: &[&Part]) -> Line {
    Line {
        parts: all.iter().map(|p| p.id).collect(),
        name: in_common(all),
        assembly: if all.iter().all(|p| p.assembly == first.assembly) { first.assembly.clone() } else { String::new() },
        mirrored: all.iter().filter(|p| p.same_as.is_some_and(|s| s.mirrored)).count(),
        finished: first.size,
    }
}

/// The words that all names share, place by place: `front left post` and `front right post` are each a `front post`.
fn in_common(all: &[&Part]) -> String {
    let Some((first, rest)) = all.split_first() else { return String::new() };
    let others: Vec<Vec<&str>> = rest.iter().map(|p| p.name.split_whitespace().collect()).collect();
    let words = first.name.split_whitespace().enumerate();
    let shared = words.filter(|(i, word)| others.iter().all(|other| other.get(*i) == Some(word)));
    let words: Vec<&str> = shared.map(|(_, word)| word).collect();
    if words.is_empty() { first.name.clone() } else { words.join(" ") }
}

fn panes(panes: &[Pane]) -> Vec<PaneLine> {
    let mut by_size: BTreeMap<Point, PaneLine> = BTreeMap::new();
    for pane in panes {
        let line = by_size.entry(pane.size).or_insert_with(|| PaneLine {
            panes: Vec::new(),
            size: pane.size,
            assemblies: Vec::new(),
        });
        line.panes.push(pane.id.clone());
        if !line.assemblies.contains(&pane.assembly) {
            line.assemblies.push(pane.assembly.clone());
        }
    }
    let mut lines: Vec<_> = by_size.into_values().collect();
    lines.sort_by(|a, b| a.panes.cmp(&b.panes));
    lines
}

fn fittings(fittings: &[Fitting]) -> Vec<FittingLine> {
    let mut lines: Vec<FittingLine> = Vec::new();
    for fitting in fittings {
        let known = lines.iter().position(|l| l.kind == fitting.kind && l.spec == fitting.spec);
        let at = known.unwrap_or_else(|| {
            lines.push(FittingLine { kind: fitting.kind, spec: fitting.spec.clone(), count: 0, parts: Vec::new() });
            lines.len() - 1
        });
        lines[at].count += 1;
        lines[at].parts.extend(&fitting.parts);
    }
    for line in &mut lines {
        line.parts.sort_unstable();
        line.parts.dedup();
    }
    lines
}

impl Line {
    /// How many.
    pub fn count(&self) -> usize {
        self.parts.len()
    }
}

impl PaneLine {
    /// Face of all its panes.
    pub fn quantity(&self) -> Quantity {
        Quantity::sheet(self.panes.len(), self.size[1], self.size[0])
    }
}

impl Takeoff {
    /// Face of all glass.
    pub fn glass(&self) -> Quantity {
        self.panes.iter().map(PaneLine::quantity).sum()
    }
}
