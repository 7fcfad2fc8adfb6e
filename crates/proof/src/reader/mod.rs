//! A strict reader of RS-274, written from NISTIR 6556 (Kramer, Proctor, Messina, 2000): text → lines → words → modal
//! state → motion.
//!
//! It reads the subset that a router in a small shop needs, from whatever hand, and refuses the rest of the language by
//! name. Nothing of what wrote the program is known here: only the text counts. It stops at nothing but the end of the
//! program, so all faults come in one run; a line with a fault is not carried out.
//!
//! What the report's own interpreter lets through is refused too: a feed never set, a spindle that stands, modal state
//! that is used and was never set.

mod arc;
mod codes;
mod cycle;
mod execute;
mod fault;
mod line;
mod modal;
mod motion;
mod moves;
mod number;

use execute::{Interpreter, Once};
use line::Words;
use modal::Modal;

pub use cycle::PECK_STEP;
pub use fault::{Class, Fault, G, Kind};
pub use motion::{Arc, Feature, Motion, Place, Plane, Reading, WorstArc};

/// With so many faults the text is no program, and reading stops.
const MOST_FAULTS: usize = 1000;
/// A text that asks for more moves than this (cycles can, in few bytes) is not carried out to its end.
const MOST_MOTIONS: usize = 4_000_000;

/// Reads a program.
pub fn read(text: &[u8]) -> Reading {
    carry_out(text, Modal::new()).out
}

/// Reads a program twice: from an unknown state, and once more from the state in which that has left the machine. What
/// M2 would reset is not counted on, since controllers differ in it.
pub fn read_twice(text: &[u8]) -> [Reading; 2] {
    let first = carry_out(text, Modal::new());
    let second = carry_out(text, first.modal.clone());
    [first.out, second.out]
}

fn carry_out(text: &[u8], modal: Modal) -> Interpreter<'_> {
    let mut run = Interpreter::new(modal);
    let mut words = Words::new();
    let mut rest = text;
    let mut state = State::Before;
    while !rest.is_empty() {
        let (line, after) = split_line(rest);
        rest = after;
        run.number = run.number.saturating_add(1);
        run.text = line;
        state = step(&mut run, &mut words, line, state);
        if run.out.faults.len() >= MOST_FAULTS || run.out.motions.len() >= MOST_MOTIONS {
            break;
        }
    }
    run.text = &[];
    run.out.lines = run.number;
    run.number = run.number.max(1);
    match state {
        State::Before | State::Plain => run.fault(Kind::NoEnd, 0),
        State::Marked | State::EndedMarked => run.fault(Kind::PercentUnpaired, 0),
        State::Ended | State::Closed => {}
    }
    run
}

/// How far the file has got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// Only blank lines so far.
    Before,
    /// In a program without a first `%`.
    Plain,
    /// In a program after the first `%`.
    Marked,
    /// M2 or M30 came, with no first `%`.
    Ended,
    /// M2 or M30 came, and the second `%` is still due.
    EndedMarked,
    /// All that is read has been read; anything more is idle.
    Closed,
}

fn step(run: &mut Interpreter<'_>, words: &mut Words, line: &[u8], state: State) -> State {
    let Some(first) = line.iter().position(|b| !matches!(b, b' ' | b'\t')) else { return state };
    let percent = line[first] == b'%' && line[first + 1..].iter().all(|b| matches!(b, b' ' | b'\t'));
    match (state, percent) {
        (State::Before, true) => {
            run.feature(Feature::Percent, first);
            return State::Marked;
        }
        (State::Marked | State::EndedMarked, true) => return State::Closed,
        (State::Ended | State::EndedMarked | State::Closed, _) => {
            run.fault_once(Once::AfterEnd, Kind::AfterEnd, first);
            return State::Closed;
        }
        _ => {}
    }
    let state = if state == State::Before { State::Plain } else { state };
    match words.read(line) {
        Err((kind, at)) => {
            run.fault(kind, at);
            return state;
        }
        Ok(()) => note_form(run, words, line),
    }
    if words.is_idle() {
        return state;
    }
    match run.run(words) {
        Ok(false) => state,
        Ok(true) if state == State::Marked => State::EndedMarked,
        Ok(true) => State::Ended,
        Err((kind, at)) => {
            run.fault(kind, at);
            run.carry_on(words);
            state
        }
    }
}

/// What the form of a line asks of a controller.
fn note_form(run: &mut Interpreter<'_>, w: &Words, line: &[u8]) {
    if w.block_delete {
        run.feature(Feature::BlockDelete, 0);
        run.fault(Kind::BlockDelete, 0);
    }
    if let Some(at) = w.line_number {
        run.feature(Feature::LineNumber, at);
    }
    if let Some(at) = w.no_point {
        run.feature(Feature::NoPoint, at);
    }
    if w.dense > 79 {
        run.feature(Feature::LongLine, 0);
    }
    if w.comment.is_some()
        && let Some(at) = line.iter().position(|b| !matches!(b, b' '..=b'~' | b'\t'))
    {
        run.feature(Feature::NotAscii, at);
    }
}

/// The text up to its first line end (CR, LF or both), and what follows that.
fn split_line(text: &[u8]) -> (&[u8], &[u8]) {
    match text.iter().position(|b| matches!(b, b'\n' | b'\r')) {
        None => (text, &[]),
        Some(at) => {
            let both = text[at] == b'\r' && text.get(at + 1) == Some(&b'\n');
            (&text[..at], &text[at + 1 + usize::from(both)..])
        }
    }
}
