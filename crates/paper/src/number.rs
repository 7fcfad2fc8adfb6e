//! The one writer of coordinates: rounds first, so that it can print neither `-0` nor noise.

/// A number to `places` decimals, without trailing zeros and never as `-0`.
#[expect(clippy::cast_possible_truncation, reason = "rounded; no sheet has coordinates near the end of an i64")]
pub fn number(value: f64, places: u32) -> String {
    let unit = 10_i64.pow(places);
    let n = (value * unit as f64).round() as i64;
    let sign = if n < 0 { "-" } else { "" };
    let (whole, rest) = (n.abs() / unit, n.abs() % unit);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let decimals = format!("{rest:0width$}", width = places as usize);
    format!("{sign}{whole}.{}", decimals.trim_end_matches('0'))
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
