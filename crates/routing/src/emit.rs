//! A path as RS-274 text: the one writer of numbers, words and lines.
//!
//! What it emits, and in which order, keeps to what a strict interpreter of the standard (NISTIR 6556) and a small
//! controller both take: one code of motion to a line, absolute, arcs by their centre, every number with a point, no
//! mode taken for granted. Positions are rounded once and carried on rounded, so errors do not add up.

use std::fmt::Write as _;

use measure::Unit;

use crate::curve::{Curve, P2};
use crate::machine::{Arcs, Controller, Machine};
use crate::path::{Move, P3, Rate};
use crate::tool::Feeds;

/// The coordinate system that the operator sets program zero in.
pub(crate) const WORK_OFFSET: &str = "G54";

/// What is cut with one tool.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    /// Number of the tool.
    pub(crate) tool: u32,
    pub(crate) feeds: Feeds,
    pub(crate) moves: Vec<Move>,
}

/// The text of a program: comments, the modes, then each tool's moves.
pub(crate) fn program(comments: &[String], stretches: &[Stretch], machine: &Machine, unit: Unit) -> String {
    let controller = &machine.controller;
    let places = if unit == Unit::Inch { controller.decimals_inch } else { controller.decimals_mm };
    let mut w = Writer {
        out: String::new(),
        controller,
        unit_mm: if unit == Unit::Inch { 25.4 } else { 1.0 },
        places: usize::from(places),
        digits: 10_f64.powi(i32::from(places)),
        at: [None; 3],
        feed: None,
        line: 0,
        inch: unit == Unit::Inch,
    };
    if controller.percent {
        w.out.push_str("%\n");
    }
    for c in comments {
        w.comment(c);
    }
    w.code(if w.inch { "G20" } else { "G21" });
    w.code("G17 G90 G94 G40 G49 G80");
    w.code(WORK_OFFSET);
    for s in stretches {
        w.stretch(s, machine);
    }
    w.code(if controller.m30 { "M30" } else { "M2" });
    if controller.percent {
        w.out.push_str("%\n");
    }
    w.out
}

struct Writer<'a> {
    out: String,
    controller: &'a Controller,
    unit_mm: f64,
    places: usize,
    /// Last digits to a unit.
    digits: f64,
    /// Where the tool stands, in last digits.
    at: [Option<i64>; 3],
    feed: Option<f64>,
    line: u32,
    inch: bool,
}

impl Writer<'_> {
    fn stretch(&mut self, s: &Stretch, machine: &Machine) {
        if self.controller.tool_change {
            self.code(&format!("T{} M6", s.tool));
        }
        self.code(&format!("S{} M3", s.feeds.rpm));
        if self.controller.length_offset {
            self.code(&format!("G43 H{}", s.tool));
        }
        // Nothing is known of where the tool stands; up before anything else.
        self.at = [None; 3];
        self.feed = None;
        let clear = machine.clear.mm();
        let z = self.counted(clear);
        self.rapid([None, None, Some(z)]);
        for m in &s.moves {
            self.one(m, &s.feeds, machine.approach.mm());
        }
        self.rapid([None, None, Some(z)]);
        self.code("M5");
    }

    fn one(&mut self, m: &Move, feeds: &Feeds, approach: f64) {
        let rate = |r: Rate| match r {
            Rate::Cut => feeds.cut,
            Rate::Ramp => feeds.ramp,
            Rate::Plunge => feeds.plunge,
        };
        match *m {
            Move::Rapid(to) => {
                let to = self.counted3(to);
                self.rapid(to.map(Some));
            }
            Move::Line(to, r) => {
                let to = self.counted3(to);
                self.line(to, rate(r));
            }
            Move::Arc { to, centre, sweep, rate: r } => self.arc(to, centre, sweep, rate(r)),
            Move::Hole { at, bottom, peck } => self.hole(at, bottom, peck, approach, rate(Rate::Plunge)),
        }
    }

    fn rapid(&mut self, to: [Option<i64>; 3]) {
        let words = self.axes(to);
        if !words.is_empty() {
            self.code(&format!("G0{words}"));
        }
    }

    fn line(&mut self, to: [i64; 3], feed: f64) {
        let words = self.axes(to.map(Some));
        if !words.is_empty() {
            let f = self.feed_word(feed);
            self.code(&format!("G1{words}{f}"));
        }
    }

    /// The words of the axes that move; the tool then stands there.
    fn axes(&mut self, to: [Option<i64>; 3]) -> String {
        let mut words = String::new();
        for (i, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            if let Some(n) = to[i]
                && self.at[i] != Some(n)
            {
                let _ = write!(words, " {letter}{}", self.number(n));
                self.at[i] = Some(n);
            }
        }
        words
    }

    fn arc(&mut self, to: P3, centre: P2, sweep: f64, feed: f64) {
        let [Some(x), Some(y), Some(z)] = self.at else { return };
        let here = [x as f64 / self.digits * self.unit_mm, y as f64 / self.digits * self.unit_mm];
        let from_z = z as f64 / self.digits * self.unit_mm;
        let v = [here[0] - centre[0], here[1] - centre[1]];
        let whole = Curve::arc(centre, libm::hypot(v[0], v[1]), libm::atan2(v[1], v[0]), sweep);
        let parts = split(&whole, self.controller.arcs);
        let n = parts.len();
        for (i, (p, is_line)) in parts.iter().enumerate() {
            let last = i + 1 == n;
            let t = if last { 1.0 } else { p.2 };
            let end = if last { [to[0], to[1]] } else { whole.at(t) };
            let end = self.counted3([end[0], end[1], from_z + t * (to[2] - from_z)]);
            if *is_line { self.line(end, feed) } else { self.turn(end, centre, p.1, feed) }
        }
    }

    /// One block of an arc of that sweep.
    fn turn(&mut self, to: [i64; 3], centre: P2, sweep: f64, feed: f64) {
        let [Some(x), Some(y), Some(z)] = self.at else { return };
        let full = sweep.abs() > 6.0;
        let (dx, dy) = ((to[0] - x) as f64, (to[1] - y) as f64);
        // A short arc whose ends round to one place would be read as a whole circle.
        if !full && libm::hypot(dx, dy) < 8.0 {
            return self.line(to, feed);
        }
        let to = if full { [x, y, to[2]] } else { to };
        let (i, j) = (self.counted(centre[0]) - x, self.counted(centre[1]) - y);
        let (i, j) = truest((i, j), (to[0] - x, to[1] - y));
        if i == 0 && j == 0 {
            return self.line(to, feed);
        }
        let z_word = if to[2] == z { String::new() } else { format!(" Z{}", self.number(to[2])) };
        let g = if sweep > 0.0 { "G3" } else { "G2" };
        let (xw, yw, iw, jw) = (self.number(to[0]), self.number(to[1]), self.number(i), self.number(j));
        let f = self.feed_word(feed);
        self.at = to.map(Some);
        self.code(&format!("{g} X{xw} Y{yw}{z_word} I{iw} J{jw}{f}"));
    }

    fn hole(&mut self, at: P2, bottom: f64, peck: f64, approach: f64, feed: f64) {
        let [x, y, z] = self.counted3([at[0], at[1], bottom]);
        let r = self.counted(approach);
        let n = (-bottom / peck - 1e-9).ceil().max(1.0);
        if self.controller.canned_cycles {
            let (xw, yw, zw, rw) = (self.number(x), self.number(y), self.number(z), self.number(r));
            let f = self.feed_word(feed);
            if n > 1.0 {
                let q = self.number(self.counted(peck));
                self.code(&format!("G99 G83 X{xw} Y{yw} Z{zw} R{rw} Q{q}{f}"));
            } else {
                self.code(&format!("G99 G81 X{xw} Y{yw} Z{zw} R{rw}{f}"));
            }
            self.code("G80");
            self.at = [Some(x), Some(y), Some(r)];
            return;
        }
        let mut k = 1.0;
        while k <= n {
            if k > 1.0 {
                // Down again to just above the floor that the last peck left.
                let above = self.counted(bottom * (k - 1.0) / n + 0.5);
                self.rapid([None, None, Some(above)]);
            }
            let floor = if k == n { z } else { self.counted(bottom * k / n) };
            self.line([x, y, floor], feed);
            self.rapid([None, None, Some(r)]);
            k += 1.0;
        }
    }

    #[expect(clippy::cast_possible_truncation, reason = "a coordinate within a machine's travel; saturates")]
    fn counted(&self, v: f64) -> i64 {
        (v / self.unit_mm * self.digits).round() as i64
    }

    fn counted3(&self, p: P3) -> [i64; 3] {
        p.map(|v| self.counted(v))
    }

    /// A whole number of last digits as a decimal with its point and no trailing zeros.
    fn number(&self, n: i64) -> String {
        decimal(n, self.places)
    }

    fn feed_word(&mut self, feed: f64) -> String {
        if self.feed == Some(feed) {
            return String::new();
        }
        self.feed = Some(feed);
        if self.inch { format!(" F{:.1}", feed / 25.4) } else { format!(" F{feed:.0}.") }
    }

    fn comment(&mut self, text: &str) {
        let most = self.controller.line_length.saturating_sub(2).max(20);
        let plain: String = text.chars().map(plain).collect::<String>().to_ascii_uppercase();
        let mut line = String::new();
        for word in plain.split_whitespace() {
            if !line.is_empty() && line.len() + 1 + word.len() > most {
                self.code(&format!("({line})"));
                line.clear();
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.extend(word.chars().take(most));
        }
        if !line.is_empty() {
            self.code(&format!("({line})"));
        }
    }

    fn code(&mut self, text: &str) {
        if self.controller.line_numbers {
            // Five digits at most; they may start again.
            self.line = if self.line >= 99_990 { 10 } else { self.line + 10 };
            let _ = write!(self.out, "N{} ", self.line);
        }
        self.out.push_str(text);
        self.out.push('\n');
    }
}

/// Of the centres within one last digit, the one from which start and end are most nearly as far. `to` is the end from
/// the start.
fn truest(centre: (i64, i64), to: (i64, i64)) -> (i64, i64) {
    let miss = |(i, j): (i64, i64)| {
        let (i, j) = (i as f64, j as f64);
        (libm::hypot(i, j) - libm::hypot(i - to.0 as f64, j - to.1 as f64)).abs()
    };
    // Well within 0.002 mm or 0.0002 in at the digits that programs have by default.
    if miss(centre) <= 1.0 {
        return centre;
    }
    let around = (-1..=1).flat_map(|a| (-1..=1).map(move |b| (centre.0 + a, centre.1 + b)));
    around.min_by(|a, b| miss(*a).total_cmp(&miss(*b))).unwrap_or(centre)
}

/// `(curve, sweep, end parameter of the whole)`.
type Piece = (Curve, f64, f64);

/// An arc in the pieces that a controller takes; the flag says that a piece is to be a straight line.
fn split(whole: &Curve, arcs: Arcs) -> Vec<(Piece, bool)> {
    use std::f64::consts::{FRAC_PI_2, PI, TAU};
    let Curve::Arc { radius, start, sweep, .. } = *whole else { return Vec::new() };
    let size = sweep.abs();
    let is_full = (size - TAU).abs() < 1e-9;
    let mut at: Vec<f64> = match arcs {
        Arcs::Whole if is_full || size <= 1.5 * PI => Vec::new(),
        // Nearly a whole turn: its ends may round to one place.
        Arcs::Whole | Arcs::Half => {
            if size > PI + 1e-9 {
                vec![0.5]
            } else {
                Vec::new()
            }
        }
        Arcs::Quadrant => {
            let first = if sweep > 0.0 { (start / FRAC_PI_2).floor() + 1.0 } else { (start / FRAC_PI_2).ceil() - 1.0 };
            (0..5)
                .map(|k| (FRAC_PI_2 * (first + f64::from(k) * sweep.signum()) - start) / sweep)
                .filter(|t| *t > 1e-6 && *t < 1.0 - 1e-6)
                .collect()
        }
        Arcs::None => {
            let step = 2.0 * libm::acos((1.0 - 0.002 / radius).max(0.0));
            let n = (size / step).ceil().max(1.0);
            let mut t = Vec::new();
            let mut k = 1.0;
            while k < n {
                t.push(k / n);
                k += 1.0;
            }
            t
        }
    };
    at.push(1.0);
    let mut from = 0.0;
    at.into_iter()
        .map(|t| {
            let piece = (whole.part(from, t), (t - from) * sweep, t);
            from = t;
            (piece, arcs == Arcs::None)
        })
        .collect()
}

/// `n` last digits with so many places: `-12.5`, `40.`, `0.`; never `-0.`.
fn decimal(n: i64, places: usize) -> String {
    let unit = 10_u64.pow(u32::try_from(places).unwrap_or(0));
    let (whole, rest) = (n.unsigned_abs() / unit, n.unsigned_abs() % unit);
    let sign = if n < 0 { "-" } else { "" };
    let rest = if places == 0 { String::new() } else { format!("{rest:0places$}") };
    format!("{sign}{whole}.{}", rest.trim_end_matches('0'))
}

/// What a comment may hold: ASCII, no parentheses, nothing that some controller reads as code.
const fn plain(c: char) -> char {
    match c {
        '×' => 'x',
        '–' | '—' | '−' => '-',
        '(' | ')' | '[' | ']' | ';' | '%' | '#' | '"' => ' ',
        c if c.is_ascii_whitespace() => ' ',
        c if c.is_ascii() && !c.is_ascii_control() => c,
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_no_minus_zero() {
        assert_eq!(decimal(0, 4), "0.");
        assert_eq!(decimal(-125_000, 4), "-12.5");
        assert_eq!(decimal(400_000, 4), "40.");
        assert_eq!(decimal(-1, 5), "-0.00001");
    }

    #[test]
    fn a_name_cannot_become_code() {
        let text = program(&["rail) G0 Z-50 (\nM3 ½ wide".into()], &[], &Machine::default(), Unit::Millimetre);
        assert_eq!(text.lines().next(), Some("(RAIL G0 Z-50 M3 ? WIDE)"));
    }
}
