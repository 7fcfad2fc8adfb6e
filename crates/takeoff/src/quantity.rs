//! Volumes and areas, and the board foot. Floats: nothing is cut to a volume.

use case::Form;
use measure::{Length, Unit};

/// How much wood, sheet or glass.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Quantity {
    /// Cubic metres; zero for sheet and glass.
    pub cubic_metres: f64,
    /// Square metres of face.
    pub square_metres: f64,
}

const METRES_PER_FOOT: f64 = 0.3048;

impl Quantity {
    /// `count` pieces of solid wood.
    pub fn solid(count: usize, thickness: Length, width: Length, length: Length) -> Self {
        let face = Self::sheet(count, width, length).square_metres;
        Self { cubic_metres: face * thickness.mm() * 1e-3, square_metres: face }
    }

    /// `count` pieces that are charged by their face.
    pub fn sheet(count: usize, width: Length, length: Length) -> Self {
        Self { square_metres: length.mm() * width.mm() * 1e-6 * count as f64, cubic_metres: 0.0 }
    }

    /// Board feet: 144 in³ each, a foot square and an inch thick.
    ///
    /// Stock under 1 in counts as 1 in thick (C. Noyes, "Handwork in Wood" (1910), p. 48); that comes of itself, as
    /// the thinnest board of the ladder is 4/4.
    pub fn board_feet(&self) -> f64 {
        self.cubic_metres / (METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT / 12.0)
    }

    /// Square feet of face.
    pub fn square_feet(&self) -> f64 {
        self.square_metres / (METRES_PER_FOOT * METRES_PER_FOOT)
    }

    /// The figure that people of this unit buy by, without its unit.
    pub fn figure(&self, form: Form, unit: Unit) -> String {
        match (form, unit) {
            (Form::Solid, Unit::Inch) => format!("{:.1}", self.board_feet()),
            (Form::Solid, Unit::Millimetre) => format!("{:.4}", self.cubic_metres),
            (Form::Sheet, Unit::Inch) => format!("{:.1}", self.square_feet()),
            (Form::Sheet, Unit::Millimetre) => format!("{:.2}", self.square_metres),
        }
    }
}

/// What people of this unit buy by.
pub const fn bought_by(form: Form, unit: Unit) -> &'static str {
    match (form, unit) {
        (Form::Solid, Unit::Inch) => "board ft",
        (Form::Solid, Unit::Millimetre) => "m³",
        (Form::Sheet, Unit::Inch) => "sq ft",
        (Form::Sheet, Unit::Millimetre) => "m²",
    }
}

impl std::ops::AddAssign for Quantity {
    fn add_assign(&mut self, o: Self) {
        self.cubic_metres += o.cubic_metres;
        self.square_metres += o.square_metres;
    }
}

impl std::iter::Sum for Quantity {
    fn sum<I: Iterator<Item = Self>>(it: I) -> Self {
        it.fold(Self::default(), |mut sum, q| {
            sum += q;
            sum
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::inches;

    /// The first eleven rows of the oak list of a china closet in H. H. Windsor, "Mission Furniture", part 2 (1910),
    /// p. 47: count, thickness, width, length in 1/4 in. The sums are worked out from it: 31.225 net, and 43.939
    /// with everything under 1 in counted as 1 in.
    const CHINA_CLOSET: [(usize, i64, i64, i64); 11] = [
        (4, 8, 8, 216),
        (2, 3, 63, 158),
        (2, 3, 62, 152),
        (2, 3, 20, 60),
        (2, 3, 17, 60),
        (1, 3, 12, 160),
        (1, 3, 9, 160),
        (4, 3, 7, 174),
        (4, 3, 8, 76),
        (4, 3, 6, 158),
        (5, 2, 32, 186),
    ];

    #[test]
    fn a_published_list_sums_up_net_and_as_it_is_charged() {
        let sum = |charged: fn(Length) -> Length| -> Quantity {
            let piece = |&(n, t, w, l): &(usize, i64, i64, i64)| {
                Quantity::solid(n, charged(inches(t, 4)), inches(w, 4), inches(l, 4))
            };
            CHINA_CLOSET.iter().map(piece).sum()
        };
        let net = sum(|t| t).board_feet();
        assert!((net - 31.225).abs() < 0.0005, "{net}");
        let charged = sum(|t| t.max(inches(1, 1)));
        assert!((charged.board_feet() - 43.939).abs() < 0.0005, "{}", charged.board_feet());
    }

    /// T (in) × W (in) × L (ft) / 12, the yard's form of the same rule.
    #[test]
    fn eight_quarter_stock_counts_by_its_thickness() {
        let bf = Quantity::solid(1, inches(2, 1), inches(6, 1), inches(96, 1)).board_feet();
        assert!((bf - 2.0 * 6.0 * 8.0 / 12.0).abs() < 1e-12);
    }

    #[test]
    fn a_square_foot_is_a_square_foot() {
        assert!((Quantity::sheet(2, inches(12, 1), inches(24, 1)).square_feet() - 4.0).abs() < 1e-12);
    }
}
