//! Where a tool may go: the walls that stand round the cuts of one setup, and what keeps clear of them.
//!
//! At a depth, material may be taken inside every cut that goes at least so deep, and the air beside the blank is free.
//! What bounds that is a wall; a side of a cut that opens on the air or on a cut as deep is none, so a groove runs on
//! into the mortise at its end and a rabbet off the end of its board. A tool's centre may be wherever no wall is nearer
//! than its radius. [`Field::clear`] cuts any curve down to the parts that are, from the closed forms of where it
//! meets the walls' parallels: a slot exactly as wide as its bit, an arc that shrinks to nothing, edges that touch,
//! are everyday here, and are just parameters that coincide.

use crate::curve::{Bounds, Curve, P2, TINY, add, dist, dot, left, near, scale};
use crate::region::Region;

/// How much nearer to a wall than its radius a tool's centre may be, in mm: below the last digit of a program.
const TOUCH: f64 = 2e-5;

/// How far beside a boundary one looks for what lies there, in mm. Regions nearer than that touch.
const BESIDE: f64 = 1e-4;

/// The room of one setup at one depth.
#[derive(Clone, Debug)]
pub(crate) struct Field<'a> {
    regions: Vec<&'a Region>,
    blank: Bounds,
    walls: Vec<(Curve, Bounds)>,
}

/// Walls or sides of one region that follow on one another, counter-clockwise, the region on their left.
#[derive(Clone, Debug)]
pub(crate) struct Chain {
    pub(crate) curves: Vec<Curve>,
    /// The whole boundary is wall.
    pub(crate) closed: bool,
}

/// A piece of a region's boundary.
struct Piece {
    curve: Curve,
    wall: bool,
    /// It lies open to the air.
    air: bool,
    /// Index of the boundary's curve that it is a part of.
    side: usize,
}

impl<'a> Field<'a> {
    /// Of all the regions as deep as that depth, over a blank.
    pub(crate) fn new(regions: Vec<&'a Region>, blank: Bounds) -> Self {
        let mut field = Self { regions, blank, walls: Vec::new() };
        let chains: Vec<Chain> = field.regions.iter().flat_map(|r| field.chains(r)).collect();
        let walls = chains.into_iter().flat_map(|c| c.curves).chain(field.rim());
        field.walls = walls.map(|c| (c, c.bounds())).collect();
        field
    }

    /// The same with only what lies within `gap` of some bounds.
    pub(crate) fn window(&self, bounds: &Bounds, gap: f64) -> Self {
        Self {
            regions: self.regions.iter().copied().filter(|r| near(&r.bounds, bounds, gap)).collect(),
            blank: self.blank,
            walls: self.walls.iter().copied().filter(|(_, b)| near(b, bounds, gap)).collect(),
        }
    }

    /// The same between walls that are known better.
    pub(crate) fn between(self, walls: &Chain) -> Self {
        Self { walls: walls.curves.iter().map(|c| (*c, c.bounds())).collect(), ..self }
    }

    /// Whether a point is in the air beside the blank.
    fn beside(&self, p: P2) -> bool {
        let b = &self.blank;
        p[0] <= b[0] + TINY || p[0] >= b[2] - TINY || p[1] <= b[1] + TINY || p[1] >= b[3] - TINY
    }

    /// Whether a disc about a point is clear of the blank by `gap`.
    pub(crate) fn in_air(&self, p: P2, radius: f64, gap: f64) -> bool {
        let b = &self.blank;
        let d = radius + gap - TINY;
        p[0] <= b[0] - d || p[0] >= b[2] + d || p[1] <= b[1] - d || p[1] >= b[3] + d
    }

    /// Whether material may be taken at a point.
    fn free(&self, p: P2) -> bool {
        self.beside(p) || self.regions.iter().any(|r| r.contains(p))
    }

    /// The walls of one of its regions, in the order of its boundary.
    pub(crate) fn chains(&self, region: &Region) -> Vec<Chain> {
        chained(self.pieces(region).into_iter().map(|p| (p.curve, p.wall)).collect())
    }

    /// The whole sides of a region that do not lie open to the air alone: a tool that follows them takes the strip
    /// before an opening too, and what it reaches of it from a narrow neighbour.
    pub(crate) fn sides(&self, region: &Region) -> Vec<Chain> {
        let pieces = self.pieces(region);
        let bounds = |i: usize| pieces.iter().any(|p| p.side == i && !p.air);
        chained(region.curves.iter().enumerate().map(|(i, c)| (*c, bounds(i))).collect())
    }

    fn pieces(&self, region: &Region) -> Vec<Piece> {
        let others: Vec<&Region> = self
            .regions
            .iter()
            .copied()
            .filter(|o| !std::ptr::eq(*o, region) && near(&o.bounds, &region.bounds, BESIDE))
            .collect();
        let b = &self.blank;
        let edges = edges(b);
        let mut pieces: Vec<Piece> = Vec::new();
        for (side, c) in region.curves.iter().enumerate() {
            // Just outside of it, with the same parameter.
            let outside = c.offset(-BESIDE).unwrap_or(*c);
            let mut cuts = vec![0.0, 1.0];
            edges.iter().for_each(|e| outside.meets(e, &mut cuts));
            others.iter().flat_map(|o| &o.curves).for_each(|o| outside.meets(o, &mut cuts));
            cuts.sort_by(f64::total_cmp);
            let length = c.length();
            let mut last: Option<(f64, f64, [bool; 2])> = None;
            for w in cuts.windows(2).filter(|w| (w[1] - w[0]) * length > TINY) {
                let t = (w[0] + w[1]) / 2.0;
                let p = outside.at(t);
                let off = p[0] < b[0] || p[0] > b[2] || p[1] < b[1] || p[1] > b[3];
                let kind = [!off && !others.iter().any(|o| o.contains(p)), off];
                match &mut last {
                    Some(l) if l.2 == kind => l.1 = w[1],
                    _ => {
                        pieces.extend(last.map(|l| Piece { curve: c.part(l.0, l.1), wall: l.2[0], air: l.2[1], side }));
                        last = Some((w[0], w[1], kind));
                    }
                }
            }
            pieces.extend(last.map(|l| Piece { curve: c.part(l.0, l.1), wall: l.2[0], air: l.2[1], side }));
        }
        close_kisses(&mut pieces);
        pieces
    }

    /// The edges of the blank where nothing is taken beside them: walls for a tool that runs in the air.
    fn rim(&self) -> Vec<Curve> {
        let mut out = Vec::new();
        for e in edges(&self.blank) {
            let bounds = e.bounds();
            let beside: Vec<&Region> =
                self.regions.iter().copied().filter(|r| near(&r.bounds, &bounds, BESIDE)).collect();
            // Nearer than elsewhere: a shaped edge may run out in a sliver, and below it the tool must be free.
            let inside = e.offset(TOUCH / 2.0).unwrap_or(e);
            let mut cuts = vec![0.0, 1.0];
            beside.iter().flat_map(|r| &r.curves).for_each(|c| inside.meets(c, &mut cuts));
            cuts.sort_by(f64::total_cmp);
            for w in cuts.windows(2).filter(|w| (w[1] - w[0]) * e.length() > TINY) {
                let p = inside.at((w[0] + w[1]) / 2.0);
                if !beside.iter().any(|r| r.contains(p)) {
                    out.push(e.part(w[0], w[1]));
                }
            }
        }
        out
    }

    /// The parts of a curve on which a tool's centre keeps `radius` from every wall and may be at all, as intervals of
    /// its parameter.
    pub(crate) fn clear(&self, curve: &Curve, radius: f64) -> Vec<[f64; 2]> {
        let bounds = curve.bounds();
        let walls: Vec<&Curve> = self.walls.iter().filter(|(_, b)| near(b, &bounds, radius)).map(|(c, _)| c).collect();
        let mut cuts = vec![0.0, 1.0];
        for w in &walls {
            for side in [radius, -radius] {
                if let Some(o) = w.offset(side) {
                    curve.meets(&o, &mut cuts);
                }
            }
            curve.meets_circle(w.start(), radius, &mut cuts);
            curve.meets_circle(w.end(), radius, &mut cuts);
        }
        cuts.sort_by(f64::total_cmp);
        let length = curve.length();
        let mut out: Vec<[f64; 2]> = Vec::new();
        for w in cuts.windows(2).filter(|w| (w[1] - w[0]) * length > TINY) {
            let p = curve.at((w[0] + w[1]) / 2.0);
            if self.keeps(p, radius, &walls) {
                match out.last_mut() {
                    Some(l) if (w[0] - l[1]) * length <= 2.0 * TINY => l[1] = w[1],
                    _ => out.push([w[0], w[1]]),
                }
            }
        }
        out
    }

    /// Whether all of a curve is clear.
    pub(crate) fn is_clear(&self, curve: &Curve, radius: f64) -> bool {
        if curve.length() <= TINY {
            return self.allows(curve.at(0.5), radius);
        }
        matches!(self.clear(curve, radius).as_slice(), [[a, b]] if (a + 1.0 - b) * curve.length() < 4.0 * TINY)
    }

    /// Whether a tool's centre may be at a point.
    pub(crate) fn allows(&self, p: P2, radius: f64) -> bool {
        let walls: Vec<&Curve> = self.walls.iter().map(|(c, _)| c).collect();
        self.keeps(p, radius, &walls)
    }

    fn keeps(&self, p: P2, radius: f64, walls: &[&Curve]) -> bool {
        walls.iter().all(|w| w.distance(p) >= radius - TOUCH) && self.free(p)
    }

    /// The least room between walls that face one another across a region; infinite where it opens.
    pub(crate) fn room(&self, region: &Region, chains: &[Chain]) -> f64 {
        let b = &region.bounds;
        let reach = libm::hypot(b[2] - b[0], b[3] - b[1]) + 1.0;
        let mut least = f64::INFINITY;
        for c in chains.iter().flat_map(|c| &c.curves) {
            for t in [0.25, 0.5, 0.75] {
                let (p, n) = (c.at(t), left(c.tangent(t)));
                let ray = Curve::Line { from: add(p, scale(n, 2.0 * BESIDE)), to: add(p, scale(n, reach)) };
                let mut hits = Vec::new();
                for (w, _) in &self.walls {
                    ray.meets(w, &mut hits);
                }
                let first = hits
                    .into_iter()
                    .map(|t| ray.at(t))
                    .filter(|q| self.walls.iter().any(|(w, _)| w.distance(*q) < 10.0 * TINY))
                    .map(|q| dist(p, q))
                    .fold(f64::INFINITY, f64::min);
                least = least.min(first);
            }
            if let Curve::Arc { radius, sweep, .. } = *c
                && sweep > 0.0
            {
                least = least.min(2.0 * radius);
            }
        }
        least
    }
}

/// Where a curved side only kisses the edge or another cut, no tool gets through: that is wall.
fn close_kisses(pieces: &mut [Piece]) {
    const KISS: f64 = 0.5;
    let n = pieces.len();
    let smooth = |a: &Piece, b: &Piece| dot(a.curve.tangent(1.0), b.curve.tangent(0.0)) > 0.999;
    for first in 0..n {
        // From a piece of wall over what is open to the next piece of wall, all of it without a corner.
        let mut length = 0.0;
        let mut k = 1;
        while k < n && !pieces[(first + k) % n].wall && smooth(&pieces[(first + k - 1) % n], &pieces[(first + k) % n]) {
            length += pieces[(first + k) % n].curve.length();
            k += 1;
        }
        let last = (first + k) % n;
        if pieces[first].wall
            && pieces[last].wall
            && smooth(&pieces[(last + n - 1) % n], &pieces[last])
            && length < KISS
        {
            (1..k).for_each(|j| pieces[(first + j) % n].wall = true);
        }
    }
}

/// The edges of a blank, counter-clockwise.
fn edges(b: &Bounds) -> [Curve; 4] {
    let corners = [[b[0], b[1]], [b[2], b[1]], [b[2], b[3]], [b[0], b[3]]];
    std::array::from_fn(|i| Curve::Line { from: corners[i], to: corners[(i + 1) % 4] })
}

/// Gathers pieces of wall that follow on one another, across the start of the boundary too.
fn chained(mut pieces: Vec<(Curve, bool)>) -> Vec<Chain> {
    if pieces.iter().all(|(_, wall)| *wall) {
        let curves: Vec<Curve> = pieces.into_iter().map(|(c, _)| c).collect();
        return if curves.is_empty() { Vec::new() } else { vec![Chain { curves, closed: true }] };
    }
    if let Some(open) = pieces.iter().position(|(_, wall)| !wall) {
        pieces.rotate_left(open);
    }
    let mut out = Vec::new();
    for run in pieces.split(|(_, wall)| !wall).filter(|r| !r.is_empty()) {
        out.push(Chain { curves: run.iter().map(|(c, _)| *c).collect(), closed: false });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Outline;
    use measure::mm;

    const BLANK: Bounds = [0.0, 0.0, 200.0, 60.0];

    fn rectangle(u: [i64; 2], v: [i64; 2]) -> Region {
        Region::new(&Outline::rectangle(u.map(mm), v.map(mm)))
    }

    #[test]
    fn a_groove_is_open_to_the_mortise_and_to_the_air() {
        let groove = rectangle([50, 200], [20, 26]);
        let mortise = rectangle([10, 50], [18, 28]);
        let field = Field::new(vec![&groove, &mortise], BLANK);
        let walls = field.chains(&groove);
        assert_eq!(walls.len(), 2, "its two long sides");
        assert!(walls.iter().all(|c| c.curves.len() == 1 && c.curves[0].length() == 150.0));
        // The mortise's end is wall above and below the groove's mouth, one chain that runs round it.
        let round = field.chains(&mortise);
        assert_eq!(round.len(), 1);
        assert!(!round[0].closed);
        assert_eq!(round[0].curves.iter().map(Curve::length).sum::<f64>(), 40.0 + 10.0 + 40.0 + 2.0 + 2.0);
        // A 6 mm bit runs from beyond the blank to 3 mm short of nothing: on into the mortise.
        let row = Curve::Line { from: [30.0, 23.0], to: [210.0, 23.0] };
        assert_eq!(field.clear(&row, 3.0), vec![[0.0, 1.0]]);
        assert!((field.room(&groove, &walls) - 6.0).abs() < 1e-9);
    }

    #[test]
    fn a_closed_mortise_keeps_the_tool_a_radius_from_its_walls() {
        let mortise = rectangle([10, 50], [18, 28]);
        let field = Field::new(vec![&mortise], BLANK);
        let row = Curve::Line { from: [0.0, 23.0], to: [200.0, 23.0] };
        let [[a, b]] = field.clear(&row, 4.0)[..] else { panic!("one interval") };
        assert!((row.at(a)[0] - 14.0).abs() < 1e-9 && (row.at(b)[0] - 46.0).abs() < 1e-9);
        assert!(field.clear(&row, 5.1).is_empty());
    }

    #[test]
    fn a_touching_cut_that_is_not_as_deep_is_a_wall() {
        let mortise = rectangle([10, 50], [18, 28]);
        assert!(Field::new(vec![&mortise], BLANK).chains(&mortise)[0].closed);
    }
}
