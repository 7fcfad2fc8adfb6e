//! Kerf by lifting: with every size enlarged and then a kerf taken off every part and off the stock, the same layouts are
//! possible as without a kerf, so not one bar or sheet more may be needed. Through the workshop's side of the library,
//! which is the one that knows a kerf; by work and not by the clock, so that nothing is left to chance.

use measure::{Length, mm};
use serde_json::Value;
use stock::flat::sheets::sheets;
use stock::linear::bars;
use stock::{Area, Board, Fate, Layout, Limits, Piece, Saw, check, lay_out};

use crate::flat;
use crate::linear;
use crate::read::int;
use crate::sets::{Set, Task};
use crate::tally::grouped;

pub(crate) const HEADER: &str = "\
| set | instances | without kerf | with kerf | more with it on |
|---|---|---|---|---|";

/// A unit of a published size, less a kerf.
const UNIT: i64 = 10;
/// The usual kerf.
const KERF: Length = Length::from_nm(3_200_000);
/// Steps for each layout: a few tenths of a second.
const WORK: u64 = 300_000_000;

pub(crate) fn run(set: &Set, instances: &[Value], markdown: bool, verbose: bool) {
    if !matches!(set.task, Task::Bars | Task::Sheets { .. }) {
        return;
    }
    let (mut plain, mut sawn, mut lost) = (0, 0, 0);
    for instance in instances {
        let (without, pieces, board) = match set.task {
            Task::Sheets { turned } => sheet(instance, turned),
            _ => bar(instance),
        };
        let saw = Saw { kerf: KERF, end_trim: Length::ZERO, edge_trim: Length::ZERO, keep: (mm(1), mm(1)) };
        let layout = lay_out(&pieces, std::slice::from_ref(&board), &saw, &Limits::work(WORK), &mut |_| {});
        recount(&pieces, &board, &layout);
        let with = layout.boards.len() as i64;
        if verbose && with != without {
            println!("  {} {without} without kerf, {with} with it", instance["name"]);
        }
        plain += without;
        sawn += with;
        lost += usize::from(with > without);
    }
    let (title, n, plain, sawn) = (set.title, instances.len(), grouped(plain), grouped(sawn));
    if markdown {
        println!("| {title} | {n} | {plain} | {sawn} | {lost} |");
    } else {
        println!("{title:46} {n:4}  without kerf {plain:>7}  with kerf {sawn:>7}  more with it on {lost}");
    }
}

fn lifted(size: i64) -> Length {
    mm(size * UNIT) - KERF
}

fn piece(length: i64, width: i64, turns: bool, count: usize) -> Piece {
    let (length, width) = (lifted(length), lifted(width));
    Piece { id: String::new(), length, width, count, turns, shows: true, together: false }
}

fn board(length: i64, width: i64) -> Board {
    let (length, width) = (lifted(length), lifted(width));
    Board { id: String::new(), length, width, count: 100_000, price: 1, best: false, flaws: Vec::new() }
}

/// Bars without kerf, and the same job with one.
fn bar(instance: &Value) -> (i64, Vec<Piece>, Board) {
    let (length, kinds) = (int(&instance["bin"], "length"), linear::kinds(instance));
    let plain = bars(length, &kinds, &Limits::work(WORK), &mut |_| {}).map_or(0, |found| found.bars.len());
    let pieces = kinds.iter().map(|k| piece(k.length, 1, false, k.count)).collect();
    (plain as i64, pieces, board(length, 1))
}

fn sheet(instance: &Value, turned: bool) -> (i64, Vec<Piece>, Board) {
    let (parts, blank) = (flat::parts(instance, turned), flat::blank(instance));
    let plain = sheets(&parts, std::slice::from_ref(&blank), &Limits::work(WORK), &mut |_| {});
    let pieces = parts.iter().map(|p| piece(p.w, p.h, p.turns, p.count)).collect();
    (plain.cost, pieces, board(blank.w, blank.h))
}

/// True sizes, all of them, and a kerf between any two: pieces grown by a kerf come apart on a board grown by a kerf.
fn recount(pieces: &[Piece], board: &Board, layout: &Layout) {
    let mut cut = vec![0; pieces.len()];
    for cutting in &layout.boards {
        let mut grown = Vec::new();
        cutting.region.walk(&mut |region| {
            if let Fate::Piece { piece, turned } = region.fate {
                let (p, Area { x, y, length, width }) = (&pieces[piece], region.area);
                let size = if turned { (p.width, p.length) } else { (p.length, p.width) };
                assert_eq!((length, width), size, "true size");
                assert!(x + length <= board.length && y + width <= board.width, "over the edge");
                grown.push([x, y, x + length + KERF, y + width + KERF].map(Length::nm));
                cut[piece] += 1;
            }
        });
        assert!(check::guillotine(grown), "no kerf between two pieces");
    }
    assert!(pieces.iter().zip(&cut).all(|(piece, n)| piece.count == *n), "quantities");
}
