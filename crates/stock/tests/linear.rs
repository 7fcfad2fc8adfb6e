//! Bars: quantities, lengths and bounds on random orders, and small orders worked by hand.

use proptest::prelude::*;
use stock::Limits;
use stock::linear::{Kind, TooLong, bars};

fn laid_out(length: i64, parts: &[(i64, usize)], work: u64) -> (usize, usize) {
    let kinds: Vec<Kind> = parts.iter().map(|&(length, count)| Kind { length, count }).collect();
    let found = bars(length, &kinds, &Limits::work(work), &mut |_| {}).expect("every part fits");
    for bar in &found.bars {
        assert!(!bar.is_empty());
        assert!(bar.iter().map(|&k| kinds[k].length).sum::<i64>() <= length, "{bar:?} is longer than {length}");
    }
    for (k, kind) in kinds.iter().enumerate() {
        assert_eq!(found.bars.iter().flatten().filter(|&&p| p == k).count(), kind.count, "kind {k}");
    }
    assert!(found.bound <= found.bars.len(), "bound {} above {}", found.bound, found.bars.len());
    (found.bars.len(), found.bound)
}

#[test]
fn thirds_fill_a_bar_of_three() {
    assert_eq!(laid_out(99, &[(33, 7)], 1_000_000), (3, 3));
}

/// Best fit takes four bars here (6 + 4 … leaves 3s over); three are enough.
#[test]
fn the_search_beats_best_fit() {
    assert_eq!(laid_out(10, &[(6, 1), (5, 2), (4, 1), (3, 2), (2, 2)], 1_000_000), (3, 3));
}

/// Five parts of 4 on bars of 10: two to a bar, though by length alone two bars would do.
#[test]
fn the_bound_knows_what_does_not_combine() {
    assert_eq!(laid_out(10, &[(4, 5)], 1_000_000), (3, 3));
}

#[test]
fn parts_longer_than_the_bar_are_named() {
    let kinds = [Kind { length: 5, count: 1 }, Kind { length: 11, count: 1 }];
    assert_eq!(bars(10, &kinds, &Limits::work(1000), &mut |_| {}), Err(TooLong { kind: 1 }));
}

#[test]
fn nothing_needs_no_bar() {
    assert_eq!(laid_out(10, &[(4, 0)], 1000), (0, 0));
}

proptest! {
    #[test]
    fn random_orders_are_laid_out(length in 20_i64..200, parts in prop::collection::vec((1_i64..200, 0_usize..6), 1..25)) {
        let parts: Vec<(i64, usize)> = parts.into_iter().map(|(l, n)| (l.min(length), n)).collect();
        let (found, _) = laid_out(length, &parts, 3_000_000);
        // Kerf by lifting: sizes doubled, one off each part and off the bar, is the same order.
        let lifted: Vec<(i64, usize)> = parts.iter().map(|&(l, n)| (2 * l, n)).collect();
        prop_assert_eq!(laid_out(2 * length, &lifted, 3_000_000).0, found);
    }
}
