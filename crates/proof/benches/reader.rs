//! Lines a second: `cargo bench -p proof --bench reader`.

use std::fmt::Write;

use divan::Bencher;
use divan::counter::{BytesCount, ItemsCount};

fn main() {
    divan::main();
}

/// `N G1 X Y F`, as long as a program of straight moves gets.
fn straight(lines: u32) -> String {
    let mut text = String::from("G21 G17 G90 G94 G40 G49 G80 G54\nS18000 M3\nG0 Z5.\nG0 X0. Y0.\n");
    for i in 0..lines {
        let (x, y) = (f64::from(i * 7919 % 2_439_000) / 1000.0, f64::from(i * 104_729 % 1_219_000) / 1000.0);
        let _ = writeln!(text, "N{} G1 X{x:.4} Y{y:.4} F{}", i % 99_999, 2000 + i % 2000);
    }
    text.push_str("M2\n");
    text
}

#[divan::bench(args = [10_000, 100_000, 1_000_000])]
fn straight_moves(bencher: Bencher<'_, '_>, lines: u32) {
    let text = straight(lines);
    bencher
        .counter(ItemsCount::new(lines))
        .counter(BytesCount::of_str(&text))
        .bench_local(|| proof::reader::read(divan::black_box(text.as_bytes())).motions.len());
}
