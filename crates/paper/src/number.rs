//! The one writer of coordinates: rounds first, so that it can print neither `-0` nor noise.

use std::fmt::Write as _;

/// A number to `places` decimals, without trailing zeros and never as `-0`.
pub fn number(value: f64, places: u32) -> String {
    let mut text = String::new();
    push(&mut text, value, places);
    text
}

/// Appends what [`number`] gives: a sheet has ten thousands of them.
#[expect(clippy::cast_possible_truncation, reason = "rounded; no sheet has coordinates near the end of an i64")]
pub(crate) fn push(text: &mut String, value: f64, places: u32) {
    let unit = 10_i64.pow(places);
    let n = (value * unit as f64).round() as i64;
    let (whole, mut rest) = (n.abs() / unit, n.abs() % unit);
    let sign = if n < 0 { "-" } else { "" };
    // Writing to a string cannot fail.
    let _ = write!(text, "{sign}{whole}");
    if rest == 0 {
        return;
    }
    let mut width = places as usize;
    while rest % 10 == 0 {
        (rest, width) = (rest / 10, width - 1);
    }
    let _ = write!(text, ".{rest:0width$}");
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn rounds_first() {
        assert_eq!(number(-0.0004, 3), "0");
        assert_eq!(number(-0.0006, 3), "-0.001");
        assert_eq!(number(12.5, 3), "12.5");
        assert_eq!(number(-3.0, 3), "-3");
        assert_eq!(number(0.07, 2), "0.07");
    }
}
