//! A nest drawn to scale: the blank with its zero, the parts as they are cut out of it, bridges, cuts inside the parts,
//! where clamps may stand, and the order in which parts come free.

use case::OrderInfo;
use measure::Length;
use paper::dimension::{arrow, figure};
use paper::scale::Scale;
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::sheet::{Draft, Frame};
use paper::text::{Text, width};

use super::{Bed, Kind, Laid};
use crate::curve::{Bounds, Curve, P2};
use crate::region::Region;

/// Room at the left and below for the arrows of the axes, and above for a line of words, mm.
const ROOM: f64 = 14.0;
/// Lettering in parts, from the largest that is tried, mm.
const HEIGHTS: [f64; 5] = [4.5, 3.5, 2.5, 2.0, 1.6];

/// Where the blank's zero is on the paper, and the scale.
struct Place {
    zero: At,
    ratio: f64,
}

impl Place {
    fn at(&self, p: P2) -> At {
        [self.zero[0] + p[0] * self.ratio, self.zero[1] + p[1] * self.ratio]
    }

    fn path<'a>(&self, curves: impl IntoIterator<Item = &'a Curve>) -> Path {
        let bulge = |c: &Curve| if let Curve::Arc { sweep, .. } = c { libm::tan(sweep / 4.0) } else { 0.0 };
        Path { vertices: curves.into_iter().map(|c| (self.at(c.start()), bulge(c))).collect(), closed: true }
    }

    fn rect(&self, b: &Bounds) -> Rect {
        Rect { min: self.at([b[0], b[1]]), max: self.at([b[2], b[3]]) }
    }
}

pub(super) fn draft(bed: &Bed<'_>, name: &str, clamps: &[Bounds]) -> Draft {
    let order = &bed.case.order;
    let room = Frame::of(order.paper.sheet).above_block();
    let [long, wide] = [0, 1].map(|i| bed.setup.size[i].mm());
    let fits = |s: Scale| long * s.ratio() + ROOM <= room.width() && wide * s.ratio() + 2.0 * ROOM <= room.height();
    let scale = Scale::largest(Scale { paper: 1, piece: 2 }, fits);
    // In the middle, and up: the title block's side of the sheet is the lower one.
    let [across, up] = [long, wide].map(|l| l * scale.ratio());
    let zero = [room.min[0] + (room.width() - across + ROOM) / 2.0, room.max[1] - ROOM - up];
    let place = Place { zero, ratio: scale.ratio() };
    let mut sheet = Layer::new("sheet", "Sheet, clamps and axes");
    let blank = place.rect(&[0.0, 0.0, long, wide]);
    sheet.draw(Pen::Outline, Path::rectangle(&blank));
    for clamp in clamps {
        let r = place.rect(clamp);
        sheet.draw(Pen::Phantom, Path::rectangle(&r));
        sheet.line(Pen::Texture, r.min, r.max);
    }
    axes(&mut sheet, &blank);
    let size = bed.setup.size.map(|l| figure(&order.ruler, l)).join(" × ");
    let says = format!("{}, {size}: {}", bed.blank.material, bed.blank.name);
    sheet.letter(Text::new([blank.min[0], blank.max[1] + 7.5], 2.5, says));
    let how = "Cut free in the order of the numbers. Bridges are black; places for clamps have a diagonal.";
    sheet.letter(Text::new([blank.min[0], blank.max[1] + 3.0], 2.0, how));
    let mut parts = Layer::new("parts", "Parts, cuts inside them, bridges");
    for (i, laid) in bed.laid.iter().enumerate() {
        part(&mut parts, laid, i + 1, &place, order, bed.bit.diameter.mm());
    }
    let title = format!("{name}, cut out by router");
    Draft { name: name.to_lowercase(), title, scale: Some(scale), wide: 0.35, layers: vec![sheet, parts] }
}

/// Arrows along X and Y from the zero.
fn axes(layer: &mut Layer, blank: &Rect) {
    let [x, y] = blank.min;
    let (off, reach) = (5.0, 22.0);
    let zero = [x - off, y - off];
    layer.draw(Pen::Dimension, Path::circle(blank.min, 1.2));
    for (tip, letter, at) in [
        ([zero[0] + reach, zero[1]], "X, grain", [zero[0] + reach + 2.0, zero[1] - 1.0]),
        ([zero[0], zero[1] + reach], "Y", [zero[0] - 0.8, zero[1] + reach + 2.0]),
    ] {
        layer.line(Pen::Dimension, zero, tip);
        arrow(layer, tip, [tip[0] - zero[0], tip[1] - zero[1]]);
        layer.letter(Text::new(at, 2.2, letter));
    }
    layer.letter(Text::new([zero[0] + 2.0, zero[1] - 4.2], 2.0, "zero, top of stock"));
}

fn part(layer: &mut Layer, laid: &Laid<'_>, number: usize, place: &Place, order: &OrderInfo, kerf: f64) {
    layer.draw(Pen::Outline, place.path(&laid.walls.curves));
    let [low, high] = laid.placed.corners().map(|p| p.map(Length::mm));
    let about = place.rect(&[low[0] - kerf, low[1] - kerf, high[0] + kerf, high[1] + kerf]);
    layer.draw(Pen::Texture, Path::rectangle(&about));
    for tab in &laid.tabs {
        layer.fill(Path::polygon(tab.iter().map(|p| place.at(*p))));
    }
    let mut taken: Vec<Rect> = Vec::new();
    for kind in &laid.kinds {
        match kind {
            Kind::Inside(pieces) => {
                for (outline, _) in pieces {
                    let region = Region::new(outline);
                    layer.draw(Pen::Fine, place.path(&region.curves));
                    taken.push(place.rect(&region.bounds).grown(0.5));
                }
            }
            Kind::Notch(outlines) => {
                taken.extend(outlines.iter().map(|o| place.rect(&Region::new(o).bounds).grown(0.5)))
            }
            Kind::Elsewhere => {}
        }
    }
    let [length, wide, _] = laid.placed.setup.size.map(|l| figure(&order.ruler, l));
    let corner = laid.placed.at.map(|l| figure(&order.ruler, l)).join(", ");
    let mark = format!("{number}: {}", laid.part.id);
    let full = [mark.clone(), laid.part.name.clone(), format!("{length} × {wide}"), format!("corner at {corner}")];
    let inside = place.rect(&[low[0], low[1], high[0], high[1]]);
    for lines in [&full[..], &full[..3], &full[..2], &full[..1]] {
        if write(layer, &inside, lines, &taken) {
            return;
        }
    }
    // No room in it: beside it, in the waste.
    layer.letter(Text::new([about.max[0] + 1.0, about.min[1]], 1.6, mark));
}

/// Writes lines one below the other where they meet nothing: in the middle, or else nearer an end or a side. Whether
/// there was room.
fn write(layer: &mut Layer, room: &Rect, lines: &[String], taken: &[Rect]) -> bool {
    for height in HEIGHTS {
        // Fractions reach over and under their line.
        let step = height * 2.2;
        let wide = lines.iter().map(|l| width(l, height)).fold(0.0, f64::max) + 2.0;
        let tall = step * lines.len() as f64 + height * 0.4;
        let slack = [room.width() - wide, room.height() - tall];
        if slack[0] < 0.0 || slack[1] < 0.0 {
            continue;
        }
        for share in [0.5, 0.25, 0.75, 0.05, 0.95] {
            for other in [0.5, 0.25, 0.75, 0.05, 0.95] {
                let at = [room.min[0] + slack[0] * other, room.min[1] + slack[1] * share];
                let here = Rect { min: at, max: [at[0] + wide, at[1] + tall] };
                if taken.iter().any(|t| t.overlaps(&here)) {
                    continue;
                }
                for (i, line) in lines.iter().enumerate() {
                    let y = here.max[1] - step * (i as f64 + 0.8);
                    layer.letter(Text::new([here.centre()[0], y], height, line.clone()).centred());
                }
                return true;
            }
        }
    }
    false
}
