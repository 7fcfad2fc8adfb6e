//! Where no two parts lie one above the other: a blank is then a bar, and the program for bars knows more.

use super::sheets::{Sheets, Used};
use super::{Blank, Part, Placed};
use crate::effort::{Limits, Progress, Report};
use crate::linear::{Kind, bars};

/// The layout as bars, if it is one of bars: clear blanks of one kind, and enough of them.
pub(super) fn row(parts: &[Part], blanks: &[Blank], limits: &Limits<'_>, report: Report<'_>) -> Option<Sheets> {
    let [blank] = blanks else { return None };
    if !blank.blemishes.is_empty() || parts.iter().any(|p| p.together && p.count > 1) {
        return None;
    }
    // How each part lies, if there is but one way.
    let mut lying: Vec<(i64, i64, bool)> = Vec::with_capacity(parts.len());
    for part in parts {
        let mut ways = part.ways().filter(|&(w, h, _)| w <= blank.w && h <= blank.h);
        match (ways.next(), ways.next()) {
            (Some(way), None) if part.shows || !blank.best => lying.push(way),
            // Not to be laid.
            _ if part.count == 0 => lying.push((blank.w, blank.h, false)),
            _ => return None,
        }
    }
    let along_x = lying.iter().all(|&(_, h, _)| 2 * h > blank.h);
    if !along_x && lying.iter().any(|&(w, _, _)| 2 * w <= blank.w) {
        return None;
    }
    let length = if along_x { blank.w } else { blank.h };
    let kinds = parts.iter().zip(&lying);
    let kinds: Vec<Kind> =
        kinds.map(|(p, &(w, h, _))| Kind { length: if along_x { w } else { h }, count: p.count }).collect();
    let cost = |bars: i64| bars.saturating_mul(blank.cost);
    let mut report = |p: Progress| report(Progress { best: cost(p.best), bound: cost(p.bound), ..p });
    let found = bars(length, &kinds, limits, &mut report).ok().filter(|found| found.bars.len() <= blank.count)?;
    let used = found.bars.iter().map(|bar| {
        let mut at = 0;
        let place = |&kind: &usize| {
            let (w, h, turned) = lying[kind];
            let (x, y) = if along_x { (at, 0) } else { (0, at) };
            at += if along_x { w } else { h };
            Placed { kind, turned, x, y, w, h }
        };
        Used { blank: 0, parts: bar.iter().map(place).collect() }
    });
    Some(Sheets {
        used: used.collect(),
        cost: cost(found.bars.len() as i64),
        bound: cost(found.bound as i64),
        missing: vec![0; parts.len()],
    })
}
