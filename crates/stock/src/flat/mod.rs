//! Two dimensions, guillotine: parts from sheets and boards. Whole numbers in any unit, kerf and trim already lifted
//! into the sizes.

mod boards;
pub(crate) mod columns;
pub(crate) mod counted;
pub(crate) mod flawed;
mod numbers;
pub(crate) mod place;
mod reach;
mod recut;
mod row;
pub(crate) mod search;
pub(crate) mod sets;
pub mod sheets;
pub(crate) mod spots;
pub(crate) mod table;
pub(crate) mod tree;
pub mod value;

/// A kind of rectangular part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Along x, at least 1.
    pub w: i64,
    /// Along y, at least 1.
    pub h: i64,
    /// May be turned a quarter.
    pub turns: bool,
    /// How many there are.
    pub count: usize,
    /// What one is worth; where all parts must be laid, their area.
    pub value: i64,
    /// Keeps off every blemish, also those for hidden use.
    pub shows: bool,
    /// All of them come from one blank.
    pub together: bool,
}

impl Part {
    /// The ways the part may lie: as it is, and turned where that differs.
    pub(crate) fn ways(&self) -> impl Iterator<Item = (i64, i64, bool)> {
        let turned = (self.turns && self.w != self.h).then_some((self.h, self.w, true));
        [Some((self.w, self.h, false)), turned].into_iter().flatten()
    }

    pub(crate) const fn area(&self) -> i64 {
        self.w * self.h
    }
}

/// A kind of sheet or board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// Along x.
    pub w: i64,
    /// Along y.
    pub h: i64,
    /// What using one costs.
    pub cost: i64,
    /// How many there are.
    pub count: usize,
    /// Only for parts that show.
    pub best: bool,
    /// Where no part may lie.
    pub blemishes: Vec<Blemish>,
}

/// A rectangle that no part may touch; cuts may cross it. Parts from `x1` on, or up to `x0`, are clear of it (so with `y`).
/// A kerf makes it smaller: part sizes then hold the kerf, and `x0` lies a kerf further in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Blemish {
    /// Left.
    pub x0: i64,
    /// Below.
    pub y0: i64,
    /// Right.
    pub x1: i64,
    /// Above.
    pub y1: i64,
    /// Parts that do not show may lie on it.
    pub hidden_use: bool,
}

impl Blemish {
    /// Whether a part of size `w` × `h` at (`x`, `y`) may not lie there.
    pub(crate) const fn bars(&self, shows: bool, x: i64, y: i64, w: i64, h: i64) -> bool {
        (shows || !self.hidden_use) && x < self.x1 && x + w > self.x0 && y < self.y1 && y + h > self.y0
    }
}

/// A part where it lies, from its lower left corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of the part.
    pub kind: usize,
    /// Lies turned a quarter.
    pub turned: bool,
    /// Left edge.
    pub x: i64,
    /// Lower edge.
    pub y: i64,
    /// Along x as it lies.
    pub w: i64,
    /// Along y as it lies.
    pub h: i64,
}
