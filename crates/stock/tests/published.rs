//! A few small published instances, with the answers that are known for them.

use stock::flat::value::value;
use stock::flat::{Blank, Part};
use stock::{Limits, check};

/// Christofides & Whitlock 1977, Oper. Res. 25:30–44, first test problem: length, width, value, number; sheet 15 × 10,
/// optimum 244.
const CGCUT1: [(i64, i64, i64, usize); 7] =
    [(8, 4, 66, 2), (3, 7, 35, 1), (8, 2, 24, 3), (3, 4, 17, 5), (3, 3, 11, 2), (3, 2, 8, 2), (2, 1, 2, 1)];

#[test]
fn christofides_and_whitlock_1977_first_problem() {
    let parts =
        CGCUT1.map(|(w, h, value, count)| Part { w, h, turns: false, count, value, shows: true, together: false });
    let blank = Blank { w: 15, h: 10, cost: 1, count: 1, best: false, blemishes: Vec::new() };
    let found = value(&parts, &blank, &Limits::work(200_000_000), &mut |_| {});
    assert_eq!(check::blank(&blank, &parts, &found.parts), Ok(()));
    assert_eq!(found.value, 244);
    assert!(found.bound >= 244);
}
