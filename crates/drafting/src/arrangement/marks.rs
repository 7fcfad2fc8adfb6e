//! Marks on the views: the case's centre line, centres of holes, and where the sections are taken.

use case::{OrderInfo, Purpose};

use super::layout::Drawn;
use super::views::{Planes, View, Which};
use crate::margins::Place;
use crate::solids::Thing;
use paper::check;
use paper::dimension::{FIGURE, arrow};
use paper::scene::{At, Layer, Path, Pen};
use paper::text::Text;

/// How far a centre line passes the outline, mm.
const PAST: f64 = 4.0;
/// A section's mark: from the outline to its thick end, the thick end's far end, and the arrow's place and length.
const END: [f64; 2] = [1.5, 6.5];
const ARROW: [f64; 2] = [5.2, 6.0];
/// Height of a section's letter, mm.
const LETTER: f64 = 3.5;

/// The centre line of the piece, and of the holes in its doors, on a view.
pub(super) fn centre_lines(view: &View<'_>, place: Place) -> Layer {
    let which = view.which;
    let mut layer = Layer::new(format!("{}-centre-lines", which.id()), format!("Centre lines, {}", which.caption()));
    let outline = place.rect(&view.bounds);
    if matches!(which, Which::Front | Which::Plan | Which::SectionB) {
        let x = outline.centre()[0];
        let (low, high) = (outline.min[1], outline.max[1]);
        if runs_along(view, place, x) {
            // Where a line of the piece lies there already, the ends will do.
            layer.line(Pen::Centre, [x, low - PAST], [x, low - 0.5]);
            layer.line(Pen::Centre, [x, high + 0.5], [x, high + PAST]);
        } else {
            layer.line(Pen::Centre, [x, low - PAST], [x, high + PAST]);
        }
    }
    if which == Which::Front {
        for centre in knob_holes(view) {
            let [x, y] = place.map(centre);
            layer.line(Pen::Dimension, [x - 1.6, y], [x + 1.6, y]);
            layer.line(Pen::Dimension, [x, y - 1.6], [x, y + 1.6]);
        }
    }
    layer
}

/// A visible upright line lies within a line's width of `x`.
fn runs_along(view: &View<'_>, place: Place, x: f64) -> bool {
    view.picture.strokes.iter().filter(|s| !s.hidden).flat_map(|s| s.path.segments()).any(|s| {
        let (a, b) = (place.map(s.from), place.map(s.to));
        (a[0] - x).abs() < 0.7 && (b[0] - x).abs() < 0.7 && (a[1] - b[1]).abs() > 5.0
    })
}

/// Centres of the doors' knob holes, in the picture's coordinates.
fn knob_holes(view: &View<'_>) -> Vec<At> {
    let parts = view.things.iter().filter_map(|t| if let Thing::Part(p) = t { Some(*p) } else { None });
    let holes = parts.flat_map(|p| p.cuts.iter().filter(|c| c.purpose == Purpose::KnobHole).map(move |c| (p, c)));
    let [u, v] = view.which.axes();
    holes
        .map(|(p, cut)| {
            let b = p.placement.box_to_case(&cut.bounds(p.size));
            [u, v].map(|a| (b.along(a)[0].mm() + b.along(a)[1].mm()) / 2.0)
        })
        .collect()
}

/// The ends of both cutting planes on the front view, with arrows the way one looks; clear of `taken`.
pub(super) fn section_marks(view: &View<'_>, place: Place, planes: Planes, taken: &[Layer]) -> Layer {
    let mut layer = Layer::new("section-marks", "Where sections A-A and B-B are taken");
    let outline = place.rect(&view.bounds);
    let [x, _] = place.map([planes.a.mm(), 0.0]);
    let [_, y] = place.map([0.0, planes.b.mm()]);
    // Each end: a point on the outline, the way out, the way one looks, and the letter.
    let ends: [(At, At, At, &str); 4] = [
        ([x, outline.max[1]], [0.0, 1.0], [-1.0, 0.0], "A"),
        ([x, outline.min[1]], [0.0, -1.0], [-1.0, 0.0], "A"),
        ([outline.min[0], y], [-1.0, 0.0], [0.0, -1.0], "B"),
        ([outline.max[0], y], [1.0, 0.0], [0.0, -1.0], "B"),
    ];
    for (at, out, look, letter) in ends {
        let point = |d: f64, w: f64| [at[0] + d * out[0] + w * look[0], at[1] + d * out[1] + w * look[1]];
        layer.line(Pen::Plane, point(END[0], 0.0), point(END[1], 0.0));
        layer.line(Pen::Dimension, point(ARROW[0], 0.0), point(ARROW[0], ARROW[1]));
        arrow(&mut layer, point(ARROW[0], ARROW[1]), look);
        // Behind the line or, where something stands there, before it.
        let middle = f64::midpoint(END[0], END[1]) - 0.4;
        let letters = [-2.6, 2.6, -4.4].map(|w| {
            let [cx, cy] = point(middle - if w > 0.0 { 1.2 } else { 0.0 }, w);
            Text::new([cx, cy - LETTER / 2.0], LETTER, letter).centred()
        });
        if let Some(text) =
            letters.into_iter().find(|t| check::is_clear(t, taken) && check::is_clear(t, std::slice::from_ref(&layer)))
        {
            layer.letter(text);
        }
    }
    layer
}

/// The rise of each shaped edge, under its crown or, where that is taken, beside it.
pub(super) fn rise_notes(order: &OrderInfo, drawn: &Drawn<'_>, place: Place, taken: &[Layer]) -> Layer {
    let view = &drawn.view;
    let mut layer =
        Layer::new(format!("{}-rises", view.which.id()), format!("Rises of curves, {}", view.which.caption()));
    let [across, up] = view.which.axes();
    for rise in drawn.rises.iter().filter(|r| r.has_room(order, view.which, place.ratio)) {
        let ([left, right], [_, crown]) = (rise.away.along(across), rise.away.along(up));
        let says = rise.says(order, view.which);
        let tip = place.map([f64::midpoint(left.mm(), right.mm()), crown.mm()]);
        let tries = [6.0, 8.5, 11.0, 14.0, 18.0, 24.0]
            .into_iter()
            .flat_map(|down| [3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 16.0, -16.0].map(|aside| [aside, -down]));
        for [aside, down] in tries {
            let side = f64::signum(aside);
            let text = Text::new([tip[0] + aside, tip[1] + down], FIGURE, says.clone());
            let text = if side > 0.0 { text } else { text.ending() };
            // The leader ends level with the middle of the text.
            let end = [text.at[0] - side * 0.8, text.at[1] + FIGURE / 2.0];
            let leader = Path::line(tip, end);
            let own = std::slice::from_ref(&layer);
            if [taken, own].iter().all(|l| check::is_clear(&text, l) && check::keeps_off_texts(&leader, l)) {
                layer.draw(Pen::Dimension, leader);
                arrow(&mut layer, tip, [tip[0] - end[0], tip[1] - end[1]]);
                layer.letter(text);
                break;
            }
        }
    }
    layer
}
