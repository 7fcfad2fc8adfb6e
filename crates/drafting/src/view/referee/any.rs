//! Any parts with any cuts, by numbers that are the same on every machine.

use case::{Axis, Cut, Dir, Edge, Material, Outline, Part, PartId, Placement, Profile, Purpose, Role, Vertex};
use measure::Length;

/// Numbers from 0 to 1 (splitmix64, S. Vigna, from memory).
pub(super) struct Shares(pub(super) u64);

impl Shares {
    pub(super) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn within(&mut self, from: f64, to: f64) -> f64 {
        from + self.next() * (to - from)
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small index")]
    pub(super) fn below(&mut self, count: usize) -> usize {
        ((self.next() * count as f64) as usize).min(count - 1)
    }
}

/// A generator of parts. On a grid, faces of different cuts and parts fall into one plane all the time.
pub(super) struct Maker {
    shares: Shares,
    grid: f64,
}

impl Maker {
    pub(super) fn new(number: u64) -> Self {
        let mut shares = Shares(number.wrapping_mul(1_000_003));
        let grid = if shares.next() < 0.5 { 4.0 } else { 0.1 };
        Self { shares, grid }
    }

    /// One to six parts near one another; they may stand in one another.
    pub(super) fn parts(&mut self) -> Vec<Part> {
        let count = 1 + self.shares.below(6);
        (0..count).map(|i| self.part(i)).collect()
    }

    pub(super) fn shares(&mut self) -> &mut Shares {
        &mut self.shares
    }

    fn length(&mut self, from: f64, to: f64) -> Length {
        Length::from_mm((self.shares.within(from, to) / self.grid).round() * self.grid)
    }

    fn part(&mut self, index: usize) -> Part {
        let size = [self.length(40.0, 260.0), self.length(24.0, 120.0), self.length(12.0, 60.0)];
        let [x, z] = loop {
            let pair = [self.shares.below(6), self.shares.below(6)].map(|i| Dir::ALL[i]);
            if pair[0].axis != pair[1].axis {
                break pair;
            }
        };
        let origin = [(); 3].map(|()| self.length(0.0, 200.0));
        let mut part = Part {
            id: PartId(u32::try_from(index + 1).unwrap_or(1)),
            name: "part".into(),
            role: Role::Rail,
            assembly: "case".into(),
            material: Material::solid("oak"),
            size,
            placement: Placement { origin, axes: [x, crossed(z, x), z] },
            cuts: Vec::new(),
            edges: Vec::new(),
            same_as: None,
        };
        for _ in 0..self.shares.below(6) {
            let cut = self.cut(size);
            part.cuts.push(cut);
        }
        for _ in 0..self.shares.below(3) {
            let edge = self.edge(size);
            part.edges.push(edge);
        }
        part
    }

    fn cut(&mut self, size: [Length; 3]) -> Cut {
        let from = Dir::ALL[self.shares.below(6)];
        let whole = size[from.axis.index()];
        let (u, v) = from.axis.others();
        let (lu, lv) = (size[u.index()].mm(), size[v.index()].mm());
        let blind = self.length(2.0, whole.mm() * 0.8).max(Length::from_mm(2.0));
        let mut depth = if self.shares.next() < 0.25 { whole } else { blind };
        let a = self.length(-0.1 * lu, 0.8 * lu);
        let b = a + self.length(5.0, 0.6 * lu).max(Length::from_mm(4.0));
        let c = self.length(-0.1 * lv, 0.8 * lv);
        let d = c + self.length(4.0, 0.5 * lv).max(Length::from_mm(4.0));
        let vertex = |u, v, bulge| Vertex { u, v, bulge };
        let (purpose, outline) = match self.shares.below(6) {
            0 => (Purpose::Mortise, Outline::rectangle([a, b], [c, d])),
            1 => (Purpose::Groove, Outline::rectangle([Length::ZERO, size[u.index()]], [c, d])),
            2 => (Purpose::Rabbet, Outline::rectangle([a, b], [Length::ZERO, d - c])),
            3 => {
                // Off the grid, or it would touch faces with nothing left between.
                let off = Length::from_mm(1.3);
                let diameter = self.length(4.0, 24.0).max(Length::from_mm(4.0));
                (Purpose::PinHole, Outline::circle([a + off, c + off], diameter))
            }
            4 => {
                depth = whole;
                let bulge = self.shares.within(0.15, 0.95);
                let arch = vec![vertex(a, Length::ZERO, 0.0), vertex(b, Length::ZERO, bulge)];
                (Purpose::Outline, Outline(arch))
            }
            _ => {
                let lean = (b - a) / 4;
                let slanted =
                    vec![vertex(a, c, 0.0), vertex(b, c, 0.0), vertex(b - lean, d, 0.0), vertex(a + lean, d, 0.0)];
                (Purpose::Notch, Outline(slanted))
            }
        };
        Cut { purpose, joint: None, from, outline, depth }
    }

    fn edge(&mut self, size: [Length; 3]) -> Edge {
        let faces = loop {
            let pair = [self.shares.below(6), self.shares.below(6)].map(|i| Dir::ALL[i]);
            if pair[0].axis != pair[1].axis {
                break pair;
            }
        };
        let along = Axis::ALL[3 - faces[0].axis.index() - faces[1].axis.index()];
        let whole = size[along.index()];
        let [small, large] = [self.length(2.0, 6.0).max(Length::from_mm(2.0)), self.length(8.0, 11.0)];
        let profile = match self.shares.below(3) {
            0 => Profile::Round { radius: large },
            1 => Profile::Chamfer { width: small },
            _ => Profile::Raise { width: large, tongue: small, depth: small, step: small / 2 },
        };
        Edge { faces, profile, from: Length::ZERO, to: whole }
    }
}

/// The third direction of a right-handed frame.
fn crossed(a: Dir, b: Dir) -> Dir {
    let axis = Axis::ALL[3 - a.axis.index() - b.axis.index()];
    let forward = (a.axis.index() + 1) % 3 == b.axis.index();
    Dir { axis, positive: (a.positive == b.positive) == forward }
}
