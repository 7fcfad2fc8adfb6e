//! Shelves under load, weights, and how the piece stands: against pencil work, published spans, and parts sampled point
//! by point.

use case::{Case, Level, Part, Role, bearing, weight};
use design::Job;
use fault::Source;

fn build(text: &str) -> Case {
    let read = Job::read(&Source::new("order.toml", text), &[], |_| Err("there is none".into()));
    case::build(&read.unwrap_or_else(|f| panic!("{f}")).1)
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found}, and {wanted} was wanted");
}

/// Architectural Woodwork Standards (2009), section 10, 4.4.14.10: a 3/4 in shelf of red oak spans 46 in under 50 lb/ft²
/// and 49 in under 40 lb/ft², at L/144.
#[test]
fn the_longest_shelf_is_that_of_the_woodwork_standard() {
    for (load, inches) in [("books", 46.0), ("general", 49.0)] {
        let case = build(&format!(
            "design = \"open-shelves\"\n[load]\nshelves = \"{load}\"\n[parameters]\nwood = \"red oak\"\nwidth = \"40 in\"\n"
        ));
        let all = bearing::bearings(&case);
        assert_eq!(all.len(), 1 + case.parts.iter().filter(|p| p.role == Role::Shelf).count());
        let shelf = &all[0];
        near(shelf.longest / 25.4, inches, 1.0);
        // Between the posts: 40 - 1 - 2 × 1 1/2 in.
        near(shelf.span / 25.4, 36.0, 1e-9);
        near(shelf.years, shelf.first * 2.0, 1e-9);
        assert!(shelf.edged.is_some_and(|edged| edged < shelf.years / 1.5), "an edging helps");
    }
}

/// Pencil work on eq. 9-2 of the Wood Handbook: cherry (10.27 GPa) of 3/4 in between posts 32 in apart, 40 kg on it.
/// δ = 5/384 × 392.3 × 812.8³ / (10 270 × b × 19.05³ / 12), σ = 6 × 392.3 × 812.8 / 8 / (b × 19.05²).
#[test]
fn a_named_load_bends_and_stresses_as_reckoned_by_hand() {
    let case = build("design = \"open-shelves\"\n[load]\neach = \"40 kg\"\n[parameters]\nwidth = \"36 in\"\n");
    let shelf = &bearing::bearings(&case)[0];
    let b = case.part(shelf.part).size[1].mm();
    near(shelf.load, 392.266, 1e-3);
    near(shelf.first, 5.0 / 384.0 * 392.266 * 812.8 * 812.8 * 812.8 / (10_270.0 * b * 6913.29 / 12.0), 1e-3);
    near(shelf.stress, 6.0 * 392.266 * 812.8 / 8.0 / (b * 362.9025), 1e-3);
}

#[test]
fn a_weak_shelf_is_cautioned_and_a_short_one_is_not() {
    let rules = |width: &str, load: &str| {
        let case = build(&format!(
            "design = \"open-shelves\"\n[load]\neach = \"{load}\"\n[parameters]\nwood = \"western red cedar\"\nwidth = \"{width}\"\n"
        ));
        case.findings.iter().filter(|f| f.rule == "shelf-sag").map(|f| (f.level, f.advice.clone())).collect::<Vec<_>>()
    };
    let weak = rules("48 in", "120 kg");
    assert!(matches!(weak.as_slice(), [(Level::Caution, advice)] if advice.contains("another support at")), "{weak:?}");
    assert!(rules("20 in", "30 kg").is_empty());
}

/// What is left of a part, sampled on a grid: its volume and its centre in the part frame.
fn sampled(part: &Part) -> (f64, [f64; 3]) {
    let size = part.size.map(|l| l.mm());
    let n = [240_usize, 60, 24];
    let cuts: Vec<_> =
        part.cuts.iter().map(|c| (c.from.axis, c.bounds(part.size), c.outline.flattened(0.02))).collect();
    let inside = |polygon: &[[f64; 2]], p: [f64; 2]| {
        let mut odd = false;
        for (i, a) in polygon.iter().enumerate() {
            let b = polygon[(i + 1) % polygon.len()];
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0] {
                odd = !odd;
            }
        }
        odd
    };
    let (mut count, mut sum) = (0.0, [0.0; 3]);
    for i in 0..n[0] {
        for j in 0..n[1] {
            for k in 0..n[2] {
                let at: [f64; 3] = std::array::from_fn(|a| size[a] * ([i, j, k][a] as f64 + 0.5) / n[a] as f64);
                let gone = cuts.iter().any(|(axis, b, outline)| {
                    let along = b.along(*axis).map(|l| l.mm());
                    let (u, v) = axis.others();
                    (along[0]..=along[1]).contains(&at[axis.index()]) && inside(outline, [at[u.index()], at[v.index()]])
                });
                if !gone {
                    count += 1.0;
                    for a in 0..3 {
                        sum[a] += at[a];
                    }
                }
            }
        }
    }
    let cell = size.iter().product::<f64>() / n.iter().product::<usize>() as f64;
    (count * cell, sum.map(|s| s / count))
}

#[test]
fn parts_weigh_what_is_left_of_them() {
    let case = build("design = \"glazed-case\"\n");
    let masses = weight::of_parts(&case);
    let names = ["front left post", "front bottom rail", "left end top rail", "bottom", "left door, mid rail", "top"];
    for name in names {
        let (part, mass) = case.parts.iter().zip(&masses).find(|(p, _)| p.name == name).expect(name);
        let (volume, centre) = sampled(part);
        let kg = volume * 1e-9 * case.seasons.strength(&part.material).density;
        near(mass.kg / kg, 1.0, 0.02);
        let mut at = part.placement.origin.map(|l| l.mm());
        for (d, c) in part.placement.axes.iter().zip(centre) {
            at[d.axis.index()] += c * if d.positive { 1.0 } else { -1.0 };
        }
        for (found, wanted) in mass.centre.iter().zip(at) {
            near(*found, wanted, 3.0);
        }
    }
}

/// White oak at 12 % weighs 761.6 kg/m³ (Wood Handbook, table 5-3 and eq. 4-12); a post of 1 3/4 in square less its cuts.
#[test]
fn the_whole_is_the_sum_and_stands_in_its_middle() {
    let case = build("design = \"glazed-case\"\n[climate]\nworkshop.moisture = \"12 %\"\n");
    let stand = weight::stand(&case);
    let all = weight::of_parts(&case).into_iter().chain(weight::of_panes(&case));
    near(stand.shut.kg, all.map(|m| m.kg).sum(), 1e-9);
    near(stand.shut.kg, stand.open.kg, 1e-9);
    // A pair of doors: it is its own mirror image, shut and open.
    let posts = case.size[0].mm() - 2.0 * 19.05;
    near(stand.shut.centre[0], posts / 2.0, 0.2);
    near(stand.open.centre[0], posts / 2.0, 0.2);
    // Doors that open come forward; an open door reaches about its own width before the feet.
    assert!(stand.open.centre[1] < stand.shut.centre[1] - 10.0);
    let leaf = case.parts.iter().filter(|p| p.role == Role::Stile).map(|p| p.case_box());
    let width = leaf.clone().map(|b| b.max[0]).max().expect("stiles") - leaf.map(|b| b.min[0]).min().expect("stiles");
    assert!((0.42..0.5).contains(&(stand.reach / width.mm())), "{}", stand.reach);
    // Moments about the front feet: m·g·y, and the weights and pulls that balance it.
    near(stand.moment, 9.806_65 * stand.open.kg * stand.open.centre[1] / 1000.0, 1e-9);
    near(stand.hung.expect("doors") * 9.806_65 * stand.reach / 1000.0, stand.moment, 1e-9);
    near(stand.pull * 1.4224, stand.moment, 1e-9);
}

/// 2.5 kg/m² for each mm (EN 572-1, from its density): a pane of 1/8 in.
#[test]
fn glass_weighs_two_and_a_half_kilograms_a_square_metre_and_millimetre() {
    let case = build("design = \"glazed-case\"\n");
    for (pane, mass) in case.panes.iter().zip(weight::of_panes(&case)) {
        let [w, h, t] = pane.size.map(|l| l.mm());
        near(mass.kg, w * h / 1e6 * 2.5 * t, 1e-9);
    }
    assert!(!case.panes.is_empty());
}

/// A deep low cupboard stands; a tall shallow case with doors does not stand a weight on them.
#[test]
fn what_tips_easily_is_cautioned() {
    let tips = |text: &str| build(text).findings.iter().any(|f| f.rule == "tipping-moment");
    assert!(tips("design = \"glazed-case\"\n[parameters]\ndepth = \"10 in\"\nheight = \"84 in\"\n"));
    assert!(tips(
        "design = \"open-shelves\"\n[parameters]\nwood = \"western red cedar\"\ndepth = \"10 in\"\nheight = \"96 in\"\n"
    ));
    assert!(!tips(
        "design = \"open-shelves\"\n[parameters]\ndepth = \"24 in\"\nheight = \"48 in\"\nwidth = \"48 in\"\n"
    ));
}
