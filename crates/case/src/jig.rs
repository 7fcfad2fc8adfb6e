//! Jigs for a hand-held router or drill, reckoned from the cuts of a solved case: an opening for a guide collar round a
//! hinge's gain or a button's pocket, and a strip with the holes of a row of shelf pins.
//!
//! A jig is a part like any other, of sheet, in a case of its own, so that it is drawn, routed and proven as parts are.
//! Its frame: x along the grain of the work, y across from the fence's side, z up out of the sheet that lies on the work.
//! Nothing here is a second source of a dimension: what a jig makes is read off the cuts that it serves.

use std::f64::consts::FRAC_PI_8;

use measure::{Length, Ruler, Unit, inches, mm};

use crate::frame::{Axis, Box3, Dir, Placement};
use crate::outline::{Outline, Vertex};
use crate::part::{Cut, Material, Part, PartId, Purpose, Role};
use crate::piece::{Case, OrderInfo};

/// A guide collar for a hand-held router, and the bit that is used in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guide {
    /// What the shop calls it.
    pub name: String,
    /// Diameter of its rim.
    pub collar: Length,
    /// Diameter of the bit.
    pub bit: Length,
}

impl Guide {
    /// From the finished edge into the wood that stays, to the edge of a pattern that is laid over that wood.
    pub fn within(&self) -> Length {
        (self.collar - self.bit).half()
    }

    /// From the finished edge into the waste, to the edge of a pattern that is laid over the waste.
    pub fn beyond(&self) -> Length {
        (self.collar + self.bit).half()
    }

    /// As the shop tries them: those told by the order's own ruler first.
    pub fn in_order<'a>(guides: &'a [Self], ruler: &Ruler) -> Vec<&'a Self> {
        let mut guides: Vec<&Self> = guides.iter().collect();
        guides.sort_by_key(|g| ruler.read(g.collar).rounded || ruler.read(g.bit).rounded);
        guides
    }
}

/// What a jig is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JigKind {
    /// The gain of a hinge's leaf.
    HingeGain,
    /// A row of holes for shelf pins.
    PinRow,
    /// The pocket of a button's tongue.
    ButtonPocket,
}

impl JigKind {
    /// All of them.
    const ALL: [Self; 3] = [Self::HingeGain, Self::PinRow, Self::ButtonPocket];

    /// The jig's name: `hinge-gain jig`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::HingeGain => "hinge-gain jig",
            Self::PinRow => "shelf-pin drilling jig",
            Self::ButtonPocket => "button-pocket jig",
        }
    }

    const fn purpose(self) -> Purpose {
        match self {
            Self::HingeGain => Purpose::HingeGain,
            Self::PinRow => Purpose::PinHole,
            Self::ButtonPocket => Purpose::ButtonPocket,
        }
    }
}

/// Cuts of one part, and so of its likes, that a jig makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Serves {
    /// The first part of its kind.
    pub part: PartId,
    /// Indices of its cuts.
    pub cuts: Vec<usize>,
    /// The part's face that the fence bears on.
    pub edge: Dir,
    /// The part's end that the jig's left end is flush with, if it is set by an end.
    pub end: Option<Dir>,
}

/// What is known of a jig besides its part.
#[derive(Clone, Debug)]
pub struct Jig {
    /// Its part, in the jigs' own case.
    pub part: PartId,
    /// What it is for.
    pub kind: JigKind,
    /// The collar and the bit to rout with; a drilling jig has none.
    pub guide: Option<Guide>,
    /// Where the work's edge comes, across the jig.
    pub fence: Length,
    /// What it makes of the work, along and across the jig, as the cuts are.
    pub makes: Vec<[[Length; 2]; 2]>,
    /// The cuts that it makes.
    pub serves: Vec<Serves>,
}

/// A kind of jig that there is no making, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoJig {
    /// What it would be for.
    pub kind: JigKind,
    /// In words.
    pub why: String,
}

/// The jigs for a case.
#[derive(Clone, Debug)]
pub struct Jigs {
    /// Their parts, and nothing else.
    pub case: Case,
    /// One for each part.
    pub all: Vec<Jig>,
    /// What could not be had.
    pub refused: Vec<NoJig>,
}

/// Sizes of a jig beyond its openings: common practice, no source.
struct Stock {
    /// Of the sheet: more than a collar's rim stands down, and still little of the bit's length.
    thickness: Length,
    /// About an opening: half the base of a router bears on it.
    margin: Length,
    /// Wood on the fence's side of the edge, for the fence to be screwed to.
    fence: Length,
    /// Past the last hole, and past the row on the side away from the edge.
    beside: Length,
}

impl Stock {
    const fn of(unit: Unit) -> Self {
        match unit {
            Unit::Inch => {
                Self { thickness: inches(1, 2), margin: inches(3, 1), fence: inches(2, 1), beside: inches(5, 4) }
            }
            Unit::Millimetre => Self { thickness: mm(12), margin: mm(75), fence: mm(50), beside: mm(30) },
        }
    }
}

/// Cuts that one jig makes: along from the set end, or from the cut's own start; across from the edge.
type Makes = Vec<[[Length; 2]; 2]>;

/// Cuts on one face of a part as a jig has to make them, and how the jig is set.
struct Need {
    makes: Makes,
    serves: Serves,
}

/// The jigs for a case, for the guide collars at hand.
pub fn jigs(case: &Case, guides: &[Guide]) -> Jigs {
    let stock = Stock::of(case.order.unit);
    let mut out = Jigs { case: bare(case), all: Vec::new(), refused: Vec::new() };
    for kind in JigKind::ALL {
        // One jig makes all that are alike, wherever they are.
        let mut alike: Vec<(Makes, Vec<Serves>)> = Vec::new();
        for need in needs(case, kind) {
            match alike.iter_mut().find(|(makes, _)| *makes == need.makes) {
                Some((_, serves)) => join(serves, need.serves),
                None => alike.push((need.makes, vec![need.serves])),
            }
        }
        for (makes, serves) in alike {
            let id = PartId::jig(out.all.len());
            match kind {
                JigKind::PinRow => out.push(strip(id, makes, serves, &stock)),
                _ => match chosen(makes[0], guides, &case.order) {
                    Ok(guide) => out.push(opening(id, kind, makes[0], serves, guide, &stock)),
                    Err(why) => out.refused.push(NoJig { kind, why }),
                },
            }
        }
    }
    out
}

impl Jigs {
    fn push(&mut self, (jig, part): (Jig, Part)) {
        self.all.push(jig);
        self.case.parts.push(part);
    }
}

/// A case with the order's particulars and no parts.
fn bare(case: &Case) -> Case {
    Case {
        order: case.order.clone(),
        size: [Length::ZERO; 3],
        parts: Vec::new(),
        joints: Vec::new(),
        panes: Vec::new(),
        fittings: Vec::new(),
        loads: case.loads.clone(),
        seasons: case.seasons.clone(),
        plays: Vec::new(),
        findings: Vec::new(),
    }
}

/// What a kind of jig is needed for: each gain and each pocket by itself, holes by rows.
fn needs(case: &Case, kind: JigKind) -> Vec<Need> {
    let mut out = Vec::new();
    for (part, _) in case.kinds() {
        let mut rows: Vec<(Dir, [Length; 2], Vec<usize>)> = Vec::new();
        for (i, cut) in part.cuts.iter().enumerate().filter(|(_, c)| c.purpose == kind.purpose()) {
            let Some(across) = across(cut) else { continue };
            let range = cut.bounds(part.size).along(across);
            match rows.iter_mut().find(|r| kind == JigKind::PinRow && r.0 == cut.from && r.1 == range) {
                Some(row) => row.2.push(i),
                None => rows.push((cut.from, range, vec![i])),
            }
        }
        out.extend(rows.into_iter().filter_map(|(_, _, cuts)| need(part, cuts, kind)));
    }
    out
}

/// The axis across the work in the face that a cut enters; nothing for a cut into an end.
fn across(cut: &Cut) -> Option<Axis> {
    match cut.from.axis {
        Axis::X => None,
        Axis::Y => Some(Axis::Z),
        Axis::Z => Some(Axis::Y),
    }
}

/// Told from the part's nearer edge, and for a row from its nearer end.
fn need(part: &Part, cuts: Vec<usize>, kind: JigKind) -> Option<Need> {
    let axis = across(&part.cuts[*cuts.first()?])?;
    let boxes: Vec<Box3> = cuts.iter().map(|i| part.cuts[*i].bounds(part.size)).collect();
    let from_far = |[a, b]: [Length; 2], whole: Length| [whole - b, whole - a];
    let nearer_far = |axis: Axis| {
        let whole = part.size[axis.index()];
        let ends = || boxes.iter().map(|b| b.along(axis));
        let low = ends().map(|[a, _]| a).min().unwrap_or_default();
        let high = ends().map(|[_, b]| whole - b).min().unwrap_or_default();
        high < low
    };
    let (far_edge, far_end) = (nearer_far(axis), kind == JigKind::PinRow && nearer_far(Axis::X));
    let mut makes: Vec<[[Length; 2]; 2]> = boxes
        .iter()
        .map(|b| {
            let [x, y] = [b.along(Axis::X), b.along(axis)];
            let y = if far_edge { from_far(y, part.size[axis.index()]) } else { y };
            let x = match kind {
                JigKind::PinRow if far_end => from_far(x, part.size[0]),
                JigKind::PinRow => x,
                _ => [Length::ZERO, x[1] - x[0]],
            };
            [x, y]
        })
        .collect();
    makes.sort_unstable();
    let edge = Dir { axis, positive: far_edge };
    let end = (kind == JigKind::PinRow).then_some(Dir { axis: Axis::X, positive: far_end });
    Some(Need { makes, serves: Serves { part: part.id, cuts, edge, end } })
}

/// Cuts of one part that are set alike are told together.
fn join(serves: &mut Vec<Serves>, more: Serves) {
    match serves.iter_mut().find(|s| (s.part, s.edge, s.end) == (more.part, more.edge, more.end)) {
        Some(same) => same.cuts.extend(more.cuts),
        None => serves.push(more),
    }
}

/// The first guide whose bit has room in the cut; one that is open at the edge is entered from there.
fn chosen<'a>([x, y]: [[Length; 2]; 2], guides: &'a [Guide], order: &OrderInfo) -> Result<&'a Guide, String> {
    let (long, wide) = (x[1] - x[0], y[1] - y[0]);
    let room = if y[0] == Length::ZERO { long } else { long.min(wide) };
    let Some(least) = guides.iter().map(|g| g.bit).min() else {
        return Err("the tool table names no guide collar".into());
    };
    Guide::in_order(guides, &order.ruler).into_iter().find(|g| g.bit <= room).ok_or_else(|| {
        let [room, least] = [room, least].map(|l| order.ruler.show(l));
        format!("the opening would be smaller than the collar: the cut is {room} wide, and the least bit in a collar {least}")
    })
}

/// A sheet with an opening that a collar runs round.
fn opening(
    id: PartId,
    kind: JigKind,
    [x, y]: [[Length; 2]; 2],
    serves: Vec<Serves>,
    guide: &Guide,
    stock: &Stock,
) -> (Jig, Part) {
    let (within, left) = (guide.within(), stock.margin + guide.within());
    // Where the cut runs out over the edge the bit has to come clear of it.
    let before = if y[0] == Length::ZERO { guide.beyond() } else { within - y[0] };
    let fence = stock.fence + before.max(Length::ZERO);
    let made = [x.map(|v| v + left), y.map(|v| v + fence)];
    let hole = [[stock.margin, made[0][1] + within], [fence - before, made[1][1] + within]];
    let size = [hole[0][1] + stock.margin, hole[1][1] + stock.margin, stock.thickness];
    let outline = rounded(hole, guide.collar.half());
    let jig = Jig { part: id, kind, guide: Some(guide.clone()), fence, makes: vec![made], serves };
    (jig, sheet(id, kind, size, vec![(Purpose::GuideOpening, outline)]))
}

/// A strip with the holes of a row, its lower edge and its left end those of the work.
fn strip(id: PartId, makes: Vec<[[Length; 2]; 2]>, serves: Vec<Serves>, stock: &Stock) -> (Jig, Part) {
    let reach = |axis: usize| makes.iter().map(|m| m[axis][1]).max().unwrap_or_default() + stock.beside;
    let size = [reach(0), reach(1), stock.thickness];
    let hole = |[x, y]: &[[Length; 2]; 2]| {
        let middle = |[a, b]: [Length; 2]| a + (b - a).half();
        (Purpose::PinHole, Outline::circle([middle(*x), middle(*y)], x[1] - x[0]))
    };
    let cuts = makes.iter().map(hole).collect();
    let jig = Jig { part: id, kind: JigKind::PinRow, guide: None, fence: Length::ZERO, makes, serves };
    (jig, sheet(id, JigKind::PinRow, size, cuts))
}

fn sheet(id: PartId, kind: JigKind, size: [Length; 3], openings: Vec<(Purpose, Outline)>) -> Part {
    let cut = |(purpose, outline)| Cut { purpose, joint: None, from: Dir::PZ, outline, depth: size[2] };
    Part {
        id,
        name: kind.name().into(),
        role: Role::Jig,
        assembly: "jigs".into(),
        material: Material::sheet("birch plywood"),
        size,
        placement: Placement { origin: [Length::ZERO; 3], axes: [Dir::PX, Dir::PY, Dir::PZ] },
        cuts: openings.into_iter().map(cut).collect(),
        edges: Vec::new(),
        same_as: None,
    }
}

/// A rectangle with the collar's round in its corners; a side that the rounds take up is left out.
fn rounded([u, v]: [[Length; 2]; 2], radius: Length) -> Outline {
    let r = radius.min((u[1] - u[0]).half()).min((v[1] - v[0]).half());
    let quarter = libm::tan(FRAC_PI_8);
    let at = |u, v, bulge| Vertex { u, v, bulge };
    let vertices = [
        at(u[0] + r, v[0], 0.0),
        at(u[1] - r, v[0], quarter),
        at(u[1], v[0] + r, 0.0),
        at(u[1], v[1] - r, quarter),
        at(u[1] - r, v[1], 0.0),
        at(u[0] + r, v[1], quarter),
        at(u[0], v[1] - r, 0.0),
        at(u[0], v[0] + r, quarter),
    ];
    let n = vertices.len();
    let empty = |i: usize| {
        let (a, b) = (&vertices[i], &vertices[(i + 1) % n]);
        a.bulge == 0.0 && (a.u, a.v) == (b.u, b.v)
    };
    Outline((0..n).filter(|i| !empty(*i)).map(|i| vertices[i]).collect())
}
