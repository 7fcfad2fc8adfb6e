//! What is drawn on a page: the sheet's layers in millimetres, arcs as cubic curves within a micrometre.

use std::f64::consts::FRAC_PI_2;

use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Buf, Content, Name, Settings, Str, TextStr};

use super::{FONT, font, points};
use crate::scene::{At, Item, Layer, Path, Pen};
use crate::sheet::Sheet;
use crate::text::{self, Text};

/// How far a curve may stray from its arc, mm.
const STRAY: f64 = 0.001;
/// How far a cubic curve over a quarter of a circle strays from it, as a share of the radius; for smaller angles it
/// falls with their sixth power.
const QUARTER: f64 = 2.73e-4;

/// The content of the sheet's page.
pub(super) fn content(sheet: &Sheet) -> Buf {
    let mut page = Page {
        content: Content::with_settings_and_capacity(Settings { pretty: false }, 1 << 16),
        wide: sheet.wide,
        em: font::em(),
        pen: None,
    };
    let scale = points(1.0);
    page.content.transform([scale, 0.0, 0.0, scale, 0.0, 0.0]).set_line_join(LineJoinStyle::RoundJoin);
    for layer in &sheet.scene.layers {
        page.layer(layer);
    }
    page.content.finish()
}

struct Page {
    content: Content,
    wide: f64,
    /// Units of the font to the em.
    em: f64,
    /// The pen in hand, and whether there is a path that it has not drawn yet.
    pen: Option<(Pen, bool)>,
}

impl Page {
    fn layer(&mut self, layer: &Layer) {
        if let Some(clip) = &layer.clip {
            self.content.save_state();
            self.trace(&Path::rectangle(clip));
            self.content.clip_nonzero().end_path();
        }
        for item in &layer.items {
            match item {
                Item::Line { path, pen } => self.line(path, *pen),
                Item::Fill(paths) => self.fill(paths),
                Item::Text(text) => self.text(text),
            }
        }
        self.stroke();
        if layer.clip.is_some() {
            self.content.restore_state();
            self.pen = None;
        }
    }

    fn line(&mut self, path: &Path, pen: Pen) {
        if self.pen.is_none_or(|(held, _)| held != pen) {
            self.stroke();
            let dashes = pen.dashes(self.wide);
            // Round caps would eat the gaps.
            let cap = if dashes.is_empty() { LineCapStyle::RoundCap } else { LineCapStyle::ButtCap };
            self.content.set_line_width(mm(pen.width(self.wide))).set_line_cap(cap);
            self.content.set_dash_pattern(dashes.into_iter().map(mm), 0.0);
        }
        self.pen = Some((pen, true));
        self.trace(path);
    }

    /// Draws what is traced.
    fn stroke(&mut self) {
        if let Some((_, traced @ true)) = &mut self.pen {
            self.content.stroke();
            *traced = false;
        }
    }

    fn fill(&mut self, paths: &[Path]) {
        self.stroke();
        for path in paths {
            self.trace(path);
        }
        self.content.fill_even_odd();
    }

    fn trace(&mut self, path: &Path) {
        let Some(&(start, _)) = path.vertices.first() else { return };
        self.content.move_to(mm(start[0]), mm(start[1]));
        for segment in path.segments() {
            match segment.arc() {
                // To close the path draws this line.
                None if path.closed && segment.to == start => {}
                None => {
                    self.content.line_to(mm(segment.to[0]), mm(segment.to[1]));
                }
                Some(arc) => self.arc(&arc, segment.to),
            }
        }
        if path.closed {
            self.content.close_path();
        }
    }

    fn arc(&mut self, arc: &case::Arc, to: At) {
        let least = libm::cbrt((STRAY / (QUARTER * arc.radius)).sqrt()).min(1.0) * FRAC_PI_2;
        let pieces = (arc.sweep.abs() / least).ceil().max(1.0);
        let turn = arc.sweep / pieces;
        let handle = arc.radius * 4.0 / 3.0 * libm::tan(turn / 4.0);
        let mut angle = arc.start;
        let on = |angle: f64, along: f64| {
            let (sin, cos) = (libm::sin(angle), libm::cos(angle));
            [arc.centre[0] + arc.radius * cos - along * sin, arc.centre[1] + arc.radius * sin + along * cos]
        };
        let mut left = pieces;
        while left > 0.5 {
            let ([ax, ay], [bx, by]) = (on(angle, handle), on(angle + turn, -handle));
            angle += turn;
            left -= 1.0;
            let [x, y] = if left > 0.5 { on(angle, 0.0) } else { to };
            self.content.cubic_to(mm(ax), mm(ay), mm(bx), mm(by), mm(x), mm(y));
        }
    }

    fn text(&mut self, text: &Text) {
        self.stroke();
        let set = text::set(&text.content, text.height);
        let shown: String = set.runs.iter().flat_map(|r| &r.glyphs).map(|(c, _)| *c).collect();
        // What is read is what was written, though a fraction is set in three pieces.
        let told = shown != text.content;
        if told {
            let mut span = self.content.begin_marked_content_with_properties(Name(b"Span"));
            span.properties().actual_text(TextStr(&text.content));
        }
        let turn = text.angle.to_radians();
        let (sin, cos) = if text.angle == 0.0 { (0.0, 1.0) } else { (libm::sin(turn), libm::cos(turn)) };
        let start = text.shift(set.width);
        let on = |[x, y]: At| {
            let x = start + x;
            [text.at[0] + cos * x - sin * y, text.at[1] + sin * x + cos * y]
        };
        self.content.begin_text();
        for run in &set.runs {
            let bytes: Vec<u8> =
                run.glyphs.iter().filter_map(|(c, _)| text::glyph_id(*c)).flat_map(u16::to_be_bytes).collect();
            let [x, y] = on(run.at);
            self.content.set_font(FONT, fine(run.scale * self.em));
            self.content.set_text_matrix([fine(cos), fine(sin), fine(-sin), fine(cos), mm(x), mm(y)]);
            self.content.show(Str(&bytes));
        }
        self.content.end_text();
        for bar in &set.bars {
            self.trace(&Path::polygon(bar.corners().map(on)));
        }
        if !set.bars.is_empty() {
            self.content.fill_nonzero();
        }
        if told {
            self.content.end_marked_content();
        }
    }
}

/// To a thousandth of a millimetre, as in every file.
fn mm(v: f64) -> f32 {
    rounded(v, 1e3)
}

/// To five decimals: sizes of type, and turns.
fn fine(v: f64) -> f32 {
    rounded(v, 1e5)
}

/// Rounded first, and without the sign of a zero.
#[expect(clippy::cast_possible_truncation, reason = "seven digits tell a sheet of two metres to a micrometre")]
fn rounded(v: f64, unit: f64) -> f32 {
    ((v * unit).round() / unit + 0.0) as f32
}
