//! The exact length: a newtype over nanometres, its arithmetic, and its constructors.
//!
//! There is no `From<number>`: the unit is always spelt at the call.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A length, exact to the nanometre.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

const NM_PER_MM: i64 = 1_000_000;
const NM_PER_INCH: i64 = 25_400_000;

/// `n` whole millimetres.
pub const fn mm(n: i64) -> Length {
    Length(n * NM_PER_MM)
}

/// `n/d` inches; `d` is a power of two up to 128, or any other divisor of 25 400 000.
pub const fn inches(n: i64, d: i64) -> Length {
    Length(n * NM_PER_INCH / d)
}

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// From whole nanometres.
    pub const fn from_nm(nm: i64) -> Self {
        Self(nm)
    }

    /// Whole nanometres.
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// Millimetres, rounded to the nearest nanometre. For lengths that come off a curve; sizes stay exact.
    #[expect(clippy::cast_possible_truncation, reason = "rounded, and saturating is what an absurd length deserves")]
    pub fn from_mm(mm: f64) -> Self {
        Self((mm * NM_PER_MM as f64).round() as i64)
    }

    /// Millimetres as a float: exact to 1e-9 relative, for curves, areas and drawing.
    pub fn mm(self) -> f64 {
        self.0 as f64 / NM_PER_MM as f64
    }

    /// Inches as a float.
    pub fn inches(self) -> f64 {
        self.0 as f64 / NM_PER_INCH as f64
    }

    /// The absolute value.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Half, rounded down to the nanometre; `self - self.half()` is the other half, so the two always close.
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// Shares the length out in `n` parts that differ by one nanometre at most and sum exactly to it.
    pub fn shared(self, n: usize) -> Vec<Self> {
        let n_i = i64::try_from(n).unwrap_or(i64::MAX);
        (0..n_i).map(|i| Self(self.0 * (i + 1) / n_i - self.0 * i / n_i)).collect()
    }

    /// The nearest multiple of `step` (halves go up); `step` must be positive.
    pub fn rounded_to(self, step: Self) -> Self {
        Self(self.0.saturating_add(step.0 / 2).div_euclid(step.0).saturating_mul(step.0))
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}mm", self.mm())
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0)
    }
}
impl Sub for Length {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self(self.0 - o.0)
    }
}
impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, k: i64) -> Self {
        Self(self.0 * k)
    }
}
impl Div<i64> for Length {
    type Output = Self;
    /// Rounds down to the nanometre; use [`Length::shared`] where the parts must sum up.
    fn div(self, k: i64) -> Self {
        Self(self.0.div_euclid(k))
    }
}
impl AddAssign for Length {
    fn add_assign(&mut self, o: Self) {
        self.0 += o.0;
    }
}
impl SubAssign for Length {
    fn sub_assign(&mut self, o: Self) {
        self.0 -= o.0;
    }
}
impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(it: I) -> Self {
        it.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_sixty_fourth_of_an_inch_and_one_micrometre_are_whole() {
        assert_eq!(inches(1, 64).nm(), 396_875);
        assert_eq!(Length::from_mm(0.001).nm(), 1_000);
    }

    #[test]
    fn shares_close() {
        let l = inches(100, 3);
        assert_eq!(l.shared(7).into_iter().sum::<Length>(), l);
    }
}
