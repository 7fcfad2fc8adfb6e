//! The sheet of a pattern: as large as the drawing, the title block, the check bars and the tables take.

use case::Part;
use measure::Ruler;

use super::tiles::Source;
use crate::part_sheet;
use paper::block::{Block, Free, NOTE};
use paper::scale::Scale;
use paper::scene::{Layer, Rect};
use paper::sheet::{Draft, Frame, PaperSize};
use paper::text;

/// What a pattern's sheet holds.
pub(crate) struct Matter<'a> {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) part: &'a Part,
    pub(crate) likes: &'a [&'a Part],
    /// Drawn full size about an origin of its own.
    pub(crate) layers: Vec<Layer>,
    /// Further layers, for the files of other programs only.
    pub(crate) other: Vec<Layer>,
    /// What those drawn cover.
    pub(crate) bounds: Rect,
    /// What stands below.
    pub(crate) blocks: Vec<Block>,
}

/// Notes are no wider, so that they go below a table, mm.
const NOTES: f64 = 110.0;
/// Width of a pattern's heavy lines, mm.
pub(crate) const WIDE: f64 = 0.35;
/// From the paper's edge to the room for drawing: the frame's margin and the room within it, mm.
const EDGE: f64 = 16.0;
/// Between the drawing, the blocks and the title block, mm.
const ROUND: f64 = 8.0;
/// No sheet is narrower, mm.
const NARROWEST: f64 = 420.0;
/// The foot grows by so much until all blocks have room, mm.
const STEP: f64 = 4.0;

/// A pattern laid out on a paper of its own size, and what goes on small sheets instead.
pub(crate) struct Laid {
    pub(crate) frame: Frame,
    pub(crate) draft: Draft,
    pub(crate) source: Source,
}

/// Lays it out on a paper of its own size, in whole millimetres.
pub(crate) fn laid_out(mut matter: Matter<'_>, ruler: &Ruler) -> Laid {
    for block in &mut matter.blocks {
        if let Block::Notes(lines) = block {
            let paragraphs: Vec<Vec<String>> = lines.iter().map(|l| text::folded(l, " ", NOTE, NOTES)).collect();
            *lines = paragraphs.join(&String::new());
        }
    }
    let sizes: Vec<[f64; 2]> = matter.blocks.iter().map(Block::size).collect();
    let strip = part_sheet::STRIP;
    // Room for the blocks, left of the title block and over it, on a foot so high.
    let rooms = |width: f64, foot: f64| {
        let block = Frame::around(PaperSize { width, height: 1000.0 }).block;
        let left = Rect { min: [EDGE; 2], max: [block.min[0] - ROUND, EDGE + foot] };
        [left, Rect { min: [block.min[0], block.max[1] + strip + ROUND], max: [width - EDGE, EDGE + foot] }]
    };
    let mut width = (matter.bounds.width() + 2.0 * (EDGE + ROUND)).max(NARROWEST).ceil();
    // A block that is wider than both widens the sheet, so that a high foot holds them all one under the other.
    let widest = sizes.iter().map(|s| s[0]).fold(0.0, f64::max);
    let [left, over] = rooms(width, 0.0).map(|r| r.width());
    if widest > left.max(over) {
        width += (widest - left).ceil();
    }
    let drop = |n: usize| sizes[..n].iter().map(|s| s[1] + ROUND).sum::<f64>();
    let mut foot = Frame::around(PaperSize { width, height: 1000.0 }).block.height() + strip;
    let places = loop {
        if let Some(places) = Free::new(rooms(width, foot).to_vec(), ROUND).take_all(&sizes) {
            break places;
        }
        if drop(sizes.len()) <= foot {
            break (0..sizes.len()).map(|n| [EDGE, EDGE + foot - drop(n)]).collect();
        }
        foot += STEP;
    };
    let height = (EDGE + foot + ROUND + matter.bounds.height() + EDGE).ceil();
    let frame = Frame::around(PaperSize { width, height });
    let by =
        [((width - matter.bounds.width()) / 2.0).round() - matter.bounds.min[0], height - EDGE - matter.bounds.max[1]];
    let mut layers = vec![part_sheet::strip(matter.part, matter.likes, &frame, ruler)];
    layers.extend(matter.layers.iter().map(|l| l.moved(by)));
    let mut below = Layer::new("tables", "Check of the print, and tables");
    for (block, at) in matter.blocks.iter().zip(places) {
        block.draw(&mut below, at);
    }
    layers.push(below);
    let (name, title) = (matter.name.clone(), matter.title.clone());
    let draft = Draft { name, title, scale: Some(Scale::FULL), wide: WIDE, layers };
    let source = Source {
        name: matter.name,
        title: matter.title,
        layers: matter.layers,
        other: matter.other,
        bounds: matter.bounds,
    };
    Laid { frame, draft, source }
}
