//! Lettering: one embedded font, the same on every machine, with its own measures and stacked fractions.
//!
//! Texts become glyph outlines in the writers, so no reader's fonts can shift a figure. Heights are those of the
//! capitals (ISO 3098: 2.5, 3.5, 5, 7 mm). Anything of the form `digits/digits` is set as a stacked fraction. The font
//! is Routed Gothic, after the lettering of engineers' drawings; its licence lies beside it in `fonts/`.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use ttf_parser::{Face, GlyphId, OutlineBuilder};

use crate::number::number;
use crate::scene::{At, Rect};

pub(crate) static FONT: &[u8] = include_bytes!("../fonts/routed-gothic.ttf");

/// Height of a fraction's figures, as a share of the text's.
const FRACTION: f64 = 0.72;
/// From the fraction's bar to its figures, as a share of the text's height.
const BAR_GAP: f64 = 0.2;
/// Thickness of strokes and of the bar, as a share of the text's height; the font's own.
const STROKE: f64 = 0.13;
/// Room around a fraction.
const SIDE: f64 = 0.14;

/// Which point of a text stands at its place; the baseline is always on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The start of the line.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where its anchor stands.
    pub at: At,
    /// What it says.
    pub content: String,
    /// Height of its capitals, mm.
    pub height: f64,
    /// What stands at `at`.
    pub anchor: Anchor,
    /// Turned counter-clockwise about `at`, degrees.
    pub angle: f64,
}

/// Glyphs of one size in a row, from the text's own start; x along the line, y up, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Start of the baseline.
    pub at: At,
    /// Millimetres to a font unit.
    pub scale: f64,
    /// The characters with their offsets from `at`, in font units.
    pub glyphs: Vec<(char, u32)>,
}

/// A text laid out: what a writer draws before it turns it and puts it in its place.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Set {
    /// The glyphs.
    pub runs: Vec<Run>,
    /// The bars of fractions, as filled rectangles.
    pub bars: Vec<Rect>,
    /// Advance of the whole, mm.
    pub width: f64,
    /// Lowest and highest ink, mm from the baseline.
    pub ink: [f64; 2],
}

struct Glyph {
    id: u16,
    advance: u32,
    outline: String,
    ink: [f64; 2],
}

struct Font {
    cap_height: f64,
    glyphs: BTreeMap<char, Glyph>,
}

static LETTERS: LazyLock<Font> = LazyLock::new(read_font);

/// Reads the glyphs of Latin text and of the signs that drawings use.
fn read_font() -> Font {
    let mut glyphs = BTreeMap::new();
    let Ok(face) = Face::parse(FONT, 0) else { return Font { cap_height: 1.0, glyphs } };
    let signs = "–—‘’“”•×÷⌀→←↑↓−";
    for c in (' '..='ÿ').chain(signs.chars()) {
        let Some(id) = face.glyph_index(c) else { continue };
        glyphs.insert(c, read_glyph(&face, id));
    }
    Font { cap_height: f64::from(face.capital_height().unwrap_or(1)), glyphs }
}

fn read_glyph(face: &Face<'_>, id: GlyphId) -> Glyph {
    let mut pen = GlyphPen::default();
    let ink = face.outline_glyph(id, &mut pen).map_or([0.0, 0.0], |b| [f64::from(b.y_min), f64::from(b.y_max)]);
    Glyph { id: id.0, advance: face.glyph_hor_advance(id).map_or(0, u32::from), outline: pen.0, ink }
}

#[derive(Default)]
struct GlyphPen(String);

impl GlyphPen {
    fn push(&mut self, command: char, points: &[f32]) {
        self.0.push(command);
        let figures: Vec<String> = points.iter().map(|p| number(f64::from(*p), 1)).collect();
        self.0.push_str(&figures.join(" "));
    }
}

impl OutlineBuilder for GlyphPen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.push('M', &[x, y]);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.push('L', &[x, y]);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.push('Q', &[x1, y1, x, y]);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.push('C', &[x1, y1, x2, y2, x, y]);
    }
    fn close(&mut self) {
        self.0.push('Z');
    }
}

/// The outline of a character in font units, y up, as SVG path data; nothing for a space or what the font lacks.
pub fn outline(c: char) -> Option<&'static str> {
    LETTERS.glyphs.get(&c).map(|g| g.outline.as_str()).filter(|d| !d.is_empty())
}

/// The number of a character's glyph in the font.
pub(crate) fn glyph_id(c: char) -> Option<u16> {
    LETTERS.glyphs.get(&c).map(|g| g.id)
}

/// Every character that can be drawn, with its glyph's number and its advance in font units.
pub(crate) fn glyphs() -> impl Iterator<Item = (char, u16, u32)> {
    LETTERS.glyphs.iter().map(|(c, g)| (*c, g.id, g.advance))
}

/// The character that is drawn for `c`: itself, or a plain sign for one that the font lacks.
fn shown(c: char) -> char {
    if LETTERS.glyphs.contains_key(&c) { c } else { '?' }
}

/// Width of a text of that height, mm.
pub fn width(content: &str, height: f64) -> f64 {
    extent(content, height).0
}

/// Width of a text of that height, and its lowest and highest ink from the baseline, mm: what [`set`] gives, without
/// laying it out.
pub fn extent(content: &str, height: f64) -> (f64, [f64; 2]) {
    let (mut width, mut ink) = (0.0, [0.0_f64; 2]);
    let mut run = |text: &str, rise: f64, height: f64| {
        let scale = height / LETTERS.cap_height;
        let mut units = 0;
        for g in text.chars().map(shown).filter_map(|c| LETTERS.glyphs.get(&c)) {
            units += g.advance;
            ink = [ink[0].min(rise + g.ink[0] * scale), ink[1].max(rise + g.ink[1] * scale)];
        }
        f64::from(units) * scale
    };
    for piece in pieces(content) {
        width += match piece {
            Piece::Plain(text) => run(text, 0.0, height),
            Piece::Fraction(over, under) => {
                let Stack { small, gap, side } = Stack::of(height);
                let middle = height / 2.0;
                let wide = run(over, middle + gap, small).max(run(under, middle - gap - small, small));
                wide + 2.0 * side
            }
        };
    }
    (width, ink)
}

/// A text in lines of at most `width` mm, broken at `at`: at its blanks, or, in a list, at comma and blank, whose comma
/// stays on the line. What has no break may be wider.
pub fn folded(says: &str, at: &str, height: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let stays = at.trim_end();
    for piece in says.split(at) {
        match lines.last_mut() {
            Some(line) if self::width(&format!("{line}{at}{piece}{stays}"), height) <= width => {
                line.push_str(at);
                line.push_str(piece);
            }
            Some(line) => {
                line.push_str(stays);
                lines.push(piece.to_owned());
            }
            None => lines.push(piece.to_owned()),
        }
    }
    lines
}

/// The measures of a stacked fraction.
struct Stack {
    /// Height of its figures.
    small: f64,
    /// From the middle of the bar to the figures.
    gap: f64,
    /// Room on both sides.
    side: f64,
}

impl Stack {
    fn of(height: f64) -> Self {
        Self { small: height * FRACTION, gap: height * (BAR_GAP + STROKE / 2.0), side: height * SIDE }
    }
}

/// Lays out a text of that height.
pub fn set(content: &str, height: f64) -> Set {
    let mut out = Set::default();
    for piece in pieces(content) {
        match piece {
            Piece::Plain(text) => {
                out.width += out.push(text, [out.width, 0.0], height);
            }
            Piece::Fraction(over, under) => {
                let Stack { small, gap, side } = Stack::of(height);
                let (w_over, w_under) = (plain_width(over, small), plain_width(under, small));
                let wide = w_over.max(w_under);
                let (left, middle) = (out.width + side, height / 2.0);
                out.push(over, [left + (wide - w_over) / 2.0, middle + gap], small);
                out.push(under, [left + (wide - w_under) / 2.0, middle - gap - small], small);
                let half = height * STROKE / 2.0 * 0.8;
                out.bars.push(Rect { min: [left, middle - half], max: [left + wide, middle + half] });
                out.width += wide + 2.0 * side;
            }
        }
    }
    out
}

impl Set {
    /// Sets plain glyphs from a place on, and says how wide they are.
    fn push(&mut self, text: &str, at: At, height: f64) -> f64 {
        let scale = height / LETTERS.cap_height;
        let mut run = Run { at, scale, glyphs: Vec::new() };
        let mut x = 0;
        for c in text.chars().map(shown) {
            let Some(g) = LETTERS.glyphs.get(&c) else { continue };
            run.glyphs.push((c, x));
            x += g.advance;
            self.ink = [self.ink[0].min(at[1] + g.ink[0] * scale), self.ink[1].max(at[1] + g.ink[1] * scale)];
        }
        self.runs.push(run);
        f64::from(x) * scale
    }
}

fn plain_width(text: &str, height: f64) -> f64 {
    let units: u32 = text.chars().map(shown).filter_map(|c| LETTERS.glyphs.get(&c)).map(|g| g.advance).sum();
    f64::from(units) * height / LETTERS.cap_height
}

enum Piece<'a> {
    Plain(&'a str),
    Fraction(&'a str, &'a str),
}

/// Splits a text at its fractions; one space before a fraction that follows a figure is part of the fraction.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some((from, slash, to)) = next_fraction(rest) {
        let mut before = &rest[..from];
        if before.ends_with(' ') && before.trim_end().ends_with(|c: char| c.is_ascii_digit()) {
            before = before.trim_end();
        }
        if !before.is_empty() {
            out.push(Piece::Plain(before));
        }
        out.push(Piece::Fraction(&rest[from..slash], &rest[slash + 1..to]));
        rest = &rest[to..];
    }
    if !rest.is_empty() {
        out.push(Piece::Plain(rest));
    }
    out
}

/// Byte range and slash of the first `digits/digits` that stands alone.
fn next_fraction(text: &str) -> Option<(usize, usize, usize)> {
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let joined = |i: usize| bytes.get(i).is_some_and(|b| b.is_ascii_alphanumeric() || *b == b'/');
    (1..bytes.len()).filter(|&i| bytes[i] == b'/').find_map(|slash| {
        let from = (0..slash).rev().take_while(|&i| digit(i)).last()?;
        let to = (slash + 1..bytes.len()).take_while(|&i| digit(i)).last()? + 1;
        let alone = !(joined(to) || from > 0 && joined(from - 1));
        alone.then_some((from, slash, to))
    })
}

impl Text {
    /// A level text that starts at `at`.
    pub fn new(at: At, height: f64, content: impl Into<String>) -> Self {
        Self { at, content: content.into(), height, anchor: Anchor::Start, angle: 0.0 }
    }

    /// The same, centred on `at`.
    #[must_use]
    pub const fn centred(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self
    }

    /// The same, ending at `at`.
    #[must_use]
    pub const fn ending(mut self) -> Self {
        self.anchor = Anchor::End;
        self
    }

    /// The same, turned.
    #[must_use]
    pub const fn turned(mut self, angle: f64) -> Self {
        self.angle = angle;
        self
    }

    /// From the anchor to the start of the line, mm.
    pub fn shift(&self, width: f64) -> f64 {
        match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        }
    }

    /// The four corners of its ink on the sheet, counter-clockwise from the start of the line.
    pub fn corners(&self) -> [At; 4] {
        let (width, ink) = extent(&self.content, self.height);
        let x = self.shift(width);
        let (s, c) = libm::sincos(self.angle.to_radians());
        Rect { min: [x, ink[0]], max: [x + width, ink[1]] }
            .corners()
            .map(|[x, y]| [self.at[0] + x * c - y * s, self.at[1] + x * s + y * c])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_figures_that_stand_alone_are_fractions() {
        let fractions = |t| pieces(t).iter().filter(|p| matches!(p, Piece::Fraction(..))).count();
        assert_eq!(fractions("41 7/8"), 1);
        assert_eq!(fractions("3/8 x 1 1/4 in"), 2);
        assert_eq!(fractions("N/A 2026/11/25 1:10 a1/2"), 0);
    }

    #[test]
    fn a_stacked_fraction_is_narrower_than_its_figures_in_a_row() {
        assert!(width("15/16", 3.5) < width("15", 3.5) + width("16", 3.5));
        let set = set("41 15/16", 3.5);
        assert_eq!(set.bars.len(), 1);
        assert!(set.ink[0] < 0.0 && set.ink[1] > 3.5, "{:?}", set.ink);
    }

    #[test]
    fn an_extent_is_that_of_the_text_set() {
        for content in ["", "41 7/8", "~3/16 × 15/32 in, gj", "P07"] {
            let set = set(content, 2.5);
            let (width, ink) = extent(content, 2.5);
            assert!((width - set.width).abs() < 1e-9, "{content}");
            assert_eq!(ink, set.ink, "{content}");
        }
    }

    #[test]
    fn texts_fold_at_blanks_and_lists_at_commas() {
        let says = "Set the depth from the underside of the jig, then rout clockwise";
        let lines = folded(says, " ", 2.5, 30.0);
        assert!(lines.len() > 2 && lines.iter().all(|l| width(l, 2.5) <= 30.0), "{lines:?}");
        assert_eq!(lines.join(" "), says);
        assert_eq!(folded("3 1/2, 6 1/4, 57 1/8", ", ", 2.5, 18.0), ["3 1/2, 6 1/4,", "57 1/8"]);
        assert_eq!(folded("P100, unbreakable", ", ", 2.5, 1.0), ["P100,", "unbreakable"]);
        assert_eq!(folded("", " ", 2.5, 1.0), [""]);
    }

    #[test]
    fn capitals_are_as_high_as_asked() {
        let set = set("H", 3.5);
        assert!((set.ink[1] - 3.5).abs() < 1e-9);
    }

    #[test]
    fn corners_turn_with_the_text() {
        let c = Text::new([10.0, 20.0], 3.5, "H").turned(90.0).corners();
        assert!((c[2][0] - (10.0 - 3.5)).abs() < 1e-9 && (c[2][1] - 20.0) > 3.0);
    }
}
