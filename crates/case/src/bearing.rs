//! What shelves and the bottom bear: deflection at once and in years, stress, and the span at which another support is
//! needed.
//!
//! A shelf is a beam along its grain on two supports at the posts. The bottom hangs between the lower front and back
//! rails: they carry half of its load each, and the boards sag across the grain between them. Newtons, mm and MPa.

use design::Loads;
use timber::beam::{Loading, Section, Strip};

use crate::frame::Axis;
use crate::part::{Form, Part, PartId, Purpose, Role};
use crate::piece::Case;
use crate::weight::GRAVITY;

/// A shelf may bend by this share of its span at once (Architectural Woodwork Standards, 2009, section 10, 1.2.21.3).
pub const FIRST: f64 = 1.0 / 144.0;

/// A sag of this share of the span is just seen: 1/32 in to the foot (workshop guides, no standard).
pub const SEEN: f64 = 1.0 / 384.0;

/// Bending stress as a share of the modulus of rupture that is not passed: average strength of clear specimens, less for
/// knots, years and scatter. Common practice, no source.
pub const STRESSED: f64 = 0.25;

/// Stiffness across the grain over that along it (Wood Handbook, table 5-1, sugar maple, tangential).
const ACROSS: f64 = 0.065;

/// The front edging that a note proposes: thickness and height in mm, 3/4 by 1 1/2 in.
const EDGING: [f64; 2] = [19.05, 38.1];

/// What one shelf or bottom does under its load.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    /// The shelf.
    pub part: PartId,
    /// Between its supports.
    pub span: f64,
    /// In all, evenly spread.
    pub load: f64,
    /// At once.
    pub first: f64,
    /// After years.
    pub years: f64,
    /// The greatest bending stress.
    pub stress: f64,
    /// The modulus of rupture.
    pub rupture: f64,
    /// The span at which it would bend at once by as much as it may.
    pub longest: f64,
    /// After years, with an edging of 3/4 × 1 1/2 in glued to its front edge; shelves only, and none that have one.
    pub edged: Option<f64>,
}

/// The load in N on a face of so many mm².
fn load(loads: &Loads, area: f64) -> f64 {
    loads.each.map_or_else(|| loads.shelves.pressure() * area, |each| each.0 * GRAVITY)
}

/// Every shelf, then the bottom.
pub fn bearings(case: &Case) -> Vec<Bearing> {
    let posts = case.parts.iter().filter(|p| p.role == Role::Post).map(Part::case_box);
    let (mut left, mut right) = (None, None);
    for b in posts {
        // Posts of the left end end before the middle.
        if b.max[0] < case.size[0].half() {
            left = left.max(Some(b.max[0]));
        } else {
            right = Some(right.map_or(b.min[0], |r: measure::Length| r.min(b.min[0])));
        }
    }
    let Some(span) = left.zip(right).map(|(l, r)| (r - l).mm()).filter(|s| *s > 0.0) else { return Vec::new() };
    let shelves = case.parts.iter().filter(|p| p.role == Role::Shelf).map(|p| shelf(case, p, span));
    let bottom = case.parts.iter().filter(|p| p.role == Role::Bottom).filter_map(|p| bottom(case, p, span));
    shelves.chain(bottom).collect()
}

fn shelf(case: &Case, part: &Part, span: f64) -> Bearing {
    let wood = case.seasons.strength(&part.material);
    let [width, depth] = [part.size[1], part.size[2]].map(measure::Length::mm);
    let mut section = Section::rectangle(width, depth, wood.modulus);
    let edging = case.edgings().find(|(shelf, _)| *shelf == part.id).map(|(_, edging)| case.part(edging));
    let front = edging.map_or(0.0, |e| e.size[1].mm());
    if let Some(edging) = edging {
        let modulus = case.seasons.strength(&edging.material).modulus;
        section.0.push(Strip { width: front, low: 0.0, high: depth, modulus });
    }
    let load = load(&case.loads, span * (width + front));
    let first = Loading::Even.deflection(load, span, section.stiffness());
    let [thick, high] = EDGING;
    let edged = Section(vec![
        Strip { width, low: 0.0, high: depth, modulus: wood.modulus },
        Strip { width: thick, low: depth - high, high: depth, modulus: wood.modulus },
    ]);
    Bearing {
        part: part.id,
        span,
        load,
        first,
        years: first * wood.creep,
        stress: section.stress(Loading::Even.bending_moment(load, span)),
        rupture: wood.rupture,
        longest: Loading::Even.span_at(FIRST, load / span, section.stiffness()),
        edged: edging.is_none().then(|| Loading::Even.deflection(load, span, edged.stiffness()) * wood.creep),
    }
}

fn bottom(case: &Case, part: &Part, span: f64) -> Option<Bearing> {
    let boards = case.seasons.strength(&part.material);
    let [width, depth] = [part.size[1], part.size[2]].map(measure::Length::mm);
    let load = load(&case.loads, span * width);
    // The weaker of the two rails that run along its front and back edge, at its lowest section.
    let level = part.case_box().along(Axis::Z);
    let carries = |p: &&Part| {
        let z = p.case_box().along(Axis::Z);
        p.role == Role::Rail && p.placement.axes[0].axis == Axis::X && z[0] < level[0] && level[0] < z[1]
    };
    let rail = |p: &Part| {
        let wood = case.seasons.strength(&p.material);
        let rise = p.cuts.iter().filter(|c| c.purpose == Purpose::Outline).map(|c| {
            let [u, v] = c.outline.bounds();
            (u[1] - u[0]).min(v[1] - v[0]).mm()
        });
        let high = p.size[1].mm() - rise.fold(0.0, f64::max);
        let section = Section::rectangle(p.size[2].mm(), high, wood.modulus);
        let bent = Loading::Even.deflection(load / 2.0, span, section.stiffness());
        let longest = Loading::Even.span_at(FIRST, load / 2.0 / span, section.stiffness());
        (bent, section.stress(Loading::Even.bending_moment(load / 2.0, span)), wood.rupture, wood.creep, longest)
    };
    let (bent, stress, rupture, creep, longest) =
        case.parts.iter().filter(carries).map(rail).max_by(|a, b| a.0.total_cmp(&b.0))?;
    let stiffness = boards.modulus * if part.material.form == Form::Solid { ACROSS } else { 1.0 };
    let strip = Section::rectangle(span, depth, stiffness);
    let sag = Loading::Even.deflection(load, width, strip.stiffness());
    let (first, years) = (bent + sag, bent * creep + sag * boards.creep);
    Some(Bearing { part: part.id, span, load, first, years, stress, rupture, longest, edged: None })
}
