//! Common volume: none where parts only touch, every planted one found and measured.

use case::{Axis, Box3, Case};
use dryfit::{Solid, common};
use measure::Length;

use crate::given::{Dice, Wood, orders};

fn pairs(case: &Case) -> Vec<(usize, usize)> {
    let n = case.parts.len();
    let boxes: Vec<Box3> = case.parts.iter().map(case::Part::case_box).collect();
    (0..n)
        .flat_map(|i| (i + 1..n).map(move |j| (i, j)))
        .filter(|(i, j)| boxes[*i].intersection(&boxes[*j]).is_some())
        .collect()
}

#[test]
fn designs_as_they_are_share_no_volume() {
    for (name, case) in orders() {
        let solids = dryfit::solids(&case);
        for (i, a) in solids.iter().enumerate() {
            for b in &solids[i + 1..] {
                assert_eq!(common(a, b), None, "{name}: {:?} and {:?}", a.body, b.body);
            }
        }
    }
}

/// Points thrown into the common box of two parts that lie in the wood of both: how many of how many.
fn thrown(case: &Case, i: usize, j: usize, by: case::Point, into: &Box3, n: usize, dice: &mut Dice) -> usize {
    let (a, b) = (Wood::new(&case.parts[i]), Wood::new(&case.parts[j]));
    let mut both = 0;
    for _ in 0..n {
        let p = Axis::ALL.map(|a| dice.between(into.along(a)));
        let back = std::array::from_fn(|k| p[k] - by[k].mm());
        both += usize::from(a.holds(p) && b.holds(back));
    }
    both
}

/// Parts are moved a little along an axis. Whatever points find in the wood of both must be found, what is found must
/// be found by points, and the volume must agree with the points' within their own scatter.
#[test]
fn planted_interferences_are_found_and_none_is_invented() {
    let mut dice = Dice(0x5eed_1e55);
    let (mut found, mut free) = (0, 0);
    for (name, case) in orders() {
        let pairs = pairs(&case);
        for _ in 0..60 {
            let (i, j) = pairs[dice.upto(pairs.len())];
            let mut by = [Length::ZERO; 3];
            let step = [50_000, 200_000, 1_000_000, 5_000_000][dice.upto(4)];
            by[dice.upto(3)] = Length::from_nm(if dice.throw() < 0.5 { step } else { -step });
            let (a, b) = (Solid::of_part(&case.parts[i]), Solid::of_part(&case.parts[j]).moved(by));
            let said = common(&a, &b);
            let Some(into) = a.blank.intersection(&b.blank) else {
                assert_eq!(said, None);
                continue;
            };
            let told = format!("{name}: {} and {} moved by {by:?}", case.parts[i].name, case.parts[j].name);
            let Some(c) = said else {
                free += 1;
                assert_eq!(thrown(&case, i, j, by, &into, 2_000, &mut dice), 0, "{told}: missed");
                continue;
            };
            found += 1;
            let n = 2_000;
            let hits = thrown(&case, i, j, by, &c.within, n, &mut dice) as f64;
            assert!(hits > 0.0, "{told}: invented {c:?}");
            let sides = Axis::ALL.map(|a| c.within.size()[a.index()].mm());
            let share = hits / n as f64;
            let (estimate, scatter) =
                (share * sides.iter().product::<f64>(), (share * (1.0 - share) / n as f64).sqrt());
            let error = 5.0 * scatter * sides.iter().product::<f64>() + 0.05 * estimate;
            assert!((c.volume - estimate).abs() <= error + 1e-9, "{told}: {c:?}, points say {estimate} mm³");
        }
    }
    assert!(found > 100 && free > 20, "{found} found, {free} free");
}

/// A move of 0.05 mm is seen, one of half a micrometre is a touch.
#[test]
fn a_touch_is_no_interference() {
    let (_, case) = &orders()[0];
    let top = case.parts.iter().find(|p| p.role == case::Role::Top).unwrap();
    let post = case.parts.iter().find(|p| p.role == case::Role::Post).unwrap();
    let sink = |nm: i64| {
        common(&Solid::of_part(post), &Solid::of_part(top).moved([Length::ZERO, Length::ZERO, Length::from_nm(-nm)]))
    };
    assert_eq!(sink(500), None);
    let deep = sink(50_000).unwrap();
    assert_eq!(deep.depth.nm(), 50_000);
}
