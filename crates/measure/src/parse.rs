//! Lengths as people write them: `41 7/8 in`, `41-7/8"`, `3' 5 7/8"`, `1064 mm`, `106.4cm`, `.5in`.
//!
//! A length always carries its unit. A fraction has no space round its bar, so that a formula's `width / 4` stays a
//! division; a hyphen joins a whole number and a fraction, or feet and inches, only where no space stands beside it.
//! What is not a whole number of nanometres is rounded to the nearest.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use crate::Length;

/// Longer than anything that a case is built of; keeps all later sums far from overflow.
pub const LONGEST: Length = crate::mm(100_000);

/// Units as they are written, with their length in nanometres.
const UNITS: [(&str, i64); 7] = [
    ("in", 25_400_000),
    ("\"", 25_400_000),
    ("ft", 304_800_000),
    ("'", 304_800_000),
    ("mm", 1_000_000),
    ("cm", 10_000_000),
    ("m", 1_000_000_000),
];

/// More digits than any ruler has; keeps the fraction below inside 128 bits.
const MOST_DIGITS: usize = 12;

/// Why a text is not a length, and where in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// Bytes of the text.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub why: Why,
}

/// What is wrong with a text that should be a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It does not start with a figure.
    NoFigure,
    /// A figure without its unit.
    NoUnit,
    /// A unit that is not known.
    UnknownUnit,
    /// A fraction with nothing under its bar.
    OverZero,
    /// More digits than can be told apart.
    TooManyDigits,
    /// Longer than [`LONGEST`].
    TooLong,
    /// A length, and then something else.
    Trailing,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoFigure => "a length starts with a figure",
            Self::NoUnit => "a length needs its unit",
            Self::UnknownUnit => "unknown unit",
            Self::OverZero => "a fraction over zero",
            Self::TooManyDigits => "more digits than a length can have",
            Self::TooLong => "longer than 100 m",
            Self::Trailing => "more text after the length",
        })
    }
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.why.fmt(f)
    }
}

impl std::error::Error for Misread {}

impl FromStr for Length {
    type Err = Misread;
    fn from_str(text: &str) -> Result<Self, Misread> {
        parse(text)
    }
}

/// Reads a whole text as a length, spaces around it and a minus before it allowed.
///
/// # Errors
/// Says what is wrong, and where.
///
/// ```
/// assert_eq!(measure::parse("3' 5 7/8\""), Ok(measure::inches(335, 8)));
/// assert_eq!(measure::parse("106.4cm"), Ok(measure::mm(1064)));
/// assert_eq!(measure::parse("12").unwrap_err().why, measure::Why::NoUnit);
/// ```
pub fn parse(text: &str) -> Result<Length, Misread> {
    let end = text.trim_end().len();
    let start = end - text[..end].trim_start().len();
    let negative = text[start..end].starts_with('-');
    let mut from = start + usize::from(negative);
    from += text[from..end].len() - text[from..end].trim_start().len();
    let shift = |m: Misread| Misread { at: m.at.start + from..m.at.end + from, why: m.why };
    let body = &text[from..end];
    let Some((length, used)) = literal(body).map_err(shift)? else {
        return Err(shift(why_none(body)));
    };
    if used < body.len() {
        return Err(Misread { at: from + used..end, why: Why::Trailing });
    }
    Ok(if negative { -length } else { length })
}

/// The length that a text begins with, and how many bytes it takes; nothing if it does not begin with one.
///
/// # Errors
/// If it begins with a length that cannot be: a fraction over zero, too many digits, too long.
pub fn literal(text: &str) -> Result<Option<(Length, usize)>, Misread> {
    let Some((figure, figure_end)) = figure(text)? else { return Ok(None) };
    let Some((per_unit, mut end)) = unit(text, figure_end) else { return Ok(None) };
    let mut nm = figure.times(per_unit);
    if matches!(text[figure_end..end].trim_start(), "'" | "ft")
        && let Some((more, more_end)) = inches_after_feet(text, end)?
    {
        nm += more;
        end = more_end;
    }
    if nm > i128::from(LONGEST.nm()) {
        return Err(Misread { at: 0..end, why: Why::TooLong });
    }
    let nm = i64::try_from(nm).unwrap_or(i64::MAX);
    Ok(Some((Length::from_nm(nm), end)))
}

/// `5 7/8"` after `3'`, with a space, a hyphen or nothing between.
fn inches_after_feet(text: &str, from: usize) -> Result<Option<(i128, usize)>, Misread> {
    let rest = &text[from..];
    let joined = rest.strip_prefix('-').unwrap_or_else(|| rest.trim_start());
    let start = text.len() - joined.len();
    let shift = |m: Misread| Misread { at: m.at.start + start..m.at.end + start, why: m.why };
    let Some((figure, figure_end)) = figure(joined).map_err(shift)? else { return Ok(None) };
    let Some((per_unit, end)) = unit(joined, figure_end) else { return Ok(None) };
    let in_inches = matches!(joined[figure_end..end].trim_start(), "\"" | "in");
    Ok(in_inches.then(|| (figure.times(per_unit), start + end)))
}

/// A figure as a fraction of small whole numbers.
struct Figure {
    over: i128,
    under: i128,
}

impl Figure {
    /// Multiplied by whole nanometres, rounded to the nearest.
    const fn times(&self, nm: i64) -> i128 {
        (self.over * nm as i128 + self.under / 2) / self.under
    }
}

/// `41 7/8`, `41-7/8`, `7/8`, `41`, `106.4`, `.5` at the start of the text, and where it ends.
fn figure(text: &str) -> Result<Option<(Figure, usize)>, Misread> {
    let whole_end = digits(text, 0);
    if whole_end > 0 {
        if let Some((over, under, end)) = fraction(text, 0)? {
            return Ok(Some((Figure { over, under }, end)));
        }
        let spaced = whole_end + text[whole_end..].bytes().take_while(|b| *b == b' ').count();
        let joined = if text[whole_end..].starts_with('-') { whole_end + 1 } else { spaced };
        if joined > whole_end
            && let Some((over, under, end)) = fraction(text, joined)?
        {
            let whole = number(text, 0..whole_end)?;
            return Ok(Some((Figure { over: whole * under + over, under }, end)));
        }
    }
    let mut end = whole_end;
    let mut places = 0;
    if text[whole_end..].starts_with('.') && digits(text, whole_end + 1) > whole_end + 1 {
        end = digits(text, whole_end + 1);
        places = end - whole_end - 1;
    }
    if end == 0 {
        return Ok(None);
    }
    let whole = if whole_end == 0 { 0 } else { number(text, 0..whole_end)? };
    let part = if places == 0 { 0 } else { number(text, whole_end + 1..end)? };
    let under = (0..places).fold(1_i128, |u, _| u * 10);
    Ok(Some((Figure { over: whole * under + part, under }, end)))
}

/// `7/8` at `from`.
fn fraction(text: &str, from: usize) -> Result<Option<(i128, i128, usize)>, Misread> {
    let over_end = digits(text, from);
    if over_end == from || !text[over_end..].starts_with('/') {
        return Ok(None);
    }
    let under = over_end + 1..digits(text, over_end + 1);
    // Only a fraction that a unit follows is part of a length; `1/0` elsewhere is a formula's own division.
    if under.is_empty() || unit(text, under.end).is_none() {
        return Ok(None);
    }
    let figures = (number(text, from..over_end)?, number(text, under.clone())?);
    if figures.1 == 0 {
        return Err(Misread { at: from..under.end, why: Why::OverZero });
    }
    Ok(Some((figures.0, figures.1, under.end)))
}

fn number(text: &str, at: Range<usize>) -> Result<i128, Misread> {
    let figures = &text[at.clone()];
    let significant = figures.trim_start_matches('0');
    if figures.len() > MOST_DIGITS * 2 || significant.len() > MOST_DIGITS {
        return Err(Misread { at, why: Why::TooManyDigits });
    }
    Ok(significant.bytes().fold(0, |n, b| n * 10 + i128::from(b - b'0')))
}

/// The unit after a figure, a space between them or not: its nanometres, and where it ends.
fn unit(text: &str, from: usize) -> Option<(i64, usize)> {
    let start = from + text[from..].bytes().take_while(|b| *b == b' ').count();
    let rest = &text[start..];
    let word = rest.bytes().take_while(|b| b.is_ascii_alphanumeric() || *b == b'_').count();
    let end = if word == 0 { usize::from(rest.starts_with(['"', '\''])) } else { word };
    let (_, nm) = UNITS.iter().find(|(name, _)| *name == &rest[..end])?;
    Some((*nm, start + end))
}

fn digits(text: &str, from: usize) -> usize {
    from + text[from..].bytes().take_while(u8::is_ascii_digit).count()
}

/// Why a whole text begins with no length.
fn why_none(text: &str) -> Misread {
    let figures = text.find(|c: char| !(c.is_ascii_digit() || " .-/".contains(c))).unwrap_or(text.len());
    let after = text[..figures].trim_end().len();
    match (after, text.len() - figures) {
        (0, _) => Misread { at: 0..text.len(), why: Why::NoFigure },
        (_, 0) => Misread { at: 0..text.len(), why: Why::NoUnit },
        _ => Misread { at: figures..text.len(), why: Why::UnknownUnit },
    }
}

/// Units as a message lists them.
pub const UNIT_WORDS: &str = "`in`, `ft`, `mm`, `cm` or `m`";

/// Whether a word is a unit, and so cannot name anything else.
pub fn is_unit(word: &str) -> bool {
    UNITS.iter().any(|(name, _)| *name == word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{inches, mm};

    #[test]
    fn lengths_as_people_write_them() {
        for (text, length) in [
            ("41 7/8 in", inches(335, 8)),
            ("41-7/8\"", inches(335, 8)),
            ("3' 5 7/8\"", inches(335, 8)),
            ("3'-5 7/8\"", inches(335, 8)),
            ("3 ft 5 7/8 in", inches(335, 8)),
            ("3'", inches(36, 1)),
            ("1064 mm", mm(1064)),
            ("106.4cm", mm(1064)),
            ("1.2 m", mm(1200)),
            ("3/4 in", inches(3, 4)),
            (".5in", inches(1, 2)),
            (" - 1/4 in ", inches(-1, 4)),
            ("0.0625 in", inches(1, 16)),
            ("1/3 in", Length::from_nm(8_466_667)),
        ] {
            assert_eq!(parse(text), Ok(length), "{text}");
        }
    }

    #[test]
    fn what_is_no_length_is_told_by_place_and_reason() {
        for (text, at, why) in [
            ("12", 0..2, Why::NoUnit),
            ("41 7/8", 0..6, Why::NoUnit),
            ("12 inch", 3..7, Why::UnknownUnit),
            ("1,5 in", 1..6, Why::UnknownUnit),
            ("", 0..0, Why::NoFigure),
            ("wide", 0..4, Why::NoFigure),
            (" 1/0 in", 1..4, Why::OverZero),
            ("3 1/0 in", 2..5, Why::OverZero),
            ("101 m", 0..5, Why::TooLong),
            ("12 in wide", 5..10, Why::Trailing),
            ("1234567890123 mm", 0..13, Why::TooManyDigits),
        ] {
            assert_eq!(parse(text), Err(Misread { at, why }), "{text}");
        }
    }

    #[test]
    fn a_literal_ends_where_the_formula_goes_on() {
        assert_eq!(literal("3/4 in - width"), Ok(Some((inches(3, 4), 6))));
        assert_eq!(literal("3 ft - 5 in"), Ok(Some((inches(36, 1), 4))));
        assert_eq!(literal("1/2 * width"), Ok(None));
        assert_eq!(literal("3 inset"), Ok(None));
        assert_eq!(literal("1/0"), Ok(None));
    }
}
