//! The value of a parameter, and its kinds.

use std::fmt;

use measure::{Length, Unit};

use crate::formula::{Quantity, Ratio};
use crate::table::choice;

choice! {
    /// What a parameter is.
    pub enum Kind {
        /// A length, with its unit.
        Length = "length",
        /// A whole number of things.
        Count = "count",
        /// A plain number, such as a proportion.
        Number = "number",
        /// `true` or `false`.
        Switch = "switch",
        /// A word out of those that `of` lists.
        Choice = "choice",
        /// Any words, such as the name of a wood.
        Text = "text",
    }
}

/// The value of a parameter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// A whole number of things.
    Count(usize),
    /// A plain number.
    Number(Ratio),
    /// On or off.
    Switch(bool),
    /// The word of a choice, or a text.
    Word(String),
}

impl Value {
    /// What a formula reckons with; nothing for switches and words.
    pub fn quantity(&self) -> Option<Quantity> {
        match self {
            Self::Length(l) => Some(Quantity::from(*l)),
            Self::Count(n) => i64::try_from(*n).ok().map(|n| Quantity::Number(Ratio::whole(n))),
            Self::Number(r) => Some(Quantity::Number(*r)),
            Self::Switch(_) | Self::Word(_) => None,
        }
    }

    /// Its kind, with an article.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Length(_) => "a length",
            Self::Count(_) => "a count",
            Self::Number(_) => "a number",
            Self::Switch(_) => "a switch",
            Self::Word(_) => "a word",
        }
    }

    /// As a person reads it, exact: `42 in`, `4`, `true`, `white oak`.
    pub fn show(&self, unit: Unit) -> String {
        match self {
            Self::Length(l) => measure::exact(*l, unit),
            Self::Word(w) => w.clone(),
            Self::Count(n) => n.to_string(),
            Self::Number(r) => r.to_string(),
            Self::Switch(on) => on.to_string(),
        }
    }

    /// A bound as a person reads it: a length to 1/64 in or 0.1 mm, drawn in so that what is read is within the range.
    pub(crate) fn show_bound(&self, unit: Unit, bound: Bound) -> String {
        let Self::Length(length) = self else { return self.show(unit) };
        let step = match unit {
            Unit::Inch => measure::inches(1, 64).nm(),
            Unit::Millimetre => 100_000,
        };
        let down = length.nm().div_euclid(step) * step;
        let up = if down == length.nm() { down } else { down + step };
        measure::exact(Length::from_nm(if bound == Bound::Least { up } else { down }), unit)
    }

    /// As an order writes it: lengths and words in quotes.
    pub fn toml(&self, unit: Unit) -> String {
        match self {
            Self::Count(_) | Self::Switch(_) => self.show(unit),
            // A third has no decimal; it is written as the formula that it is.
            Self::Number(_) if !self.show(unit).contains('/') => self.show(unit),
            Self::Length(_) | Self::Number(_) | Self::Word(_) => quoted(&self.show(unit)),
        }
    }
}

/// Which end of a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bound {
    Least,
    Most,
}

/// A TOML text; a feet or inch mark, a backslash or a control character is escaped.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
