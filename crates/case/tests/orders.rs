//! Random orders over the built-in designs: whatever is built closes exactly, fits, and lies in its blanks.
//!
//! An order that is refused is not judged here; that its mend works is tested with the inspection.

use case::{Axis, Box3, Case, JointKind, Level, Part, PartId, Purpose, Role};
use design::{Job, Resolved, builtin};
use fault::Source;
use measure::{Length, Unit, inches};
use proptest::prelude::*;

/// The order of a design as it is, in a unit.
fn job(design: &str, unit: Unit) -> (Job, Resolved) {
    let text = format!("design = \"{design}\"\nunit = \"{unit}\"\n");
    Job::read(&Source::new("order.toml", text), &[], |_| Err("there is none".into())).expect("a built-in design reads")
}

/// A random order of a design, if it can be built.
fn random(design: &str, unit: Unit, shares: &[f64]) -> Option<Case> {
    let (job, resolved) = job(design, unit);
    let case = case::build(&job.at(&resolved, shares).0);
    case.findings.iter().all(|f| f.level < Level::Stop).then_some(case)
}

fn in_case(part: &Part, at: &Box3) -> Box3 {
    part.placement.box_to_case(at)
}

/// What is left of a rail between the cuts of one joint, in the case frame: the tenon's thickness and width.
fn tenon(rail: &Part, joint: case::JointId, at: &Box3) -> Box3 {
    let mut left = rail.case_box();
    for cut in rail.cuts.iter().filter(|c| c.joint == Some(joint)) {
        if !matches!(cut.purpose, Purpose::TenonCheek | Purpose::TenonEdge | Purpose::Haunch) {
            continue;
        }
        let face = rail.placement.dir_to_case(cut.from);
        let gone = in_case(rail, &cut.bounds(rail.size)).along(face.axis);
        let [low, high] = left.along(face.axis);
        left = left.with(face.axis, if face.positive { [low, high.min(gone[0])] } else { [low.max(gone[1]), high] });
    }
    // Along the rail only its end counts.
    let along = Axis::ALL[rail.placement.axes[0].axis.index()];
    left.with(along, at.along(along))
}

fn clearance(j: &case::Joint, name: &str) -> Length {
    j.clearances.iter().find(|(n, _)| *n == name).map_or(Length::ZERO, |(_, l)| *l)
}

fn tenons_match_their_mortises(case: &Case) {
    for j in case.joints.iter().filter(|j| j.kind == JointKind::MortiseAndTenon) {
        let (post, rail) = (case.part(j.parts[0]), case.part(j.parts[1]));
        let cut = post.cuts.iter().find(|c| c.joint == Some(j.id) && c.purpose == Purpose::Mortise).expect("a mortise");
        let mortise = in_case(post, &cut.bounds(post.size));
        let tenon = tenon(rail, j.id, &mortise);
        let into = j.insertion.expect("a tenon goes home along its rail");
        for axis in Axis::ALL.into_iter().filter(|a| *a != into.axis) {
            let upright = post.placement.axes[0].axis == axis;
            let room = clearance(j, if upright { "edge" } else { "cheek" });
            let ([m0, m1], [t0, t1]) = (mortise.along(axis), tenon.along(axis));
            assert_eq!((m0, m1), (t0 - room, t1 + room), "{} {} into {} along {axis:?}", j.id, rail.name, post.name);
        }
        let end = rail.case_box().along(into.axis)[usize::from(into.positive)];
        let bottom = mortise.along(into.axis)[usize::from(into.positive)];
        assert_eq!((bottom - end) * into.sign(), clearance(j, "end"), "{} {} into {}", j.id, rail.name, post.name);
    }
}

fn sums_close(case: &Case) {
    let union = case.parts.iter().map(Part::case_box).reduce(|a, b| a.union(&b)).expect("parts");
    assert_eq!(union.size(), case.size, "the parts measure what was ordered");
    // Across the front: post, gap, door, gap, door, gap, post.
    let stiles: Vec<&Part> = case.parts.iter().filter(|p| p.role == Role::Stile).collect();
    if stiles.is_empty() {
        return;
    }
    let posts = [case.part(PartId(1)), case.part(PartId(3))].map(Part::case_box);
    let mut edges: Vec<Length> = posts
        .iter()
        .chain(&stiles.iter().map(|s| s.case_box()).collect::<Vec<_>>())
        .flat_map(|b| b.along(Axis::X))
        .collect();
    edges.sort();
    let gaps: Vec<Length> = edges[1..edges.len() - 1].chunks(2).map(|g| g[1] - g[0]).collect();
    let doors = stiles.len() / 2;
    // Gaps and widths between stiles alternate; all gaps are even.
    let even: Vec<Length> = gaps.iter().step_by(2).copied().collect();
    assert_eq!(even.len(), doors + 1);
    assert!(even.iter().all(|g| *g == even[0]), "{even:?}");
}

fn cuts_lie_in_their_blanks(case: &Case) {
    for part in &case.parts {
        for (i, cut) in part.cuts.iter().enumerate() {
            let b = cut.bounds(part.size);
            for a in 0..3 {
                assert!(
                    b.min[a] >= Length::ZERO && b.max[a] <= part.size[a] && b.min[a] < b.max[a],
                    "{}",
                    part.cut_id(i)
                );
            }
            assert!(cut.outline.area() > 0.0, "{} runs clockwise", part.cut_id(i));
        }
    }
}

fn likes_read_the_same(case: &Case) {
    for part in &case.parts {
        let Some(like) = part.same_as else { continue };
        let first = case.part(like.part);
        assert_eq!(part.size, first.size);
        let area = |p: &Part| p.cuts.iter().map(|c| c.outline.area() * c.depth.mm()).sum::<f64>();
        assert!((area(part) - area(first)).abs() < 1e-6);
        if !like.mirrored {
            for (a, b) in part.cuts.iter().zip(&first.cuts) {
                assert_eq!((a.from, a.purpose, a.depth), (b.from, b.purpose, b.depth));
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_built_closes_fits_and_lies_in_its_blanks(
        design in 0..builtin::DESIGNS.len(),
        metric: bool,
        shares in prop::collection::vec(0.0..1.0f64, 20),
    ) {
        let unit = if metric { Unit::Millimetre } else { Unit::Inch };
        if let Some(case) = random(builtin::DESIGNS[design].0, unit, &shares) {
            sums_close(&case);
            tenons_match_their_mortises(&case);
            cuts_lie_in_their_blanks(&case);
            likes_read_the_same(&case);
        }
    }
}

/// Of random orders within their ranges nearly all can be built; otherwise the property above would test little.
#[test]
fn most_orders_within_their_ranges_build() {
    let mut built = 0;
    let mut seed = 7u64;
    let mut next = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1u64 << 53) as f64
    };
    for i in 0..60 {
        let shares: Vec<f64> = (0..20).map(|_| next()).collect();
        built += usize::from(random(builtin::DESIGNS[i % 3].0, Unit::Inch, &shares).is_some());
    }
    assert!(built >= 45, "only {built} of 60 build");
}

/// The same sizes in inches and in millimetres give the same parts: 1 in is 25.4 mm exactly (ISO 31-1, from memory).
#[test]
fn inches_and_millimetres_agree() {
    let order = |unit: &str, width: &str| {
        let text = format!("design = \"glazed-case\"\nunit = \"{unit}\"\n[parameters]\nwidth = \"{width}\"\n");
        let (_, r) = Job::read(&Source::new("o", text), &[], |_| Err(String::new())).expect("reads");
        case::build(&r)
    };
    assert_eq!(order("in", "41 1/2 in").parts, order("mm", "1054.1 mm").parts);
}

/// Facts of the trade for designs sized so: common practice, no source.
#[test]
fn the_trade_s_figures() {
    let (_, resolved) = job("glazed-case", Unit::Inch);
    let case = case::build(&resolved);
    let named = |name: &str| case.parts.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no {name}"));
    let depth =
        |p: &Part, purpose, from| p.cuts.iter().find(|c| c.purpose == purpose && c.from == from).map(|c| c.depth);

    // A 7/8 in rail sawn with 1/4 in shoulders on both faces carries a 3/8 in tenon.
    let rail = named("front bottom rail");
    assert_eq!(rail.size[2], inches(7, 8));
    let cheeks = [case::Dir::PZ, case::Dir::NZ].map(|d| depth(rail, Purpose::TenonCheek, d));
    assert_eq!(cheeks, [Some(inches(1, 4)); 2]);
    // The panel's groove is 3/8 in by 3/8 in.
    let post = named("front left post");
    let groove = post.cuts.iter().find(|c| c.purpose == Purpose::Groove).expect("a groove");
    let [u, v] = groove.outline.bounds();
    assert_eq!((groove.depth, (u[1] - u[0]).min(v[1] - v[0])), (inches(3, 8), inches(3, 8)));
    // A door rail's outside shoulder is cut 1 1/4 in from the end, its inside shoulder 1/4 in nearer to the end.
    let rail = named("left door, bottom rail");
    let reach = |from| {
        let cut = rail.cuts.iter().find(|c| c.purpose == Purpose::TenonCheek && c.from == from).expect("a cheek");
        let [along, _] = cut.outline.bounds();
        along[1] - along[0]
    };
    assert_eq!((reach(case::Dir::PZ), reach(case::Dir::NZ)), (inches(5, 4), inches(1, 1)));
    // Shelf-pin holes are 1/4 in, mortises a little deeper than their tenons.
    let hole =
        post.cuts.iter().find(|c| c.purpose == Purpose::PinHole).and_then(|c| c.outline.as_circle()).expect("a hole");
    assert_eq!(hole.1, inches(1, 4));
    for j in case.joints.iter().filter(|j| j.kind == JointKind::MortiseAndTenon) {
        assert!(clearance(j, "end") > Length::ZERO && clearance(j, "end") <= inches(1, 8));
    }
    // Panels are never glued.
    let panels = case.joints.iter().filter(|j| j.kind == JointKind::Groove);
    assert!(panels.clone().count() >= 8 && panels.clone().all(|j| j.dry));
}
