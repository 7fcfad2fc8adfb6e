//! Sheets: paper, frame, zones and title block (ISO 5457, ISO 7200, ASME Y14.1; figures from memory).
//!
//! An emitter makes [`Draft`]s, bare drawings within [`Frame::space`] that keep clear of [`Frame::block`], and
//! [`bind`] gives them frame, title block and numbering.

use case::{OrderInfo, Projection};
use measure::Unit;

use crate::scale::Scale;
use crate::scene::{At, Layer, Path, Pen, Rect, Scene};
use crate::text::{self, Text};

/// Size of a paper as it lies, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PaperSize {
    /// From left to right.
    pub width: f64,
    /// From bottom to top.
    pub height: f64,
}

/// A finished sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Stem of its file's name: `general-arrangement-1`.
    pub name: String,
    /// Its title, as in the title block.
    pub title: String,
    /// Its paper.
    pub paper: PaperSize,
    /// Width of the wide line, mm: 0.5, or 0.35 for small scales and small sheets.
    pub wide: f64,
    /// What is on it.
    pub scene: Scene,
}

/// A drawing before it gets its frame and its number.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// As [`Sheet::name`].
    pub name: String,
    /// As [`Sheet::title`].
    pub title: String,
    /// Main scale; none on a sheet of tables.
    pub scale: Option<Scale>,
    /// As [`Sheet::wide`].
    pub wide: f64,
    /// What is drawn.
    pub layers: Vec<Layer>,
}

/// What a set of sheets has in common.
#[derive(Clone, Copy, Debug)]
pub struct Document<'a> {
    /// Follows the order's number in the drawing's number: `GA`, `P`.
    pub code: &'a str,
    /// Document type of ISO 7200: `General arrangement`, `Part drawing`.
    pub kind: &'a str,
    /// What to mind before a length is taken off the paper.
    pub caution: &'a str,
}

/// The caution of a drawing that is read by its figures.
pub const BY_FIGURES: &str = "Do not scale";

/// The frame of a paper and the room in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The paper.
    pub paper: PaperSize,
    /// The frame's line.
    pub edge: Rect,
    /// Room for drawing.
    pub space: Rect,
    /// The title block, at the lower right inside the frame; keep clear of it.
    pub block: Rect,
    /// Number of zones across and up.
    zones: [usize; 2],
    iso: bool,
}

const INCH: f64 = 25.4;
/// Width of the title block, and its rows from the bottom up, mm.
const BLOCK: [f64; 2] = [180.0, 36.0];
/// Kept clear inside the frame.
const MARGIN: f64 = 6.0;
/// Width of the strip of zones outside the frame.
const STRIP: f64 = 5.0;

impl Frame {
    /// The frame of a standard sheet: A4 and ASME A upright, the others lying.
    pub fn of(sheet: case::Sheet) -> Self {
        // Trimmed sizes of ISO 216 and ASME Y14.1; left, right and upper or lower margins; zones across and up.
        let (width, height, left, side, rim, zones, iso) = match sheet {
            case::Sheet::A4 => (210.0, 297.0, 20.0, 10.0, 10.0, [4, 6], true),
            case::Sheet::A3 => (420.0, 297.0, 20.0, 10.0, 10.0, [8, 6], true),
            case::Sheet::A2 => (594.0, 420.0, 20.0, 10.0, 10.0, [12, 8], true),
            case::Sheet::A1 => (841.0, 594.0, 20.0, 10.0, 10.0, [16, 12], true),
            case::Sheet::A => (8.5 * INCH, 11.0 * INCH, 0.38 * INCH, 0.38 * INCH, 0.25 * INCH, [0, 0], false),
            case::Sheet::B => (17.0 * INCH, 11.0 * INCH, 0.62 * INCH, 0.62 * INCH, 0.38 * INCH, [4, 2], false),
            case::Sheet::C => (22.0 * INCH, 17.0 * INCH, 0.50 * INCH, 0.50 * INCH, 0.75 * INCH, [4, 4], false),
            case::Sheet::D => (34.0 * INCH, 22.0 * INCH, 1.00 * INCH, 1.00 * INCH, 0.50 * INCH, [8, 4], false),
        };
        let edge = Rect { min: [left, rim], max: [width - side, height - rim] };
        let block = Rect { min: [edge.max[0] - BLOCK[0], edge.min[1]], max: [edge.max[0], edge.min[1] + BLOCK[1]] };
        Self { paper: PaperSize { width, height }, edge, space: edge.grown(-MARGIN), block, zones, iso }
    }

    /// The frame of a paper of any size, without zones: for what is drawn full size.
    pub fn around(paper: PaperSize) -> Self {
        let edge = Rect { min: [10.0, 10.0], max: [paper.width - 10.0, paper.height - 10.0] };
        let block = Rect { min: [edge.max[0] - BLOCK[0], edge.min[1]], max: [edge.max[0], edge.min[1] + BLOCK[1]] };
        Self { paper, edge, space: edge.grown(-MARGIN), block, zones: [0, 0], iso: false }
    }

    /// The room above the title block, over the sheet's whole width.
    pub fn above_block(&self) -> Rect {
        Rect { min: [self.space.min[0], self.block.max[1] + MARGIN], max: self.space.max }
    }

    fn draw(&self) -> Layer {
        let mut layer = Layer::new("frame", "Frame");
        layer.draw(Pen::Frame, Path::rectangle(&self.edge));
        let middle = [self.paper.width / 2.0, self.paper.height / 2.0];
        if self.iso {
            // Centring marks, from the edge of the zones to 5 mm within the frame.
            let outer = self.edge.grown(STRIP);
            // A title block that reaches the middle of the sheet (A4) keeps clear of the lower mark.
            let below = if self.block.min[0] < middle[0] { 0.0 } else { 5.0 };
            for (axis, from, to) in [
                (0, outer.min[0], self.edge.min[0] + 5.0),
                (0, self.edge.max[0] - 5.0, outer.max[0]),
                (1, outer.min[1], self.edge.min[1] + below),
                (1, self.edge.max[1] - 5.0, outer.max[1]),
            ] {
                let point = |v| if axis == 0 { [v, middle[1]] } else { [middle[0], v] };
                layer.line(Pen::Frame, point(from), point(to));
            }
        }
        if self.zones[0] > 0 {
            self.draw_zones(&mut layer, middle);
        }
        layer
    }

    /// Letters down the sides and figures along the top and bottom; ASME counts from the lower right corner.
    fn draw_zones(&self, layer: &mut Layer, middle: At) {
        let outer = self.edge.grown(STRIP);
        layer.draw(Pen::Rule, Path::rectangle(&outer));
        for (axis, middle) in middle.into_iter().enumerate() {
            let n = self.zones[axis];
            let length = self.edge.max[axis] - self.edge.min[axis];
            let pitch = if self.iso { 50.0 } else { length / n as f64 };
            let line = |k: usize| {
                let at = middle + (k as f64 - n as f64 / 2.0) * pitch;
                at.clamp(self.edge.min[axis], self.edge.max[axis])
            };
            let point = |v: f64, across: f64| if axis == 0 { [v, across] } else { [across, v] };
            let (low, high) = (self.edge.min[1 - axis], self.edge.max[1 - axis]);
            for k in 0..n {
                // The fields at the ends take what the pitch leaves over.
                let from = if k == 0 { self.edge.min[axis] } else { line(k) };
                let to = if k + 1 == n { self.edge.max[axis] } else { line(k + 1) };
                if k > 0 && !(self.iso && 2 * k == n) {
                    layer.line(Pen::Rule, point(from, low), point(from, low - STRIP));
                    layer.line(Pen::Rule, point(from, high), point(from, high + STRIP));
                }
                let from_start = (axis == 0) == self.iso;
                let count = if from_start { k } else { n - 1 - k };
                let name = if axis == 0 {
                    format!("{}", count + 1)
                } else {
                    zone_letter(if self.iso { n - 1 - k } else { k })
                };
                for across in [low - STRIP / 2.0, high + STRIP / 2.0] {
                    let [x, y] = point((from + to) / 2.0, across);
                    layer.letter(Text::new([x, y - 1.25], 2.5, name.clone()).centred());
                }
            }
        }
    }
}

/// Zone letters skip I and O.
fn zone_letter(k: usize) -> String {
    "ABCDEFGHJKLMNPQRSTUVWXYZ".chars().nth(k).map(String::from).unwrap_or_default()
}

/// Frames, title blocks and numbers for the sheets of one document, all on the order's paper.
pub fn bind(order: &OrderInfo, document: Document<'_>, drafts: Vec<Draft>) -> Vec<Sheet> {
    let frame = Frame::of(order.paper.sheet);
    bind_each(order, document, drafts.into_iter().map(|draft| (frame, draft)).collect())
}

/// The same, each draft on a paper of its own.
pub fn bind_each(order: &OrderInfo, document: Document<'_>, drafts: Vec<(Frame, Draft)>) -> Vec<Sheet> {
    let of = drafts.len();
    drafts
        .into_iter()
        .enumerate()
        .map(|(i, (frame, draft))| {
            let mut layers = vec![frame.draw(), title_block(&frame, order, document, &draft, [i + 1, of])];
            layers.extend(draft.layers);
            Sheet {
                name: draft.name,
                title: draft.title,
                paper: frame.paper,
                wide: draft.wide,
                scene: Scene { layers },
            }
        })
        .collect()
}

/// A field of the title block: its cell, its name, what it says, and how high.
pub fn field(layer: &mut Layer, cell: &Rect, name: &str, says: &str, height: f64) {
    layer.draw(Pen::Rule, Path::rectangle(cell));
    layer.letter(Text::new([cell.min[0] + 1.2, cell.max[1] - 2.6], 1.6, name));
    // A text that is too long for its cell is set smaller, down to what still prints.
    let room = cell.width() - 3.0;
    let height = [height, 3.5, 2.5, 2.0, 1.8]
        .into_iter()
        .filter(|h| *h <= height)
        .find(|h| text::width(says, *h) <= room)
        .unwrap_or(1.6);
    let below_name = cell.height() - 3.4;
    let baseline = cell.min[1] + (below_name - height) / 2.0;
    layer.letter(Text::new([cell.min[0] + 1.5, baseline], height, shortened(says, height, room)));
}

/// The text, cut off with two dots where it is longer than its room.
fn shortened(says: &str, height: f64, room: f64) -> String {
    if text::width(says, height) <= room {
        return says.to_owned();
    }
    let mut kept = says.to_owned();
    while kept.pop().is_some() && text::width(&kept, height) + text::width("..", height) > room {}
    format!("{}..", kept.trim_end())
}

fn title_block(frame: &Frame, order: &OrderInfo, document: Document<'_>, draft: &Draft, n_of: [usize; 2]) -> Layer {
    let mut layer = Layer::new("title-block", "Title block");
    let [x0, y0] = frame.block.min;
    let cell = |x: f64, y: f64, w: f64, h: f64| Rect::new([x0 + x, y0 + y], w, h);
    let number = format!("{}-{}", order.number, document.code);
    field(&mut layer, &cell(0.0, 26.0, 62.0, 10.0), "CUSTOMER", &order.customer, 2.5);
    field(&mut layer, &cell(0.0, 10.0, 62.0, 16.0), "LEGAL OWNER", &order.maker, 5.0);
    field(&mut layer, &cell(0.0, 0.0, 31.0, 10.0), "DRAWN", "", 2.5);
    field(&mut layer, &cell(31.0, 0.0, 31.0, 10.0), "APPROVED", "", 2.5);
    field(&mut layer, &cell(62.0, 26.0, 70.0, 10.0), "DOCUMENT TYPE", document.kind, 2.5);
    title(&mut layer, &cell(62.0, 10.0, 70.0, 16.0), &order.title, &draft.title);
    let [revision, date] = order.issue();
    field(&mut layer, &cell(62.0, 0.0, 54.0, 10.0), "DRAWING NUMBER", &number, 3.5);
    field(&mut layer, &cell(116.0, 0.0, 16.0, 10.0), "REVISION", revision, 3.5);
    let scale = draft.scale.map_or_else(|| "-".to_owned(), |s| s.to_string());
    field(&mut layer, &cell(132.0, 26.0, 24.0, 10.0), "SCALE", &scale, 3.5);
    projection_symbol(&mut layer, &cell(156.0, 26.0, 24.0, 10.0), order.paper.projection);
    let figures = cell(132.0, 10.0, 48.0, 16.0);
    layer.draw(Pen::Rule, Path::rectangle(&figures));
    let unit = if order.unit == Unit::Inch { "inches" } else { "millimetres" };
    let says = [format!("Dimensions in {unit}"), order.ruler.legend(), document.caution.to_owned()];
    for (k, line) in says.into_iter().enumerate() {
        layer.letter(Text::new([figures.min[0] + 1.5, figures.max[1] - 4.2 - 4.8 * k as f64], 2.2, line));
    }
    field(&mut layer, &cell(132.0, 0.0, 27.0, 10.0), "DATE OF ISSUE", date, 2.5);
    field(&mut layer, &cell(159.0, 0.0, 21.0, 10.0), "SHEET", &format!("{} of {}", n_of[0], n_of[1]), 2.5);
    layer.draw(Pen::Frame, Path::rectangle(&frame.block));
    layer
}

fn title(layer: &mut Layer, cell: &Rect, piece: &str, sheet: &str) {
    layer.draw(Pen::Rule, Path::rectangle(cell));
    let room = cell.width() - 3.0;
    layer.letter(Text::new([cell.min[0] + 1.2, cell.max[1] - 2.6], 1.6, "TITLE"));
    layer.letter(Text::new([cell.min[0] + 1.5, cell.max[1] - 8.0], 3.5, shortened(piece, 3.5, room)));
    layer.letter(Text::new([cell.min[0] + 1.5, cell.min[1] + 2.4], 2.5, shortened(sheet, 2.5, room)));
}

/// A frustum seen from the side and from an end. Third angle puts the end view beside the narrow end, first angle
/// beside the wide end.
fn projection_symbol(layer: &mut Layer, cell: &Rect, projection: Projection) {
    layer.draw(Pen::Rule, Path::rectangle(cell));
    let [cx, cy] = cell.centre();
    let (r, half) = (3.0, 3.0);
    let (cone, circles) = (cx + 4.2, cx - 4.8);
    let (cone, circles) = match projection {
        Projection::Third => (cone, circles),
        Projection::First => (circles + 0.6, cone),
    };
    // Narrow end to the left: in third angle it faces the circles, in first angle it looks away from them.
    let (narrow, wide) = (cone - half, cone + half);
    layer.draw(
        Pen::Outline,
        Path::polygon([[narrow, cy - r / 2.0], [wide, cy - r], [wide, cy + r], [narrow, cy + r / 2.0]]),
    );
    layer.draw(Pen::Outline, Path::circle([circles, cy], r));
    layer.draw(Pen::Outline, Path::circle([circles, cy], r / 2.0));
    layer.line(Pen::Centre, [cell.min[0] + 2.0, cy], [cell.max[0] - 2.0, cy]);
    layer.line(Pen::Centre, [circles, cy - r - 1.0], [circles, cy + r + 1.0]);
}
