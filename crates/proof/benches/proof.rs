//! What a proof costs, and that it grows with what there is to prove: `cargo bench -p proof --bench proof`.

#[path = "../tests/it/common.rs"]
mod common;

use common::{BOARD, board};
use divan::Bencher;
use divan::counter::ItemsCount;
use proof::{Box3, Claim, Cut, Prism, Vertex, prove};

fn main() {
    divan::main();
}

/// How far the copies of the board stand apart, mm.
const APART: f64 = 250.0;

/// Pocket, bored hole and pecked hole of so many boards side by side in one stock, in rows of ten, cut by one program.
fn boards(n: u32) -> (String, Claim) {
    let mut one = board();
    one.cuts.retain(|c| ["pocket", "hole", "pin"].contains(&c.id.as_str()));
    let from = |mark: &str| BOARD.find(mark).unwrap();
    let body = [&BOARD[from("(A POCKET")..from("(AN ARCH")], &BOARD[from("(A HOLE IN THREE")..from("M5\n")]].concat();
    let mut text = BOARD[..from("(A GROOVE")].to_owned();
    let mut cuts = Vec::new();
    for i in 0..n {
        let (dx, dy) = (APART * f64::from(i % 10), APART * f64::from(i / 10));
        for line in body.lines() {
            let word = |w: &str| match (w.as_bytes()[0], w[1..].parse::<f64>()) {
                (b'X', Ok(v)) => format!("X{:.4}", v + dx),
                (b'Y', Ok(v)) => format!("Y{:.4}", v + dy),
                _ => w.to_owned(),
            };
            let moved = if line.starts_with('(') {
                line.into()
            } else {
                line.split(' ').map(word).collect::<Vec<_>>().join(" ")
            };
            text.push_str(&moved);
            text.push('\n');
        }
        cuts.extend(one.cuts.iter().map(|c| {
            let at = |v: &Vertex| Vertex { x: v.x + dx, y: v.y + dy, ..*v };
            let prism = Prism { outline: c.prism.outline.iter().map(at).collect(), ..c.prism.clone() };
            Cut { id: format!("{}-{i}", c.id), prism, ..c.clone() }
        }));
    }
    text.push_str("M5\nM2\n");
    let far = |v: u32| APART * f64::from(v);
    let stock = Box3::new([0.0, far(10)], [0.0, far(n.div_ceil(10))], [-20.0, 0.0]);
    one.machine.travel = [1e6; 3];
    let claim = Claim { stock, cuts, ..one };
    assert!(prove(&text, &claim).is_proven());
    (text, claim)
}

#[divan::bench(args = [1, 10, 100])]
fn one_program(bencher: Bencher<'_, '_>, n: u32) {
    let (text, claim) = boards(n);
    bencher.counter(ItemsCount::new(text.lines().count())).bench_local(|| prove(divan::black_box(&text), &claim).moves);
}

/// So many programs of one board each.
#[divan::bench(args = [1, 10, 100])]
fn programs(bencher: Bencher<'_, '_>, n: u32) {
    let claim = board();
    bencher
        .counter(ItemsCount::new(BOARD.lines().count() * n as usize))
        .bench_local(|| (0..n).map(|_| prove(divan::black_box(BOARD), &claim).moves).sum::<usize>());
}
