//! Full-size patterns: every shaped edge, raised edges, and rods to lay out posts and stiles by.
//!
//! A pattern is drawn 1:1 on a sheet as large as it takes. Its outline is the cut's own, arc for arc, on the layer
//! `pattern`; the rest of the sheet is there to place it, to lay it out by hand, and to check the printer.

mod check_bar;
mod offsets;
mod raised;
mod rod;
mod shaped;
mod sheet;

use case::{Case, Purpose};

use paper::sheet::{Document, Sheet, bind_each};

/// The patterns of a case, in the order of the parts' numbers.
pub fn patterns(case: &Case) -> Vec<Sheet> {
    let mut drafts = Vec::new();
    for (part, likes) in case.kinds() {
        let cuts = part.cuts.iter().enumerate().filter(|(_, c)| c.purpose == Purpose::Outline);
        let shaped = cuts.enumerate().filter_map(|(n, (index, _))| shaped::draft(case, part, &likes, index, n + 1));
        drafts.extend(shaped);
    }
    drafts.extend(raised::drafts(case));
    drafts.extend(rod::drafts(case));
    bind_each(
        &case.order,
        Document { code: "T", kind: "Full-size pattern", caution: "Measure the check bars first" },
        drafts,
    )
}
