//! From where the parts lie to the cuts that free them, in the order of sawing: each cut runs from edge to edge of what is
//! left in hand, and splits it in two.

use measure::Length;

/// Which way a cut runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Along the length, with the grain.
    Rip,
    /// Across the length.
    Crosscut,
}

/// A rectangle of a board, from its lower left corner; x and length run along the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    /// Left edge.
    pub x: Length,
    /// Lower edge.
    pub y: Length,
    /// Along x.
    pub length: Length,
    /// Along y.
    pub width: Length,
}

/// A rectangle in hand, and what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Region {
    /// Where it lies.
    pub area: Area,
    /// What becomes of it.
    pub fate: Fate,
}

/// What becomes of a rectangle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fate {
    /// It is this piece.
    Piece {
        /// Index of the piece.
        piece: usize,
        /// Turned a quarter, its length across the board.
        turned: bool,
    },
    /// Worth keeping.
    Offcut,
    /// Too small to keep.
    Waste,
    /// It is cut in two.
    Cut {
        /// The how-manieth cut on this board, from 1.
        number: usize,
        /// Which way it runs.
        way: Way,
        /// Left (or lower) edge of the kerf, measured on the board. Outside what is in hand, by less than the kerf, where
        /// the saw takes all that is to come off.
        at: Length,
        /// What lies left of the cut or below it, then the other side; one of them only where the kerf takes the other.
        sides: Vec<Region>,
    },
}

/// A piece where it lies, true size.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lying {
    pub(crate) piece: usize,
    pub(crate) turned: bool,
    pub(crate) area: Area,
}

/// How a board is sawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sawing {
    pub(crate) kerf: Length,
    /// Offcuts of at least this length and width are kept.
    pub(crate) keep: (Length, Length),
}

impl Sawing {
    /// The cuts that free the pieces on an area; they must come apart by guillotine cuts with a kerf between any two.
    pub(crate) fn cut(&self, area: Area, pieces: Vec<Lying>) -> Region {
        self.region(area, pieces, &mut 0)
    }

    fn region(&self, area: Area, pieces: Vec<Lying>, cuts: &mut usize) -> Region {
        let fate = match pieces[..] {
            [] if area.length >= self.keep.0 && area.width >= self.keep.1 => Fate::Offcut,
            [] => Fate::Waste,
            [p] if p.area == area => Fate::Piece { piece: p.piece, turned: p.turned },
            _ => self.split(area, pieces, cuts),
        };
        Region { area, fate }
    }

    /// The cut that leaves the largest offcut if there is one, else the first that keeps all pieces whole.
    fn split(&self, area: Area, mut pieces: Vec<Lying>, cuts: &mut usize) -> Fate {
        let trims = [Way::Crosscut, Way::Rip].into_iter().flat_map(|way| self.trims(area, &pieces, way));
        let trim = trims.max_by_key(|trim| trim.2.nm()).filter(|trim| trim.2 > Length::ZERO);
        let chosen = trim.map(|(way, at, _)| (way, at)).or_else(|| {
            [Way::Rip, Way::Crosscut].into_iter().find_map(|way| self.between(&mut pieces, way).map(|at| (way, at)))
        });
        let Some((way, at)) = chosen else { return Fate::Waste };
        *cuts += 1;
        let number = *cuts;
        let (lower, upper): (Vec<Lying>, Vec<Lying>) = pieces.into_iter().partition(|p| low(p.area, way) < at);
        let halves =
            [(span(area, way, low(area, way), at), lower), (span(area, way, at + self.kerf, high(area, way)), upper)];
        let halves = halves.into_iter().filter(|(half, _)| half.length > Length::ZERO && half.width > Length::ZERO);
        Fate::Cut { number, way, at, sides: halves.map(|(half, pieces)| self.region(half, pieces, cuts)).collect() }
    }

    /// Cuts that only take waste off: beyond the last piece, and before the first. With what comes off, in square
    /// millimetres as a length so that the comparison is exact.
    fn trims(&self, area: Area, pieces: &[Lying], way: Way) -> Vec<(Way, Length, Length)> {
        let first = pieces.iter().map(|p| low(p.area, way)).min().unwrap_or_default();
        let last = pieces.iter().map(|p| high(p.area, way)).max().unwrap_or_default();
        let across = match way {
            Way::Rip => area.length,
            Way::Crosscut => area.width,
        };
        let size = |extent: Length| {
            Length::from_nm(
                i64::try_from(i128::from(extent.nm()) * i128::from(across.nm()) / 1_000_000).unwrap_or(i64::MAX),
            )
        };
        let mut trims = Vec::new();
        if last < high(area, way) {
            trims.push((way, last, size(high(area, way) - last)));
        }
        if first > low(area, way) {
            trims.push((way, first - self.kerf, size(first - low(area, way))));
        }
        trims
    }

    /// The first cut between pieces.
    fn between(&self, pieces: &mut [Lying], way: Way) -> Option<Length> {
        pieces.sort_by_key(|p| low(p.area, way));
        let mut reach = high(pieces.first()?.area, way);
        for p in pieces.iter().skip(1) {
            if low(p.area, way) >= reach + self.kerf {
                return Some(reach);
            }
            reach = reach.max(high(p.area, way));
        }
        None
    }
}

/// The part of an area between two places along the direction that a cut divides.
fn span(area: Area, way: Way, from: Length, to: Length) -> Area {
    match way {
        Way::Crosscut => Area { x: from, length: to - from, ..area },
        Way::Rip => Area { y: from, width: to - from, ..area },
    }
}

fn low(area: Area, way: Way) -> Length {
    match way {
        Way::Rip => area.y,
        Way::Crosscut => area.x,
    }
}

fn high(area: Area, way: Way) -> Length {
    match way {
        Way::Rip => area.y + area.width,
        Way::Crosscut => area.x + area.length,
    }
}

impl Region {
    /// Calls `visit` for this region and all within it, in the order of sawing.
    pub fn walk<'a>(&'a self, visit: &mut dyn FnMut(&'a Self)) {
        visit(self);
        if let Fate::Cut { sides, .. } = &self.fate {
            sides.iter().for_each(|side| side.walk(visit));
        }
    }
}
