//! Details at a larger scale: each distinct joint of the case once, in section and, where it helps, drawn open.
//!
//! Nobody chooses them: the joints of the case are gone through by their kinds, each gets a plan of what is cut where
//! and which figures tell it (`tenon`, `running`, `spot`), plans that would show the same are made one, and what is left
//! is drawn (`draw`) and put on sheets.

mod arranged;
mod draw;
mod plan;
mod running;
mod spot;
mod tenon;
mod words;

use std::collections::BTreeMap;

use case::Case;
use rayon::prelude::*;

use crate::packed::rows;
use crate::solids::Solids;
use draw::Drawn;
use paper::scale::Scale;
use paper::scene::{At, Layer};
use paper::sheet::{self, Document, Draft, Frame, Sheet};
use plan::Plan;

/// Width of the wide line, mm.
const WIDE: f64 = 0.35;
/// The greater side of a section, mm.
const MOST: f64 = 62.0;

/// Sizes of the section and of the joint drawn open, in parts of `MOST`, as tried until a detail fits the sheet: on a
/// small one the joint is drawn open to a smaller scale, or not at all.
const SIZES: [At; 5] = [[1.0, 1.7], [1.0, 1.0], [1.0, 0.6], [1.0, 0.0], [0.5, 0.0]];

/// Sheets of the details of a case.
pub fn details(solids: &Solids<'_>) -> Vec<Sheet> {
    let case = solids.case;
    let frame = Frame::of(case.order.paper.sheet);
    let most = MOST.min(frame.space.width() * 0.3);
    let room = frame.above_block();
    let fitted = |plan: &Plan| {
        let fits = |d: &Drawn| d.bounds.width() <= room.width() && d.bounds.height() <= room.height();
        let at =
            |[k, open]: [f64; 2]| draw::drawn(solids, plan, [most * k, most * open], [room.width(), room.height()]);
        SIZES.into_iter().map(at).find(fits).unwrap_or_else(|| at([0.25, 0.0]))
    };
    let drawn: Vec<Drawn> = plans(case).par_iter().map(fitted).collect();
    let sizes: Vec<At> = drawn.iter().map(|d| [d.bounds.width(), d.bounds.height()]).collect();
    let pages = rows(&sizes, &frame);
    let of = pages.len();
    let mut number = 0;
    let drafts = pages.into_iter().enumerate().map(|(i, page)| {
        let first = number + 1;
        let mut scales: BTreeMap<[u32; 2], usize> = BTreeMap::new();
        let layers: Vec<Layer> = page
            .into_iter()
            .map(|(k, at)| {
                number += 1;
                let Drawn { bounds, scale, .. } = &drawn[k];
                *scales.entry([scale.paper, scale.piece]).or_default() += 1;
                drawn[k].numbered(number, [at[0] - bounds.min[0], at[1] - bounds.max[1]])
            })
            .collect();
        let range = if first == number { format!("Detail {first}") } else { format!("Details {first} to {number}") };
        let main = scales.into_iter().max_by_key(|s| s.1).map(|s| s.0);
        Draft {
            name: format!("details-{}", i + 1),
            title: if of > 1 { format!("{range} ({} of {of})", i + 1) } else { range },
            scale: main.map(|[paper, piece]| Scale { paper, piece }),
            wide: WIDE,
            layers,
        }
    });
    let document = Document { code: "D", kind: "Joint details", caution: sheet::BY_FIGURES };
    let drafts: Vec<Draft> = drafts.collect();
    sheet::bind(&case.order, document, drafts)
}

/// The details that are drawn: of those that would show the same, the first, with the joints of the others.
fn plans(case: &Case) -> Vec<Plan> {
    let mut out: Vec<(String, Plan)> = Vec::new();
    for plan in tenon::plans(case).into_iter().chain(spot::plans(case)).chain(running::plans(case)) {
        let signature = plan.signature(case);
        match out.iter_mut().find(|(s, _)| *s == signature) {
            Some((_, first)) => first.same.extend(plan.joints.into_iter().chain(plan.same)),
            None => out.push((signature, plan)),
        }
    }
    out.into_iter().map(|(_, plan)| plan).collect()
}

#[cfg(test)]
mod tests;
