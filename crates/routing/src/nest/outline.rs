//! The outline of a part that lies on a sheet: its walls, the kerf round them, and the bridges that hold the part.
//!
//! The walls are those of a field like any other: four strips about the part's blank and the notches that open on them
//! are what may be taken, and what bounds that is the part.

use case::{Axis, Dir, Outline, Part, Role};
use measure::Length;

use super::Placed;
use crate::curve::{Bounds, Curve, P2, add, cross, dist, left, scale};
use crate::face::seen_from;
use crate::profile::bridges;
use crate::region::Region;
use crate::wall::{Chain, Field};

/// Between two bridges of a part, in mm. Common practice, no source.
const APART: f64 = 400.0;

/// How a cut of a part is made on the sheet.
#[derive(Clone, Debug)]
pub(super) enum Kind {
    /// With the outline.
    Notch(Vec<Outline>),
    /// Before it, from the face that is up.
    Inside(Vec<(Outline, Length)>),
    /// Not from this side.
    Elsewhere,
}

/// Sorts the cuts of a part as it lies; outlines are those on the blank.
pub(super) fn sorted(part: &Part, placed: &Placed) -> Vec<Kind> {
    let [low, high] = placed.corners();
    let opens = |o: &Outline| {
        let [u, v] = o.bounds();
        u[0] <= low[0] || v[0] <= low[1] || u[1] >= high[0] || v[1] >= high[1]
    };
    let kind = |cut: &case::Cut| {
        let (pieces, whole) = seen_from(part, cut, placed.setup.up);
        let seen = pieces.into_iter().map(|p| (placed.outline(&p.outline), p.depth.min(placed.setup.height())));
        let seen: Vec<(Outline, Length)> = seen.collect();
        if !whole || seen.is_empty() {
            Kind::Elsewhere
        } else if seen.iter().all(|(o, depth)| *depth >= placed.setup.height() && opens(o)) {
            Kind::Notch(seen.into_iter().map(|(o, _)| o).collect())
        } else {
            Kind::Inside(seen)
        }
    };
    part.cuts.iter().map(kind).collect()
}

/// Four strips about a rectangle between two corners, overlapping at its corners.
pub(super) fn strips([low, high]: [[Length; 2]; 2], wide: Length) -> [Outline; 4] {
    let [x, y] = [0, 1].map(|i| [low[i] - wide, high[i] + wide]);
    [
        Outline::rectangle(x, [y[0], low[1]]),
        Outline::rectangle(x, [high[1], y[1]]),
        Outline::rectangle([x[0], low[0]], y),
        Outline::rectangle([high[0], x[1]], y),
    ]
}

/// What may be taken about a part.
pub(super) struct Surround {
    regions: Vec<Region>,
    bounds: Bounds,
    /// The notches are the regions after so many.
    strips: usize,
}

impl Surround {
    /// About a part that lies between two corners, `wide` on all sides, its notches too.
    pub(super) fn new([low, high]: [[Length; 2]; 2], notches: &[Outline], wide: Length) -> Self {
        let strips = strips([low, high], wide);
        let regions = strips.iter().chain(notches).map(Region::new).collect();
        let bounds = [low[0] - wide, low[1] - wide, high[0] + wide, high[1] + wide].map(Length::mm);
        Self { regions, bounds, strips: strips.len() }
    }

    pub(super) fn field(&self) -> Field<'_> {
        Field::new(self.regions.iter().collect(), self.bounds)
    }

    /// The walls all round the part, which lies on their right; nothing if they are not one closed way.
    pub(super) fn walls(&self, field: &Field) -> Option<Chain> {
        let mut open: Vec<Curve> = self.regions.iter().flat_map(|r| field.chains(r)).flat_map(|c| c.curves).collect();
        let mut curves = vec![open.pop()?];
        while !open.is_empty() {
            let end = curves[curves.len() - 1].end();
            let next = open.iter().position(|c| dist(c.start(), end) < ONE)?;
            curves.push(open.remove(next));
        }
        let n = curves.len();
        for i in 0..n {
            let next = (i + 1) % n;
            let (a, b) = (curves[i], curves[next]);
            curves[i] = to_meet(a, &b);
            curves[next] = to_meet(b.reversed(), &a).reversed();
        }
        (dist(curves[n - 1].end(), curves[0].start()) < ONE).then_some(Chain { curves, closed: true })
    }

    /// The least room in each notch.
    pub(super) fn rooms<'a>(&'a self, field: &'a Field<'_>) -> impl Iterator<Item = f64> + 'a {
        self.regions[self.strips..].iter().map(|r| field.room(r, &field.chains(r)))
    }
}

/// Ends of walls that are nearer than this are one, mm.
const ONE: f64 = 1e-3;

/// A wall up to where it meets the one that follows it: the ends of walls are known as nearly as one looks beside them.
fn to_meet(wall: Curve, next: &Curve) -> Curve {
    let long = longer(&wall, ONE);
    let mut at = Vec::new();
    long.meets(next, &mut at);
    let near = |t: &f64| dist(long.at(*t), wall.end());
    let nearest = at.into_iter().filter(|t| near(t) < ONE).min_by(|a, b| near(a).total_cmp(&near(b)));
    nearest.map_or(wall, |t| long.part(0.0, t))
}

/// The kerf of a width along walls, in closed outlines: beside each wall, and round each corner that stands out. They
/// overlap, so that no place of the kerf is on the border of all.
pub(super) fn kerf(walls: &Chain, wide: f64) -> Vec<Vec<[f64; 3]>> {
    /// How far the kerf beside a wall goes on where the next wall goes on smoothly, mm; the two part by nothing there.
    const ON: f64 = 0.01;
    /// How far a corner's kerf reaches over those beside it, radians.
    const OVER: f64 = 0.05;
    let n = walls.curves.len();
    let turn = |i: usize| {
        let (t, u) = (walls.curves[i % n].tangent(1.0), walls.curves[(i + 1) % n].tangent(0.0));
        libm::atan2(cross(t, u), t[0] * u[0] + t[1] * u[1])
    };
    let smooth = |i: usize| turn(i).abs() < 1e-3;
    let mut out = Vec::new();
    for (i, wall) in walls.curves.iter().enumerate() {
        let [on_before, on_after] = [smooth(i + n - 1), smooth(i)].map(|on| if on { ON } else { 0.0 });
        let long = longer(&longer(wall, on_after).reversed(), on_before).reversed();
        let vertex = |p: P2, bulge: f64| [p[0], p[1], bulge];
        let (a, b) = (long.start(), long.end());
        match long {
            Curve::Line { .. } => {
                let across = scale(left(long.tangent(0.5)), wide);
                out.push([a, b, add(b, across), add(a, across)].map(|p| vertex(p, 0.0)).to_vec());
            }
            Curve::Arc { centre, sweep, .. } => {
                let bulge = libm::tan(sweep / 4.0);
                out.push(match long.offset(wide) {
                    Some(far) => {
                        vec![vertex(a, bulge), vertex(b, 0.0), vertex(far.end(), -bulge), vertex(far.start(), 0.0)]
                    }
                    None => vec![vertex(a, bulge), vertex(b, 0.0), vertex(centre, 0.0)],
                });
            }
        }
        if turn(i) < 0.0 && !smooth(i) {
            let n = left(wall.tangent(1.0));
            let corner = wall.end();
            let round = Curve::arc(corner, wide, libm::atan2(n[1], n[0]) + OVER, turn(i) - 2.0 * OVER);
            let bulge = libm::tan((turn(i) - 2.0 * OVER) / 4.0);
            out.push(vec![vertex(corner, 0.0), vertex(round.start(), bulge), vertex(round.end(), 0.0)]);
        }
    }
    out
}

/// A wall that goes on by a little at its end.
fn longer(wall: &Curve, by: f64) -> Curve {
    match *wall {
        Curve::Line { from, to } => Curve::Line { from, to: add(to, scale(wall.tangent(1.0), by)) },
        Curve::Arc { centre, radius, start, sweep } => {
            Curve::arc(centre, radius, start, sweep + sweep.signum() * by / radius)
        }
    }
}

/// Bridges that hold a part on two sides at least, where there is room: on edges that are plain, before those that show
/// or are worked.
pub(super) fn held(part: &Part, placed: &Placed, walls: &Chain, radius: f64) -> Vec<[P2; 4]> {
    let [low, high] = placed.corners().map(|p| p.map(Length::mm));
    let setup = &placed.setup;
    let edges = [(setup.x_axis, 0, high[0]), (setup.x_axis.opposite(), 0, low[0])];
    let edges = edges.into_iter().chain([(setup.y_axis, 1, high[1]), (setup.y_axis.opposite(), 1, low[1])]);
    let mut plain = Vec::new();
    let mut others = Vec::new();
    for (dir, axis, at) in edges {
        let lies = |c: &&Curve| matches!(c, Curve::Line { from, to } if (from[axis] - at).abs() < 1e-6 && (to[axis] - at).abs() < 1e-6);
        let along: Vec<Curve> = walls.curves.iter().filter(lies).copied().collect();
        let tabs = bridges(&along, radius, APART);
        if !tabs.is_empty() {
            if is_plain(part, dir) { plain.push(tabs) } else { others.push(tabs) }
        }
    }
    if plain.len() < 2 {
        plain.append(&mut others);
    }
    plain.concat()
}

/// Whether an edge neither shows nor is worked.
fn is_plain(part: &Part, edge: Dir) -> bool {
    let bounds = part.size[edge.axis.index()];
    let reaches = |cut: &case::Cut| {
        let [low, high] = cut.bounds(part.size).along(edge.axis);
        let at_edge = if edge.positive { high >= bounds } else { low <= Length::ZERO };
        cut.from == edge || (at_edge && cut.from.axis == Axis::Z && !part.is_through(cut))
    };
    let in_front =
        matches!(part.role, Role::Shelf | Role::Bottom | Role::Top) && part.placement.dir_to_case(edge) == Dir::NY;
    !in_front && !part.cuts.iter().any(reaches) && !part.edges.iter().any(|e| e.faces.contains(&edge))
}
