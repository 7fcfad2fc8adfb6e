//! The chains round a section in the order, and on the sides, in which no line runs through a figure.

use measure::{Length, Ruler};

use crate::margins::{self, Margin, Outline, Place, Run, distinct};
use paper::check;
use paper::dimension::Chain;
use paper::scene::Layer;

/// The chains of a section that is drawn already; the shortest stand inside unless that makes a line cross a figure.
pub(super) fn chains(
    ruler: &Ruler,
    runs: &[Run],
    outline: Outline,
    place: Place,
    drawn: &Layer,
    all: All,
) -> Vec<Chain> {
    let mut runs = distinct(runs.to_vec());
    let span = |r: &Run| r.stops.last().copied().unwrap_or_default() - r.stops.first().copied().unwrap_or_default();
    runs.sort_by_key(|r| (r.margin, span(r)));
    let set = |runs: &[Run]| margins::chains(ruler, runs, outline, place);
    let faults = |runs: &[Run]| {
        let mut layer = drawn.clone();
        set(runs).iter().for_each(|c| c.draw(&mut layer));
        check::clashes(&[layer]).len()
    };
    let mut least = faults(&runs);
    // Other orders on a side, then other sides, as long as anything gets better.
    while least > 0 {
        let ways = orders(&runs).into_iter().chain(sides(&runs));
        let better = ways.map(|way| (faults(&way), way)).min_by_key(|(n, _)| *n).filter(|(n, _)| *n < least);
        let Some((n, way)) = better else { break };
        (least, runs) = (n, way);
    }
    // What has no room in any order is left to the part sheets.
    while least > 0 && all == All::ThatHaveRoom {
        let without = |i: usize| [&runs[..i], &runs[i + 1..]].concat();
        let fewer = (0..runs.len()).map(|i| (faults(&without(i)), i)).min();
        let Some((n, i)) = fewer else { break };
        (least, runs) = (n, without(i));
    }
    set(&runs)
}

/// Which of its chains a section gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum All {
    /// Every one, even if a line crosses a figure.
    OfThem,
    /// Those that have room.
    ThatHaveRoom,
}

/// The same runs with two neighbours of one side changed, and with one moved to its outside.
fn orders(runs: &[Run]) -> Vec<Vec<Run>> {
    let mut out = Vec::new();
    for i in 0..runs.len() {
        for j in i + 1..runs.len() {
            if runs[i].margin == runs[j].margin {
                let mut way = runs.to_vec();
                way.swap(i, j);
                out.push(way);
                let mut way = runs.to_vec();
                let moved = way.remove(i);
                way.insert(j, moved);
                out.push(way);
            }
        }
    }
    out
}

/// The same runs with one on the other side of the view, inside and outside those that stand there.
fn sides(runs: &[Run]) -> Vec<Vec<Run>> {
    let other = |m: Margin| match m {
        Margin::Left => Margin::Right,
        Margin::Right => Margin::Left,
        Margin::Below => Margin::Above,
        Margin::Above => Margin::Below,
    };
    let mut out = Vec::new();
    for i in 0..runs.len() {
        let mut rest = runs.to_vec();
        let run = rest.remove(i);
        let run = Run { margin: other(run.margin), from: None::<Length>, ..run };
        out.push(std::iter::once(run.clone()).chain(rest.clone()).collect());
        rest.push(run);
        out.push(rest);
    }
    out
}
