//! The path of a tool's end through one program: rapid moves, feeds, arcs and drilled holes, in mm in the program frame.
//!
//! A [`Pen`] writes it. It keeps the rules that make a program safe wherever it is read: lateral rapids only at the
//! clear height, rapid down no lower than the approach height, everything below it at a feed.

use crate::curve::{Curve, P2, TINY, dist};

/// x, y, z.
pub(crate) type P3 = [f64; 3];

/// Which of the tool's feeds a move takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rate {
    /// Along the work.
    Cut,
    /// Down a ramp or a helix.
    Ramp,
    /// Straight down.
    Plunge,
}

/// One move from where the tool stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Move {
    /// Rapid: straight up or down, or level at the clear height.
    Rapid(P3),
    /// Straight at a feed.
    Line(P3, Rate),
    /// About a centre, a whole turn at most; a helix if z changes.
    Arc { to: P3, centre: P2, sweep: f64, rate: Rate },
    /// A hole from the approach height down to `bottom` and back up to it, in pecks of at most `peck`.
    Hole { at: P2, bottom: f64, peck: f64 },
}

/// Writes a path.
#[derive(Debug)]
pub(crate) struct Pen {
    pub(crate) moves: Vec<Move>,
    /// Where the tool stands; nothing until the first move.
    at: Option<P3>,
    /// Where the last feed in a straight line began.
    began: P3,
    clear: f64,
    approach: f64,
}

impl Pen {
    /// Heights above the stock in mm.
    pub(crate) const fn new(clear: f64, approach: f64) -> Self {
        Self { moves: Vec::new(), at: None, began: [0.0; 3], clear, approach }
    }

    /// Where the tool's end stands in the plane, if it is below the approach height.
    pub(crate) fn down_at(&self) -> Option<P3> {
        self.at.filter(|p| p[2] < self.approach)
    }

    /// Up to the clear height.
    pub(crate) fn lift(&mut self) {
        match self.at {
            Some(p) if p[2] < self.clear => self.rapid([p[0], p[1], self.clear]),
            _ => {}
        }
    }

    /// Over to a place at the clear height.
    pub(crate) fn over(&mut self, p: P2) {
        self.lift();
        if self.at.is_none_or(|q| dist([q[0], q[1]], p) > TINY) {
            self.rapid([p[0], p[1], self.clear]);
        }
    }

    /// Over to a place, rapidly down to the approach height, and fed straight down to `z`.
    pub(crate) fn down(&mut self, p: P2, z: f64) {
        self.over(p);
        self.rapid([p[0], p[1], self.approach]);
        self.sink(z, Rate::Plunge);
    }

    /// Straight down to `z` where it stands.
    pub(crate) fn sink(&mut self, z: f64, rate: Rate) {
        if let Some(p) = self.at
            && p[2] - z > TINY
        {
            self.feed([p[0], p[1], z], rate);
        }
    }

    /// Straight to a height where it stands: rapidly up, where the tool has just come from, or fed down.
    pub(crate) fn to_height(&mut self, z: f64) {
        match self.at {
            Some(p) if z - p[2] > TINY => self.rapid([p[0], p[1], z]),
            _ => self.sink(z, Rate::Plunge),
        }
    }

    /// Straight to a place at the present height.
    pub(crate) fn line(&mut self, p: P2) {
        if let Some(q) = self.at
            && dist([q[0], q[1]], p) > TINY
        {
            self.feed([p[0], p[1], q[2]], Rate::Cut);
        }
    }

    /// Along a curve that starts where the tool stands, to height `z` at its end.
    pub(crate) fn along(&mut self, c: &Curve, z: f64, rate: Rate) {
        let to = c.end();
        let to = [to[0], to[1], z];
        match *c {
            Curve::Line { .. } => self.feed(to, rate),
            Curve::Arc { centre, sweep, .. } => {
                self.moves.push(Move::Arc { to, centre, sweep, rate });
                self.at = Some(to);
            }
        }
    }

    /// A drilled hole.
    pub(crate) fn hole(&mut self, at: P2, bottom: f64, peck: f64) {
        self.over(at);
        self.rapid([at[0], at[1], self.approach]);
        self.moves.push(Move::Hole { at, bottom, peck });
        self.at = Some([at[0], at[1], self.approach]);
    }

    /// Takes back all moves after the first `n`, which left the tool at the clear height.
    pub(crate) fn take_back(&mut self, n: usize) {
        self.moves.truncate(n);
        self.at = None;
    }

    fn rapid(&mut self, to: P3) {
        self.moves.push(Move::Rapid(to));
        self.at = Some(to);
    }

    /// Straight on in the same direction is one move.
    fn feed(&mut self, to: P3, rate: Rate) {
        match self.moves.last_mut() {
            Some(Move::Line(end, r)) if *r == rate && self.at == Some(*end) && straight_on(self.began, *end, to) => {
                *end = to;
            }
            _ => {
                self.began = self.at.unwrap_or(to);
                self.moves.push(Move::Line(to, rate));
            }
        }
        self.at = Some(to);
    }
}

/// Whether `b` lies on the way from `a` to `c`.
fn straight_on(a: P3, b: P3, c: P3) -> bool {
    let between = |p: P3, q: P3| {
        let d: P3 = std::array::from_fn(|i| q[i] - p[i]);
        (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt()
    };
    between(a, b) + between(b, c) - between(a, c) < 1e-9
}
