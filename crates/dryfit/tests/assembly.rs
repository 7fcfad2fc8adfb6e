//! The order of assembly: found for every design, replayed move by move, and refused where there is none.

use std::collections::BTreeSet;

use case::{Axis, Box3, Case, Cut, Dir, JointKind, Level, Outline, Purpose, Role};
use dryfit::{Body, Solid, Step, order, solids, strikes};
use measure::{Length, mm};

use crate::given::{orders, plain_part};

fn steps(name: &str, case: &Case) -> Vec<Step> {
    order(case, &solids(case)).unwrap_or_else(|stuck| panic!("{name}: {stuck:?}"))
}

/// Every body is brought in from afar, leg by leg, without running into what stands already. The legs are walked with
/// sweeps, which the search for single moves does not use.
#[test]
fn every_move_of_the_order_is_free() {
    for (name, case) in orders() {
        let all = solids(&case);
        let of = |b: &Body| all.iter().find(|s| s.body == *b).unwrap();
        for step in steps(&name, &case) {
            let mut at = [Length::ZERO; 3];
            for leg in &step.legs[1..] {
                at[leg.towards.axis.index()] += leg.travel.unwrap() * -leg.towards.sign();
            }
            for leg in &step.legs {
                // The first leg ends where the others begin; without end, it is walked backward.
                let (towards, from) = match leg.travel {
                    Some(_) => (leg.towards, at),
                    None => (leg.towards.opposite(), at),
                };
                for (a, b) in step.moves.iter().flat_map(|m| step.onto.iter().map(move |o| (m, o))) {
                    let moving = of(a).moved(from);
                    assert!(!strikes(&moving, of(b), towards, leg.travel), "{name}: {a:?} strikes {b:?} in {step:?}");
                }
                if let Some(travel) = leg.travel {
                    at[leg.towards.axis.index()] += travel * leg.towards.sign();
                }
            }
            assert_eq!(at, [Length::ZERO; 3], "{name}: {step:?} does not end at home");
        }
    }
}

/// Every body but the loose shelves is placed, every joint between them closed once, and those that are glued along
/// their own way.
#[test]
fn the_order_is_whole() {
    for (name, case) in orders() {
        let steps = steps(&name, &case);
        let loose: BTreeSet<_> =
            case.joints.iter().filter(|j| j.kind == JointKind::Pins).filter_map(|j| j.parts.last()).collect();
        let mut placed = BTreeSet::new();
        let mut closed = Vec::new();
        for step in &steps {
            let (moves, onto): (BTreeSet<_>, BTreeSet<_>) = (step.moves.iter().collect(), step.onto.iter().collect());
            assert!(moves.is_disjoint(&onto) && !moves.is_empty() && !onto.is_empty());
            placed.extend(moves.iter().chain(&onto).copied().copied());
            closed.extend(step.joints.iter().copied());
            for id in &step.joints {
                let joint = case.joints.iter().find(|j| j.id == *id).unwrap();
                assert!(step.glued || joint.dry);
                let mover = Body::Part(*joint.parts.last().unwrap());
                let way = step.legs.last().unwrap().towards;
                let home = if moves.contains(&mover) { way } else { way.opposite() };
                assert!(joint.dry || joint.insertion == Some(home), "{name}: {id} is glued, and closed along {home:?}");
            }
        }
        let bodies: BTreeSet<_> = solids(&case).iter().map(|s| s.body).collect();
        let missing: Vec<_> = bodies.iter().filter(|b| !placed.contains(*b)).collect();
        assert!(missing.iter().all(|b| matches!(b, Body::Part(id) if loose.contains(id))), "{name}: {missing:?}");
        closed.sort();
        let twice: Vec<_> = closed.windows(2).filter(|w| w[0] == w[1]).collect();
        assert!(twice.is_empty(), "{name}: {twice:?}");
        let several = case.joints.iter().filter(|j| j.parts.len() > 1 && j.parts.iter().all(|p| !loose.contains(p)));
        assert_eq!(closed, several.map(|j| j.id).collect::<Vec<_>>(), "{name}");
    }
}

/// What a joiner would say of the order: panels before the frame closes round them, glass before its beads, the top
/// before its buttons, the back and the doors last.
#[test]
fn the_order_is_a_joiner_s() {
    for (name, case) in orders() {
        let steps = steps(&name, &case);
        let role = |b: &Body| if let Body::Part(id) = b { Some(case.part(*id).role) } else { None };
        let step_of = |b: &Body| steps.iter().position(|s| s.moves == [*b]);
        let all_of =
            |r: Role| case.parts.iter().filter(move |p| p.role == r).filter_map(|p| step_of(&Body::Part(p.id)));
        let [top, back] = [Role::Top, Role::Back].map(|r| all_of(r).next().unwrap());
        assert!(all_of(Role::Button).all(|b| b > top && b < back), "{name}");
        assert!(all_of(Role::Peg).all(|peg| peg < top), "{name}");
        let ends = steps.iter().filter(|s| s.moves.len() == 5 && s.glued).count();
        assert_eq!(ends, 1, "{name}: one end is glued up as a whole and goes onto the rest");
        for (i, step) in steps.iter().enumerate().filter(|(_, s)| s.moves.len() > 5) {
            assert!(i > back && step.moves.iter().any(|b| role(b) == Some(Role::Stile)), "{name}: a door is hung last");
        }
        for (i, pane) in case.panes.iter().enumerate() {
            let beads = case.parts.iter().filter(|p| p.role == Role::Bead && p.assembly == pane.assembly);
            let first = beads.filter_map(|p| step_of(&Body::Part(p.id))).min();
            assert!(step_of(&Body::Pane(i)) < first, "{name}");
        }
    }
}

/// A hook in a hooked pocket has no straight way in.
#[test]
fn a_hook_is_stuck() {
    let mut case = orders().swap_remove(4).1;
    let at = |x: [i64; 2], y: [i64; 2], z: [i64; 2]| Box3::new(x.map(mm), y.map(mm), z.map(mm));
    let cut = |from: Dir, u: [i64; 2], v: [i64; 2], depth: i64| Cut {
        purpose: Purpose::Mortise,
        joint: None,
        from,
        outline: Outline::rectangle(u.map(mm), v.map(mm)),
        depth: mm(depth),
    };
    let mut block = plain_part(1, &at([0, 100], [0, 50], [0, 100]));
    block.cuts = vec![cut(Dir::PZ, [40, 60], [10, 40], 50), cut(Dir::PX, [10, 40], [20, 50], 60)];
    let mut hook = plain_part(2, &at([40, 90], [10, 40], [20, 100]));
    hook.cuts = vec![cut(Dir::PZ, [20, 50], [0, 30], 50)];
    case.parts = vec![block, hook];
    (case.joints, case.panes, case.fittings) = (Vec::new(), Vec::new(), Vec::new());
    let all = solids(&case);
    assert_eq!(dryfit::common(&all[0], &all[1]), None);
    let stuck = order(&case, &all).unwrap_err();
    assert_eq!(stuck.0, all.iter().map(|s| s.body).collect::<Vec<_>>());
    // Without the foot of its pocket it cannot hook in; without the hook's own foot it drops in from above.
    case.parts[1].cuts.push(cut(Dir::PX, [0, 30], [0, 30], 30));
    let steps = order(&case, &solids(&case)).unwrap();
    assert_eq!(steps[0].legs[0].towards.axis, Axis::Z);
}

/// A glued joint that would have to close across its own way is not closed.
#[test]
fn glue_closes_one_way() {
    let (name, mut case) = orders().swap_remove(0);
    assert!(case.findings.iter().all(|f| f.level < Level::Stop), "{name}");
    let stop = case.parts.iter().find(|p| p.role == Role::Stop).unwrap().id;
    let joint = case.joints.iter_mut().find(|j| j.parts.last() == Some(&stop)).unwrap();
    // Glued to the rail from the front, where the rail itself is in the way.
    joint.insertion = Some(Dir::PY);
    let stuck = order(&case, &solids(&case)).unwrap_err();
    assert!(stuck.0.contains(&Body::Part(stop)));
}

/// Moved solids are where they were moved to.
#[test]
fn a_moved_solid_strikes_from_its_new_place() {
    let (_, case) = orders().swap_remove(0);
    let post = Solid::of_part(&case.parts[0]);
    let far = post.moved([mm(-500), Length::ZERO, Length::ZERO]);
    assert!(!strikes(&far, &post, Dir::PX, Some(mm(400))));
    assert!(strikes(&far, &post, Dir::PX, Some(mm(480))));
    assert!(!strikes(&far, &post, Dir::NX, None));
}
