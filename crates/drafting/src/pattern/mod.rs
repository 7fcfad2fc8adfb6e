//! Full-size patterns: every shaped edge, raised edges, and rods to lay out posts and stiles by.
//!
//! A pattern is drawn 1:1 on a sheet as large as it takes. Its outline is the cut's own, arc for arc, on the layer
//! `pattern`; the rest of the sheet is there to place it, to lay it out by hand, and to check the printer.

mod check_bar;
mod guide;
mod offsets;
mod raised;
mod rod;
mod shaped;
mod sheet;
mod tiles;

use case::{Case, Purpose};

use crate::exchange;
pub use guide::Guide;
use paper::sheet::{Document, Sheet, bind_each};

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
    all.extend(rod::drafts(case));
    let small: Vec<Vec<Sheet>> = all.iter().map(|laid| tiles::sheets(&laid.source, &case.order)).collect();
    let lines: Vec<String> =
        all.iter().map(|l| exchange::pattern(l.source.layers.iter().chain(&l.source.other), case.order.unit)).collect();
    let sheets = bind_each(
        &case.order,
        Document { code: "T", kind: "Full-size pattern", caution: "Measure the check bars first" },
        all.into_iter().map(|laid| (laid.frame, laid.draft)).collect(),
    );
    let made = sheets.into_iter().zip(small).zip(lines);
    made.map(|((sheet, tiles), dxf)| Pattern { sheet, tiles, dxf }).collect()
}
