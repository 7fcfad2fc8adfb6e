//! A species, a sheet good, and what each does: movement across the grain, density.

/// Shrinkage begins below this moisture content, in percent (Wood Handbook, chapter 13).
pub const FIBRE_SATURATION: f64 = 30.0;

/// Moisture contents between which the coefficients of dimensional change hold (Wood Handbook, table 13-5).
const COEFFICIENTS_HOLD: [f64; 2] = [6.0, 14.0];

/// How a board was sawn: which way the year rings stand to its face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sawn {
    /// Flat-sawn: its width lies along the rings and moves most.
    #[default]
    Flat,
    /// Quarter-sawn: its width lies across the rings and moves least.
    Quarter,
}

/// A wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Species {
    /// As the trade calls it.
    pub name: String,
    /// Other names.
    pub also: Vec<String>,
    /// Ovendry mass over the volume at 12 %.
    pub gravity: f64,
    /// Modulus of elasticity in bending at 12 %, GPa; what shear adds to a bend is in it.
    pub modulus: f64,
    /// Modulus of rupture at 12 %, MPa.
    pub rupture: f64,
    /// Radial, tangential and volumetric shrinkage from green to ovendry, in percent.
    pub shrinkage: [f64; 3],
    /// Radial and tangential coefficients of dimensional change, for each percent of moisture content.
    pub coefficients: [f64; 2],
    /// Where the figures are from.
    pub source: String,
}

/// A sheet good. It is taken not to move.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// As the trade calls it.
    pub name: String,
    /// Other names.
    pub also: Vec<String>,
    /// kg/m³.
    pub density: f64,
    /// Modulus of elasticity in bending, the face grain along the span, GPa.
    pub modulus: f64,
    /// Modulus of rupture, MPa.
    pub rupture: f64,
    /// What the first deflection grows by under a load of years, as a factor.
    pub creep: f64,
    /// Where the figures are from.
    pub source: String,
}

impl Species {
    /// How much the width of a board changes between two moisture contents, as a share of the width at the first.
    ///
    /// Between 6 and 14 % by the coefficient of dimensional change (Wood Handbook, eq. 13-2), elsewhere by the total
    /// shrinkage (eq. 13-3). Along the grain wood is taken not to move.
    pub fn change(&self, sawn: Sawn, from: f64, to: f64) -> f64 {
        self.change_in(usize::from(sawn == Sawn::Flat), from, to)
    }

    /// The same for a board's thickness, which lies the other way of the rings.
    pub fn change_of_thickness(&self, sawn: Sawn, from: f64, to: f64) -> f64 {
        self.change_in(usize::from(sawn == Sawn::Quarter), from, to)
    }

    fn change_in(&self, direction: usize, from: f64, to: f64) -> f64 {
        let [from, to] = [from, to].map(|m| m.clamp(0.0, FIBRE_SATURATION));
        let [low, high] = COEFFICIENTS_HOLD;
        if (low..=high).contains(&from) && (low..=high).contains(&to) {
            return self.coefficients[direction] * (to - from);
        }
        by_shrinkage(self.shrinkage[direction], from, to)
    }

    /// kg/m³ at a moisture content: the wood and its water, the volume that it has then (Wood Handbook, eq. 4-12).
    pub fn density(&self, moisture: f64) -> f64 {
        let volume = |m: f64| 1.0 - self.shrinkage[2] / 100.0 * (FIBRE_SATURATION - m) / FIBRE_SATURATION;
        let gravity = self.gravity * volume(12.0) / volume(moisture.min(FIBRE_SATURATION));
        1000.0 * gravity * (1.0 + moisture / 100.0)
    }
}

/// Wood Handbook, eq. 13-3: the change by the total shrinkage `s` in percent, as a share of the first dimension.
fn by_shrinkage(s: f64, from: f64, to: f64) -> f64 {
    (to - from) / (FIBRE_SATURATION * 100.0 / s - FIBRE_SATURATION + from)
}

/// The coefficient of dimensional change that belongs to a total shrinkage: a straight line from fibre saturation, told
/// of the dimension at 10 %. Reproduces table 13-5 where a single species is meant.
pub(crate) fn coefficient(s: f64) -> f64 {
    by_shrinkage(s, 10.0, 11.0)
}

/// The specific gravity at 12 % by that over the green volume.
pub(crate) fn gravity_at_12(green: f64, volumetric: f64) -> f64 {
    green / (1.0 - volumetric / 100.0 * (FIBRE_SATURATION - 12.0) / FIBRE_SATURATION)
}
