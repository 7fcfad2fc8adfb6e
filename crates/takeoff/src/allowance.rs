//! What is added to a finished size: the one place of every allowance.
//!
//! Both ladders of board thickness say what a rough board yields once both faces are planed.

use measure::{Length, Unit, inches, mm};

/// A thickness in which boards are sold, and the thickest piece that it yields.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rung {
    /// As the yard calls it: `5/4`, `34 mm`.
    pub name: &'static str,
    /// Its thickness in the rough.
    pub nominal: Length,
    /// What is left when it is planed on two faces.
    pub yields: Length,
}

/// The allowances of a unit system: inches for those who read inches, millimetres for those who read millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Allowances {
    /// Added to the length of a solid part.
    pub length: Length,
    /// Added to the width of a solid part, once for each board that it is glued up from.
    pub width: Length,
    /// A solid part wider than this is glued up from several boards.
    pub widest_board: Length,
    /// Added to each length of running stock, for the saw and a clean end.
    pub strip_end: Length,
    /// Added to both sizes of a sheet part.
    pub sheet: Length,
    /// Rough sizes are rounded up to a multiple of this.
    pub step: Length,
    /// The boards.
    pub ladder: &'static [Rung],
}

/// Added to the rough volume for knots, sapwood and bad ends, in hundredths.
///
/// C. Noyes, "Handwork in Wood" (1910), p. 49: a quarter more for small ordered pieces.
pub const WASTE_PERCENT: u32 = 25;

const fn rung(name: &'static str, nominal: Length, yields: Length) -> Rung {
    Rung { name, nominal, yields }
}

/// Standard surfaced thickness of hardwood: 3/16 in under nominal to 6/4, 1/4 in above.
const QUARTERS: &[Rung] = &[
    rung("4/4", inches(1, 1), inches(13, 16)),
    rung("5/4", inches(5, 4), inches(17, 16)),
    rung("6/4", inches(3, 2), inches(21, 16)),
    rung("8/4", inches(2, 1), inches(7, 4)),
    rung("10/4", inches(5, 2), inches(9, 4)),
    rung("12/4", inches(3, 1), inches(11, 4)),
    rung("16/4", inches(4, 1), inches(15, 4)),
];

/// Sawn thicknesses of the metric yards, less 5 mm to 41 mm and 6 mm above. Common practice, no source.
const METRIC: &[Rung] = &[
    rung("27 mm", mm(27), mm(22)),
    rung("34 mm", mm(34), mm(29)),
    rung("41 mm", mm(41), mm(36)),
    rung("52 mm", mm(52), mm(46)),
    rung("65 mm", mm(65), mm(59)),
    rung("80 mm", mm(80), mm(74)),
    rung("100 mm", mm(100), mm(94)),
];

/// Common practice, no source, but for the ladder.
const INCH: Allowances = Allowances {
    length: inches(1, 1),
    width: inches(1, 4),
    widest_board: inches(8, 1),
    strip_end: inches(1, 4),
    sheet: inches(1, 2),
    step: inches(1, 4),
    ladder: QUARTERS,
};

/// Common practice, no source.
const MILLIMETRE: Allowances = Allowances {
    length: mm(25),
    width: mm(6),
    widest_board: mm(200),
    strip_end: mm(6),
    sheet: mm(12),
    step: mm(5),
    ladder: METRIC,
};

impl Allowances {
    /// Those of a unit.
    pub const fn of(unit: Unit) -> &'static Self {
        match unit {
            Unit::Inch => &INCH,
            Unit::Millimetre => &MILLIMETRE,
        }
    }

    /// The thinnest board that yields a solid part of this finished thickness, if the yard has one.
    pub fn board(&self, thickness: Length) -> Option<&'static Rung> {
        self.ladder.iter().find(|rung| rung.yields >= thickness)
    }

    /// How many boards side by side make a solid part of this width.
    pub fn boards_across(&self, width: Length) -> i64 {
        (width.nm() + self.widest_board.nm() - 1) / self.widest_board.nm()
    }

    /// Rough length and width of a solid part.
    pub fn rough_solid(&self, length: Length, width: Length) -> [Length; 2] {
        [self.up(length + self.length), self.up(width + self.width * self.boards_across(width))]
    }

    /// Rough length and width of a sheet part.
    pub fn rough_sheet(&self, length: Length, width: Length) -> [Length; 2] {
        [self.up(length + self.sheet), self.up(width + self.sheet)]
    }

    fn up(&self, length: Length) -> Length {
        Length::from_nm((length.nm() + self.step.nm() - 1) / self.step.nm() * self.step.nm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard surfaced thicknesses as hardwood dealers' charts print them: 4/4 13/16, 5/4 1 1/16, 6/4 1 5/16,
    /// 8/4 1 3/4, 12/4 2 3/4, 16/4 3 3/4 in.
    #[test]
    fn the_board_is_the_thinnest_that_yields_the_part() {
        let a = Allowances::of(Unit::Inch);
        let name = |t| a.board(t).map(|rung| rung.name);
        assert_eq!(name(inches(13, 16)), Some("4/4"));
        assert_eq!(name(inches(7, 8)), Some("5/4"));
        assert_eq!(name(inches(17, 16)), Some("5/4"));
        assert_eq!(name(inches(7, 4)), Some("8/4"));
        assert_eq!(name(inches(15, 4)), Some("16/4"));
        assert_eq!(name(inches(31, 8)), None);
    }

    #[test]
    fn rough_sizes_are_rounded_up_and_wide_parts_pay_for_each_board() {
        let a = Allowances::of(Unit::Inch);
        assert_eq!(a.rough_solid(inches(215, 8), inches(11, 4)), [inches(28, 1), inches(3, 1)]);
        assert_eq!(a.boards_across(inches(8, 1)), 1);
        assert_eq!(a.rough_solid(inches(40, 1), inches(17, 1)), [inches(41, 1), inches(71, 4)]);
        let m = Allowances::of(Unit::Millimetre);
        assert_eq!(m.rough_sheet(mm(900), mm(601)), [mm(915), mm(615)]);
    }
}
