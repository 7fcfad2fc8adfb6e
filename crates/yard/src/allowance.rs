//! What is added to a finished size: the one place of every allowance, and of the sizes that are taken for granted where
//! no stock file says otherwise.

use measure::{Length, Unit, inches, mm};

/// A thickness in which boards are sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rung {
    /// As the yard calls it: `5/4`, `34 mm`.
    pub name: &'static str,
    /// Its thickness in the rough.
    pub nominal: Length,
}

/// The allowances of a unit system: inches for those who read inches, millimetres for those who read millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Allowances {
    /// Added to the length of a solid part.
    pub length: Length,
    /// Added to the width of every board that is sawn for a solid part.
    pub width: Length,
    /// A solid part wider than this is glued up from staves.
    pub widest_stave: Length,
    /// Added to each length of running stock, for the saw and a clean end.
    pub strip_end: Length,
    /// Running stock is made in strips no longer than this, unless a piece is.
    pub strip: Length,
    /// Added to both sizes of a sheet part.
    pub sheet: Length,
    /// Rough sizes are rounded up to a multiple of this.
    pub step: Length,
    /// Taken off by planing both faces of a rough board: up to a thickness, and above it.
    pub planing: [Length; 2],
    /// That thickness.
    pub planing_above: Length,
    /// The band saw's kerf when a board is sawn into two leaves.
    pub resaw_kerf: Length,
    /// Planed off the sawn face of a leaf.
    pub resaw_skim: Length,
    /// The boards that are sold.
    pub ladder: &'static [Rung],
    /// Lengths of the boards that are bought, where the parts ask for no longer one.
    pub board_lengths: [Length; 4],
    /// Widths of the boards that are bought; the last is the widest.
    pub board_widths: [Length; 2],
    /// Longer boards are bought by this step,
    pub board_step: Length,
    /// and none is longer than this.
    pub longest_board: Length,
    /// A sheet to buy.
    pub whole_sheet: [Length; 2],
}

const fn rung(name: &'static str, nominal: Length) -> Rung {
    Rung { name, nominal }
}

const QUARTERS: &[Rung] = &[
    rung("4/4", inches(1, 1)),
    rung("5/4", inches(5, 4)),
    rung("6/4", inches(3, 2)),
    rung("8/4", inches(2, 1)),
    rung("10/4", inches(5, 2)),
    rung("12/4", inches(3, 1)),
    rung("16/4", inches(4, 1)),
];

/// Sawn thicknesses of the metric yards. Common practice, no source.
const METRIC: &[Rung] = &[
    rung("27 mm", mm(27)),
    rung("34 mm", mm(34)),
    rung("41 mm", mm(41)),
    rung("52 mm", mm(52)),
    rung("65 mm", mm(65)),
    rung("80 mm", mm(80)),
    rung("100 mm", mm(100)),
];

/// Common practice, no source, but for the planing: standard surfaced thickness of hardwood is 3/16 in under nominal to
/// 6/4 and 1/4 in above.
const INCH: Allowances = Allowances {
    length: inches(1, 1),
    width: inches(1, 4),
    widest_stave: inches(8, 1),
    strip_end: inches(1, 4),
    strip: inches(48, 1),
    sheet: inches(1, 2),
    step: inches(1, 4),
    planing: [inches(3, 16), inches(1, 4)],
    planing_above: inches(3, 2),
    resaw_kerf: inches(1, 16),
    resaw_skim: inches(1, 16),
    ladder: QUARTERS,
    board_lengths: [inches(72, 1), inches(96, 1), inches(120, 1), inches(144, 1)],
    board_widths: [inches(6, 1), inches(8, 1)],
    board_step: inches(12, 1),
    longest_board: inches(192, 1),
    whole_sheet: [inches(96, 1), inches(48, 1)],
};

/// Common practice, no source.
const MILLIMETRE: Allowances = Allowances {
    length: mm(25),
    width: mm(6),
    widest_stave: mm(200),
    strip_end: mm(6),
    strip: mm(1200),
    sheet: mm(12),
    step: mm(5),
    planing: [mm(5), mm(6)],
    planing_above: mm(41),
    resaw_kerf: Length::from_nm(1_500_000),
    resaw_skim: Length::from_nm(1_500_000),
    ladder: METRIC,
    board_lengths: [mm(1800), mm(2400), mm(3000), mm(3600)],
    board_widths: [mm(150), mm(200)],
    board_step: mm(300),
    longest_board: mm(4800),
    whole_sheet: [mm(2440), mm(1220)],
};

impl Allowances {
    /// Those of a unit.
    pub const fn of(unit: Unit) -> &'static Self {
        match unit {
            Unit::Inch => &INCH,
            Unit::Millimetre => &MILLIMETRE,
        }
    }

    /// What is left of a rough board when both faces are planed.
    pub fn planed(&self, rough: Length) -> Length {
        rough - self.planing[usize::from(rough > self.planing_above)]
    }

    /// The thinnest board sold that leaves this much when planed, if there is one.
    pub fn board_for(&self, planed: Length) -> Option<&'static Rung> {
        self.ladder.iter().find(|rung| self.planed(rung.nominal) >= planed)
    }

    /// The thickest board sold.
    pub const fn thickest(&self) -> &'static Rung {
        &self.ladder[self.ladder.len() - 1]
    }

    /// What a board must leave when planed, so that it can be sawn into two leaves of this finished thickness.
    pub fn two_leaves(&self, leaf: Length) -> Length {
        (leaf + self.resaw_skim) * 2 + self.resaw_kerf
    }

    /// How many staves, side by side, make a solid part of this width, if none may be wider than `widest`.
    pub fn staves(&self, width: Length, widest: Length) -> usize {
        let widest = widest.min(self.widest_stave).max(self.step);
        usize::try_from((width.nm() + widest.nm() - 1) / widest.nm()).unwrap_or(1).max(1)
    }

    /// Rough length and width of one of the staves of a solid part.
    pub fn rough_solid(&self, length: Length, width: Length, staves: usize) -> [Length; 2] {
        let n = i64::try_from(staves).unwrap_or(i64::MAX);
        let stave = Length::from_nm((width.nm() + n - 1) / n);
        [self.up(length + self.length), self.up(stave + self.width)]
    }

    /// Rough length and width of a sheet part; with so much free about it for a router's bit, if that cuts it out.
    pub fn rough_sheet(&self, length: Length, width: Length, around: Option<Length>) -> [Length; 2] {
        let more = self.sheet.max(around.unwrap_or_default() * 2);
        [self.up(length + more), self.up(width + more)]
    }

    /// Rounded up to the step of rough sizes.
    pub fn up(&self, length: Length) -> Length {
        up(length, self.step)
    }

    /// The boards that may be bought, if one must be as long and as wide as this. The usual sizes; and one that is long or
    /// wide enough, where none of these is and such boards are to be had at all.
    pub fn boards_to_buy(&self, longest: Length, widest: Length) -> Vec<[Length; 2]> {
        let mut lengths = self.board_lengths.to_vec();
        let long = up(longest, self.board_step);
        if lengths.iter().all(|l| *l < long) && long <= self.longest_board {
            lengths.push(long);
        }
        let mut widths = self.board_widths.to_vec();
        if widths.iter().all(|w| *w < widest) {
            widths.push(widest);
        }
        lengths.iter().flat_map(|&l| widths.iter().map(move |&w| [l, w])).collect()
    }
}

/// Rounded up to a multiple of a step.
fn up(length: Length, step: Length) -> Length {
    Length::from_nm((length.nm() + step.nm() - 1).div_euclid(step.nm()) * step.nm())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard surfaced thicknesses as hardwood dealers' charts print them: 4/4 13/16, 5/4 1 1/16, 6/4 1 5/16,
    /// 8/4 1 3/4, 12/4 2 3/4, 16/4 3 3/4 in.
    #[test]
    fn the_board_is_the_thinnest_that_yields_the_part() {
        let a = Allowances::of(Unit::Inch);
        let name = |t| a.board_for(t).map(|rung| rung.name);
        assert_eq!(name(inches(13, 16)), Some("4/4"));
        assert_eq!(name(inches(7, 8)), Some("5/4"));
        assert_eq!(name(inches(17, 16)), Some("5/4"));
        assert_eq!(name(inches(21, 16)), Some("6/4"));
        assert_eq!(name(inches(7, 4)), Some("8/4"));
        assert_eq!(name(inches(15, 4)), Some("16/4"));
        assert_eq!(name(inches(31, 8)), None);
    }

    /// A rule of the trade (common practice, no source): a 1 1/4 in board gives two bookmatched panels of 3/8 in finished
    /// and a little over. With a pencil: 1 1/4 less 3/16 of planing is 1 1/16, less the kerf of 1/16 is 1, and each leaf
    /// of 1/2 less 1/16 off its sawn face is 7/16. A 1 in board leaves 5/16, which is too thin.
    #[test]
    fn a_board_of_an_inch_and_a_quarter_gives_two_panels_of_three_eighths_and_a_little_over() {
        let a = Allowances::of(Unit::Inch);
        let rung = |leaf| a.board_for(a.two_leaves(leaf)).map(|rung| rung.name);
        assert_eq!(rung(inches(3, 8)), Some("5/4"));
        assert_eq!(rung(inches(7, 16)), Some("5/4"));
        assert_eq!(rung(inches(15, 32)), Some("6/4"));
        assert_eq!(rung(inches(5, 16)), Some("4/4"));
    }

    #[test]
    fn rough_sizes_are_rounded_up_and_every_stave_has_its_allowance() {
        let a = Allowances::of(Unit::Inch);
        assert_eq!(a.rough_solid(inches(215, 8), inches(11, 4), 1), [inches(28, 1), inches(3, 1)]);
        assert_eq!(a.staves(inches(8, 1), inches(20, 1)), 1);
        assert_eq!(a.staves(inches(17, 1), inches(20, 1)), 3);
        assert_eq!(a.staves(inches(17, 1), inches(5, 1)), 4);
        assert_eq!(a.rough_solid(inches(40, 1), inches(17, 1), 3), [inches(41, 1), inches(6, 1)]);
        let m = Allowances::of(Unit::Millimetre);
        assert_eq!(m.rough_sheet(mm(900), mm(601), None), [mm(915), mm(615)]);
        assert_eq!(m.rough_sheet(mm(900), mm(601), Some(mm(11))), [mm(925), mm(625)]);
        assert_eq!(m.boards_to_buy(mm(3700), mm(190))[8], [mm(3900), mm(150)]);
    }
}
