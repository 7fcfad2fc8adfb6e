//! Fittings: each sits in what is cut for it. They are no solids, so that nothing else would miss a hole.

use case::{Box3, Fitting, PartId, Purpose};
use measure::Length;

use crate::check::{Fit, Found, Rule};
use crate::columns::TOUCH;

pub(crate) const SEATED: Rule = Rule {
    id: "seated",
    asks: "Every fitting sits in what is cut for it: a hinge in a gain on both sides, as deep on one as on the other; \
           pins, knobs, catches and screws at the middle of their holes.",
    why: "A leaf that is not let in holds the door open, and a fitting beside its hole is found out in the finished piece.",
    source: "geometry",
    check: seated,
};

/// What a kind of fitting sits in, in each of its parts; the parts beyond have none.
const fn seats(kind: &str) -> &'static [Purpose] {
    match kind.as_bytes() {
        b"butt hinge" => &[Purpose::HingeGain, Purpose::HingeGain],
        b"bullet catch" => &[Purpose::CatchHole, Purpose::StrikeGain],
        b"shelf pin" => &[Purpose::PinHole],
        b"knob" => &[Purpose::KnobHole],
        b"wood screw" => &[Purpose::ScrewHole],
        _ => &[],
    }
}

fn seated(fit: &Fit<'_>, found: &mut Vec<Found>) {
    for fitting in &fit.case.fittings {
        let wanted = seats(fitting.kind).iter().zip(&fitting.parts);
        let seats: Vec<(PartId, Option<Seat>)> =
            wanted.map(|(purpose, part)| (*part, Seat::of(fit, fitting, *part, *purpose))).collect();
        let depths: Vec<Length> = seats.iter().filter_map(|(_, s)| Some(s.as_ref()?.depth)).collect();
        let uneven = fitting.kind == HINGE && depths.windows(2).any(|d| (d[0] - d[1]).abs() > TOUCH);
        let bare = seats.iter().find(|(_, seat)| seat.is_none()).map(|(part, _)| *part);
        let Some(part) = bare.or_else(|| uneven.then(|| seats[0].0)) else { continue };
        let parts = if uneven { seats.iter().map(|(p, _)| *p).collect() } else { vec![part] };
        if found.iter().any(|f| f.parts == parts) {
            continue;
        }
        let name = &fit.case.part(part).name;
        let (what, figure) = if bare.is_some() {
            (format!("nothing is cut for the {} in the {name}", fitting.kind), "no hole or gain there".into())
        } else {
            let shown: Vec<String> = depths.iter().map(|d| fit.show(*d)).collect();
            (format!("the gains of a hinge at the {name} are not as deep as one another"), shown.join(" and "))
        };
        let (limit, advice) = ("where it sits".into(), "cut it where the fitting is, or move the fitting");
        found.push(Found { parts, what, figure, limit, advice });
    }
}

const HINGE: &str = "butt hinge";

/// What is cut for a fitting in one part.
struct Seat {
    depth: Length,
}

impl Seat {
    /// A hole whose middle is where the fitting is; a gain that begins at the pin's lower end and reaches it.
    fn of(fit: &Fit<'_>, fitting: &Fitting, part: PartId, purpose: Purpose) -> Option<Self> {
        let part = fit.case.part(part);
        let near = |a: Length, b: Length| (a - b).abs() <= TOUCH;
        let holds = |b: &Box3, axis: case::Axis| {
            let (u, v) = axis.others();
            let middle = |a: case::Axis| {
                let [low, high] = b.along(a);
                near(low + (high - low).half(), fitting.at[a.index()])
            };
            if fitting.kind == HINGE { near(b.min[2], fitting.at[2]) } else { middle(u) && middle(v) }
        };
        let mut cuts = part.cuts.iter().filter(|c| c.purpose == purpose);
        let cut = cuts.find(|c| {
            let axis = part.placement.dir_to_case(c.from).axis;
            holds(&part.placement.box_to_case(&c.bounds(part.size)), axis)
        })?;
        Some(Self { depth: cut.depth })
    }
}
