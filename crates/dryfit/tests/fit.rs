//! The rules of the dry fit: nothing to say of the designs as they are, and the right thing of each fault planted.

use case::{Case, Finding, Fitting, JointKind, Purpose, Role};
use dryfit::{Solid, check, common, doors, gap, solids, touching, ways_out};
use measure::{Length, inches, mm};

use crate::given::{order, orders, plain_part};

fn only<'a>(findings: &'a [Finding], rule: &str) -> &'a Finding {
    assert!(!findings.is_empty(), "`{rule}` finds nothing");
    assert!(findings.iter().all(|f| f.rule == rule), "only `{rule}` should speak: {findings:#?}");
    &findings[0]
}

fn part_named(case: &mut Case, name: &str) -> usize {
    case.parts.iter().position(|p| p.name == name).unwrap_or_else(|| panic!("no {name}"))
}

#[test]
fn there_is_nothing_to_say_of_the_designs() {
    for (name, case) in orders() {
        let findings = check(&case);
        assert!(findings.is_empty(), "{name}: {findings:#?}");
    }
}

/// A mortise cut half a millimetre too shallow, and one too deep.
#[test]
fn a_wrong_mortise_is_found() {
    let (_, mut case) = orders().swap_remove(5);
    let joint = case.joints.iter().find(|j| j.kind == JointKind::MortiseAndTenon).unwrap().clone();
    let post = joint.parts[0];
    let cuts = &mut case.parts[post.0 as usize - 1].cuts;
    let cut = cuts.iter_mut().find(|c| c.joint == Some(joint.id) && c.purpose == Purpose::Mortise).unwrap();
    cut.depth -= Length::from_nm(500_000);
    let findings = check(&case);
    let found = only(&findings, "clearance");
    assert_eq!(found.parts, joint.parts);
    let cuts = &mut case.parts[post.0 as usize - 1].cuts;
    let cut = cuts.iter_mut().find(|c| c.joint == Some(joint.id) && c.purpose == Purpose::Mortise).unwrap();
    cut.depth -= inches(1, 8);
    let findings = check(&case);
    assert!(only(&findings, "common-volume").parts.contains(&post));
}

/// Two blocks 3 mm apart, one with a step: the gap is the least between faces that look at one another, in the box.
#[test]
fn a_gap_is_measured_between_faces() {
    let block = |x: [i64; 2]| case::Box3::new(x.map(mm), [mm(0), mm(10)], [mm(0), mm(10)]);
    let (a, b) = (Solid::of_part(&plain_part(1, &block([0, 20]))), Solid::of_part(&plain_part(2, &block([23, 50]))));
    let all = block([-100, 100]);
    assert_eq!(gap(&a, &b, case::Dir::PX, &all), Some(mm(3)));
    assert_eq!(gap(&a, &b, case::Dir::NX, &all), None);
    assert_eq!(gap(&b, &a, case::Dir::NX, &all), Some(mm(3)));
    assert_eq!(gap(&a, &b, case::Dir::PX, &block([-100, 22])), None);
    assert_eq!(gap(&a, &b, case::Dir::PY, &all), None);
    let moved = b.moved([mm(-3), mm(4), mm(0)]);
    assert_eq!(gap(&a, &moved, case::Dir::PX, &all), Some(mm(0)));
    assert!((touching(&a, &moved, case::Dir::PX, f64::INFINITY) - 60.0).abs() < 1e-9);
    assert!(touching(&a, &moved, case::Dir::NX, f64::INFINITY) == 0.0 && common(&a, &moved).is_none());
}

/// A peg planed thinner than its hole.
#[test]
fn a_loose_peg_is_found() {
    let (_, mut case) = orders().swap_remove(0);
    let peg = case.parts.iter_mut().find(|p| p.role == Role::Peg).unwrap();
    let id = peg.id;
    // Planed thinner by a millimetre all round.
    let at = peg.case_box();
    let thin = case::Box3 {
        min: std::array::from_fn(|i| at.min[i] + Length::from_nm(if i == 1 { 0 } else { 1_000_000 })),
        max: std::array::from_fn(|i| at.max[i] - Length::from_nm(if i == 1 { 0 } else { 1_000_000 })),
    };
    peg.placement = case::Placement::filling(&thin, peg.placement.axes[0], peg.placement.axes[2]);
    peg.size = peg.placement.box_to_part(&thin).max;
    let findings = check(&case);
    assert!(findings.iter().any(|f| f.rule == "clearance" && f.parts.contains(&id)), "{findings:#?}");
}

#[test]
fn a_shelf_with_a_pin_missing_is_found() {
    let (_, mut case) = orders().swap_remove(0);
    let pin = case.fittings.iter().position(|f| f.kind == "shelf pin").unwrap();
    let Fitting { parts, .. } = case.fittings.remove(pin);
    let findings = check(&case);
    let found = only(&findings, "held");
    assert_eq!((found.parts.as_slice(), found.figure.as_str()), (&parts[1..], "3 pins"));
}

/// Two blocks that lie against one another inside the piece, and against nothing else, hang in the air; on the floor
/// they stand.
#[test]
fn what_nothing_holds_is_found() {
    let (_, mut case) = orders().swap_remove(4);
    let n = u32::try_from(case.parts.len()).unwrap();
    let at = |z: [i64; 2]| case::Box3::new([mm(300), mm(400)], [mm(150), mm(200)], z.map(mm));
    let lowest = case.parts.iter().map(|p| p.case_box().min[2]).min().unwrap();
    case.parts.push(plain_part(n + 1, &at([500, 520])));
    case.parts.push(plain_part(n + 2, &at([520, 540])));
    let findings = check(&case);
    let parts: Vec<_> = findings.iter().flat_map(|f| f.parts.clone()).collect();
    assert_eq!(only(&findings, "held").figure, "no chain of contacts");
    assert_eq!(parts, [case::PartId(n + 1), case::PartId(n + 2)]);
    case.parts.truncate(n as usize);
    let on_the_floor = case::Box3 { min: [mm(300), mm(150), lowest], max: [mm(400), mm(200), lowest + mm(20)] };
    case.parts.push(plain_part(n + 1, &on_the_floor));
    assert!(check(&case).is_empty());
}

/// With its pin in the plane of its face the demo's door stops at the post's rounded arris. With gap g, face f behind
/// the post's face and arris radius r it touches t past a right angle when (g/2 + r) cos t = r + (f - r) sin t: the
/// distance from the pin to the centre of the round, less its radius, along the normal of the door's face (worked by
/// hand).
#[test]
fn a_door_on_a_pin_too_far_back_is_found() {
    let (_, mut case) = orders().swap_remove(0);
    let inch = 25.4;
    for hinge in case.fittings.iter_mut().filter(|f| f.kind == "butt hinge") {
        hinge.at[1] += inches(1, 8);
    }
    let all = solids(&case);
    let (g, r, f) = (inch / 16.0, inch / 16.0, inch * 5.0 / 16.0);
    for door in doors(&case, &all) {
        let (angle, _) = door.touches(&case, &all, 180.0).unwrap();
        let (sin, cos) = libm::sincos((angle - 90.0).to_radians());
        assert!(((g / 2.0 + r) * cos - r - (f - r) * sin).abs() < 0.01, "{angle}");
    }
    let findings = check(&case);
    assert_eq!(only(&findings, "door-swing").limit, "110°");
    let crooked = case.fittings.iter().rposition(|f| f.kind == "butt hinge").unwrap();
    case.fittings[crooked].at[1] += inches(1, 16);
    assert!(check(&case).iter().any(|f| f.what.contains("one line")));
}

/// As it is the demo's doors open further than they must; the same from both sides.
#[test]
fn doors_open_alike() {
    let (_, case) = orders().swap_remove(0);
    let all = solids(&case);
    let angles: Vec<f64> = doors(&case, &all).iter().filter_map(|d| Some(d.touches(&case, &all, 180.0)?.0)).collect();
    assert!(angles.len() == 2 && (angles[0] - angles[1]).abs() < 1e-6 && angles[0] > 140.0, "{angles:?}");
}

/// A shelf between its posts is drawn out; one notched round them is tipped; one that is long and has little height
/// over it stays in.
#[test]
fn shelves_come_out_as_they_can() {
    let open = order("open-shelves", &[]);
    let (ways, shut) = ways_out(&open, &solids(&open));
    assert!(ways.len() == 4 && shut.is_empty() && ways.iter().all(|w| w.tip == 0.0));
    let glazed = order("glazed-case", &[]);
    let (ways, shut) = ways_out(&glazed, &solids(&glazed));
    assert!(ways.len() == 4 && shut.is_empty() && ways.iter().all(|w| w.tip > 10.0 && w.tip < 45.0), "{ways:?}");
    // The tipped shelf spans the way: its length's and its thickness's share are what the way is wide.
    let shelf = glazed.part(ways[0].shelf);
    let (sin, cos) = libm::sincos(ways[0].tip.to_radians());
    let [long, _, thick] = shelf.size.map(Length::mm);
    assert!((long * sin + thick * cos + 6.0 - ways[0].height).abs() < 1e-6);
    // Between the open doors, whose backs stand in front of the way by as much on both sides.
    let all = solids(&glazed);
    let [left, right] = doors(&glazed, &all).try_into().unwrap();
    let wide = right.pin[0] - right.standing_in(&all, 110.0) - left.pin[0] - left.standing_in(&all, 110.0);
    assert!((long * cos + thick * sin + 6.0 - wide).abs() < 1e-6);
    // A wide, low cupboard has no height to tip its shelf in.
    let low = order("low-cupboard", &["width=64 in", "height=24 in"]);
    let findings = check(&low);
    assert!(only(&findings, "shelf-out").limit.ends_with("to tip it"));
}

/// What stands behind the glass keeps it in.
#[test]
fn glass_that_is_shut_in_is_found() {
    let (_, mut case) = orders().swap_remove(0);
    let back = part_named(&mut case, "back");
    case.parts[back].assembly = "left door".into();
    assert!(check(&case).iter().any(|f| f.rule == "let-in"));
}
