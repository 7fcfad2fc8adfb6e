//! What the piece weighs and how it stands: the mass and centre of every part, of the whole with its doors shut and
//! open, and what tips it.
//!
//! Fittings are left out: they weigh little. Masses in kg, places in mm in the case frame.

use std::collections::BTreeMap;

use crate::frame::{Axis, Dir};
use crate::part::{Cut, Part, PartId, Profile, Role};
use crate::piece::{Case, Fitting};

/// kg/m³ of glass (EN 572-1).
pub const GLASS_DENSITY: f64 = 2500.0;

/// Standard gravity, m/s².
pub const GRAVITY: f64 = 9.806_65;

/// A mass and where its centre is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mass {
    /// kg.
    pub kg: f64,
    /// mm, in the case frame.
    pub centre: [f64; 3],
}

impl Mass {
    /// Both together.
    #[must_use]
    pub fn and(self, o: Self) -> Self {
        let kg = self.kg + o.kg;
        let share = if kg > 0.0 { o.kg / kg } else { 0.0 };
        Self { kg, centre: std::array::from_fn(|i| self.centre[i] + (o.centre[i] - self.centre[i]) * share) }
    }
}

/// How the empty piece stands on its front feet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// The whole, its doors shut.
    pub shut: Mass,
    /// The whole, every door opened by a right angle.
    pub open: Mass,
    /// From the front feet forward to the outer edge of an open door; nothing without doors. mm.
    pub reach: f64,
    /// N·m that tip it forward, its doors open.
    pub moment: f64,
    /// kg that tip it when hung at the outer edge of an open door.
    pub hung: Option<f64>,
    /// N that tip it, its doors open, when it is pulled forward at its upper edge or 56 in up, whichever is lower.
    pub pull: f64,
}

/// Height at which a pull is reckoned: 56 in (ASTM F2057-23, clause 9, from memory).
const PULL_HEIGHT: f64 = 56.0 * 25.4;

/// A box in mm: its interval on each axis.
type Block = [[f64; 2]; 3];

/// Slices that a curved cut is told in.
const SLICES: usize = 12;

/// A cut as boxes in the part frame: one if it is a rectangle, slices across it if it is not.
fn blocks(part: &Part, cut: &Cut) -> Vec<Block> {
    let whole = Axis::ALL.map(|axis| cut.bounds(part.size).along(axis).map(measure::Length::mm));
    if cut.outline.as_rectangle().is_some() {
        return vec![whole];
    }
    let polygon = cut.outline.flattened(0.1);
    let (u, v) = cut.from.axis.others();
    let [from, to] = whole[u.index()];
    let slice = (to - from) / SLICES as f64;
    let mut out = Vec::new();
    for i in 0..SLICES {
        let [low, high] = [from + slice * i as f64, from + slice * (i + 1) as f64];
        // Where the middle of the slice runs into the outline and out of it.
        let middle = f64::midpoint(low, high);
        let mut crossed: Vec<f64> = Vec::new();
        for (a, b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
            if (a[0] > middle) != (b[0] > middle) {
                crossed.push(a[1] + (b[1] - a[1]) * (middle - a[0]) / (b[0] - a[0]));
            }
        }
        crossed.sort_by(f64::total_cmp);
        for pair in crossed.chunks_exact(2) {
            let mut block = whole;
            block[u.index()] = [low, high];
            block[v.index()] = [pair[0], pair[1]];
            out.push(block);
        }
    }
    out
}

/// Volume in mm³, and its centre in the part frame, of what the cuts and raised edges leave of a blank.
///
/// Cuts are taken together as boxes, curved ones in slices, so that what two have in common counts once; round holes, which
/// lie apart, one by one. Eased arrises are left out.
fn solid(part: &Part) -> (f64, [f64; 3]) {
    let size = part.size.map(measure::Length::mm);
    let round = |c: &&Cut| c.outline.as_circle().is_some();
    let boxes: Vec<Block> = part.cuts.iter().filter(|c| !round(c)).flat_map(|c| blocks(part, c)).collect();
    let lines: [Vec<f64>; 3] = std::array::from_fn(|i| {
        let ends = boxes.iter().flat_map(|b| b[i]).chain([0.0, size[i]]).map(|x| x.clamp(0.0, size[i]));
        let mut lines: Vec<f64> = ends.collect();
        lines.sort_by(f64::total_cmp);
        lines.dedup();
        lines
    });
    let mut volume = 0.0;
    let mut moment = [0.0; 3];
    let mut add = |v: f64, at: [f64; 3]| {
        volume += v;
        for i in 0..3 {
            moment[i] += v * at[i];
        }
    };
    for x in lines[0].windows(2) {
        for y in lines[1].windows(2) {
            // Along z the boxes that cover this column, so that the innermost walk is short.
            let column: Vec<[f64; 2]> = boxes
                .iter()
                .filter(|b| b[0][0] <= x[0] && x[1] <= b[0][1] && b[1][0] <= y[0] && y[1] <= b[1][1])
                .map(|b| b[2])
                .collect();
            for z in lines[2].windows(2) {
                if !column.iter().any(|c| c[0] <= z[0] && z[1] <= c[1]) {
                    let v = (x[1] - x[0]) * (y[1] - y[0]) * (z[1] - z[0]);
                    add(v, [x, y, z].map(|s| f64::midpoint(s[0], s[1])));
                }
            }
        }
    }
    for cut in part.cuts.iter().filter(round) {
        let b = cut.bounds(part.size);
        let at = Axis::ALL.map(|axis| f64::midpoint(b.along(axis)[0].mm(), b.along(axis)[1].mm()));
        add(-cut.outline.area() * cut.depth.mm(), at);
    }
    for edge in &part.edges {
        let Profile::Raise { width, tongue, depth, .. } = edge.profile else { continue };
        let (slope, depth) = ((width - tongue).mm(), depth.mm());
        let section = tongue.mm() * depth + slope * depth / 2.0;
        // Bevels meet in mitres: each counts over its middle length.
        let length = (edge.to - edge.from).mm() - width.mm();
        let face = edge.faces[0];
        let mut at = size.map(|s| s / 2.0);
        at[face.axis.index()] = if face.positive { size[face.axis.index()] } else { 0.0 };
        let rim = edge.faces[1];
        at[rim.axis.index()] = if rim.positive { size[rim.axis.index()] } else { 0.0 };
        add(-section * length, at);
    }
    let centre = if volume > 0.0 { moment.map(|m| m / volume) } else { size.map(|s| s / 2.0) };
    (volume.max(0.0), centre)
}

/// The mass of every part, by number.
pub fn of_parts(case: &Case) -> Vec<Mass> {
    let mut solids: BTreeMap<PartId, (f64, [f64; 3])> = BTreeMap::new();
    let mass = |part: &Part| {
        // Likes weigh the same; a mirror image has x counted from the other end.
        let first = part.same_as.map_or(part.id, |like| like.part);
        let (volume, mut centre) = *solids.entry(first).or_insert_with(|| solid(case.part(first)));
        if part.same_as.is_some_and(|like| like.mirrored) {
            centre[0] = part.size[0].mm() - centre[0];
        }
        let mut at = part.placement.origin.map(measure::Length::mm);
        for (d, value) in part.placement.axes.iter().zip(centre) {
            at[d.axis.index()] += value * if d.positive { 1.0 } else { -1.0 };
        }
        Mass { kg: volume * 1e-9 * case.seasons.strength(&part.material).density, centre: at }
    };
    case.parts.iter().map(mass).collect()
}

/// The mass of every pane.
pub fn of_panes(case: &Case) -> Vec<Mass> {
    let mass = |p: &crate::Pane| {
        let size = p.size.map(measure::Length::mm);
        let mut centre = p.placement.origin.map(measure::Length::mm);
        for (d, s) in p.placement.axes.iter().zip(size) {
            centre[d.axis.index()] += s / 2.0 * if d.positive { 1.0 } else { -1.0 };
        }
        Mass { kg: size.iter().product::<f64>() * 1e-9 * GLASS_DENSITY, centre }
    };
    case.panes.iter().map(mass).collect()
}

/// The pin of the hinges of a door: its place from left to right and from front to back, and the side it is on.
fn pin(case: &Case, assembly: &str) -> Option<([f64; 2], Dir)> {
    let stile_of = |f: &Fitting| {
        let stile = f.parts.iter().map(|p| case.part(*p)).find(|p| p.role == Role::Stile && p.assembly == assembly)?;
        (f.kind == "butt hinge").then(|| (f.at, stile.case_box()))
    };
    let (hinge, stile) = case.fittings.iter().find_map(stile_of)?;
    let left = hinge[0] <= stile.min[0];
    Some(([hinge[0].mm(), hinge[1].mm()], if left { Dir::NX } else { Dir::PX }))
}

/// A point of a door that is opened by a right angle.
fn opened(at: [f64; 3], pin: [f64; 2], hung: Dir) -> [f64; 3] {
    let (dx, dy) = (at[0] - pin[0], at[1] - pin[1]);
    let (dx, dy) = if hung.positive { (-dy, dx) } else { (dy, -dx) };
    [pin[0] + dx, pin[1] + dy, at[2]]
}

/// How the piece stands.
pub fn stand(case: &Case) -> Stand {
    let parts = case.parts.iter().map(|p| p.assembly.as_str()).zip(of_parts(case));
    let panes = case.panes.iter().map(|p| p.assembly.as_str()).zip(of_panes(case));
    let mut pins: BTreeMap<&str, Option<([f64; 2], Dir)>> = BTreeMap::new();
    let (mut shut, mut open) = (Mass::default(), Mass::default());
    for (assembly, mass) in parts.chain(panes) {
        shut = shut.and(mass);
        let door = *pins.entry(assembly).or_insert_with(|| pin(case, assembly));
        let centre = door.map_or(mass.centre, |(at, hung)| opened(mass.centre, at, hung));
        open = open.and(Mass { centre, ..mass });
    }
    let edge = |part: &Part| {
        let (at, hung) = (*pins.get(part.assembly.as_str())?)?;
        let b = part.case_box();
        let far = if hung.positive { b.min[0] } else { b.max[0] };
        Some(-opened([far.mm(), b.min[1].mm(), 0.0], at, hung)[1])
    };
    let reach = case.parts.iter().filter_map(edge).fold(0.0, f64::max);
    let moment = GRAVITY * open.kg * open.centre[1] / 1000.0;
    let height = case.size[2].mm().min(PULL_HEIGHT);
    Stand {
        shut,
        open,
        reach,
        moment,
        hung: (reach > 0.0).then(|| open.kg * open.centre[1] / reach),
        pull: moment / (height / 1000.0),
    }
}
