//! Pseudo-random numbers for the searches: the same seed gives the same run on every machine. Not for secrets.

/// A `SplitMix64` generator (Steele, Lea & Flood 2014, OOPSLA).
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    /// A stream of its own for each seed and worker.
    pub(crate) const fn new(seed: u64, worker: u64) -> Self {
        Self(seed ^ worker.wrapping_mul(0xD1B5_4A32_D192_ED03).wrapping_add(0x8CB9_2BA7_2F3D_8DD7))
    }

    /// The next 64 bits.
    pub(crate) const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from 0 to `n` − 1; 0 for `n` = 0.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        let wide = u128::from(self.bits()) * (n as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// From 0 inclusive to 1 exclusive.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
