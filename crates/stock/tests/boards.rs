//! The bound for boards of many sizes: worked by hand where it is clear what can be cut, and never above a layout.

use measure::{Length, mm};
use proptest::prelude::*;
use stock::{Area, Board, Flaw, Layout, Limits, Piece, Saw, lay_out};

fn piece(length: i64, width: i64, count: usize, shows: bool) -> Piece {
    Piece { id: String::new(), length: mm(length), width: mm(width), count, turns: false, shows, together: false }
}

/// Paid for by area.
fn board(length: i64, width: i64, count: usize) -> Board {
    let price = length * width;
    Board { id: String::new(), length: mm(length), width: mm(width), count, price, best: false, flaws: Vec::new() }
}

fn flaw(x: i64, y: i64, length: i64, width: i64, hidden_use: bool) -> Flaw {
    Flaw { area: Area { x: mm(x), y: mm(y), length: mm(length), width: mm(width) }, hidden_use }
}

fn laid_out(pieces: &[Piece], boards: &[Board], kerf: i64, work: u64) -> Layout {
    let saw = Saw { kerf: mm(kerf), end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(200), mm(40)) };
    lay_out(pieces, boards, &saw, &Limits::work(work), &mut |_| {})
}

/// Two pieces of 60 and a kerf do not lie side by side on 110, so each takes a board, the cheaper five first; by area four
/// boards would do.
#[test]
fn what_does_not_lie_side_by_side_is_known() {
    let boards = [board(1000, 100, 5), board(1000, 110, 5)];
    let layout = laid_out(&[piece(900, 60, 6, true)], &boards, 3, 400_000_000);
    assert_eq!((layout.cost, layout.bound), (610_000, 610_000));
}

/// A knot in the middle leaves two short ends: the long pieces need the clear boards.
#[test]
fn what_a_flaw_leaves_is_known() {
    let knotty = |hidden| Board { flaws: vec![flaw(480, 0, 40, 100, hidden)], ..board(1000, 100, 1) };
    let dear = Board { price: 150_000, ..board(1000, 100, 2) };
    let cost = |boards: &[Board], shows| {
        let layout = laid_out(&[piece(900, 60, 2, shows), piece(450, 60, 2, true)], boards, 3, 400_000_000);
        (layout.cost, layout.bound)
    };
    assert_eq!(cost(&[knotty(true), dear.clone()], true), (400_000, 400_000));
    assert_eq!(cost(&[knotty(false), dear.clone()], false), (400_000, 400_000));
    // A face that does not show may have the knot, and then the short ones need one of the dear boards still.
    let (found, bound) = cost(&[knotty(true), knotty(true), dear], false);
    assert_eq!(found, 350_000);
    assert!(bound <= found);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn no_layout_costs_less_than_the_bound(
        pieces in prop::collection::vec((60_i64..600, 20_i64..120, 1_usize..4, any::<[bool; 2]>()), 1..6),
        boards in prop::collection::vec((400_i64..1200, 80_i64..200, prop::option::of((0_i64..900, 0_i64..150, any::<bool>()))), 2..5),
        kerf in 0_i64..5,
    ) {
        let pieces: Vec<Piece> = pieces
            .into_iter()
            .map(|(length, width, count, [shows, turns])| Piece { turns, ..piece(length, width, count, shows) })
            .collect();
        let boards: Vec<Board> = boards
            .into_iter()
            .map(|(length, width, at)| Board {
                flaws: at.into_iter().map(|(x, y, hidden)| flaw(x, y, 60, 30, hidden)).collect(),
                ..board(length, width, 3)
            })
            .collect();
        let layout = laid_out(&pieces, &boards, kerf, 150_000_000);
        // What was found with less work is a layout too, and so is every other with all boards.
        let quick = laid_out(&pieces, &boards, kerf, 1_000_000);
        for other in [&layout, &quick].into_iter().filter(|l| l.missing.iter().all(|&n| n == 0)) {
            prop_assert!(layout.bound <= other.cost, "{} above {}", layout.bound, other.cost);
        }
    }
}
