//! Bars and a square by which a print is checked before it is used.

use paper::block::Block;
use paper::dimension::FIGURE;
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

const INCH: f64 = 25.4;
/// Height of a bar, mm.
const BAR: f64 = 4.0;
/// Side of the square, mm.
const SQUARE: f64 = 50.0;

/// A bar of 100 mm, one of 4 in, and a square of 50 mm.
pub(crate) fn block() -> Block {
    let mut layer = Layer::new("check", "Check of the print");
    let says = "Print at 100 %. Measure both bars and the square, its diagonals too, before use.";
    let top = SQUARE + 4.0;
    layer.letter(Text::new([0.0, top], FIGURE, says));
    bar(&mut layer, [0.0, SQUARE - BAR], &[10.0; 10], "100 mm");
    bar(&mut layer, [0.0, SQUARE - 3.0 * BAR - FIGURE - 4.0], &[INCH; 4], "4 in");
    let square = Rect::new([120.0, 0.0], SQUARE, SQUARE);
    layer.draw(Pen::Outline, Path::rectangle(&square));
    let corners = square.corners();
    layer.line(Pen::Fine, corners[0], corners[2]);
    let [x, y] = square.centre();
    layer.letter(Text::new([x - 18.0, y + 10.0], FIGURE, format!("{SQUARE} mm")));
    Block::Detail(layer, Rect::new([0.0, -1.0], text::width(says, FIGURE).max(square.max[0]), top + FIGURE + 1.0))
}

/// Width and height of the strip at the foot of a small sheet, mm.
pub(crate) const STRIP: [f64; 2] = [132.0, 20.0];

/// The same for the foot of a small sheet, its lower left corner at `at`: both bars, and a square of 20 mm.
pub(crate) fn strip(layer: &mut Layer, [x, y]: At) {
    bar(layer, [x, y + STRIP[1] - BAR], &[10.0; 10], "100 mm");
    bar(layer, [x, y + BAR], &[INCH; 4], "4 in");
    let side = STRIP[1];
    let square = Rect::new([x + STRIP[0] - side, y], side, side);
    layer.draw(Pen::Outline, Path::rectangle(&square));
    let [cx, cy] = square.centre();
    layer.letter(Text::new([cx, cy - FIGURE / 2.0], FIGURE, format!("{side} mm")).centred());
}

/// Fields of the given lengths, every other one filled.
fn bar(layer: &mut Layer, at: At, fields: &[f64], says: &str) {
    let whole: f64 = fields.iter().sum();
    layer.draw(Pen::Fine, Path::rectangle(&Rect::new(at, whole, BAR)));
    let mut x = at[0];
    for (i, field) in fields.iter().enumerate() {
        if i % 2 == 0 {
            layer.fill(Path::rectangle(&Rect::new([x, at[1] + BAR / 2.0], *field, BAR / 2.0)));
        } else {
            layer.fill(Path::rectangle(&Rect::new([x, at[1]], *field, BAR / 2.0)));
        }
        x += field;
    }
    layer.letter(Text::new([at[0], at[1] - FIGURE - 1.5], FIGURE, says));
}
