//! The moisture content that wood comes to in air of a temperature and humidity.

/// Air that wood stands in long enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature in °C.
    pub celsius: f64,
    /// Relative humidity in percent.
    pub humidity: f64,
}

/// `c[0] + c[1]·t + c[2]·t²`.
fn quadratic(c: [f64; 3], t: f64) -> f64 {
    c[0] + t * (c[1] + t * c[2])
}

impl Air {
    /// The equilibrium moisture content in percent.
    ///
    /// Wood Handbook (FPL-GTR-190), chapter 4, the sorption equation after Simpson 1973, with its coefficients for
    /// degrees Celsius: those for Fahrenheit are others, and must not be mixed with them.
    pub fn moisture(&self) -> f64 {
        let t = self.celsius;
        let w = quadratic([349.0, 1.29, 0.0135], t);
        let k = quadratic([0.805, 0.000_736, -0.000_002_73], t);
        let k1 = quadratic([6.27, -0.009_38, -0.000_303], t);
        let k2 = quadratic([1.91, 0.0407, -0.000_293], t);
        let kh = k * self.humidity / 100.0;
        let (first, second) = (k1 * kh, k1 * k2 * kh * kh);
        1800.0 / w * (kh / (1.0 - kh) + (first + 2.0 * second) / (1.0 + first + second))
    }
}
