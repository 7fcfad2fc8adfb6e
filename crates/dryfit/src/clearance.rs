//! Clearances: what each joint names, measured on the solids.

use case::{Axis, Box3, Case, Dir, Joint, JointKind, PartId, Purpose};
use measure::Length;

use crate::check::{Fit, Found, Rule};
use crate::columns::{Division, FINE, Look, Sight, Span, TOUCH, scan, shadow};
use crate::solid::Solid;

/// The least distance from a face of `mover` that looks a way to the face of `onto` that looks back at it, both within
/// a box; nothing if none of its faces looks at one there. Exact for square cuts, and no more than [`FINE`] too little
/// at slopes and arcs.
pub fn gap(mover: &Solid, onto: &Solid, way: Dir, within: &Box3) -> Option<Length> {
    let axis = way.axis;
    let window = shadow(&mover.blank, &onto.blank, axis)?;
    let (u, v) = axis.others();
    let inside = [within.along(u), within.along(v)];
    let window: [Span; 2] = std::array::from_fn(|k| [window[k][0].max(inside[k][0]), window[k][1].min(inside[k][1])]);
    let [low, high] = within.along(axis);
    // What is taken away elsewhere bounds no gap here.
    let sight = Sight { reach: [low - TOUCH, high + TOUCH], ..Sight::along(axis) };
    let between = |a: &[Span], b: &[Span]| {
        let gaps = a.iter().flat_map(|p| b.iter().map(move |q| if way.positive { [p[1], q[0]] } else { [q[1], p[0]] }));
        gaps.filter(|g| g[0] <= g[1] && g[0] >= low && g[1] <= high).map(|g| g[1] - g[0]).min()
    };
    // First what is plain, then slopes and arcs, closer each time, where only what comes nearer is worth following.
    let widest = window.iter().map(|s| s[1] - s[0]).max().unwrap_or(FINE);
    let search = |bounded: bool| {
        let (mut least, mut at_most): (Option<Length>, Option<Length>) = (None, None);
        for fine in [widest, COARSE, FINE] {
            let mut open = false;
            scan(mover, onto, Sight { fine, ..sight }, window, &mut |column| {
                let Some(at_least) = between(&column.a.most, &column.b.most) else {
                    return if column.division == Some(Division::Line) { Look::Closer } else { Look::Enough };
                };
                if least.is_some_and(|l| at_least >= l) || (bounded && at_most.is_some_and(|most| at_least > most)) {
                    return Look::Enough;
                }
                let surely = between(&column.a.least, &column.b.least);
                at_most = at_most.into_iter().chain(surely).min();
                if surely == Some(at_least) || (column.division.is_none() && fine == FINE) {
                    least = Some(at_least);
                    return Look::Enough;
                }
                open |= column.division.is_none();
                Look::Closer
            });
            if !open {
                break;
            }
        }
        least
    };
    // Of a face that only some of its column has in the box, what it has at most is no bound.
    search(true).or_else(|| search(false))
}

/// How finely slopes and arcs are looked over at first: 0.5 mm.
const COARSE: Length = Length::from_nm(500_000);

/// A clearance that a joint names: the ways in which it is to be found, and where.
struct Named {
    name: &'static str,
    length: Length,
    onto: PartId,
    ways: Vec<Dir>,
    within: Box3,
}

fn both(axis: Axis) -> [Dir; 2] {
    [true, false].map(|positive| Dir { axis, positive })
}

/// Where the cut of a joint in a part lies.
fn cut_box(case: &Case, part: PartId, joint: &Joint, purposes: &[Purpose]) -> Option<Box3> {
    let p = case.part(part);
    let cut = p.cuts.iter().find(|c| c.joint == Some(joint.id) && purposes.contains(&c.purpose))?;
    Some(p.placement.box_to_case(&cut.bounds(p.size)))
}

/// The clearances of a joint, and where to measure them.
fn named(case: &Case, joint: &Joint) -> Vec<Named> {
    let Some((last, others)) = joint.parts.split_last() else { return Vec::new() };
    let mover = case.part(*last);
    let everywhere = mover.case_box();
    let home = joint.insertion.unwrap_or(Dir::PZ);
    let across = |axis: Axis| Axis::ALL.into_iter().filter(move |a| *a != axis).flat_map(both).collect::<Vec<_>>();
    let upright = mover.placement.dir_to_case(Dir::PY).axis;
    let through = mover.placement.dir_to_case(Dir::PZ).axis;
    let mut out = Vec::new();
    for &(name, length) in &joint.clearances {
        let mut add = |onto: PartId, ways: Vec<Dir>, within: Option<Box3>| {
            out.extend(within.map(|within| Named { name, length, onto, ways, within }));
        };
        let first = others.first().copied();
        use JointKind as K;
        match (joint.kind, name, first) {
            (K::MortiseAndTenon, _, Some(post)) => {
                let mortise = cut_box(case, post, joint, &[Purpose::Mortise]);
                let ways = match name {
                    "end" => vec![home],
                    "cheek" => both(through).to_vec(),
                    _ => both(upright).to_vec(),
                };
                add(post, ways, mortise);
            }
            (K::Groove, _, Some(frame)) => {
                let groove = cut_box(case, frame, joint, &[Purpose::Groove]);
                let ways = if name == "bottom" { vec![home] } else { both(through).to_vec() };
                add(frame, ways, groove);
            }
            (K::Housing, _, Some(post)) => {
                let housing = cut_box(case, post, joint, &[Purpose::Housing]);
                let ways = if name == "end" { vec![home] } else { both(Axis::Z).to_vec() };
                add(post, ways, housing);
            }
            (K::Notch, _, Some(post)) => {
                let notch = cut_box(case, *last, joint, &[Purpose::Notch]);
                add(post, both(if name == "across" { Axis::Y } else { Axis::X }).to_vec(), notch);
            }
            (K::Peg, _, _) => {
                for part in others {
                    let hole = cut_box(case, *part, joint, &[Purpose::PegMortise]);
                    add(*part, across(home.axis), hole);
                }
            }
            (K::Button, _, Some(rail)) => {
                let pocket = cut_box(case, rail, joint, &[Purpose::ButtonPocket]);
                let ways = match name {
                    "bottom" => vec![home],
                    "below" => vec![Dir::NZ],
                    _ => across(home.axis).into_iter().filter(|d| d.axis != Axis::Z).collect(),
                };
                add(rail, ways, pocket);
            }
            (K::Hinge, _, Some(post)) => {
                let (p, stile) = (case.part(post).case_box(), everywhere);
                add(post, both(Axis::X).to_vec(), Some(p.union(&stile)));
            }
            (K::Pins, _, _) => {
                for post in others {
                    add(*post, both(Axis::X).to_vec(), Some(everywhere.union(&case.part(*post).case_box())));
                }
            }
            (K::Rabbet, "front", Some(frame)) => {
                add(frame, vec![Dir::NY], Some(everywhere.union(&case.part(frame).case_box())));
            }
            (K::Rabbet | K::Halving, _, Some(frame)) => {
                let within = everywhere.union(&case.part(frame).case_box());
                add(frame, across(home.axis), Some(within));
            }
            (K::Face, "face", Some(other)) => {
                add(other, Dir::ALL.to_vec(), Some(everywhere.union(&case.part(other).case_box())));
            }
            (K::Face, _, Some(other)) => {
                add(other, both(Axis::Z).to_vec(), Some(everywhere.union(&case.part(other).case_box())));
            }
            _ => {}
        }
    }
    out
}

pub(crate) const CLEARANCE: Rule = Rule {
    id: "clearance",
    asks: "Each joint has the clearances that it names, measured between the finished parts.",
    why: "Too little and it does not go home or cannot move, too much and it does not hold.",
    source: "geometry",
    check: clearances,
};

fn clearances(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let solid = |id: PartId| &fit.solids[id.0 as usize - 1];
    for joint in &fit.case.joints {
        let Some(last) = joint.parts.last() else { continue };
        for n in named(fit.case, joint) {
            // Faces that touch are no gap unless that is what is named.
            let measured: Vec<Length> = n
                .ways
                .iter()
                .filter_map(|way| gap(solid(*last), solid(n.onto), *way, &n.within))
                .filter(|g| *g > Length::ZERO || n.length == Length::ZERO)
                .collect();
            let off = |g: &Length| (*g - n.length).abs() > FINE;
            let wrong = match measured.iter().min() {
                None => Some("none to be found".to_owned()),
                Some(least) => Some(*least).filter(off).map(|l| fit.show(l)),
            };
            let Some(figure) = wrong else { continue };
            let names = [n.onto, *last].map(|p| fit.case.part(p).name.as_str());
            found.push(Found {
                parts: vec![n.onto, *last],
                what: format!(
                    "the {} of the {} in the {} is not what {} names",
                    n.name,
                    names[1],
                    names[0],
                    joint.kind.name()
                ),
                figure,
                limit: fit.show(n.length),
                advice: "the joint is made by one call and should agree: report the design",
            });
        }
    }
}
