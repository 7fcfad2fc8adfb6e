//! The most value from one blank with blemishes, against trying every cut at every whole number.

use std::collections::BTreeMap;

use proptest::prelude::*;
use stock::flat::value::value;
use stock::flat::{Blank, Blemish, Part};
use stock::{Limits, check};

/// Every guillotine cut, and any number of each part.
fn every_cut(parts: &[Part], blank: &Blank, r: [i64; 4], known: &mut BTreeMap<[i64; 4], i64>) -> i64 {
    if let Some(&value) = known.get(&r) {
        return value;
    }
    let [x0, x1, y0, y1] = r;
    let clear = !blank.blemishes.iter().any(|b| x0 < b.x1 && x1 > b.x0 && y0 < b.y1 && y1 > b.y0);
    let exact = parts.iter().filter(|p| clear && p.w == x1 - x0 && p.h == y1 - y0).map(|p| p.value).max();
    let mut best = exact.unwrap_or(0);
    for x in x0 + 1..x1 {
        let cut = every_cut(parts, blank, [x0, x, y0, y1], known) + every_cut(parts, blank, [x, x1, y0, y1], known);
        best = best.max(cut);
    }
    for y in y0 + 1..y1 {
        let cut = every_cut(parts, blank, [x0, x1, y0, y], known) + every_cut(parts, blank, [x0, x1, y, y1], known);
        best = best.max(cut);
    }
    known.insert(r, best);
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn the_exact_program_misses_no_cut(
        size in (4_i64..11, 4_i64..9),
        parts in prop::collection::vec((1_i64..6, 1_i64..6, 1_i64..30), 1..4),
        blemishes in prop::collection::vec((0_i64..10, 0_i64..8, 1_i64..3, 1_i64..3), 0..3),
    ) {
        let part = |(w, h, value)| Part { w, h, turns: false, count: 200, value, shows: true, together: false };
        let parts: Vec<Part> = parts.into_iter().map(part).collect();
        let blemish = |(x0, y0, w, h)| Blemish { x0, y0, x1: x0 + w, y1: y0 + h, hidden_use: false };
        let blemishes = blemishes.into_iter().map(blemish).collect();
        let blank = Blank { w: size.0, h: size.1, cost: 1, count: 1, best: false, blemishes };
        let found = value(&parts, &blank, &Limits::work(2_000_000_000), &mut |_| {});
        prop_assert_eq!(check::blank(&blank, &parts, &found.parts), Ok(()));
        let most = every_cut(&parts, &blank, [0, size.0, 0, size.1], &mut BTreeMap::new());
        prop_assert_eq!((found.value, found.bound), (most, most));
    }

    #[test]
    fn numbers_are_kept_and_bounds_hold(
        parts in prop::collection::vec((1_i64..40, 1_i64..40, 1_i64..500, 1_usize..4, any::<bool>()), 1..8),
    ) {
        let part = |(w, h, value, count, turns)| Part { w, h, turns, count, value, shows: true, together: false };
        let parts: Vec<Part> = parts.into_iter().map(part).collect();
        let blank = Blank { w: 60, h: 50, cost: 1, count: 1, best: false, blemishes: Vec::new() };
        let found = value(&parts, &blank, &Limits::work(5_000_000), &mut |_| {});
        prop_assert_eq!(check::blank(&blank, &parts, &found.parts), Ok(()));
        prop_assert_eq!(found.parts.iter().map(|p| parts[p.kind].value).sum::<i64>(), found.value);
        prop_assert!(found.value <= found.bound);
    }
}
