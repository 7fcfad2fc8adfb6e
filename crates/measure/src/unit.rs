//! The unit and the ruler that people read by, and how a length is printed to them.

use std::fmt;

use crate::Length;

/// The unit of an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Inches and their fractions.
    Inch,
    /// Millimetres and their decimals.
    Millimetre,
}

/// The finest division that the shop marks out; exact, and positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ruler {
    /// Its unit.
    pub unit: Unit,
    /// One division.
    pub step: Length,
}

/// A length as printed: the text without its unit, and whether the ruler rounded it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// `41 7/8`, `1063.6`.
    pub text: String,
    /// The figure is not exact.
    pub rounded: bool,
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
        })
    }
}

impl Ruler {
    /// Reads a length off the ruler: whole and fraction in lowest terms for inches, decimals without trailing zeros
    /// for millimetres.
    pub fn read(&self, length: Length) -> Reading {
        let near = length.rounded_to(self.step);
        let sign = if near.nm() < 0 { "-" } else { "" };
        let text = match self.unit {
            Unit::Inch => {
                let per_inch = crate::inches(1, 1).nm();
                let (whole, rest) = (near.nm().abs() / per_inch, near.nm().abs() % per_inch);
                let divisor = gcd(rest, per_inch);
                let (n, d) = (rest / divisor, per_inch / divisor);
                match (whole, n) {
                    (w, 0) => format!("{sign}{w}"),
                    (0, n) => format!("{sign}{n}/{d}"),
                    (w, n) => format!("{sign}{w} {n}/{d}"),
                }
            }
            Unit::Millimetre => {
                let (whole, rest) = (near.nm().abs() / 1_000_000, near.nm().abs() % 1_000_000);
                let decimals = format!("{rest:06}");
                let decimals = decimals.trim_end_matches('0');
                if decimals.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{decimals}") }
            }
        };
        Reading { text, rounded: near != length }
    }

    /// The reading with its unit: `41 7/8 in`, `1063.6 mm`.
    pub fn show(&self, length: Length) -> String {
        format!("{} {}", self.read(length).text, self.unit)
    }
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{inches, mm};

    #[test]
    fn inches_read_in_lowest_terms() {
        let r = Ruler { unit: Unit::Inch, step: inches(1, 64) };
        assert_eq!(r.show(inches(335, 8)), "41 7/8 in");
        assert_eq!(r.show(inches(-1, 4)), "-1/4 in");
        assert_eq!(r.read(mm(19)), Reading { text: "3/4".into(), rounded: true });
    }

    #[test]
    fn millimetres_drop_trailing_zeros() {
        let r = Ruler { unit: Unit::Millimetre, step: Length::from_nm(100_000) };
        assert_eq!(r.show(inches(335, 8)), "1063.6 mm");
        assert_eq!(r.show(mm(40)), "40 mm");
    }
}
