//! Full-size patterns: every shaped edge, raised edges, pegs, rods to lay out posts and stiles by, and jigs.
//!
//! A pattern is drawn 1:1 on a sheet as large as it takes. Its outline is the cut's own, arc for arc, on the layer
//! `pattern`; the rest of the sheet is there to place it, to lay it out by hand, and to check the printer.

mod check_bar;
mod guide;
mod jig;
mod offsets;
mod pegs;
mod raised;
mod rod;
mod shaped;
mod sheet;
mod tiles;

use case::{Case, Guide, Jigs, OrderInfo, Purpose};

use crate::exchange;
use paper::sheet::{Document, Sheet, bind_each};
use sheet::Laid;

/// A full-size pattern.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// On one sheet as large as it takes.
    pub sheet: Sheet,
    /// The same on sheets of a small printer: a plan of them first, then the sheets by rows from the top.
    pub tiles: Vec<Sheet>,
    /// Its lines and lettering for other programs (DXF).
    pub dxf: String,
}

/// The patterns of a case, in the order of the parts' numbers. A shaped edge gets the line of a routing pattern for the
/// first of the guides that can follow it, those told by the order's own ruler before others.
pub fn patterns(case: &Case, guides: &[Guide]) -> Vec<Pattern> {
    let mut all = Vec::new();
    for (part, likes) in case.kinds() {
        let cuts = part.cuts.iter().enumerate().filter(|(_, c)| c.purpose == Purpose::Outline);
        let shaped =
            cuts.enumerate().filter_map(|(n, (index, _))| shaped::draft(case, part, &likes, [index, n + 1], guides));
        all.extend(shaped);
    }
    all.extend(raised::drafts(case));
    all.extend(pegs::drafts(case));
    all.extend(rod::drafts(case));
    let document = Document { code: "T", kind: "Full-size pattern", caution: CAUTION };
    finished(all, &case.order, document)
}

/// A full-size drawing of each jig for a case, in the order of their numbers.
pub fn jig_patterns(case: &Case, jigs: &Jigs) -> Vec<Pattern> {
    let all = jigs.all.iter().map(|jig| jig::draft(case, jigs, jig)).collect();
    finished(all, &case.order, Document { code: "JIG", kind: "Jig, full size", caution: CAUTION })
}

const CAUTION: &str = "Measure the check bars first";

/// Sheets with frames and title blocks, small sheets, and outlines for other programs.
fn finished(all: Vec<Laid>, order: &OrderInfo, document: Document<'_>) -> Vec<Pattern> {
    let small: Vec<Vec<Sheet>> = all.iter().map(|laid| tiles::sheets(&laid.source, order)).collect();
    let lines: Vec<String> =
        all.iter().map(|l| exchange::pattern(l.source.layers.iter().chain(&l.source.other), order.unit)).collect();
    let sheets = bind_each(order, document, all.into_iter().map(|laid| (laid.frame, laid.draft)).collect());
    let made = sheets.into_iter().zip(small).zip(lines);
    made.map(|((sheet, tiles), dxf)| Pattern { sheet, tiles, dxf }).collect()
}
