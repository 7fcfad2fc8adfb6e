//! Grouping and counting: parts by what they are cut from, panes by size, fittings by what to ask for.

use std::collections::BTreeMap;

use case::{Case, Fitting, Form, Material, Pane, Part, PartId, Point, Role};
use measure::{Length, Ruler};

use crate::allowance::{Allowances, WASTE_PERCENT};
use crate::quantity::Quantity;

/// Everything that is cut or bought.
#[derive(Clone, Debug)]
pub struct Takeoff {
    /// Parts cut from boards and sheets, solid wood first, then by material and thickness.
    pub groups: Vec<Group>,
    /// Small parts that are cut from strips of one section.
    pub strips: Vec<Strip>,
    /// Glass, by size.
    pub panes: Vec<PaneLine>,
    /// Bought things, by kind and specification.
    pub fittings: Vec<FittingLine>,
}

/// What a part is cut from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stock {
    /// A board of a thickness that the yard sells.
    Board {
        /// Its thickness in the rough.
        nominal: Length,
        /// As the yard calls it.
        name: &'static str,
    },
    /// Thicker than any board: glued up in its thickness.
    Laminated {
        /// Its thickness before the last planing.
        nominal: Length,
    },
    /// A sheet, of the thickness that it measures.
    Sheet {
        /// Its thickness.
        thickness: Length,
    },
}

/// The parts of one material and thickness.
#[derive(Clone, Debug)]
pub struct Group {
    /// Their material.
    pub material: Material,
    /// What they are cut from.
    pub stock: Stock,
    /// Alike parts together, in the order of their numbers.
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
    /// Rough length and width.
    pub rough: [Length; 2],
    /// How many boards, side by side, make one.
    pub boards: i64,
}

/// Running stock: one section, and the lengths that are cut from it.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Its material.
    pub material: Material,
    /// What it is ripped from.
    pub stock: Stock,
    /// What the pieces are: `bead`, `peg`, `button`.
    pub name: &'static str,
    /// Finished width and thickness of the section.
    pub section: [Length; 2],
    /// The pieces.
    pub lines: Vec<Line>,
    /// Length to make: the pieces, and the allowance at each cut.
    pub length: Length,
    /// Rough width of the strip.
    pub rough_width: Length,
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
        _ => None,
    }
}

pub(crate) fn take_off(case: &Case) -> Takeoff {
    let allowances = Allowances::of(case.order.unit);
    let mut groups: BTreeMap<(Form, Material, Stock), Vec<Line>> = BTreeMap::new();
    let mut strips: BTreeMap<(Material, &'static str, [Length; 2]), Vec<Line>> = BTreeMap::new();
    for (first, all) in case.kinds() {
        let line = line(first, &all, allowances);
        match running(first.role) {
            Some(name) if first.material.form == Form::Solid => {
                let section = [first.size[1], first.size[2]];
                strips.entry((first.material.clone(), name, section)).or_default().push(line);
            }
            _ => {
                let key = (first.material.form, first.material.clone(), stock(first, allowances));
                groups.entry(key).or_default().push(line);
            }
        }
    }
    let groups = groups.into_iter();
    let groups = groups.map(|((_, material, stock), lines)| Group { material, stock, lines });
    let strips = strips.into_iter().map(|((wood, name, section), lines)| strip(wood, name, section, lines, allowances));
    Takeoff {
        groups: groups.collect(),
        strips: strips.collect(),
        panes: panes(&case.panes),
        fittings: fittings(&case.fittings),
    }
}

fn line(first: &Part, all: &[&Part], allowances: &Allowances) -> Line {
    let [length, width, _] = first.size;
    let (rough, boards) = match first.material.form {
        Form::Solid => (allowances.rough_solid(length, width), allowances.boards_across(width)),
        Form::Sheet => (allowances.rough_sheet(length, width), 1),
    };
    Line {
        parts: all.iter().map(|p| p.id).collect(),
        name: in_common(all),
        assembly: if all.iter().all(|p| p.assembly == first.assembly) { first.assembly.clone() } else { String::new() },
        mirrored: all.iter().filter(|p| p.same_as.is_some_and(|s| s.mirrored)).count(),
        finished: first.size,
        rough,
        boards,
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

fn stock(part: &Part, allowances: &Allowances) -> Stock {
    match part.material.form {
        Form::Sheet => Stock::Sheet { thickness: part.size[2] },
        Form::Solid => board(part.size[2], allowances),
    }
}

/// A part thicker than any board is glued up in its thickness too; what it takes is its own thickness and a planing.
fn board(thickness: Length, allowances: &Allowances) -> Stock {
    allowances.board(thickness).map_or_else(
        || Stock::Laminated { nominal: thickness + allowances.width },
        |rung| Stock::Board { nominal: rung.nominal, name: rung.name },
    )
}

fn strip(
    material: Material,
    name: &'static str,
    section: [Length; 2],
    lines: Vec<Line>,
    allowances: &Allowances,
) -> Strip {
    let pieces = lines.iter().map(|l| (l.finished[0] + allowances.strip_end) * count(l.parts.len()));
    Strip {
        stock: board(section[1], allowances),
        name,
        section,
        length: pieces.sum(),
        rough_width: section[0] + allowances.width,
        material,
        lines,
    }
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
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

impl Group {
    /// The finished blanks.
    pub fn net(&self) -> Quantity {
        self.lines.iter().map(|l| net(l, self.material.form)).sum()
    }

    /// The rough pieces, at the thickness of the stock.
    pub fn rough(&self) -> Quantity {
        let piece = |l: &Line| match self.material.form {
            Form::Solid => Quantity::solid(l.count(), self.stock.thickness(), l.rough[1], l.rough[0]),
            Form::Sheet => Quantity::sheet(l.count(), l.rough[1], l.rough[0]),
        };
        self.lines.iter().map(piece).sum()
    }
}

impl Strip {
    /// The finished pieces.
    pub fn net(&self) -> Quantity {
        self.lines.iter().map(|l| net(l, Form::Solid)).sum()
    }

    /// The strip in the rough, at the thickness of the stock.
    pub fn rough(&self) -> Quantity {
        Quantity::solid(1, self.stock.thickness(), self.rough_width, self.length)
    }
}

fn net(line: &Line, form: Form) -> Quantity {
    let [length, width, thickness] = line.finished;
    match form {
        Form::Solid => Quantity::solid(line.count(), thickness, width, length),
        Form::Sheet => Quantity::sheet(line.count(), width, length),
    }
}

/// What is bought of one material and thickness: strips are ripped from the same boards as the parts.
#[derive(Clone, Debug)]
pub struct Purchase {
    /// The material.
    pub material: Material,
    /// The board or sheet.
    pub stock: Stock,
    /// Finished parts.
    pub net: Quantity,
    /// Rough pieces.
    pub rough: Quantity,
    /// Rough pieces and the allowance for waste; sheets are bought whole, so theirs is the rough area.
    pub to_buy: Quantity,
}

impl Takeoff {
    /// The boards and sheets to buy, solid wood first, then by material and thickness.
    pub fn purchases(&self) -> Vec<Purchase> {
        let groups = self.groups.iter().map(|g| (&g.material, &g.stock, g.net(), g.rough()));
        let strips = self.strips.iter().map(|s| (&s.material, &s.stock, s.net(), s.rough()));
        let mut sums: BTreeMap<(Form, &Material, &Stock), (Quantity, Quantity)> = BTreeMap::new();
        for (material, stock, net, rough) in groups.chain(strips) {
            let sum = sums.entry((material.form, material, stock)).or_default();
            sum.0 += net;
            sum.1 += rough;
        }
        let purchase =
            |((form, material, stock), (net, rough)): ((Form, &Material, &Stock), (Quantity, Quantity))| Purchase {
                material: material.clone(),
                stock: stock.clone(),
                net,
                rough,
                to_buy: if form == Form::Solid { rough.plus_percent(WASTE_PERCENT) } else { rough },
            };
        sums.into_iter().map(purchase).collect()
    }

    /// Face of all glass.
    pub fn glass(&self) -> Quantity {
        self.panes.iter().map(PaneLine::quantity).sum()
    }
}

impl Stock {
    /// Thickness before planing.
    pub const fn thickness(&self) -> Length {
        match self {
            Self::Board { nominal, .. } | Self::Laminated { nominal } => *nominal,
            Self::Sheet { thickness } => *thickness,
        }
    }

    /// As the list calls it: `5/4`, `34 mm`, `6 mm sheet`.
    pub fn name(&self, ruler: &Ruler) -> String {
        match self {
            Self::Board { name, .. } => (*name).into(),
            Self::Laminated { nominal } => format!("glued up to {}", ruler.show(*nominal)),
            Self::Sheet { thickness } => format!("{} sheet", ruler.show(*thickness)),
        }
    }
}
