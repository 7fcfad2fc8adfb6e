//! Random orders end in one of two ways: built with all programs proven, or refused with mends that work.
//!
//! Forty here; `cargo run --release --example orders -- 5000` tries as many as one likes.

use crate::outcome::{Outcome, order};

/// The same orders in every run; an order that once went wrong is added to `went_wrong_once`.
#[test]
fn random_orders_are_built_and_proven_or_refused_with_a_mend_that_works() {
    const ORDERS: u64 = 40;
    let outcome = |n: u64| (n, order(n).outcome());
    let (even, odd) = std::thread::scope(|scope| {
        let even = scope.spawn(|| (0..ORDERS).step_by(2).map(outcome).collect::<Vec<_>>());
        let odd: Vec<_> = (1..ORDERS).step_by(2).map(outcome).collect();
        (even.join().unwrap(), odd)
    });
    let (mut built, mut refused) = (0, 0);
    for (n, outcome) in even.into_iter().chain(odd) {
        match outcome {
            Outcome::Built { programs } => {
                assert!(programs > 0, "{n}: {}", order(n));
                built += 1;
            }
            Outcome::Refused { rules, mends } => {
                assert!(!rules.is_empty() && mends > 0, "{n}: {}", order(n));
                refused += 1;
            }
            Outcome::Neither(why) => panic!("{n}: {}\n{why}", order(n)),
        }
    }
    assert!(built >= 20 && refused >= 5, "{built} built and {refused} refused: one of the two is hardly tested");
}

/// Orders whose programs once cut too deep or left wood standing, or which had no mend.
#[test]
fn orders_that_went_wrong_once_are_right() {
    for (design, settings) in [
        (
            "glazed-case",
            &[
                "width=1285.875 mm",
                "depth=254 mm",
                "height=914.4 mm",
                "lower_field=273.05 mm",
                "arch=stepped",
                "arch_rise=12.7 mm",
            ] as &[&str],
        ),
        (
            "glazed-case",
            &[
                "width=1285.875 mm",
                "depth=254 mm",
                "height=914.4 mm",
                "lower_field=273.05 mm",
                "arch=stepped",
                "arch_rise=12.7 mm",
                "shelves=0",
            ],
        ),
        // Once the curve is low enough, the shelves do not come out: two settings at once.
        (
            "glazed-case",
            &["width=1251 mm", "depth=278 mm", "height=1135 mm", "shelves=4", "curve=ogee", "curve_rise=36 mm"],
        ),
        // Bridges on an arc so tight that the bit cut into them.
        ("glazed-case", &["arch=stepped", "arch_rise=2 1/2 in"]),
        // A way in along the very edge of the blank, claimed though it takes nothing.
        ("glazed-case", &["arch=ogee", "arch_rise=2 1/2 in"]),
        ("glazed-case", &["width=1309.6875 mm", "arch=segmental", "arch_rise=63.5 mm"]),
        ("glazed-case", &["width=1309.6875 mm", "arch=segmental", "arch_rise=63.5 mm", "shelves=0"]),
    ] {
        let order = crate::outcome::Order::new(design, "in", settings);
        let outcome = order.outcome();
        assert!(!matches!(outcome, Outcome::Neither(_)), "{order}: {outcome:?}");
    }
}
