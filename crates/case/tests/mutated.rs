//! Designs with one thing in them changed: whatever still reads is built or refused, and never a panic; whatever does
//! not read is told with its place.

use std::ops::Range;
use std::sync::Arc;

use design::{Job, builtin};
use fault::Source;
use proptest::prelude::*;

/// The figures of a text, with what stands about them left alone.
fn figures(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (c.is_ascii_digit(), start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                found.push(from..i);
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Words in quotes.
fn words(text: &str) -> Vec<Range<usize>> {
    let marks: Vec<usize> = text.match_indices('"').map(|(i, _)| i).collect();
    marks.chunks_exact(2).map(|m| m[0] + 1..m[1]).collect()
}

/// Reads a design with all its defaults, and builds it if it reads.
fn survives(text: &str) {
    let source = Source::new("mutated.toml", text);
    match Job::read(&design::plain_order("mutated.toml"), &[], |_| Ok(Arc::clone(&source))) {
        Ok((_, resolved)) => drop(case::build(&resolved)),
        Err(faults) => {
            assert!(!faults.is_empty());
            for fault in &faults {
                let (at, len) = (fault.place.start(), fault.place.source().text.len());
                assert!(!fault.what.is_empty() && at.line >= 1 && at.column >= 1, "{fault}");
                assert!(fault.place.source().text.lines().count() + 1 >= at.line, "{fault} of {len} bytes");
            }
        }
    }
}

fn replaced(text: &str, range: &Range<usize>, by: &str) -> String {
    format!("{}{by}{}", &text[..range.start], &text[range.end..])
}

const FIGURES: &[&str] =
    &["0", "1", "2", "3", "7", "31", "64", "250", "1000", "99999", "4294967296", "9223372036854775807"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_design_with_other_figures(
        which in 0..builtin::DESIGNS.len(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), prop::sample::select(FIGURES)), 1..4),
    ) {
        let mut text = builtin::DESIGNS[which].1.to_owned();
        for (at, figure) in changes {
            let all = figures(&text);
            text = replaced(&text, at.get(&all), figure);
        }
        survives(&text);
    }

    #[test]
    fn a_design_with_words_exchanged(
        which in 0..builtin::DESIGNS.len(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>()), 1..4),
    ) {
        let mut text = builtin::DESIGNS[which].1.to_owned();
        for (at, other) in changes {
            let all = words(&text);
            let by = text[other.get(&all).clone()].to_owned();
            text = replaced(&text, at.get(&all), &by);
        }
        survives(&text);
    }

    #[test]
    fn a_design_with_bytes_changed(
        which in 0..builtin::DESIGNS.len(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..3_u8), 1..6),
    ) {
        let mut bytes = builtin::DESIGNS[which].1.as_bytes().to_vec();
        for (at, byte, how) in changes {
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => drop(bytes.remove(at)),
            }
        }
        survives(&String::from_utf8_lossy(&bytes));
    }
}

/// A deflection without bound is still told.
#[test]
fn a_figure_beyond_all_lengths_is_rounded_without_a_panic() {
    let most = measure::Length::from_mm(f64::INFINITY);
    assert!(
        most.rounded_to(measure::mm(1)) <= most && (-most).rounded_to(measure::inches(1, 64)) < measure::Length::ZERO
    );
}
