//! A second run straight after the first: it must do the same, and its first moves, which now start from a place that is
//! known, are looked at like all others.

use crate::reader::{Motion, Reading};
use crate::report::{Finding, Rule};

use super::at_line;

/// Where a second run does something else.
pub(crate) fn again(first: &Reading, second: &Reading, out: &mut Vec<Finding>) {
    let pairs = first.motions.iter().zip(&second.motions);
    let other = pairs.clone().find(|(a, b)| !is_same(a, b)).map(|(a, _)| a.line);
    let longer = || (first.motions.len() != second.motions.len()).then_some(first.lines);
    if let Some(line) = other.or_else(longer) {
        let what = "run again, the program does something else from here on".into();
        out.push(at_line(Rule::Again, line, 1.0, 0.0, what));
    }
}

/// The moves of a second run that come from where the first has ended.
pub(crate) fn first_moves<'a>(first: &'a Reading, second: &'a Reading) -> impl Iterator<Item = Motion> + 'a {
    let pairs = first.motions.iter().zip(&second.motions);
    pairs.take_while(|(a, b)| a.blind != 0 && b.rapid).filter(|(_, b)| b.blind == 0).map(|(_, b)| *b)
}

/// But for places that the first run could not know.
fn is_same(a: &Motion, b: &Motion) -> bool {
    let place = |axis: usize| {
        let (blind, given) = (a.blind & (1 << axis) != 0, a.given[axis] != 0);
        (blind || !given || a.from[axis] == b.from[axis]) && (!given || a.to[axis] == b.to[axis])
    };
    let alike = (a.line, a.rapid, a.arc, a.tool) == (b.line, b.rapid, b.arc, b.tool);
    alike && (0..3).all(place) && a.feed == b.feed && a.rpm == b.rpm
}
