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
    /// A figure that it rounds is marked; where it rounds nearly all of them, that is said once instead.
    pub marks: bool,
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

    /// The reading, with a `~` before it if it was rounded and this ruler marks that.
    pub fn figure(&self, length: Length) -> String {
        let Reading { text, rounded } = self.read(length);
        if rounded && self.marks { format!("~{text}") } else { text }
    }

    /// How its figures are to be taken: a clause without a full stop.
    pub fn legend(&self) -> String {
        let step = self.show(self.step);
        if self.marks { format!("Read to {step}; ~ is rounded") } else { format!("Rounded to {step}") }
    }

    /// The reading with its unit: `41 7/8 in`, `1063.6 mm`.
    pub fn show(&self, length: Length) -> String {
        format!("{} {}", self.read(length).text, self.unit)
    }
}

/// A length without loss, in the unit if it can be told there by a ruler's fraction or by four decimals, in millimetres
/// otherwise: what an order would write, and what [`crate::parse()`] reads back as the same length.
pub fn exact(length: Length, unit: Unit) -> String {
    let sixty_fourth = crate::inches(1, 64);
    let ten_thousandth = crate::inches(1, 10_000);
    if unit == Unit::Inch {
        if length.nm() % sixty_fourth.nm() == 0 {
            return Ruler { unit, step: sixty_fourth, marks: true }.show(length);
        }
        if length.nm() % ten_thousandth.nm() == 0 {
            let n = length.nm() / ten_thousandth.nm();
            let sign = if n < 0 { "-" } else { "" };
            let text = format!("{sign}{}.{:04}", n.abs() / 10_000, n.abs() % 10_000);
            return format!("{} {unit}", text.trim_end_matches('0'));
        }
    }
    Ruler { unit: Unit::Millimetre, step: Length::from_nm(1), marks: true }.show(length)
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
        let r = Ruler { unit: Unit::Inch, step: inches(1, 64), marks: true };
        assert_eq!(r.show(inches(335, 8)), "41 7/8 in");
        assert_eq!(r.show(inches(-1, 4)), "-1/4 in");
        assert_eq!(r.read(mm(19)), Reading { text: "3/4".into(), rounded: true });
    }

    #[test]
    fn a_rounded_figure_is_marked_unless_all_are_said_to_be() {
        let mut r = Ruler { unit: Unit::Millimetre, step: Length::from_nm(500_000), marks: true };
        assert_eq!([r.figure(inches(3, 8)), r.figure(mm(9))], ["~9.5", "9"]);
        assert_eq!(r.legend(), "Read to 0.5 mm; ~ is rounded");
        r.marks = false;
        assert_eq!([r.figure(inches(3, 8)), r.figure(mm(9))], ["9.5", "9"]);
        assert_eq!(r.legend(), "Rounded to 0.5 mm");
    }

    #[test]
    fn an_exact_text_says_neither_more_nor_less() {
        assert_eq!(exact(inches(335, 8), Unit::Inch), "41 7/8 in");
        assert_eq!(exact(inches(-1, 10), Unit::Inch), "-0.1 in");
        assert_eq!(exact(mm(19), Unit::Inch), "19 mm");
        assert_eq!(exact(inches(1, 64), Unit::Millimetre), "0.396875 mm");
    }

    #[test]
    fn millimetres_drop_trailing_zeros() {
        let r = Ruler { unit: Unit::Millimetre, step: Length::from_nm(100_000), marks: true };
        assert_eq!(r.show(inches(335, 8)), "1063.6 mm");
        assert_eq!(r.show(mm(40)), "40 mm");
    }
}
