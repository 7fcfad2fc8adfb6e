//! Kerf by lifting, on published instances: with every size enlarged, and then a kerf taken off every part and off the stock,
//! the same layouts are possible as without a kerf, so the same optimum must be reached.

use measure::{Length, mm};
use stock::{Board, Fate, Layout, Limits, Piece, Saw, lay_out};

/// Falkenauer 1996, J. Heuristics 2:5–30, triplets, the first of sixty parts: bars of 1000, optimum 20.
const TRIPLETS: [i64; 60] = [
    495, 474, 473, 472, 466, 450, 445, 444, 439, 430, 419, 414, 410, 395, 372, 370, 366, 366, 366, 363, 361, 357, 355,
    351, 350, 350, 347, 320, 315, 307, 303, 299, 298, 298, 292, 288, 287, 283, 275, 275, 274, 273, 273, 272, 272, 271,
    269, 269, 268, 263, 262, 261, 259, 258, 255, 254, 252, 252, 252, 251,
];

/// Berkey & Wang 1987, J. Oper. Res. Soc. 38:423–429, class 1, the first of twenty parts: sheets of 10 × 10, by guillotine
/// cuts and without turning optimum 8 (Becker 2022, thesis, UFRGS).
const CLASS_1: [(i64, i64); 20] = [
    (5, 9),
    (4, 2),
    (10, 6),
    (5, 7),
    (6, 3),
    (10, 7),
    (1, 5),
    (3, 5),
    (6, 9),
    (2, 4),
    (6, 7),
    (7, 2),
    (8, 3),
    (8, 3),
    (8, 3),
    (4, 10),
    (4, 5),
    (10, 3),
    (7, 8),
    (8, 7),
];

/// As before, class 3, the fifth of twenty parts: sheets of 40 × 40, optimum 4.
const CLASS_3: [(i64, i64); 20] = [
    (34, 13),
    (5, 32),
    (6, 13),
    (32, 33),
    (22, 6),
    (29, 34),
    (15, 20),
    (23, 17),
    (2, 23),
    (18, 9),
    (9, 31),
    (29, 14),
    (5, 35),
    (14, 11),
    (6, 6),
    (12, 29),
    (4, 28),
    (3, 1),
    (3, 24),
    (14, 13),
];

fn laid_out(parts: &[(i64, i64)], sheet: (i64, i64), kerf: Length) -> Layout {
    let lifted = |size: i64| mm(size * 10) - kerf;
    let piece = |&(length, width): &(i64, i64)| Piece {
        id: String::new(),
        length: lifted(length),
        width: lifted(width),
        count: 1,
        turns: false,
        shows: true,
        together: false,
    };
    let pieces: Vec<Piece> = parts.iter().map(piece).collect();
    let (length, width) = (lifted(sheet.0), lifted(sheet.1));
    let board = Board { id: String::new(), length, width, count: 99, price: 1, best: false, flaws: Vec::new() };
    let saw = Saw { kerf, end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(1), mm(1)) };
    let layout = lay_out(&pieces, &[board], &saw, &Limits::work(300_000_000), &mut |_| {});
    assert!(layout.missing.iter().all(|&n| n == 0));
    layout
}

/// Where the pieces of each board lie.
fn places(layout: &Layout) -> Vec<Vec<(usize, Length, Length)>> {
    let board = |cutting: &stock::Cutting| {
        let mut places = Vec::new();
        cutting.region.walk(&mut |region| {
            if let Fate::Piece { piece, .. } = region.fate {
                places.push((piece, region.area.x, region.area.y));
            }
        });
        places.sort_unstable();
        places
    };
    layout.boards.iter().map(board).collect()
}

/// Not only as few boards: the very same layout, since a kerf is nothing but larger sizes.
fn same_with_any_kerf(parts: &[(i64, i64)], sheet: (i64, i64), optimum: usize) {
    let plain = laid_out(parts, sheet, Length::ZERO);
    assert_eq!(plain.boards.len(), optimum);
    for kerf in [mm(1), Length::from_nm(3_200_000), Length::from_nm(3_175_000)] {
        let sawn = laid_out(parts, sheet, kerf);
        assert_eq!(sawn.boards.len(), optimum, "with a kerf of {} mm", kerf.mm());
        assert_eq!(places(&sawn), places(&plain));
    }
}

#[test]
fn bars_of_falkenauer_1996() {
    same_with_any_kerf(&TRIPLETS.map(|length| (length, 1)), (1000, 1), 20);
}

#[test]
fn sheets_of_berkey_and_wang_1987() {
    same_with_any_kerf(&CLASS_1, (10, 10), 8);
    same_with_any_kerf(&CLASS_3, (40, 40), 4);
}

#[test]
fn a_kerf_too_wide_by_a_hair_costs_a_bar() {
    // The triplets fill their bars to the last thousandth, so a tenth of a millimetre on the saw is too much.
    let saw = Length::from_nm(3_300_000);
    let lifted = |size: i64| mm(size * 10) - Length::from_nm(3_200_000);
    let piece = |length: i64| Piece {
        id: String::new(),
        length: lifted(length),
        width: mm(10),
        count: 1,
        turns: false,
        shows: true,
        together: false,
    };
    let pieces: Vec<Piece> = TRIPLETS.into_iter().map(piece).collect();
    let board = Board {
        id: String::new(),
        length: lifted(1000),
        width: mm(10),
        count: 99,
        price: 1,
        best: false,
        flaws: vec![],
    };
    let saw = Saw { kerf: saw, end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(1), mm(1)) };
    let layout = lay_out(&pieces, &[board], &saw, &Limits::work(300_000_000), &mut |_| {});
    assert!(layout.boards.len() > 20);
    assert!(layout.bound > 20, "and that is proven");
}
