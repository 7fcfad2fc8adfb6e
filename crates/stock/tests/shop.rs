//! Layouts as the shop gets them: random orders on boards with flaws, every cut followed with a rule of its own.

use measure::{Length, mm};
use proptest::prelude::*;
use stock::{Area, Board, Fate, Flaw, Layout, Limits, Piece, Region, Saw, Way, lay_out};

fn piece(id: &str, length: i64, width: i64, count: usize) -> Piece {
    Piece { id: id.into(), length: mm(length), width: mm(width), count, turns: false, shows: true, together: false }
}

fn board(length: i64, width: i64, count: usize) -> Board {
    Board {
        id: "B".into(),
        length: mm(length),
        width: mm(width),
        count,
        price: length * width,
        best: false,
        flaws: vec![],
    }
}

fn saw(kerf: i64) -> Saw {
    Saw { kerf: mm(kerf), end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(200), mm(40)) }
}

fn found(pieces: &[Piece], boards: &[Board], saw: &Saw) -> Layout {
    let layout = lay_out(pieces, boards, saw, &Limits::work(3_000_000), &mut |_| {});
    check(pieces, boards, saw, &layout);
    layout
}

const fn meets(a: Area, b: Area) -> bool {
    a.x.nm() < b.x.nm() + b.length.nm()
        && b.x.nm() < a.x.nm() + a.length.nm()
        && a.y.nm() < b.y.nm() + b.width.nm()
        && b.y.nm() < a.y.nm() + a.width.nm()
}

fn within(inner: Area, outer: Area) -> bool {
    inner.x >= outer.x
        && inner.y >= outer.y
        && inner.x + inner.length <= outer.x + outer.length
        && inner.y + inner.width <= outer.y + outer.width
}

/// Follows the saw: what is in hand, cut by cut, and what is left in the end.
fn check(pieces: &[Piece], boards: &[Board], saw: &Saw, layout: &Layout) {
    let mut cut = vec![0; pieces.len()];
    let mut in_use = vec![0; boards.len()];
    for cutting in &layout.boards {
        let board = &boards[cutting.board];
        in_use[cutting.board] += 1;
        let usable = Area {
            x: saw.end_trim,
            y: saw.edge_trim,
            length: board.length - saw.end_trim * 2,
            width: board.width - saw.edge_trim * 2,
        };
        assert_eq!(cutting.region.area, usable);
        let mut next = 1;
        cutting.region.walk(&mut |region| follow(region, pieces, board, saw, &mut next, &mut cut));
    }
    for (i, piece) in pieces.iter().enumerate().filter(|(_, p)| p.together) {
        let on = layout.boards.iter().filter(|cutting| {
            let mut here = false;
            cutting.region.walk(&mut |r| here |= matches!(r.fate, Fate::Piece { piece, .. } if piece == i));
            here
        });
        assert!(on.count() <= 1, "{} comes from several boards", piece.id);
        assert!(layout.missing[i] == 0 || layout.missing[i] == piece.count, "half a set of {}", piece.id);
    }
    for (i, board) in boards.iter().enumerate() {
        assert!(in_use[i] <= board.count, "more boards than there are");
    }
    for (i, piece) in pieces.iter().enumerate() {
        assert_eq!(cut[i] + layout.missing[i], piece.count, "quantity of {}", piece.id);
    }
    assert!(layout.missing.iter().any(|&n| n > 0) || layout.bound <= layout.cost, "a bound above the cost");
}

fn follow(region: &Region, pieces: &[Piece], board: &Board, saw: &Saw, next: &mut usize, cut: &mut [usize]) {
    match &region.fate {
        Fate::Piece { piece, turned } => {
            let p = &pieces[*piece];
            let size = if *turned { (p.width, p.length) } else { (p.length, p.width) };
            assert_eq!((region.area.length, region.area.width), size);
            assert!(p.turns || !turned);
            assert!(p.shows || !board.best, "{} takes of a board kept for faces that show", p.id);
            for flaw in board.flaws.iter().filter(|f| p.shows || !f.hidden_use) {
                assert!(!meets(region.area, flaw.area), "{} lies on a flaw", p.id);
            }
            cut[*piece] += 1;
        }
        Fate::Offcut => assert!(region.area.length >= saw.keep.0 && region.area.width >= saw.keep.1),
        Fate::Waste => assert!(region.area.length < saw.keep.0 || region.area.width < saw.keep.1),
        Fate::Cut { number, way, at, sides } => {
            assert_eq!(number, next, "cuts are numbered in the order of sawing");
            *next += 1;
            assert!((1..=2).contains(&sides.len()));
            for side in sides {
                assert!(within(side.area, region.area));
                let (low, high) = match way {
                    Way::Rip => (side.area.y, side.area.y + side.area.width),
                    Way::Crosscut => (side.area.x, side.area.x + side.area.length),
                };
                assert!(high <= *at || low >= *at + saw.kerf, "the saw takes of what is kept");
            }
        }
    }
}

#[test]
fn three_kerfs_are_one_too_many() {
    // Four pieces of 100 and three kerfs of 4 are 412.
    assert_eq!(found(&[piece("rail", 100, 50, 4)], &[board(412, 50, 2)], &saw(4)).boards.len(), 1);
    assert_eq!(found(&[piece("rail", 100, 50, 4)], &[board(411, 50, 2)], &saw(4)).boards.len(), 2);
}

#[test]
fn the_trim_comes_off_both_ends() {
    let saw = Saw { end_trim: mm(20), edge_trim: mm(5), ..saw(4) };
    assert_eq!(found(&[piece("rail", 100, 50, 4)], &[board(452, 60, 2)], &saw).boards.len(), 1);
    assert_eq!(found(&[piece("rail", 100, 50, 4)], &[board(451, 60, 2)], &saw).boards.len(), 2);
}

#[test]
fn grain_keeps_a_piece_from_turning() {
    let long = piece("panel", 500, 200, 1);
    let free = Piece { turns: true, ..long.clone() };
    assert_eq!(found(&[long], &[board(300, 600, 1)], &saw(3)).missing, [1]);
    assert_eq!(found(&[free], &[board(300, 600, 1)], &saw(3)).missing, [0]);
}

#[test]
fn a_knot_is_for_faces_that_do_not_show() {
    let knot = |hidden_use| {
        let area = Area { x: mm(240), y: mm(20), length: mm(40), width: mm(30) };
        Board { flaws: vec![Flaw { area, hidden_use }], ..board(500, 100, 1) }
    };
    let shown = piece("stile", 400, 90, 1);
    let hidden = Piece { shows: false, ..shown.clone() };
    assert_eq!(found(std::slice::from_ref(&shown), &[knot(true)], &saw(3)).missing, [1]);
    assert_eq!(found(std::slice::from_ref(&hidden), &[knot(false)], &saw(3)).missing, [1]);
    assert_eq!(found(&[hidden], &[knot(true)], &saw(3)).missing, [0]);
}

#[test]
fn the_staves_of_a_panel_come_from_one_board() {
    let set = |id| Piece { together: true, ..piece(id, 700, 90, 3) };
    // Two boards hold five staves between them, and each a whole set; a third set finds no board.
    let layout = found(&[set("left"), set("right"), set("third")], &[board(1500, 190, 2)], &saw(3));
    assert_eq!(layout.missing.iter().sum::<usize>(), 3);
    assert_eq!(layout.boards.len(), 2);
}

#[test]
fn the_best_board_is_kept_for_faces_that_show() {
    let best = Board { best: true, price: 1, ..board(1000, 100, 1) };
    let cleat = Piece { shows: false, ..piece("cleat", 900, 80, 1) };
    assert_eq!(found(std::slice::from_ref(&cleat), &[best.clone(), board(1000, 100, 1)], &saw(3)).boards[0].board, 1);
    assert_eq!(found(&[cleat], std::slice::from_ref(&best), &saw(3)).missing, [1]);
    assert_eq!(found(&[piece("rail", 900, 80, 1)], &[best], &saw(3)).missing, [0]);
}

#[test]
fn too_few_boards_leave_pieces_missing_and_use_what_there_is() {
    let layout = found(&[piece("shelf", 900, 200, 5)], &[board(2000, 210, 2)], &saw(3));
    assert_eq!(layout.missing, [1]);
    assert_eq!(layout.boards.len(), 2);
}

#[test]
fn the_offcut_is_kept_whole() {
    let layout = found(&[piece("door", 600, 400, 1)], &[board(2000, 1000, 1)], &saw(4));
    let mut largest = 0;
    layout.boards[0].region.walk(&mut |r| {
        if r.fate == Fate::Offcut {
            largest = largest.max(r.area.length.nm() / 1_000_000 * (r.area.width.nm() / 1_000_000));
        }
    });
    assert_eq!(largest, 1396 * 1000);
}

#[test]
fn the_same_seed_gives_the_same_layout_on_one_thread_and_two() {
    let pieces = [piece("a", 410, 95, 7), piece("b", 333, 120, 5), piece("c", 205, 61, 11), piece("d", 640, 88, 3)];
    for threads in [1, 2] {
        let limits = Limits { threads, seed: 7, ..Limits::work(30_000_000) };
        let run = || lay_out(&pieces, &[board(1800, 240, 20)], &saw(3), &limits, &mut |_| {});
        assert_eq!(run(), run());
    }
}

fn flaws() -> impl Strategy<Value = Vec<Flaw>> {
    let flaw = (0_i64..900, 0_i64..200, 1_i64..80, 1_i64..60, any::<bool>());
    prop::collection::vec(flaw, 0..4).prop_map(|flaws| {
        let flaw = |(x, y, length, width, hidden_use)| Flaw {
            area: Area { x: mm(x), y: mm(y), length: mm(length), width: mm(width) },
            hidden_use,
        };
        flaws.into_iter().map(flaw).collect()
    })
}

fn boards() -> impl Strategy<Value = Vec<Board>> {
    let one = (300_i64..1200, 60_i64..300, 0_usize..4, flaws(), any::<bool>())
        .prop_map(|(length, width, count, flaws, best)| Board { flaws, best, ..board(length, width, count) });
    prop::collection::vec(one, 1..5)
}

fn pieces() -> impl Strategy<Value = Vec<Piece>> {
    let one = (20_i64..700, 15_i64..250, 0_usize..4, any::<[bool; 3]>()).prop_map(
        |(length, width, count, [turns, shows, together])| Piece {
            turns,
            shows,
            together,
            ..piece("p", length, width, count)
        },
    );
    prop::collection::vec(one, 0..9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn random_orders_are_cut_as_laid_out(
        pieces in pieces(),
        boards in boards(),
        kerf in 0_i64..6,
        trim in (0_i64..30, 0_i64..8),
    ) {
        let saw = Saw { end_trim: mm(trim.0), edge_trim: mm(trim.1), ..saw(kerf) };
        found(&pieces, &boards, &saw);
    }
}
