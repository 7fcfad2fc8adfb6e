//! Exact fractions, so that `width / 3 * 3` is `width` again. Every operation says when figures grow too long.

use std::cmp::Ordering;
use std::fmt;

/// A fraction in lowest terms; what is under the bar is positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    over: i128,
    under: i128,
}

impl Ratio {
    /// A whole number.
    pub const fn whole(n: i64) -> Self {
        Self { over: n as i128, under: 1 }
    }

    /// A fraction; nothing over zero, or for figures too long.
    pub fn new(over: i128, under: i128) -> Option<Self> {
        if under == 1 {
            return Some(Self { over, under });
        }
        if under == 0 || over == i128::MIN || under == i128::MIN {
            return None;
        }
        let divisor = gcd(over.abs(), under.abs()) * under.signum();
        Some(Self { over: over / divisor, under: under / divisor })
    }

    /// Reads `12`, `0.618`, `.5`, with a sign or not; nothing for other texts or more than 18 digits.
    pub fn from_decimal(text: &str) -> Option<Self> {
        let text = text.replace('_', "");
        let (negative, figures) = match text.strip_prefix(['-', '+']) {
            Some(rest) => (text.starts_with('-'), rest),
            None => (false, text.as_str()),
        };
        let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
        let digits = format!("{whole}{part}");
        if digits.is_empty() || digits.len() > 18 || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let over: i128 = digits.parse().ok()?;
        let under = part.bytes().fold(1, |u, _| u * 10);
        Self::new(if negative { -over } else { over }, under)
    }

    /// The sum.
    pub fn plus(self, o: Self) -> Option<Self> {
        if self.under == o.under {
            return Self::new(self.over.checked_add(o.over)?, self.under);
        }
        let over = self.over.checked_mul(o.under)?.checked_add(o.over.checked_mul(self.under)?)?;
        Self::new(over, self.under.checked_mul(o.under)?)
    }

    /// The difference.
    pub fn minus(self, o: Self) -> Option<Self> {
        self.plus(o.negated()?)
    }

    /// The product.
    pub fn times(self, o: Self) -> Option<Self> {
        Self::new(self.over.checked_mul(o.over)?, self.under.checked_mul(o.under)?)
    }

    /// The quotient; nothing if `o` is zero.
    pub fn over(self, o: Self) -> Option<Self> {
        Self::new(self.over.checked_mul(o.under)?, self.under.checked_mul(o.over)?)
    }

    /// With the other sign.
    pub fn negated(self) -> Option<Self> {
        Some(Self { over: self.over.checked_neg()?, under: self.under })
    }

    /// Whether it is nothing.
    pub const fn is_zero(self) -> bool {
        self.over == 0
    }

    /// How two compare; nothing for figures too long.
    pub fn compare(self, o: Self) -> Option<Ordering> {
        Some(self.over.checked_mul(o.under)?.cmp(&o.over.checked_mul(self.under)?))
    }

    /// The greatest whole number that is not above it.
    pub const fn floor(self) -> Self {
        Self { over: self.over.div_euclid(self.under), under: 1 }
    }

    /// The least whole number that is not below it.
    pub const fn ceiling(self) -> Self {
        let floor = self.over.div_euclid(self.under);
        Self { over: if self.under == 1 { floor } else { floor + 1 }, under: 1 }
    }

    /// The nearest whole number, halves up; nothing if it does not fit.
    pub fn rounded(self) -> Option<i64> {
        let doubled = self.over.checked_mul(2)?.checked_add(self.under)?;
        i64::try_from(doubled.div_euclid(self.under.checked_mul(2)?)).ok()
    }

    /// The whole number that it is, if it is one.
    pub fn as_whole(self) -> Option<i64> {
        if self.under == 1 { i64::try_from(self.over).ok() } else { None }
    }

    /// The nearest float.
    pub fn as_f64(self) -> f64 {
        self.over as f64 / self.under as f64
    }
}

/// As a decimal where that is exact to six places, as a fraction otherwise.
impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.under == 1 {
            return write!(f, "{}", self.over);
        }
        let places = (1..=6).find(|p| 10_i128.pow(*p) % self.under == 0);
        match places {
            Some(p) => write!(f, "{:.*}", p as usize, self.as_f64()),
            None => write!(f, "{}/{}", self.over, self.under),
        }
    }
}

const fn gcd(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(over: i128, under: i128) -> Ratio {
        Ratio::new(over, under).expect("small figures")
    }

    #[test]
    fn fractions_stay_exact_and_in_lowest_terms() {
        assert_eq!(ratio(1, 3).plus(ratio(1, 6)), Some(ratio(1, 2)));
        assert_eq!(ratio(1, 3).times(Ratio::whole(3)), Some(Ratio::whole(1)));
        assert_eq!(ratio(1, -2), ratio(-1, 2));
        assert_eq!(Ratio::whole(1).over(Ratio::whole(0)), None);
        assert_eq!(Ratio::whole(i64::MAX).times(Ratio::whole(i64::MAX)).and_then(|r| r.times(r)), None);
    }

    #[test]
    fn rounding_and_decimals() {
        assert_eq!(
            (ratio(-1, 2).floor(), ratio(5, 2).rounded(), ratio(-5, 2).rounded()),
            (Ratio::whole(-1), Some(3), Some(-2))
        );
        assert_eq!(Ratio::from_decimal("-0.125"), Some(ratio(-1, 8)));
        assert_eq!(Ratio::from_decimal("1e3"), None);
        assert_eq!((ratio(1, 8).to_string(), ratio(1, 3).to_string()), ("0.125".into(), "1/3".into()));
    }
}
