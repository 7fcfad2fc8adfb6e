//! The picture by itself: the piece as one looks at it, without dimensions, for a page or a cover.

use case::OrderInfo;

use super::layout::Drawn;
use super::views::Which;
use super::{WIDE, ink};
use crate::margins::Place;
use paper::scene::Scene;
use paper::sheet::{PaperSize, Sheet};

/// The longer side of the picture, mm.
const LONG_SIDE: f64 = 150.0;
/// White around it, mm.
const RIM: f64 = 2.0;

/// The picture among the views of a case, on a paper that just holds it.
pub(super) fn picture(order: &OrderInfo, drawn: &[Drawn<'_>]) -> Option<Sheet> {
    let picture = drawn.iter().find(|d| d.view.which == Which::Picture)?;
    let full = Place { at: [0.0, 0.0], ratio: 1.0 }.rect(&picture.view.bounds);
    let ratio = LONG_SIDE / full.width().max(full.height());
    let body = Place { at: [0.0, 0.0], ratio }.rect(&picture.view.bounds);
    let place = Place { at: [RIM - body.min[0], RIM - body.min[1]], ratio };
    let mut layers = ink::layers(order, picture, place);
    // The last one holds dimensions and caption.
    layers.pop();
    let paper = PaperSize { width: body.width() + 2.0 * RIM, height: body.height() + 2.0 * RIM };
    let title = format!("Picture of the {}", order.title.to_lowercase());
    Some(Sheet { name: "picture".into(), title, paper, wide: WIDE, scene: Scene { layers } })
}
