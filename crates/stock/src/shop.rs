//! What a workshop asks: these pieces, from these boards and sheets, with this saw. Lengths are exact; inside, they
//! become whole numbers with the kerf lifted into every size, so that a kerf costs nothing to reckon with.

use measure::Length;

use crate::cuts::{Area, Lying, Region, Sawing};
use crate::effort::{Limits, Report};
use crate::flat::sheets::{Sheets, sheets};
use crate::flat::{Blank, Blemish, Part};

/// Pieces of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// What the caller knows it by.
    pub id: String,
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
    /// How many.
    pub count: usize,
    /// May lie with its length across the board.
    pub turns: bool,
    /// Whether its face shows; if not, it may lie on flaws that can be used where they do not show.
    pub shows: bool,
    /// All of them come from one board, so that grain and colour match.
    pub together: bool,
}

/// Boards or sheets of one size; a board with flaws of its own is one by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// What the caller knows it by.
    pub id: String,
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
    /// How many there are.
    pub count: usize,
    /// What one costs, in any unit; the layout makes the sum small. The area, where there is no price.
    pub price: i64,
    /// Kept for pieces that show.
    pub best: bool,
    /// Where pieces may not lie.
    pub flaws: Vec<Flaw>,
}

/// A rectangle of a board to keep off; cuts may cross it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// Where, from the board's lower left corner, before any trim.
    pub area: Area,
    /// Sound enough for a face that does not show (a small knot, sapwood, filled).
    pub hidden_use: bool,
}

/// The saw, and what is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saw {
    /// What a cut takes away.
    pub kerf: Length,
    /// Cut off both ends before anything else, kerf included.
    pub end_trim: Length,
    /// Cut off both edges before anything else, kerf included.
    pub edge_trim: Length,
    /// Least length and width of an offcut worth keeping.
    pub keep: (Length, Length),
}

/// A layout of all boards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Boards taken into use.
    pub boards: Vec<Cutting>,
    /// Pieces for which no board was left, by index of the piece: none when all are laid.
    pub missing: Vec<usize>,
    /// What the boards cost.
    pub cost: i64,
    /// No layout of all pieces costs less.
    pub bound: i64,
}

/// One board, and how it is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cutting {
    /// Index of the board.
    pub board: usize,
    /// What is left of it after trimming, with all that is cut from it. Coordinates are the board's, before the trim.
    pub region: Region,
}

impl Layout {
    /// How much of the cost might be saved at most, from 0 to 1.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.cost > 0 { (self.cost - self.bound).max(0) as f64 / self.cost as f64 } else { 0.0 }
    }
}

/// Lays the pieces out on the boards at as little cost as the work allows. Pieces of no size, and those that fit on no
/// board, are missing.
#[must_use]
pub fn lay_out(pieces: &[Piece], boards: &[Board], saw: &Saw, limits: &Limits<'_>, report: Report<'_>) -> Layout {
    let unit = Unit::of(pieces, boards, saw);
    let parts: Vec<Part> = pieces.iter().map(|p| unit.part(p, saw)).collect();
    let blanks: Vec<Blank> = boards.iter().map(|b| unit.blank(b, saw)).collect();
    let Sheets { used, cost, bound, mut missing } = sheets(&parts, &blanks, limits, report);
    for (missing, piece) in missing.iter_mut().zip(pieces) {
        if piece.length <= Length::ZERO || piece.width <= Length::ZERO {
            *missing = piece.count;
        }
    }
    let sawing = Sawing { kerf: saw.kerf, keep: saw.keep };
    let cutting = |used: crate::flat::sheets::Used| {
        let lying = used.parts.iter().map(|p| {
            let piece = &pieces[p.kind];
            let (length, width) = if p.turned { (piece.width, piece.length) } else { (piece.length, piece.width) };
            let area = Area { x: unit.length(p.x) + saw.end_trim, y: unit.length(p.y) + saw.edge_trim, length, width };
            Lying { piece: p.kind, turned: p.turned, area }
        });
        let board = &boards[used.blank];
        let area = Area {
            x: saw.end_trim,
            y: saw.edge_trim,
            length: board.length - saw.end_trim * 2,
            width: board.width - saw.edge_trim * 2,
        };
        Cutting { board: used.blank, region: sawing.cut(area, lying.collect()) }
    };
    Layout { boards: used.into_iter().map(cutting).collect(), missing, cost, bound }
}

/// Whole numbers for lengths: the largest unit in which all are whole, unless that is so fine that areas would overflow;
/// then pieces are rounded up and boards down.
#[derive(Debug, Clone, Copy)]
struct Unit(i64);

/// The longest board in units at most; its area, times many thousands of pieces, is still far below 2⁶³.
const FINEST: i64 = 4_000_000;

impl Unit {
    fn of(pieces: &[Piece], boards: &[Board], saw: &Saw) -> Self {
        // What counts are sizes with the kerf lifted in, and without the trim: see `part` and `blank`.
        let sizes = pieces.iter().flat_map(|p| [p.length + saw.kerf, p.width + saw.kerf]);
        let boards_left = boards.iter().flat_map(|b| {
            let flaws = b.flaws.iter().flat_map(|f| {
                let (x, y) = (f.area.x - saw.end_trim, f.area.y - saw.edge_trim);
                [x + saw.kerf, y + saw.kerf, x + f.area.length, y + f.area.width]
            });
            flaws.chain([b.length - saw.end_trim * 2 + saw.kerf, b.width - saw.edge_trim * 2 + saw.kerf])
        });
        let common = sizes.chain(boards_left).fold(0, |a, l| gcd(a, l.nm().abs())).max(1);
        let longest = boards.iter().map(|b| b.length.nm().max(b.width.nm())).max().unwrap_or(1);
        Self(common.max(longest / FINEST + i64::from(longest / FINEST >= common)))
    }

    fn up(self, length: Length) -> i64 {
        (length.nm() + self.0 - 1).div_euclid(self.0)
    }

    fn down(self, length: Length) -> i64 {
        length.nm().div_euclid(self.0)
    }

    const fn length(self, units: i64) -> Length {
        Length::from_nm(units * self.0)
    }

    fn part(self, piece: &Piece, saw: &Saw) -> Part {
        let real = piece.length > Length::ZERO && piece.width > Length::ZERO;
        let (w, h) = (self.up(piece.length + saw.kerf).max(1), self.up(piece.width + saw.kerf).max(1));
        let count = if real { piece.count } else { 0 };
        Part { w, h, turns: piece.turns, count, value: w * h, shows: piece.shows, together: piece.together }
    }

    fn blank(self, board: &Board, saw: &Saw) -> Blank {
        let blemish = |flaw: &Flaw| {
            let (x, y) = (flaw.area.x - saw.end_trim, flaw.area.y - saw.edge_trim);
            Blemish {
                x0: self.down(x + saw.kerf),
                y0: self.down(y + saw.kerf),
                x1: self.up(x + flaw.area.length),
                y1: self.up(y + flaw.area.width),
                hidden_use: flaw.hidden_use,
            }
        };
        Blank {
            w: self.down(board.length - saw.end_trim * 2 + saw.kerf),
            h: self.down(board.width - saw.edge_trim * 2 + saw.kerf),
            cost: board.price,
            count: board.count,
            best: board.best,
            blemishes: board.flaws.iter().map(blemish).collect(),
        }
    }
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
