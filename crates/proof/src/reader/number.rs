//! Decimal numbers as RS-274 writes them (NISTIR 6556, 3.3.2.1): a sign, digits with at most one point, spaces anywhere.
//!
//! The value is the `f64` nearest to the decimal, always. Nearly every number takes the short way: a whole number below
//! 2^53 divided by a power of ten up to 10^22, both exact, is rounded once and therefore right.

use super::fault::Kind;

/// A number as written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number {
    /// Its value; never a negative zero.
    pub value: f64,
    /// It is bare digits: neither sign nor point.
    pub bare: bool,
    /// It has a decimal point.
    pub point: bool,
    /// How many digits it has.
    pub digits: u32,
}

const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// Reads the number of the word `letter` that begins at `at`; gives it and the place after it, or the fault and its
/// place.
#[inline]
pub(super) fn number(line: &[u8], at: usize, letter: char) -> Result<(Number, usize), (Kind, usize)> {
    let mut i = at;
    let mut whole: u64 = 0;
    let (mut digits, mut decimals) = (0_u32, 0_u32);
    let (mut signed, mut negative, mut point) = (false, false, false);
    while let Some(&b) = line.get(i) {
        match b {
            b'0'..=b'9' => {
                // Beyond 18 digits `whole` no longer counts: the long way reads the text again.
                if digits < 18 {
                    whole = whole * 10 + u64::from(b - b'0');
                }
                digits += 1;
                decimals += u32::from(point);
            }
            b'.' if point => return Err((Kind::TwoPoints(letter), i)),
            b'.' => point = true,
            b' ' | b'\t' => {}
            b'+' | b'-' if !signed && !point && digits == 0 => {
                signed = true;
                negative = b == b'-';
            }
            b'#' => return Err((Kind::Parameter, i)),
            b'[' => return Err((Kind::Expression, i)),
            _ => break,
        }
        i += 1;
    }
    if digits == 0 {
        return Err((Kind::NoDigits(letter), at.saturating_sub(1)));
    }
    let magnitude = if digits <= 15 { whole as f64 / POWERS[decimals as usize] } else { long(&line[at..i]) };
    let value = if negative { 0.0 - magnitude } else { magnitude };
    Ok((Number { value, bare: !signed && !point, point, digits }, i))
}

/// The long way: the text without sign and spaces, read by the standard library, which rounds right at any length.
#[cold]
fn long(text: &[u8]) -> f64 {
    let mut plain = [0_u8; 256];
    let mut n = 0;
    for &b in text.iter().filter(|b| b.is_ascii_digit() || **b == b'.').take(plain.len()) {
        plain[n] = b;
        n += 1;
    }
    std::str::from_utf8(&plain[..n]).ok().and_then(|s| s.parse().ok()).unwrap_or(f64::INFINITY)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn legal_forms() {
        // NISTIR 6556, 3.3.2.1 and its example of spaces within a number (3.3).
        for (text, value) in
            [("5", 5.0), ("5.", 5.0), (".5", 0.5), ("-.5", -0.5), ("+0.5", 0.5), ("+0. 12 34", 0.1234), ("- 7 ", -7.0)]
        {
            let (n, end) = number(text.as_bytes(), 0, 'X').unwrap();
            assert_eq!((n.value, end), (value, text.len()), "{text}");
        }
    }

    #[test]
    fn minus_zero_is_zero() {
        assert!(number(b"-0.000", 0, 'X').unwrap().0.value.is_sign_positive());
    }

    #[test]
    fn illegal_forms() {
        for (text, kind) in [
            ("", Kind::NoDigits('X')),
            (".", Kind::NoDigits('X')),
            ("--1", Kind::NoDigits('X')),
            ("1.2.3", Kind::TwoPoints('X')),
            ("#1", Kind::Parameter),
            ("[1]", Kind::Expression),
        ] {
            assert_eq!(number(text.as_bytes(), 0, 'X').unwrap_err().0, kind, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_decimal_is_the_nearest_float(sign in "[+-]?", whole in "[0-9]{0,24}", decimals in "[0-9]{1,30}") {
            let text = format!("{sign}{whole}.{decimals}");
            let (n, _) = number(text.as_bytes(), 0, 'X').unwrap();
            let expected: f64 = text.parse().unwrap();
            proptest::prop_assert_eq!(n.value, expected);
        }
    }
}
