//! The path of a tool's end through one program: rapid moves, feeds, arcs and drilled holes, in mm in the program frame.
//!
//! A [`Pen`] writes it. It keeps the rules that make a program safe wherever it is read: lateral rapids only at the
//! clear height, rapid down no lower than the approach height, everything below it at a feed.

use crate::curve::{Bounds, Curve, P2, TINY, dist};

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

/// The least box that holds the places of a tool's end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reach {
    pub(crate) min: P3,
    pub(crate) max: P3,
}

impl Reach {
    /// Of no moves.
    pub(crate) const NONE: Self = Self { min: [f64::INFINITY; 3], max: [f64::NEG_INFINITY; 3] };

    /// With the places of more moves.
    pub(crate) fn with(mut self, moves: &[Move]) -> Self {
        let mut at: Option<P3> = None;
        for m in moves {
            match *m {
                Move::Rapid(p) | Move::Line(p, _) => at = Some(self.take(p)),
                Move::Hole { at: p, bottom, .. } => at = Some(self.take([p[0], p[1], bottom])),
                Move::Arc { to, centre, sweep, .. } => {
                    let from = at.unwrap_or(to);
                    let v = [from[0] - centre[0], from[1] - centre[1]];
                    let c = Curve::arc(centre, libm::hypot(v[0], v[1]), libm::atan2(v[1], v[0]), sweep);
                    let b = c.bounds();
                    self.take([b[0], b[1], to[2]]);
                    self.take([b[2], b[3], to[2]]);
                    at = Some(to);
                }
            }
        }
        self
    }

    fn take(&mut self, p: P3) -> P3 {
        for (i, v) in p.into_iter().enumerate() {
            self.min[i] = self.min[i].min(v);
            self.max[i] = self.max[i].max(v);
        }
        p
    }

    /// Grown aside by a radius.
    pub(crate) fn grown(self, r: f64) -> Self {
        let [a, b, c] = self.min;
        let [x, y, z] = self.max;
        Self { min: [a - r, b - r, c], max: [x + r, y + r, z] }
    }

    /// In plan.
    pub(crate) const fn plan(&self) -> Bounds {
        [self.min[0], self.min[1], self.max[0], self.max[1]]
    }
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
    pub(crate) fn level(&mut self, z: f64) {
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
