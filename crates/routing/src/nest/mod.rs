//! Sheet parts cut out of a sheet, or of a blank that was sawn off it, in one clamping.
//!
//! Where the parts lie is the stock layout's affair: it keeps [`around`] free about each. Here the cuts inside the parts
//! are made first, then their outlines, small parts first, each by a kerf of the bit's width outside it; bridges hold the
//! part to the web that stays between the kerfs. What cannot be made so is left to the saw and to set-ups part by part.

mod drawing;
mod files;
mod outline;
mod page;

use std::collections::{BTreeMap, BTreeSet};

use case::{Case, Cut, Dir, Form, Material, OrderInfo, Outline, Part, PartId, Placement, Point, Purpose, Role, Vertex};
use measure::{Length, Unit, mm};
use paper::sheet::{Document, Draft, bind};

use crate::curve::P2;
use crate::job::{ALLOWANCE, Means, Share, cutting, reaches};
use crate::machine::Machine;
use crate::path::Pen;
use crate::profile::{HIGH, Held};
use crate::route::{self, Routing};
use crate::setup::Setup;
use crate::tool::{Stuff, Tool, ToolKind, ToolTable, decimal};
use crate::wall::Chain;
use outline::{Kind, Surround, held, sorted, strips};

/// The thinnest bit that cuts outlines, mm: thinner ones break in sheet that has glue in it. Common practice, no source.
const STURDY: Length = mm(5);

/// How much farther than its radius a bit's centre keeps off a bridge, mm: less than any proof takes for wood left.
const KEEP: f64 = 1e-3;

/// Beside notches a bit needs so much room more than its diameter, mm.
const ROOM: f64 = 0.05;

/// A sheet or a part of one, with the finished parts that lie on it.
#[derive(Clone, Debug)]
pub struct Blank {
    /// What it is and where it comes from, in words: `the whole of sheet 1`.
    pub name: String,
    /// What it is of.
    pub material: Material,
    /// Length along its grain, width, thickness.
    pub size: Point,
    /// What lies on it.
    pub parts: Vec<Lying>,
}

/// A part on a blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lying {
    /// The part.
    pub part: PartId,
    /// The finished part's least x and y on the blank.
    pub at: [Length; 2],
    /// Its length lies across the blank.
    pub turned: bool,
}

/// A part as a program finds it on the blank.
#[derive(Clone, Copy, Debug)]
pub struct Placed {
    /// The part.
    pub part: PartId,
    /// How it lies, as if it were a blank by itself with its zero at its left front corner.
    pub setup: Setup,
    /// That corner on the blank.
    pub at: [Length; 2],
}

impl Placed {
    /// The corners of its blank that are nearest to the sheet's zero and farthest from it.
    pub fn corners(&self) -> [[Length; 2]; 2] {
        [self.at, [self.at[0] + self.setup.size[0], self.at[1] + self.setup.size[1]]]
    }

    /// An outline on the part's upper face, on the sheet.
    fn outline(&self, outline: &Outline) -> Outline {
        let at = |v: &Vertex| Vertex { u: v.u + self.at[0], v: v.v + self.at[1], bulge: v.bulge };
        Outline(self.setup.outline(outline).0.iter().map(at).collect())
    }
}

/// Indices of the cuts that nests make, by part; a part that is nested has an entry, if an empty one.
pub type Made = BTreeMap<PartId, BTreeSet<usize>>;

/// Programs for nested parts, and which of their cuts are done by them.
#[derive(Clone, Debug, Default)]
pub struct Nested {
    /// Programs, set-up sheets and what is left.
    pub routing: Routing,
    /// What is done.
    pub made: Made,
    drawn: Vec<Draft>,
}

impl Nested {
    /// A drawing of each sheet, to scale.
    pub fn drawings(&self, order: &OrderInfo) -> Vec<paper::Sheet> {
        const CAUTION: &str = "Hold the sheet down all over";
        bind(order, Document { code: "N", kind: "Parts cut out by router", caution: CAUTION }, self.drawn.clone())
    }
}

/// How much the stock layout must keep free on every side of a finished sheet part so thick, if such parts are nested at
/// all: the kerf, and half of the web to the next.
pub fn around(machine: &Machine, tools: &ToolTable, unit: Unit, thickness: Length) -> Option<Length> {
    let bit = bit(machine, tools, unit, thickness)?;
    machine.nest.sheets.then(|| bit.diameter + Length::from_mm(ALLOWANCE) + machine.nest.web.half())
}

/// Whether a blank of that length and width lies on the machine; the tool goes nowhere beside it.
pub fn fits(machine: &Machine, size: [Length; 2]) -> bool {
    let [x, y, _] = machine.travel;
    size[0] <= x && size[1] <= y
}

/// The bit for outlines: the thinnest sturdy one of the order's own unit that is long enough.
fn bit<'a>(machine: &Machine, tools: &'a ToolTable, unit: Unit, thickness: Length) -> Option<&'a Tool> {
    let deep = thickness + machine.spoilboard;
    let long = |t: &&Tool| t.flute >= deep && t.stick_out >= deep + mm(3);
    let will_do = tools.tools.iter().filter(|t| t.kind == ToolKind::Straight && t.plunges && t.diameter >= STURDY);
    let step = if unit == Unit::Inch { measure::inches(1, 64) } else { mm(1).half() };
    will_do.filter(long).min_by_key(|t| (t.diameter.nm() % step.nm() != 0, t.diameter))
}

/// Programs and sheets for all blanks. The same case, blanks, machine and tools give the same text.
pub fn nest(case: &Case, blanks: &[Blank], machine: &Machine, tools: &ToolTable) -> Nested {
    let mut out = Nested::default();
    let means = Means { machine, tools, unit: machine.unit.unwrap_or(case.order.unit) };
    let mut number = 0;
    for blank in blanks.iter().filter(|b| b.material.form == Form::Sheet) {
        let bed = Bed::new(case, blank, means, &mut out);
        if !bed.laid.is_empty() {
            number += 1;
            bed.write(&format!("NEST{number}"), &mut out);
        }
    }
    out
}

/// A part that is cut out.
struct Laid<'a> {
    part: &'a Part,
    placed: Placed,
    kinds: Vec<Kind>,
    about: Surround,
    walls: Chain,
    tabs: Vec<[P2; 4]>,
}

/// A blank with what is cut out of it.
struct Bed<'a> {
    case: &'a Case,
    blank: &'a Blank,
    means: Means<'a>,
    setup: Setup,
    bit: &'a Tool,
    laid: Vec<Laid<'a>>,
}

impl<'a> Bed<'a> {
    fn new(case: &'a Case, blank: &'a Blank, means: Means<'a>, out: &mut Nested) -> Self {
        let Means { machine, tools, unit } = means;
        let setup = Setup::laid(blank.size, Dir::PZ, Dir::PX);
        let show = |l: Length| format!("{} {unit}", decimal(l, unit));
        let found = bit(machine, tools, unit, blank.size[2]);
        let mut bed = Self { case, blank, means, setup, bit: found.unwrap_or(&tools.tools[0]), laid: Vec::new() };
        let usable = if found.is_none() {
            let [_, _, deep] = blank.size;
            Err(format!("there is no bit that plunges, is {} thick and cuts {} deep", show(STURDY), show(deep)))
        } else if !fits(machine, [blank.size[0], blank.size[1]]) {
            let [x, y, _] = machine.travel;
            let [long, wide] = [blank.size[0], blank.size[1]].map(show);
            Err(format!("a blank of {long} x {wide} is more than the machine's travel of {} x {}", show(x), show(y)))
        } else {
            let deep = blank.size[2] + machine.spoilboard;
            reaches(&setup, bed.bit, deep.mm(), means)
        };
        for lying in &blank.parts {
            let part = case.part(lying.part);
            let laid = usable.clone().and_then(|()| bed.lay(part, *lying));
            match laid {
                Ok(laid) => bed.laid.push(laid),
                Err(why) => route::note(&mut out.routing, part, None, "outline", &format!("{why}: saw it out")),
            }
        }
        let area = |l: &Laid| (l.part.size[0].mm() * l.part.size[1].mm(), l.part.id);
        bed.laid.sort_by(|a, b| area(a).0.total_cmp(&area(b).0).then(a.part.id.cmp(&b.part.id)));
        bed
    }

    /// A part where it lies, with its walls and bridges; in words, why it cannot be cut out there.
    fn lay(&self, part: &'a Part, lying: Lying) -> Result<Laid<'a>, String> {
        let wide = self.bit.diameter * 3;
        let placed = |up: Dir| {
            let x_axis = if lying.turned { Dir::PY } else { Dir::PX };
            Placed { part: part.id, setup: Setup::laid(part.size, up, x_axis), at: lying.at }
        };
        // The face from which most is cut is up; else the one that is not looked at, since bits that lift the chips lift
        // the fibres of that face too.
        let hidden = |up: Dir| matches!(part.placement.dir_to_case(up), Dir::PY | Dir::NZ);
        let made = |up: &Dir| {
            let kinds = sorted(part, &placed(*up));
            (kinds.iter().filter(|k| !matches!(k, Kind::Elsewhere)).count(), hidden(*up), up.positive)
        };
        let up = if made(&Dir::NZ) > made(&Dir::PZ) { Dir::NZ } else { Dir::PZ };
        let placed = placed(up);
        if 2.0 * HIGH.min(part.size[2].mm() / 2.0) < 4.0 {
            return Err("it is too thin for bridges that hold".into());
        }
        let mut kinds = sorted(part, &placed);
        let about = loop {
            let cuts = kinds.iter().enumerate().filter_map(|(i, k)| match k {
                Kind::Notch(outlines) => Some(outlines.iter().map(move |o| (i, o.clone()))),
                _ => None,
            });
            let (indices, outlines): (Vec<usize>, Vec<Outline>) = cuts.flatten().unzip();
            let about = Surround::new(placed.corners(), &outlines, wide);
            let narrow: Vec<usize> = {
                let field = about.field();
                let rooms = indices.iter().zip(about.rooms(&field));
                rooms.filter(|(_, room)| *room < self.bit.diameter.mm() + ROOM).map(|(i, _)| *i).collect()
            };
            if narrow.is_empty() {
                break about;
            }
            narrow.into_iter().for_each(|i| kinds[i] = Kind::Elsewhere);
        };
        let walls = about.walls(&about.field()).ok_or("its notches part it")?;
        let tabs = held(part, &placed, &walls, self.bit.radius());
        if tabs.len() < 2 {
            return Err("it has no place for two bridges".into());
        }
        Ok(Laid { part, placed, kinds, about, walls, tabs })
    }

    /// How far tools may run out of a part: over its kerf and its half of the web.
    fn reach(&self) -> Length {
        self.bit.diameter + self.means.machine.nest.web.half()
    }

    /// How high the bridges are, mm.
    fn high(&self) -> f64 {
        HIGH.min(self.setup.height().mm() / 2.0)
    }

    /// The sheet with the cuts inside the parts as if it were one part, the name of each, and how many of them are to be
    /// made; the rest is where tools may run out of the parts.
    fn as_part(&self) -> (Part, Vec<(PartId, usize)>) {
        let mut cuts = Vec::new();
        let mut names = Vec::new();
        let cut = |purpose, outline: &Outline, depth| Cut {
            purpose,
            joint: None,
            from: Dir::PZ,
            outline: outline.clone(),
            depth,
        };
        let mut beside = Vec::new();
        for laid in &self.laid {
            let mut deepest = Length::ZERO;
            for (i, kind) in laid.kinds.iter().enumerate() {
                let Kind::Inside(pieces) = kind else { continue };
                for (outline, depth) in pieces {
                    cuts.push(cut(laid.part.cuts[i].purpose, outline, *depth));
                    names.push((laid.part.id, i));
                    deepest = deepest.max(if *depth < self.setup.height() { *depth } else { Length::ZERO });
                }
            }
            if deepest > Length::ZERO {
                let about = strips(laid.placed.corners(), self.reach());
                beside.extend(about.iter().map(|o| cut(Purpose::Outline, o, deepest)));
            }
        }
        cuts.extend(beside);
        let size = self.blank.size;
        let placement = Placement::filling(&case::Box3 { min: [Length::ZERO; 3], max: size }, Dir::PX, Dir::PZ);
        let part = Part {
            id: PartId(1),
            name: self.blank.name.clone(),
            role: Role::Back,
            assembly: String::new(),
            material: self.blank.material.clone(),
            size,
            placement,
            cuts,
            edges: Vec::new(),
            same_as: None,
        };
        (part, names)
    }

    /// The outlines, small parts first.
    fn outlines(&self) -> Share {
        let Means { machine, tools, .. } = self.means;
        let (height, depth) = (self.setup.height().mm(), (self.setup.height() + machine.spoilboard).mm());
        let mut pen = Pen::new(machine.clear.mm(), machine.approach.mm());
        let cut = cutting(self.bit);
        for laid in &self.laid {
            let field = laid.about.field().between(&laid.walls);
            let top = height - self.high();
            let held = Held { tabs: &laid.tabs, keep: self.bit.radius() + KEEP, top, climb: machine.nest.climb };
            held.follow(&mut pen, &field, std::slice::from_ref(&laid.walls), depth, &cut);
        }
        Share {
            tool: tools.tools.iter().position(|t| t.number == self.bit.number).unwrap_or(0),
            feeds: self.bit.feeds(machine, Stuff::Sheet),
            moves: pen.moves,
            cuts: Vec::new(),
            corners: Vec::new(),
            kerfs: Vec::new(),
            dropped: Vec::new(),
        }
    }
}

/// The name of a part's outline among the cuts of a program: `P17.outline`.
fn outline_id(part: &Part) -> String {
    format!("{}.outline", part.id)
}
