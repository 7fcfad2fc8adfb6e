//! The bending of a shelf: deflection and stress of a straight beam, of one rectangle or of several glued side by side.
//!
//! Wood Handbook (FPL-GTR-190), chapter 9: eq. 9-2 for the deflection, 9-3 for the rectangle's moment of inertia, table
//! 9-1 for the constants. Shear is left out where the modulus is the tables' own, which has it in already.

/// What the first deflection of solid wood grows by under a load of years, as a factor (Wood Handbook, chapter 5, Creep).
pub const CREEP: f64 = 2.0;

/// True modulus of elasticity over that of the tables, which lets the bending alone account for the shear (table 5-3,
/// footnote c).
pub const TRUE_MODULUS: f64 = 1.10;

/// How a beam is loaded and held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loading {
    /// Evenly, on two supports.
    Even,
    /// Evenly, both ends clamped.
    EvenClamped,
    /// In the middle, on two supports.
    Centre,
    /// In the middle, both ends clamped.
    CentreClamped,
    /// In the outer quarter points, on two supports.
    Quarters,
    /// Evenly, one end clamped and the other free.
    EvenCantilever,
    /// At the free end.
    EndCantilever,
}

impl Loading {
    /// The constants of bending and of shear for the greatest deflection, or that of the middle (table 9-1).
    const fn constants(self) -> [f64; 2] {
        match self {
            Self::Even => [5.0 / 384.0, 1.0 / 8.0],
            Self::EvenClamped => [1.0 / 384.0, 1.0 / 8.0],
            Self::Centre => [1.0 / 48.0, 1.0 / 4.0],
            Self::CentreClamped => [1.0 / 192.0, 1.0 / 4.0],
            Self::Quarters => [11.0 / 768.0, 1.0 / 8.0],
            Self::EvenCantilever => [1.0 / 8.0, 1.0 / 2.0],
            Self::EndCantilever => [1.0 / 3.0, 1.0],
        }
    }

    /// The greatest bending moment as a share of load times span. Textbook statics, from memory.
    const fn moment(self) -> f64 {
        match self {
            Self::Even | Self::CentreClamped | Self::Quarters => 1.0 / 8.0,
            Self::EvenClamped => 1.0 / 12.0,
            Self::Centre => 1.0 / 4.0,
            Self::EvenCantilever => 1.0 / 2.0,
            Self::EndCantilever => 1.0,
        }
    }

    /// Deflection in mm under a total `load` in N over a span in mm by a stiffness E·I in N·mm², from bending.
    pub fn deflection(self, load: f64, span: f64, stiffness: f64) -> f64 {
        self.constants()[0] * load * span * span * span / stiffness
    }

    /// What shear adds, in mm, with the modulus of rigidity in MPa and the section's area in mm². Only for a true
    /// modulus of elasticity: that of the tables has it in already.
    pub fn shear(self, load: f64, span: f64, rigidity: f64, area: f64) -> f64 {
        self.constants()[1] * load * span / (rigidity * area * 5.0 / 6.0)
    }

    /// The greatest bending moment in N·mm.
    pub fn bending_moment(self, load: f64, span: f64) -> f64 {
        self.moment() * load * span
    }

    /// The span in mm at which a load of `per_mm` N/mm bends the beam by `share` of the span.
    pub fn span_at(self, share: f64, per_mm: f64, stiffness: f64) -> f64 {
        // δ = k·(w·L)·L³/EI = share·L
        libm::cbrt(share * stiffness / (self.constants()[0] * per_mm))
    }
}

/// A rectangle of a section, in mm: its width, and its lower and upper edge above any common level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Level.
    pub width: f64,
    /// Lower edge.
    pub low: f64,
    /// Upper edge.
    pub high: f64,
    /// Modulus of elasticity in GPa.
    pub modulus: f64,
}

/// The section of a beam: one strip, or several glued so that they bend together.
#[derive(Clone, Debug, PartialEq)]
pub struct Section(pub Vec<Strip>);

impl Section {
    /// One rectangle.
    pub fn rectangle(width: f64, depth: f64, modulus: f64) -> Self {
        Self(vec![Strip { width, low: 0.0, high: depth, modulus }])
    }

    /// E·A of each strip, and the height of its middle.
    fn weights(&self) -> impl Iterator<Item = (f64, f64, &Strip)> {
        self.0.iter().map(|s| (s.modulus * 1e3 * s.width * (s.high - s.low), (s.high + s.low) / 2.0, s))
    }

    /// The height of the neutral line.
    fn neutral(&self) -> f64 {
        let (sum, moment) = self.weights().fold((0.0, 0.0), |(a, m), (ea, z, _)| (a + ea, m + ea * z));
        if sum > 0.0 { moment / sum } else { 0.0 }
    }

    /// E·I about the neutral line, N·mm².
    pub fn stiffness(&self) -> f64 {
        let neutral = self.neutral();
        let own = |s: &Strip| {
            let h = s.high - s.low;
            s.modulus * 1e3 * s.width * h * h * h / 12.0
        };
        self.weights().map(|(ea, z, s)| own(s) + ea * (z - neutral) * (z - neutral)).sum()
    }

    /// The greatest bending stress in MPa under a moment in N·mm.
    pub fn stress(&self, moment: f64) -> f64 {
        let (neutral, stiffness) = (self.neutral(), self.stiffness());
        let far = |s: &Strip| (s.high - neutral).abs().max((s.low - neutral).abs());
        self.0.iter().map(|s| s.modulus * 1e3 * far(s) * moment / stiffness).fold(0.0, f64::max)
    }
}
