//! Time for a fixed amount of search: `cargo bench -p stock --bench layout`.

use divan::{Bencher, black_box};
use measure::{Length, mm};
use stock::linear::{Kind, bars};
use stock::{Board, Limits, Piece, Saw, lay_out};

fn main() {
    divan::main();
}

/// Parts of small cabinets, sizes spread by a fixed rule.
fn pieces(kinds: i64) -> Vec<Piece> {
    let piece = |i: i64| Piece {
        id: format!("P{i}"),
        length: mm(180 + i * 7919 % 900),
        width: mm(40 + i * 104_729 % 300),
        count: 3,
        turns: i % 2 == 0,
        shows: true,
        together: false,
    };
    (0..kinds).map(piece).collect()
}

#[divan::bench(args = [10, 40])]
fn sheets(bencher: Bencher<'_, '_>, kinds: i64) {
    let pieces = pieces(kinds);
    let sheet = Board {
        id: "S".into(),
        length: mm(2440),
        width: mm(1220),
        count: 100,
        price: 1,
        best: false,
        flaws: Vec::new(),
    };
    let saw = Saw { kerf: mm(3), end_trim: mm(10), edge_trim: mm(10), keep: (mm(300), mm(150)) };
    let limits = Limits::work(20_000_000);
    bencher.bench_local(|| lay_out(black_box(&pieces), std::slice::from_ref(&sheet), &saw, &limits, &mut |_| {}).cost);
}

#[divan::bench(args = [20, 100])]
fn running_stock(bencher: Bencher<'_, '_>, kinds: i64) {
    let kinds: Vec<Kind> = (0..kinds).map(|i| Kind { length: 90 + i * 7919 % 610, count: 2 }).collect();
    let limits = Limits::work(20_000_000);
    bencher.bench_local(|| bars(1000, black_box(&kinds), &limits, &mut |_| {}).map(|b| b.bars.len()));
}

/// Reckoning in exact lengths costs nothing that shows.
#[divan::bench]
fn one_piece(bencher: Bencher<'_, '_>) {
    let piece =
        Piece { id: "P".into(), length: mm(500), width: mm(300), count: 1, turns: false, shows: true, together: false };
    let sheet =
        Board { id: "S".into(), length: mm(2440), width: mm(1220), count: 1, price: 1, best: false, flaws: Vec::new() };
    let saw = Saw { kerf: mm(3), end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(300), mm(150)) };
    let limits = Limits::work(1_000_000);
    bencher.bench_local(|| {
        lay_out(std::slice::from_ref(&piece), std::slice::from_ref(&sheet), &saw, &limits, &mut |_| {}).cost
    });
}
