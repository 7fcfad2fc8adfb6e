//! Contact: what touches what, and whether everything is held.

use case::{Axis, Dir, JointKind, PartId, Role};
use measure::Length;

use crate::check::{Fit, Found, Rule, part_ids};
use crate::columns::{Look, Sight, Span, TOUCH, scan, shadow};
use crate::common::common;
use crate::shelf::pins_of;
use crate::solid::{Body, Solid};

/// Faces that meet over less than this hold nothing: 1 mm².
const LEAST: f64 = 1.0;

/// The area, in mm², over which faces of `a` that look a way lie against `b`; no more of it is measured than is
/// `enough`. Where arcs bound it, it is a little less than the truth.
pub fn touching(a: &Solid, b: &Solid, way: Dir, enough: f64) -> f64 {
    let axis = way.axis;
    let mut area = 0.0;
    let ([a0, a1], [b0, b1]) = (a.blank.along(axis), b.blank.along(axis));
    let Some(window) = shadow(&a.blank, &b.blank, axis).filter(|_| a0.max(b0) - a1.min(b1) <= TOUCH) else {
        return area;
    };
    // Faces meet where both blanks are.
    let reach = [a0.max(b0) - TOUCH, a1.min(b1) + TOUCH];
    scan(a, b, Sight { axis, reach, fine: COARSE }, window, &mut |column| {
        if meet(&column.a.most, &column.b.most, way) && meet(&column.a.least, &column.b.least, way) {
            area += column.rect.iter().map(|[low, high]| (*high - *low).mm()).product::<f64>();
            if area >= enough { Look::Done } else { Look::Enough }
        } else {
            Look::Closer
        }
    });
    area
}

/// How finely the edge of a face is followed where it is an arc: 2 mm, since an area is asked for and not a place.
const COARSE: Length = Length::from_nm(2_000_000);

/// Whether an interval of `a` ends, on the side that looks a way, where one of `b` begins.
fn meet(a: &[Span], b: &[Span], way: Dir) -> bool {
    let (own, other) = (usize::from(way.positive), usize::from(!way.positive));
    a.iter().any(|p| b.iter().any(|q| (p[own] - q[other]).abs() <= TOUCH))
}

/// Whether two solids lie against one another over [`LEAST`] or more; they most likely do so in the way in which one
/// goes home to the other.
fn touch(a: &Solid, b: &Solid, home: Option<Dir>) -> bool {
    let others = Dir::ALL.into_iter().filter(|way| Some(*way) != home);
    home.into_iter().chain(others).any(|way| touching(a, b, way, LEAST) >= LEAST)
}

pub(crate) const HELD: Rule = Rule {
    id: "held",
    asks: "Every part lies against what its joints say; glass and panels are held on both faces, beads lie against them, \
           loose shelves lie on four pins; and from every part a chain of parts that lie against one another, hang on \
           hinges or lie on pins leads down to the floor.",
    why: "A part that nothing touches falls out, and one that touches on one side only rattles.",
    source: "geometry",
    check: held,
};

fn held(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let mut say = |bodies: &[Body], what: String, figure: &str, advice: &'static str| {
        let kinds: Vec<PartId> = part_ids(&bodies.iter().map(|b| fit.kind(*b)).collect::<Vec<_>>());
        if !found.iter().any(|f| f.parts == kinds) {
            found.push(Found { parts: kinds, what, figure: figure.into(), limit: "contact".into(), advice });
        }
    };
    let solid = |id: PartId| &fit.solids[id.0 as usize - 1];
    for joint in fit.case.joints.iter().filter(|j| closes_tight(j.kind, &j.clearances)) {
        let Some((last, others)) = joint.parts.split_last() else { continue };
        // A button lies against its rail; its screw draws the top down to it.
        let others = if joint.kind == JointKind::Button { &others[..1] } else { others };
        for other in others.iter().filter(|o| !touch(solid(*last), solid(**o), joint.insertion)) {
            let names = [*other, *last].map(|p| fit.name(Body::Part(p)));
            let what = format!("the {} does not lie against the {} that it is joined to", names[1], names[0]);
            say(&[Body::Part(*other), Body::Part(*last)], what, "no face in common", "let the joint close");
        }
    }
    for s in &fit.solids {
        if let Some(face) = flat(fit, s)
            && !held_between(fit, s, face)
        {
            let what = format!("the {} is not held on both faces", fit.name(s.body));
            say(&[s.body], what, "one face free", "make its groove or its rabbet as wide as it is thick");
        }
    }
    for joint in fit.case.joints.iter().filter(|j| j.kind == JointKind::Face) {
        let (Some(bead), Some(home)) = (joint.parts.last(), joint.insertion) else { continue };
        let kept = |s: &Solid| match s.body {
            Body::Part(id) => fit.case.part(id).role == Role::Panel,
            Body::Pane(_) => true,
        };
        let held = || fit.solids.iter().any(|s| kept(s) && touching(solid(*bead), s, home, LEAST) >= LEAST);
        if fit.case.part(*bead).role == Role::Bead && !held() {
            let what = format!("the {} does not lie against what it is to hold", fit.name(Body::Part(*bead)));
            say(&[Body::Part(*bead)], what, "no face in common", "make it as thick as its rabbet leaves room");
        }
    }
    for joint in fit.case.joints.iter().filter(|j| j.kind == JointKind::Pins) {
        let Some(shelf) = joint.parts.last() else { continue };
        // With what is glued to it.
        let edging = fit.case.edgings().filter(|(edged, _)| edged == shelf).map(|(_, edging)| edging);
        let boards: Vec<&Solid> = edging.chain([*shelf]).map(solid).collect();
        let under = pins_of(fit.case, *shelf).filter(|pin| carries(pin.at, pin.high, solid(pin.post), &boards));
        let n = under.count();
        if n < 4 {
            let what = format!("the {} does not lie on four pins", fit.name(Body::Part(*shelf)));
            say(&[Body::Part(*shelf)], what, &format!("{n} pins"), "set the rows of holes under the shelf");
        }
    }
    for s in adrift(fit).into_iter().map(|i| &fit.solids[i]) {
        let what = format!("the {} is held by nothing that stands on the floor", fit.name(s.body));
        say(&[s.body], what, "no chain of contacts", "join it to what is beside it");
    }
}

/// The bodies from which no chain of contacts, hinges and pins leads down to the floor, as indices of the solids.
fn adrift(fit: &Fit<'_>) -> Vec<usize> {
    let solids = &fit.solids;
    let floor = solids.iter().map(|s| s.blank.along(Axis::Z)[0]).min().unwrap_or_default();
    let hung: Vec<[Body; 2]> = fit
        .case
        .joints
        .iter()
        .filter(|j| matches!(j.kind, JointKind::Hinge | JointKind::Pins))
        .filter_map(|j| j.parts.split_last())
        .flat_map(|(last, others)| others.iter().map(|other| [Body::Part(*last), Body::Part(*other)]))
        .collect();
    let (mut standing, mut adrift): (Vec<usize>, Vec<usize>) =
        (0..solids.len()).partition(|i| solids[*i].blank.along(Axis::Z)[0] - floor <= TOUCH);
    let mut next = 0;
    while let Some(&i) = standing.get(next) {
        next += 1;
        let holds = |k: &usize| {
            let (a, b) = (&solids[i], &solids[*k]);
            let beside = Axis::ALL.into_iter().all(|axis| {
                let ([a0, a1], [b0, b1]) = (a.blank.along(axis), b.blank.along(axis));
                a0.max(b0) - a1.min(b1) <= TOUCH
            });
            (beside && touch(a, b, None)) || hung.contains(&[a.body, b.body]) || hung.contains(&[b.body, a.body])
        };
        let (held, rest) = adrift.iter().partition(|k| holds(k));
        adrift = rest;
        standing.extend::<Vec<usize>>(held);
    }
    adrift
}

/// Kinds of joints whose parts lie against one another.
fn closes_tight(kind: JointKind, clearances: &[(&str, Length)]) -> bool {
    use JointKind as K;
    match kind {
        // One with room in front of the board as well lets it move.
        K::Rabbet => clearances.iter().all(|(name, _)| *name != "front"),
        K::MortiseAndTenon | K::Groove | K::Housing | K::Halving | K::Peg | K::Button => true,
        K::Face => clearances.iter().any(|(_, l)| *l == Length::ZERO),
        K::Notch | K::Hinge | K::Pins => false,
    }
}

/// The axis through the thickness of what must be held on both faces.
fn flat(fit: &Fit<'_>, s: &Solid) -> Option<Axis> {
    let placement = match s.body {
        Body::Part(id) => Some(fit.case.part(id)).filter(|p| p.role == Role::Panel).map(|p| p.placement),
        Body::Pane(i) => Some(fit.case.panes[i].placement),
    }?;
    Some(placement.dir_to_case(Dir::PZ).axis)
}

/// Whether a solid is held on both faces square to an axis.
fn held_between(fit: &Fit<'_>, s: &Solid, axis: Axis) -> bool {
    [true, false].into_iter().all(|positive| {
        let mut others = fit.solids.iter().filter(|o| o.body != s.body);
        others.any(|o| touching(s, o, Dir { axis, positive }, LEAST) >= LEAST)
    })
}

/// Whether a shelf, of one board or of several glued edge to edge, lies on a pin: its underside at the pin's highest
/// point, and wood over the pin where it leaves the post.
fn carries(at: case::Point, high: Length, post: &Solid, boards: &[&Solid]) -> bool {
    let on_it = |b: &&&Solid| b.blank.along(Axis::Z)[0] == high;
    let inner = post.blank.along(Axis::X)[1] == at[0];
    let millimetre = Length::from_nm(1_000_000);
    // Beyond the shelf's room beside the post, 3 mm of the pin.
    let near = if inner {
        [at[0] + millimetre * 2, at[0] + millimetre * 5]
    } else {
        [at[0] - millimetre * 5, at[0] - millimetre * 2]
    };
    let over = case::Box3::new(near, [at[1] - millimetre, at[1] + millimetre], [high, high + millimetre]);
    let volume =
        |b: &case::Box3| Axis::ALL.map(|a| b.along(a)).map(|[low, high]| (high - low).mm()).iter().product::<f64>();
    let wood = |b: &&Solid| common(&Solid::block(b.body, over), b).map_or(0.0, |c| volume(&c.within));
    boards.iter().filter(on_it).map(wood).sum::<f64>() > volume(&over) - 1e-9
}
