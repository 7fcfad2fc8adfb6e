//! The stock file: the boards and sheets that stand in the shop, what they cost, and the saw that cuts them.
//!
//! `docs/stock-file.md` explains its keys.

use std::collections::BTreeMap;
use std::sync::Arc;

use case::{Form as Kind, Sawn};
use fault::{Fault, Faults, Node, Place, Source, parse, tick};
use form::{Form, length, money, number, switch, text, whole, word};
use measure::{Length, Unit, mm};
use stock::{Area, Flaw, Saw};

use crate::allowance::Allowances;
use crate::buy::{FINISH, Finish};

/// What stands in the shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Rack {
    /// What prices are in, as it is printed: `USD`, `€`.
    pub currency: String,
    /// The saw, and what is kept.
    pub sawing: Sawing,
    /// Boards and sheets, in the order of the file.
    pub stacks: Vec<Stack>,
    /// What the yard asks for more.
    pub prices: Vec<Price>,
    /// What the piece is finished with.
    pub finish: Option<Finish>,
}

/// What the yard asks.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// For this material,
    pub material: String,
    /// of this thickness, or of any.
    pub thickness: Option<Length>,
    /// By this measure,
    pub per: Per,
    /// so much, in hundredths of the currency.
    pub price: i64,
    /// In kg/m³, for wood that is sold by weight; what is known of the species, if it is left out.
    pub density: Option<f64>,
}

/// What a price is for one of. Dense exotics are sold by weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// 144 in³.
    BoardFoot,
    /// Of boards.
    CubicMetre,
    /// Of sheet.
    SquareFoot,
    /// Of sheet.
    SquareMetre,
    /// A whole one.
    Sheet,
    /// By weight.
    Kilogram,
    /// By weight.
    Pound,
}

impl Per {
    /// As the file writes it, and lists print it.
    pub const ALL: [(&'static str, Self); 7] = [
        ("board ft", Self::BoardFoot),
        ("m3", Self::CubicMetre),
        ("sq ft", Self::SquareFoot),
        ("m2", Self::SquareMetre),
        ("sheet", Self::Sheet),
        ("kg", Self::Kilogram),
        ("lb", Self::Pound),
    ];

    /// As lists print it.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, per)| *per == self).map_or("", |(name, _)| name)
    }
}

/// How boards and sheets are cut up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sawing {
    /// What a cut takes away.
    pub kerf: Length,
    /// Cut off both ends of a board.
    pub end_trim: Length,
    /// Cut off both edges of a board.
    pub edge_trim: Length,
    /// Cut off all edges of a sheet.
    pub sheet_trim: Length,
    /// Least length and width of an offcut worth keeping.
    pub keep: (Length, Length),
}

/// Boards or sheets that are alike, or one with flaws.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stack {
    /// What is written on it.
    pub id: String,
    /// As the design names it: `white oak`, `birch plywood`.
    pub material: String,
    /// Board or sheet.
    pub kind: Kind,
    /// How a board is sawn.
    pub sawn: Sawn,
    /// As it is: rough for a board, unless it is planed.
    pub thickness: Length,
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// How many.
    pub count: usize,
    /// What one costs, in hundredths of the currency.
    pub price: Option<i64>,
    /// Planed already.
    pub planed: bool,
    /// Kept for faces that show.
    pub best: bool,
    /// Its parts must lie with their grain along its length.
    pub grain: bool,
    /// Where parts may not lie, with what each flaw is.
    pub flaws: Vec<(String, Flaw)>,
}

impl Sawing {
    /// What is common in the shops of a unit, without source.
    pub const fn of(unit: Unit) -> Self {
        use measure::inches;
        match unit {
            Unit::Inch => Self {
                kerf: inches(1, 8),
                end_trim: inches(1, 1),
                edge_trim: inches(1, 8),
                sheet_trim: inches(3, 8),
                keep: (inches(24, 1), inches(3, 1)),
            },
            Unit::Millimetre => Self {
                kerf: Length::from_nm(3_200_000),
                end_trim: mm(25),
                edge_trim: mm(3),
                sheet_trim: mm(10),
                keep: (mm(600), mm(75)),
            },
        }
    }

    /// For boards or for sheets.
    pub const fn saw(&self, kind: Kind) -> Saw {
        let (end_trim, edge_trim) = match kind {
            Kind::Solid => (self.end_trim, self.edge_trim),
            Kind::Sheet => (self.sheet_trim, self.sheet_trim),
        };
        Saw { kerf: self.kerf, end_trim, edge_trim, keep: self.keep }
    }
}

impl Stack {
    /// What is left of its thickness when it is planed.
    pub fn planed_to(&self, allowances: &Allowances) -> Length {
        if self.planed || self.kind == Kind::Sheet { self.thickness } else { allowances.planed(self.thickness) }
    }

    /// Whether it is of a material and sawn as that is; case does not count.
    pub fn is_of(&self, material: &case::Material) -> bool {
        self.kind == material.form
            && self.sawn == material.sawn
            && self.material.trim().eq_ignore_ascii_case(material.name.trim())
    }
}

impl Rack {
    /// Reads a stock file; what it leaves out of its `[saw]` is as common in the shops of a unit.
    ///
    /// # Errors
    /// All its faults.
    pub fn read(source: &Arc<Source>, unit: Unit) -> Result<Self, Faults> {
        let mut faults = Faults::new();
        let root = parse(source, &mut faults);
        let rack = read(&root, unit, &mut faults);
        faults.or(rack)
    }
}

fn read(root: &Node, unit: Unit, faults: &mut Faults) -> Option<Rack> {
    let mut form = Form::new(root, faults)?;
    let currency = form.get("currency", &text(), Some(String::new()));
    let sawing = match form.node("saw") {
        Some(node) => read_saw(node, &Sawing::of(unit), form.faults),
        None => Some(Sawing::of(unit)),
    };
    let mut ids: BTreeMap<String, Place> = BTreeMap::new();
    let mut stacks = Vec::new();
    for (key, kind) in [("boards", Kind::Solid), ("sheets", Kind::Sheet)] {
        for node in form.tables(key) {
            let stack = read_stack(node, kind, form.faults);
            if let Some(stack) = &stack
                && let Some(first) = ids.insert(stack.id.clone(), node.place.clone())
            {
                let line = first.start().line;
                let fault =
                    Fault::new(&node.place, format!("another board or sheet is called {} too", tick(&stack.id)));
                form.faults.push(fault.mend(format!("give it an id of its own, or the one of line {line} a `count`")));
            }
            stacks.push(stack);
        }
    }
    let prices: Vec<_> = form.tables("prices").iter().map(|node| read_price(node, form.faults)).collect();
    let finish = form.node("finish").map_or(Some(None), |node| read_finish(node, form.faults).map(Some));
    form.finish();
    Some(Rack {
        currency: currency?,
        sawing: sawing?,
        stacks: stacks.into_iter().collect::<Option<_>>()?,
        prices: prices.into_iter().collect::<Option<_>>()?,
        finish: finish?,
    })
}

fn read_saw(node: &Node, common: &Sawing, faults: &mut Faults) -> Option<Sawing> {
    let mut form = Form::new(node, faults)?;
    let kerf = form.get("kerf", &length(Length::ZERO..=mm(20)), Some(common.kerf));
    let mut trim = |key, default| form.get(key, &length(Length::ZERO..=mm(300)), Some(default));
    let end_trim = trim("end_trim", common.end_trim);
    let edge_trim = trim("edge_trim", common.edge_trim);
    let sheet_trim = trim("sheet_trim", common.sheet_trim);
    let keep = form.list("keep", &length(Length::ZERO..=mm(10_000)), Some([common.keep.0, common.keep.1]));
    form.finish();
    let [length, width] = keep?;
    Some(Sawing {
        kerf: kerf?,
        end_trim: end_trim?,
        edge_trim: edge_trim?,
        sheet_trim: sheet_trim?,
        keep: (length, width),
    })
}

fn read_stack(node: &Node, kind: Kind, faults: &mut Faults) -> Option<Stack> {
    let solid = kind == Kind::Solid;
    let mut form = Form::new(node, faults)?;
    let size = || length(mm(1)..=mm(20_000));
    let id = form.get("id", &text(), None);
    let material = form.get(if solid { "wood" } else { "material" }, &text(), None);
    let thickness = form.get("thickness", &length(Length::from_nm(500_000)..=mm(300)), None);
    let length = form.get("length", &size(), None);
    let width = form.get("width", &size(), None);
    let count = form.get("count", &whole(1..=999), Some(1_usize));
    let price = form.may("price", &money());
    const SAWN: [(&str, Sawn); 2] = [("flat", Sawn::Flat), ("quarter", Sawn::Quarter)];
    let sawn = if solid { form.get("sawn", &word(&SAWN), Some(Sawn::Flat)) } else { Some(Sawn::Flat) };
    let mut is = |key, default| form.get(key, &switch(), Some(default));
    let (planed, best) = if solid { (is("planed", false), is("best", false)) } else { (Some(true), Some(false)) };
    let grain = if solid { Some(true) } else { is("grain", true) };
    let flaws: Vec<_> = form.tables("flaws").iter().map(|n| read_flaw(n, length, width, form.faults)).collect();
    if let (Some(count @ 2..), [_, ..]) = (count, &flaws[..]) {
        let place = node_of(node, "count");
        let fault = Fault::new(place, format!("flaws are those of one board, and these are {count}"));
        form.faults.push(fault.mend("write a table for each of them"));
    }
    form.finish();
    Some(Stack {
        id: id?,
        material: material?,
        kind,
        sawn: sawn?,
        thickness: thickness?,
        length: length?,
        width: width?,
        count: count?,
        price: price?,
        planed: planed?,
        best: best?,
        grain: grain?,
        flaws: flaws.into_iter().collect::<Option<_>>()?,
    })
}

fn read_flaw(
    node: &Node,
    along: Option<Length>,
    across: Option<Length>,
    faults: &mut Faults,
) -> Option<(String, Flaw)> {
    let mut form = Form::new(node, faults)?;
    let what = form.get("kind", &text(), Some(String::from("flaw")));
    let at = form.list("at", &length(Length::ZERO..=mm(20_000)), None::<[Length; 2]>);
    let size = form.list("size", &length(Length::from_nm(1)..=mm(20_000)), None::<[Length; 2]>);
    let hidden_use = form.get("hidden", &switch(), Some(false));
    if let (Some(at), Some(size)) = (at, size) {
        for ((at, size), (board, edge)) in at.into_iter().zip(size).zip([(along, "end"), (across, "edge")]) {
            if board.is_some_and(|board| at + size > board) {
                let fault = Fault::new(node_of(node, "size"), format!("the flaw reaches over the {edge} of its board"));
                form.faults
                    .push(fault.mend("measure `at` from the lower left corner, and let `size` end on the board"));
            }
        }
    }
    form.finish();
    let ([x, y], [length, width]) = (at?, size?);
    Some((what?, Flaw { area: Area { x, y, length, width }, hidden_use: hidden_use? }))
}

fn read_price(node: &Node, faults: &mut Faults) -> Option<Price> {
    let mut form = Form::new(node, faults)?;
    let material = form.get("material", &text(), None);
    let thickness = form.may("thickness", &length(Length::from_nm(500_000)..=mm(300)));
    let per = form.get("per", &word(&Per::ALL), None);
    let price = form.get("price", &money(), None);
    let density = form.may("density", &number(50.0..=1500.0));
    form.finish();
    Some(Price { material: material?, thickness: thickness?, per: per?, price: price?, density: density? })
}

fn read_finish(node: &Node, faults: &mut Faults) -> Option<Finish> {
    let mut form = Form::new(node, faults)?;
    let name = form.get("name", &text(), None);
    let coats = form.get("coats", &whole(1..=20_u32), Some(FINISH.0));
    let coverage = form.get("coverage", &number(1.0..=50.0), Some(FINISH.1));
    form.finish();
    Some(Finish { name: name?, coats: coats?, coverage: coverage? })
}

/// Where a key's value stands, or its table if it is left out.
fn node_of<'n>(node: &'n Node, key: &str) -> &'n Place {
    match &node.value {
        fault::Value::Table(table) => table.get(key).map_or(&node.place, |n| &n.place),
        _ => &node.place,
    }
}
