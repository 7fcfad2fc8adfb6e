//! Jigs make what the case's own cuts ask for: opening less compensation is the gain or the pocket, to the nanometre,
//! and the strip's holes are the posts'.

use case::{Axis, Case, Cut, Guide, Jig, JigKind, Jigs, Part, Purpose, jigs};
use design::{Job, builtin};
use fault::Source;
use measure::{Length, inches, mm};

fn solved(design: &str, unit: &str) -> Case {
    let source = Source::new("order.toml", format!("design = \"{design}\"\nunit = \"{unit}\"\n"));
    let read = Job::read(&source, &[], |path| Err(format!("`{path}` is not built in")));
    case::build(&read.unwrap_or_else(|f| panic!("{f}")).1)
}

fn guides() -> Vec<Guide> {
    let guide = |name: &str, collar, bit| Guide { name: name.into(), collar, bit };
    vec![
        guide("wide", inches(5, 8), inches(3, 8)),
        guide("narrow", inches(7, 16), inches(1, 4)),
        guide("wide, mm", mm(17), mm(10)),
        guide("narrow, mm", mm(12), mm(6)),
    ]
}

fn all() -> impl Iterator<Item = (Case, Jigs)> {
    let designs = builtin::DESIGNS.iter().flat_map(|(name, _)| ["in", "mm"].map(|unit| (*name, unit)));
    designs.map(|(design, unit)| {
        let case = solved(design, unit);
        let jigs = jigs(&case, &guides());
        (case, jigs)
    })
}

/// Where a cut lies: along from the end that counts, across from the edge that the jig bears on.
fn placed(part: &Part, cut: &Cut, axis: Axis, far: bool) -> [Length; 2] {
    let [a, b] = cut.bounds(part.size).along(axis);
    let whole = part.size[axis.index()];
    if far { [whole - b, whole - a] } else { [a, b] }
}

fn served<'a>(case: &'a Case, jig: &'a Jig) -> impl Iterator<Item = (&'a Part, &'a Cut, &'a case::Serves)> {
    jig.serves.iter().flat_map(|s| {
        let part = case.part(s.part);
        s.cuts.iter().map(move |i| (part, &part.cuts[*i], s))
    })
}

/// Opening = cut + collar - bit: common practice, no source.
#[test]
fn an_opening_less_its_compensation_is_the_cut() {
    let (mut gains, mut pockets) = (0, 0);
    for (case, jigs) in all() {
        assert_eq!(jigs.refused, []);
        for jig in jigs.all.iter().filter(|j| j.kind != JigKind::PinRow) {
            let guide = jig.guide.as_ref().unwrap();
            let opening = &jigs.case.part(jig.part).cuts[0];
            let [u, v] = opening.outline.bounds();
            for (part, cut, serves) in served(&case, jig) {
                let along = placed(part, cut, Axis::X, false);
                let across = placed(part, cut, serves.edge.axis, serves.edge.positive);
                assert_eq!(u[1] - u[0] - (guide.collar - guide.bit), along[1] - along[0]);
                assert_eq!(v[1] - jig.fence - (guide.collar - guide.bit).half(), across[1]);
                if across[0] == Length::ZERO {
                    // The bit comes clear of the arris.
                    assert_eq!(jig.fence - v[0] - guide.collar.half(), guide.bit.half());
                } else {
                    assert_eq!(v[1] - v[0] - (guide.collar - guide.bit), across[1] - across[0]);
                }
                // The collar has room, and no corner holds it off.
                assert!(u[1] - u[0] >= guide.collar && v[1] - v[0] >= guide.collar);
                *(if jig.kind == JigKind::HingeGain { &mut gains } else { &mut pockets }) += 1;
            }
            let round = guide.collar.mm() / 2.0;
            assert!(opening.outline.segments().filter_map(|s| s.arc()).all(|a| (a.radius - round).abs() < 1e-6));
        }
    }
    assert!(gains > 10 && pockets > 20);
}

#[test]
fn the_holes_of_a_strip_are_the_holes_of_the_posts() {
    let mut rows = 0;
    for (case, jigs) in all() {
        for jig in jigs.all.iter().filter(|j| j.kind == JigKind::PinRow) {
            let part = jigs.case.part(jig.part);
            let mut holes: Vec<_> = part.cuts.iter().map(|c| c.outline.as_circle().unwrap()).collect();
            holes.sort_unstable();
            for serves in &jig.serves {
                let work = case.part(serves.part);
                let hole = |i: &usize| {
                    let along = placed(work, &work.cuts[*i], Axis::X, serves.end.unwrap().positive);
                    let across = placed(work, &work.cuts[*i], serves.edge.axis, serves.edge.positive);
                    let middle = |[a, b]: [Length; 2]| a + (b - a).half();
                    ([middle(along), middle(across)], along[1] - along[0])
                };
                let mut asked: Vec<_> = serves.cuts.iter().map(hole).collect();
                asked.sort_unstable();
                assert_eq!(holes, asked);
                rows += 1;
            }
            assert!(part.cuts.iter().all(|c| part.is_through(c)));
        }
    }
    assert!(rows > 5);
}

#[test]
fn every_gain_pocket_and_hole_has_one_jig() {
    for (case, jigs) in all() {
        let purposes = [Purpose::HingeGain, Purpose::PinHole, Purpose::ButtonPocket];
        for (part, _) in case.kinds() {
            for (i, cut) in part.cuts.iter().enumerate().filter(|(_, c)| purposes.contains(&c.purpose)) {
                let of = jigs.all.iter().flat_map(|j| &j.serves).filter(|s| s.part == part.id && s.cuts.contains(&i));
                assert_eq!(of.count(), 1, "{} {}", part.cut_id(i), cut.purpose.name());
            }
        }
    }
}

#[test]
fn where_no_collar_goes_there_is_no_jig_and_a_reason() {
    let case = solved("low-cupboard", "in");
    let without = jigs(&case, &[]);
    assert!(without.all.iter().all(|j| j.kind == JigKind::PinRow) && !without.all.is_empty());
    assert!(without.refused.iter().all(|no| no.why.contains("names no guide collar")));
    // A 3/8 in bit goes into the gain and not into a pocket 9/32 in high.
    let wide = jigs(&case, &guides()[..1]);
    assert!(wide.all.iter().any(|j| j.kind == JigKind::HingeGain));
    assert!(wide.refused.iter().all(|no| no.kind == JigKind::ButtonPocket && no.why.contains("9/32 in")));
    assert_eq!(wide.refused.len(), 1);
}
