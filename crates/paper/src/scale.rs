//! Drawing scales of ISO 5455 (from memory: 1:1, and 2, 5, 10 by decades either way).

use std::fmt;

/// A scale: so many millimetres on paper to so many of the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// On paper.
    pub paper: u32,
    /// Of the piece.
    pub piece: u32,
}

/// From the largest to the smallest that a workshop uses.
const LADDER: [Scale; 12] = [
    Scale { paper: 10, piece: 1 },
    Scale { paper: 5, piece: 1 },
    Scale { paper: 2, piece: 1 },
    Scale::FULL,
    Scale { paper: 1, piece: 2 },
    Scale { paper: 1, piece: 5 },
    Scale { paper: 1, piece: 10 },
    Scale { paper: 1, piece: 20 },
    Scale { paper: 1, piece: 50 },
    Scale { paper: 1, piece: 100 },
    Scale { paper: 1, piece: 200 },
    Scale { paper: 1, piece: 500 },
];

impl Scale {
    /// Full size.
    pub const FULL: Self = Self { paper: 1, piece: 1 };

    /// Millimetres on paper to a millimetre of the piece.
    pub fn ratio(self) -> f64 {
        f64::from(self.paper) / f64::from(self.piece)
    }

    /// The largest standard scale no larger than `at_most` for which `fits` holds; the smallest one if none does.
    pub fn largest(at_most: Self, fits: impl Fn(Self) -> bool) -> Self {
        let last = LADDER[LADDER.len() - 1];
        LADDER.into_iter().filter(|s| s.ratio() <= at_most.ratio()).find(|s| fits(*s)).unwrap_or(last)
    }

    /// The next smaller standard scale; the smallest stays.
    #[must_use]
    pub fn smaller(self) -> Self {
        Self::largest(self, |s| s.ratio() < self.ratio())
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.paper, self.piece)
    }
}
