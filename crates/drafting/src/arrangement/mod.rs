//! The general arrangement: front, right end, plan and two sections of the whole piece, on one sheet or two.

mod balloons;
mod ink;
mod layout;
mod marks;
pub(crate) mod notes;
mod picture;
mod runs;
mod views;

use case::Case;

use crate::margins::Place;
use crate::solids::Solids;
use layout::Drawn;
use paper::scale::Scale;
use paper::scene::{At, Layer, Rect};
use paper::sheet::{Document, Draft, Frame, Sheet, bind};
use views::Which;

/// Width of the wide line, mm: a case at 1:10 is drawn with fine pens.
const WIDE: f64 = 0.35;

/// Room between the blocks of a sheet, mm.
const ROOM: f64 = 8.0;

/// The general arrangement of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrangement {
    /// Views at the largest standard scale that fits the order's sheet.
    pub sheets: Vec<Sheet>,
    /// The picture by itself, without frame, dimensions or lettering.
    pub picture: Option<Sheet>,
}

/// Draws the general arrangement of a case, and the picture of it.
pub fn general_arrangement(solids: &Solids<'_>) -> Arrangement {
    let case = solids.case;
    let order = &case.order;
    let planes = views::planes(case);
    let drawn: Vec<Drawn<'_>> = views::views(solids, planes)
        .into_iter()
        .map(|view| Drawn { runs: runs::runs(case, view.which), rises: runs::rises(case, view.which), view })
        .collect();
    let (scale, sheets) = layout::arrange(order, &drawn);
    let frame = Frame::of(order.paper.sheet);
    let mut boards: Vec<Board> = Vec::new();
    let mut shown = Vec::new();
    for (sheet, placed) in sheets.iter().enumerate() {
        let mut board = Board { layers: Vec::new(), taken: vec![frame.block.grown(ROOM / 2.0)] };
        for &(i, place) in placed {
            let view = &drawn[i].view;
            let mut layers = ink::layers(order, &drawn[i], place);
            layers.push(marks::centre_lines(view, place));
            layers.push(marks::rise_notes(order, &drawn[i], place, &layers));
            if view.which == Which::Front {
                layers.push(marks::section_marks(view, place, planes, &layers));
            }
            board.layers.append(&mut layers);
            board.taken.push(layout::extent(order, &drawn[i], place).grown(ROOM / 2.0));
            shown.push(balloons::Shown { view, place, sheet });
        }
        boards.push(board);
    }
    fill_up(case, &drawn, scale, &frame, &mut boards);
    balloons::draw(case, &shown, &mut boards, &frame);
    let drafts = boards.into_iter().enumerate().map(|(i, board)| Draft {
        name: format!("general-arrangement-{}", i + 1),
        title: title(&sheets[i], &drawn),
        scale: Some(scale),
        wide: WIDE,
        layers: board.layers,
    });
    let sheets = bind(
        order,
        Document { code: "GA", kind: "General arrangement", caution: paper::sheet::BY_FIGURES },
        drafts.collect(),
    );
    Arrangement { sheets, picture: picture::picture(order, &drawn) }
}

/// A sheet in the making: its layers, and the blocks that are taken.
struct Board {
    layers: Vec<Layer>,
    taken: Vec<Rect>,
}

impl Board {
    /// Takes a free block of that size near a corner, if there is one.
    fn take(&mut self, space: &Rect, size: At, wish: At) -> Option<Rect> {
        let block = notes::free(space, &self.taken, size, wish)?;
        self.taken.push(block.grown(ROOM / 2.0));
        Some(block)
    }
}

/// Notes on the first sheet that has room; then on the last one a picture, as large as may be, and the parts.
fn fill_up(case: &Case, drawn: &[Drawn<'_>], scale: Scale, frame: &Frame, boards: &mut [Board]) {
    let lines = notes::notes(case);
    for board in boards.iter_mut() {
        if let Some(block) = board.take(&frame.space, notes::notes_size(&lines), frame.space.min) {
            board.layers.push(notes::draw_notes(&lines, &block));
            break;
        }
    }
    let Some(board) = boards.last_mut() else { return };
    let parts = notes::parts(case);
    if let Some(block) = board.take(&frame.space, parts.size(), [frame.space.min[0], frame.space.max[1]]) {
        let mut layer = Layer::new("parts", "Parts");
        parts.draw(&mut layer, [block.min[0], block.max[1]]);
        board.layers.push(layer);
    }
    let Some(picture) = drawn.iter().find(|d| d.view.which == Which::Picture) else { return };
    let order = &case.order;
    let extent = |scale: Scale| layout::extent(order, picture, Place { at: [0.0, 0.0], ratio: scale.ratio() });
    let fits = |scale: Scale| {
        let e = extent(scale);
        notes::free(&frame.space, &board.taken, [e.width(), e.height()], frame.space.max).is_some()
    };
    let own = Scale::largest(scale, fits);
    let e = extent(own);
    // Too small a picture says nothing.
    if e.height() < 40.0 {
        return;
    }
    if let Some(block) = board.take(&frame.space, [e.width(), e.height()], frame.space.max) {
        let place = Place { at: [block.min[0] - e.min[0], block.min[1] - e.min[1]], ratio: own.ratio() };
        board.layers.extend(ink::layers(order, picture, place));
    }
}

/// `Front, right end, plan`.
fn title(placed: &layout::Placed, drawn: &[Drawn<'_>]) -> String {
    let mut shown: Vec<usize> = placed.iter().map(|(i, _)| *i).collect();
    if shown.len() > 4 {
        return "Elevations, plan and sections".into();
    }
    shown.sort_unstable();
    let names: Vec<&str> = shown.iter().map(|i| drawn[*i].view.which.name()).collect();
    let mut title = names.join(", ");
    if let Some(first) = title.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    title
}

#[cfg(test)]
mod tests;
