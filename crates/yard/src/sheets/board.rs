//! One board or sheet: outline, flaws, pieces with what is written on them, offcuts, waste, and the numbers of the cuts.
//!
//! Drawn with the upper left corner of its heading at the origin. A text goes only where it meets no line and no other
//! text; what has no room is told under the board.

use measure::{Length, Ruler};
use paper::hatch::{Hatch, hatch};
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::text::{self, Text, extent, width};
use stock::{Area, Fate, Region, Way};

use super::{height_for, size};
use crate::{Cutting, Group, Placed};

/// Room for heading and notes of a board, mm.
pub(super) const ROUND: f64 = 16.0;
/// Room for the heading alone, mm.
const HEAD: f64 = 5.0;
/// Height of headings and notes, and from one note to the next, mm.
const NOTE: [f64; 2] = [2.0, 4.0];
/// Height of a cut's number, mm.
const CUT: f64 = 1.6;
/// Least room between a text and a line, mm.
const CLEAR: f64 = 0.35;
/// Waste.
const WASTE: Hatch = Hatch { angle: 45.0, pitch: &[2.4] };
/// A flaw.
const FLAW: Hatch = Hatch { angle: 135.0, pitch: &[1.2] };

/// A board drawn.
pub(super) struct Drawn {
    pub(super) layer: Layer,
    /// Width and height, mm.
    pub(super) size: [f64; 2],
}

struct Board<'a> {
    group: &'a Group,
    cutting: &'a Cutting,
    ruler: &'a Ruler,
    scale: [f64; 2],
    layer: Layer,
    /// Rectangles that a text may lie in: pieces and offcuts.
    fields: Vec<Rect>,
    /// Texts and flaws.
    taken: Vec<Rect>,
    /// Marks without room.
    untold: Vec<String>,
}

pub(super) fn draw(group: &Group, cutting: &Cutting, index: usize, scale: [f64; 2], ruler: &Ruler) -> Drawn {
    let mut board = Board {
        group,
        cutting,
        ruler,
        scale,
        layer: Layer::new("board", "Board"),
        fields: Vec::new(),
        taken: Vec::new(),
        untold: Vec::new(),
    };
    board.draw(index)
}

impl Board<'_> {
    fn draw(&mut self, index: usize) -> Drawn {
        let stack = &self.cutting.board;
        let whole = Area { x: Length::ZERO, y: Length::ZERO, length: stack.length, width: stack.width };
        let outline = self.rect(whole);
        self.layer.draw(Pen::Outline, Path::rectangle(&outline));
        for (_, flaw) in &self.cutting.board.flaws {
            let r = self.rect(flaw.area);
            self.layer.draw(Pen::Hidden, Path::rectangle(&r));
            for line in hatch(&[r.corners().to_vec()], FLAW) {
                self.layer.draw(Pen::Texture, line);
            }
            self.taken.push(r);
        }
        self.ends();
        self.marks();
        self.numbers();
        let name = if self.cutting.bought {
            format!("{}: to buy", index + 1)
        } else {
            format!("{}: {}", index + 1, self.cutting.board.id)
        };
        let figure = paper::dimension::figure(self.ruler, stack.thickness);
        let head = format!("{name}, {} × {figure}", size(self.ruler, stack.length, stack.width));
        let room = outline.width().max(40.0);
        let height = height_for(&head, &[2.5, NOTE[0], 1.8], room).unwrap_or(1.6);
        self.layer.letter(Text::new([0.0, -HEAD + 1.4], height, head.clone()));
        let mut y = outline.min[1];
        for line in self.notes(room) {
            y -= NOTE[1];
            self.layer.letter(Text::new([0.0, y], NOTE[0], line));
        }
        let wide = room.max(width(&head, height));
        Drawn { layer: std::mem::take(&mut self.layer), size: [wide, -y + 1.0] }
    }

    /// Where an area of the board lies on the sheet.
    fn rect(&self, area: Area) -> Rect {
        let [kx, ky] = self.scale;
        let low = -HEAD - self.cutting.board.width.mm() * ky;
        Rect::new([area.x.mm() * kx, low + area.y.mm() * ky], area.length.mm() * kx, area.width.mm() * ky)
    }

    /// Pieces, offcuts and waste.
    fn ends(&mut self) {
        let mut regions: Vec<&Region> = Vec::new();
        self.cutting.region.walk(&mut |region| regions.push(region));
        for region in regions {
            let r = self.rect(region.area);
            match region.fate {
                Fate::Piece { .. } => self.layer.draw(Pen::Outline, Path::rectangle(&r)),
                Fate::Offcut => self.layer.draw(Pen::Fine, Path::rectangle(&r)),
                Fate::Waste => {
                    for line in hatch(&[r.corners().to_vec()], WASTE) {
                        self.layer.draw(Pen::Texture, line);
                    }
                    continue;
                }
                Fate::Cut { .. } => continue,
            }
            self.fields.push(r);
            if matches!(region.fate, Fate::Offcut) {
                let says = format!("offcut {}", size(self.ruler, region.area.length, region.area.width));
                let _ = self.write(&r, &[says]) || self.write(&r, &["offcut".into()]);
            }
        }
    }

    /// What is written on the pieces, with their rough size where there is room.
    fn marks(&mut self) {
        for placed in &self.cutting.placed {
            let r = self.rect(placed.area);
            let says = size(self.ruler, placed.area.length, placed.area.width);
            let mark = placed.mark.clone();
            if !(self.write(&r, &[mark.clone(), says.clone()])
                || self.write(&r, &[format!("{mark}   {says}")])
                || self.write(&r, std::slice::from_ref(&mark)))
            {
                self.untold.push(mark);
            }
        }
    }

    /// Writes lines into a rectangle, level or else upright, where nothing is in the way; whether there was room.
    fn write(&mut self, r: &Rect, lines: &[String]) -> bool {
        const HEIGHTS: [f64; 3] = [2.5, 1.8, 1.4];
        let several = lines.len() > 1;
        for upright in [false, true] {
            let (along, across) = if upright { (r.height(), r.width()) } else { (r.width(), r.height()) };
            for height in HEIGHTS.into_iter().filter(|h| !several || *h > 2.0) {
                // Fractions reach over and under their line.
                let inks: Vec<[f64; 2]> = lines.iter().map(|l| extent(l, height).1).collect();
                let gaps = (lines.len() - 1) as f64 * height * 0.5;
                let tall = inks.iter().map(|[low, high]| high - low).sum::<f64>() + gaps;
                let wide = lines.iter().map(|l| width(l, height)).fold(0.0, f64::max);
                if wide + 2.0 * CLEAR > along || tall + 2.0 * CLEAR > across || (upright && several) {
                    continue;
                }
                let size = if upright { [tall, wide] } else { [wide, tall] };
                let Some(at) = self.free(r, size) else { continue };
                let mut down = 0.0;
                for (line, [low, high]) in lines.iter().zip(&inks) {
                    let text = if upright {
                        let base = [at.min[0] + high, at.centre()[1]];
                        Text { angle: 90.0, ..Text::new(base, height, line.clone()).centred() }
                    } else {
                        Text::new([at.centre()[0], at.max[1] - down - high], height, line.clone()).centred()
                    };
                    down += high - low + height * 0.5;
                    self.layer.letter(text);
                }
                self.taken.push(at.grown(CLEAR / 2.0));
                return true;
            }
        }
        false
    }

    /// A place for something of a size in a rectangle, the middle before others.
    fn free(&self, r: &Rect, [wide, tall]: [f64; 2]) -> Option<Rect> {
        let slack = [r.width() - wide - 2.0 * CLEAR, r.height() - tall - 2.0 * CLEAR];
        let shares = [0.5, 0.3, 0.7, 0.1, 0.9, 0.0, 1.0];
        let place = |sx: f64, sy: f64| {
            Rect::new([r.min[0] + CLEAR + slack[0] * sx, r.min[1] + CLEAR + slack[1] * sy], wide, tall)
        };
        let places = shares.iter().flat_map(|&sy| shares.iter().map(move |&sx| (sx, sy)));
        places.map(|(sx, sy)| place(sx, sy)).find(|at| self.taken.iter().all(|t| !t.overlaps(&at.grown(CLEAR))))
    }

    /// The number of each cut, beside it, near where it begins.
    fn numbers(&mut self) {
        let mut cuts: Vec<(usize, Way, Length, Area)> = Vec::new();
        self.cutting.region.walk(&mut |region| {
            if let Fate::Cut { number, way, at, .. } = region.fate {
                cuts.push((number, way, at, region.area));
            }
        });
        for (number, way, at, area) in cuts {
            let says = number.to_string();
            let (wide, tall) = (width(&says, CUT), CUT);
            let kerf = self.kerf(area, at, way);
            for place in beside(&kerf, way, wide, tall) {
                let inside = self.fields.iter().any(|f| f.grown(-CLEAR / 2.0).holds(&place));
                if inside && self.taken.iter().all(|t| !t.overlaps(&place.grown(CLEAR / 2.0))) {
                    self.layer.letter(Text::new(place.min, CUT, says));
                    self.taken.push(place);
                    break;
                }
            }
        }
    }

    /// The cut's line as a rectangle without breadth.
    fn kerf(&self, area: Area, at: Length, way: Way) -> Rect {
        self.rect(match way {
            Way::Rip => Area { y: at, width: Length::ZERO, ..area },
            Way::Crosscut => Area { x: at, length: Length::ZERO, ..area },
        })
    }

    /// What has no room on the drawing, and what to mind.
    fn notes(&self, room: f64) -> Vec<String> {
        let mut notes = Vec::new();
        let room = room - 2.0;
        if !self.untold.is_empty() {
            notes.push(format!("Too small to be marked here: {}", self.untold.join(", ")));
        }
        let over = |p: &&Placed| self.cutting.board.flaws.iter().any(|(_, flaw)| meet(flaw.area, p.area));
        let over: Vec<&str> = self.cutting.placed.iter().filter(over).map(|p| p.mark.as_str()).collect();
        if !over.is_empty() {
            notes.push(format!("Flaw to the face that does not show: {}", over.join(", ")));
        }
        if self.group.is_nested() {
            notes.push(String::from("Cut out by router; saw only blanks that it holds"));
        }
        if self.cutting.placed.iter().any(|p| self.group.lines()[p.line].book) {
            notes.push(String::from("Resawn in two leaves after it is sawn out"));
        }
        notes.iter().flat_map(|n| text::folded(n, ", ", NOTE[0], room)).collect()
    }
}

/// Whether two areas share more than an edge.
fn meet(a: Area, b: Area) -> bool {
    a.x < b.x + b.length && b.x < a.x + a.length && a.y < b.y + b.width && b.y < a.y + a.width
}

/// Places for a number beside a cut: on either side, from its beginning on.
fn beside(kerf: &Rect, way: Way, wide: f64, tall: f64) -> Vec<Rect> {
    const STEPS: [f64; 6] = [0.0, 0.1, 0.25, 0.5, 0.75, 1.0];
    let gap = 2.0 * CLEAR;
    let along = |step: f64, size: f64, low: f64, high: f64| low + gap + (high - low - size - 2.0 * gap).max(0.0) * step;
    let at = |step: f64| -> [At; 2] {
        match way {
            Way::Crosscut => {
                let y = along(1.0 - step, tall, kerf.min[1], kerf.max[1]);
                [[kerf.min[0] - gap - wide, y], [kerf.max[0] + gap + 0.4, y]]
            }
            Way::Rip => {
                let x = along(step, wide, kerf.min[0], kerf.max[0]);
                [[x, kerf.min[1] - gap - tall], [x, kerf.max[1] + gap + 0.7]]
            }
        }
    };
    STEPS.into_iter().flat_map(at).map(|p| Rect::new(p, wide, tall)).collect()
}
