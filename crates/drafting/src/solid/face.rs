//! The faces of a blank less its prisms.

use std::collections::BTreeMap;

use case::{Axis, Dir};
use geo::algorithm::bool_ops::{BooleanOps, FillRule, OpType};
use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::prism::{SMOOTH, Seam, dot, side_normal};
use super::{Blank, Prism};

/// Sections are taken this far beneath a face, mm: less than any clearance, more than rounding.
const SKIN: f64 = 1e-4;
/// Points nearer than this are one, mm: above the snapping of the boolean operations.
const SAME: f64 = 1e-3;
/// No seam is looked for farther than this from where it belongs, mm: less than a facet is wide.
const MOVED: f64 = 0.02;
/// The surface beyond a seam is looked for so far from it, mm.
const BEYOND: f64 = 0.01;

/// The start of a face's edge, and what the edge is like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bound {
    /// Where the edge starts; it ends where the next one starts.
    pub(crate) at: [f64; 3],
    /// The circle it follows, by its number in the solid, where the face is square to the circle's axis.
    pub(crate) circle: Option<usize>,
    /// The surface runs on smoothly beyond it, with this normal: an edge only where it is seen edge-on.
    pub(crate) smooth: Option<[f64; 3]>,
    /// The drawing breaks the part off here.
    pub(crate) broken: bool,
}

/// A planar face.
#[derive(Clone, Debug)]
pub(crate) struct Face {
    /// Out of the wood; a unit vector.
    pub(crate) normal: [f64; 3],
    /// The outer ring first, then the holes; each closed, holes turning the other way.
    pub(crate) rings: Vec<Vec<Bound>>,
    /// One ring that turns only one way.
    pub(crate) convex: bool,
    /// Lies on the plane of a section.
    pub(crate) cut: bool,
}

/// A plane with coordinates (s, t).
struct Plane {
    origin: [f64; 3],
    s: [f64; 3],
    t: [f64; 3],
    normal: [f64; 3],
}

type Points = Vec<[f64; 2]>;

impl Plane {
    /// The plane square to an axis; (s, t) are the two other coordinates.
    fn square(side: Dir, at: f64) -> Self {
        let (s, t) = side.axis.others();
        let sign = if side.positive { 1.0 } else { -1.0 };
        Self { origin: along(side.axis, at), s: along(s, 1.0), t: along(t, 1.0), normal: along(side.axis, sign) }
    }

    fn point(&self, [s, t]: [f64; 2]) -> [f64; 3] {
        std::array::from_fn(|i| self.origin[i] + s * self.s[i] + t * self.t[i])
    }
}

fn along(axis: Axis, value: f64) -> [f64; 3] {
    let mut v = [0.0; 3];
    v[axis.index()] = value;
    v
}

fn embed(axis: Axis, [u, v]: [f64; 2], w: f64) -> [f64; 3] {
    let (au, av) = axis.others();
    let mut p = along(axis, w);
    p[au.index()] = u;
    p[av.index()] = v;
    p
}

/// All faces of a blank.
pub(crate) fn faces(blank: &Blank) -> Vec<Face> {
    let mut square: BTreeMap<(Axis, bool, i64), (f64, Vec<Points>)> = BTreeMap::new();
    let mut out = Vec::new();
    let mut add = |side: Dir, at: f64, patch: Points| {
        square.entry((side.axis, side.positive, key(at))).or_insert((at, Vec::new())).1.push(patch);
    };
    for side in Dir::ALL {
        let (s, t) = side.axis.others();
        let at = if side.positive { &blank.bounds.max } else { &blank.bounds.min }[side.axis.index()];
        add(side, at, rectangle(range(blank, s), range(blank, t)));
    }
    for prism in &blank.prisms {
        ends(blank, prism, &mut add);
        walls(blank, prism, &mut add, &mut out);
    }
    for ((axis, positive, _), (at, patches)) in square {
        let side = Dir { axis, positive };
        let beneath = at - if positive { SKIN } else { -SKIN };
        let taken = blank.prisms.iter().flat_map(|p| section(p, axis, beneath)).collect();
        let cut = blank.cut == Some(side) && patches.len() == 1;
        for region in less(patches, taken) {
            out.push(face(blank, &Plane::square(side, at), &region, cut));
        }
    }
    out
}

/// The face that a section plane has cut.
pub(crate) fn cut_faces(blank: &Blank) -> Vec<Face> {
    let Some(side) = blank.cut else { return Vec::new() };
    let (s, t) = side.axis.others();
    let at = if side.positive { &blank.bounds.max } else { &blank.bounds.min }[side.axis.index()];
    let beneath = at - if side.positive { SKIN } else { -SKIN };
    let taken = blank.prisms.iter().flat_map(|p| section(p, side.axis, beneath)).collect();
    let regions = less(vec![rectangle(range(blank, s), range(blank, t))], taken);
    regions.iter().map(|region| face(blank, &Plane::square(side, at), region, true)).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "micrometres of a piece of furniture")]
fn key(mm: f64) -> i64 {
    (mm * 1e4).round() as i64
}

fn range(blank: &Blank, axis: Axis) -> [f64; 2] {
    [blank.bounds.min[axis.index()], blank.bounds.max[axis.index()]]
}

fn within([lo, hi]: [f64; 2], at: f64) -> bool {
    lo + SKIN < at && at < hi - SKIN
}

fn clipped(a: [f64; 2], b: [f64; 2]) -> Option<[f64; 2]> {
    let r = [a[0].max(b[0]), a[1].min(b[1])];
    (r[1] - r[0] > SKIN).then_some(r)
}

fn rectangle(s: [f64; 2], t: [f64; 2]) -> Points {
    vec![[s[0], t[0]], [s[1], t[0]], [s[1], t[1]], [s[0], t[1]]]
}

/// The ends of a prism that lie within the wood: the floor of a cut.
fn ends(blank: &Blank, prism: &Prism, add: &mut impl FnMut(Dir, f64, Points)) {
    let (u, v) = prism.axis.others();
    let (bu, bv) = (range(blank, u), range(blank, v));
    for (at, positive) in [(prism.range[0], true), (prism.range[1], false)] {
        if !within(range(blank, prism.axis), at) {
            continue;
        }
        let inside = prism.outline.iter().all(|p| bu[0] <= p[0] && p[0] <= bu[1] && bv[0] <= p[1] && p[1] <= bv[1]);
        // The wood lies beyond the prism's end, so its face looks back into the prism.
        let side = Dir { axis: prism.axis, positive };
        if inside {
            add(side, at, prism.outline.clone());
        } else {
            for ring in outer_rings(boolean(vec![prism.outline.clone()], vec![rectangle(bu, bv)], OpType::Intersection))
            {
                add(side, at, ring);
            }
        }
    }
}

/// The walls of a prism: those square to an axis go to be joined with others of their plane, the rest stand alone.
fn walls(blank: &Blank, prism: &Prism, add: &mut impl FnMut(Dir, f64, Points), out: &mut Vec<Face>) {
    let Some(t_range) = clipped(prism.range, range(blank, prism.axis)) else { return };
    let (u, v) = prism.axis.others();
    let bounds = [range(blank, u), range(blank, v)];
    let n = prism.outline.len();
    for i in 0..n {
        let (a, b) = (prism.outline[i], prism.outline[(i + 1) % n]);
        let normal = side_normal(a, b);
        if let Some(k) = (0..2).find(|k| (a[*k] - b[*k]).abs() < 1e-9) {
            let (across, run) = if k == 0 { (u, v) } else { (v, u) };
            let ends = [a[1 - k].min(b[1 - k]), a[1 - k].max(b[1 - k])];
            let Some(s_range) = clipped(ends, bounds[1 - k]).filter(|_| within(bounds[k], a[k])) else { continue };
            let side = Dir { axis: across, positive: normal[k] > 0.0 };
            // The plane's coordinates are its two axes in the order x, y, z.
            let patch = if run.index() < prism.axis.index() {
                rectangle(s_range, t_range)
            } else {
                rectangle(t_range, s_range)
            };
            add(side, a[k], patch);
        } else {
            slant(blank, prism, [a, b], normal, t_range, out);
        }
    }
}

/// A wall at a slant, or a facet of a curved one.
fn slant(blank: &Blank, prism: &Prism, [a, b]: [[f64; 2]; 2], normal: [f64; 2], t: [f64; 2], out: &mut Vec<Face>) {
    let (u, v) = prism.axis.others();
    let length = libm::hypot(b[0] - a[0], b[1] - a[1]);
    let direction = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    let mut s = [0.0, length];
    for (k, bounds) in [range(blank, u), range(blank, v)].into_iter().enumerate() {
        let at = |w: f64| (w - a[k]) / direction[k];
        let (x, y) = (at(bounds[0]), at(bounds[1]));
        let Some(left) = clipped(s, [x.min(y), x.max(y)]) else { return };
        s = left;
    }
    let plane = Plane {
        origin: embed(prism.axis, a, 0.0),
        s: embed(prism.axis, direction, 0.0),
        t: along(prism.axis, 1.0),
        normal: embed(prism.axis, normal, 0.0),
    };
    let beneath = [a[0] - SKIN * normal[0], a[1] - SKIN * normal[1]];
    let wall = Wall { axis: prism.axis, from: beneath, direction, s, t };
    let taken = blank.prisms.iter().flat_map(|p| wall.section(p)).collect();
    for region in less(vec![rectangle(s, t)], taken) {
        out.push(face(blank, &plane, &region, false));
    }
}

/// Where a plane square to `axis` at `at` meets a prism: closed outlines in the plane's two coordinates.
fn section(prism: &Prism, axis: Axis, at: f64) -> Vec<Points> {
    if at <= prism.bounds.min[axis.index()] || at >= prism.bounds.max[axis.index()] {
        return Vec::new();
    }
    if prism.axis == axis {
        return vec![prism.outline.clone()];
    }
    // The outline's own coordinates are `axis` and the third axis, in the order x, y, z.
    let (u, _) = prism.axis.others();
    let (from, direction) = if u == axis { ([at, 0.0], [0.0, 1.0]) } else { ([0.0, at], [1.0, 0.0]) };
    let third = 3 - axis.index() - prism.axis.index();
    let spans = prism.spans(from, direction).into_iter();
    let first = prism.axis.index() < third;
    spans.map(|span| if first { rectangle(prism.range, span) } else { rectangle(span, prism.range) }).collect()
}

/// The plane just beneath a slanted wall: it holds `axis`, and runs from `from` along `direction` in the two others.
struct Wall {
    axis: Axis,
    from: [f64; 2],
    direction: [f64; 2],
    s: [f64; 2],
    t: [f64; 2],
}

impl Wall {
    /// Where it meets a prism: closed outlines in (s, t).
    fn section(&self, prism: &Prism) -> Vec<Points> {
        if !self.near(prism) {
            return Vec::new();
        }
        if prism.axis == self.axis {
            let spans = prism.spans(self.from, self.direction).into_iter();
            return spans.map(|s| rectangle(s, prism.range)).collect();
        }
        // The prism runs along one of the wall's two flat axes: along it the prism bounds s, along the other one s and
        // t follow its outline.
        let (u, _) = self.axis.others();
        let own = usize::from(prism.axis != u);
        let s_at = |k: usize, w: f64| (w - self.from[k]) / self.direction[k];
        let (x, y) = (s_at(own, prism.range[0]), s_at(own, prism.range[1]));
        let run = [x.min(y), x.max(y)];
        if clipped(run, self.s).is_none() {
            return Vec::new();
        }
        // Over the wall's ends, so that nothing is left along them.
        let s = [run[0].max(self.s[0] - 1.0), run[1].min(self.s[1] + 1.0)];
        let wall_axis_first = self.axis.index() < [self.axis.others().0, self.axis.others().1][1 - own].index();
        // Grown by more than the skin, so that a floor that ends where this wall begins leaves no sliver of it.
        let [mu, mv] = [0, 1].map(|k| prism.outline.iter().map(|p| p[k]).sum::<f64>() / prism.outline.len() as f64);
        let grown = |p: &[f64; 2]| [(p[0], mu), (p[1], mv)].map(|(v, middle)| v + 2.0 * SKIN * (v - middle).signum());
        let outline: Points = prism
            .outline
            .iter()
            .map(grown)
            .map(|p| {
                let (w, t) = if wall_axis_first { (p[1], p[0]) } else { (p[0], p[1]) };
                [s_at(1 - own, w), t]
            })
            .collect();
        if s[0] < self.s[0] && self.s[1] < s[1] {
            return vec![outline];
        }
        let far =
            [self.t[0].min(prism.bounds.min[self.axis.index()]), self.t[1].max(prism.bounds.max[self.axis.index()])];
        outer_rings(boolean(vec![outline], vec![rectangle(s, far)], OpType::Intersection))
    }

    fn near(&self, prism: &Prism) -> bool {
        let (u, v) = self.axis.others();
        let overlap = |axis: Axis, lo: f64, hi: f64| {
            lo.min(hi) < prism.bounds.max[axis.index()] && prism.bounds.min[axis.index()] < lo.max(hi)
        };
        let at = |k: usize, s: f64| self.from[k] + s * self.direction[k];
        overlap(self.axis, self.t[0], self.t[1])
            && overlap(u, at(0, self.s[0]), at(0, self.s[1]))
            && overlap(v, at(1, self.s[0]), at(1, self.s[1]))
    }
}

/// The union of some patches less the union of others: outer ring and holes of each region.
fn less(patches: Vec<Points>, taken: Vec<Points>) -> Vec<Vec<Points>> {
    let bounds = |p: &Points| {
        p.iter().fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |b, q| {
            [b[0].min(q[0]), b[1].min(q[1]), b[2].max(q[0]), b[3].max(q[1])]
        })
    };
    let boxes: Vec<[f64; 4]> = patches.iter().map(bounds).collect();
    let touches = |t: &Points| {
        let b = bounds(t);
        boxes.iter().any(|a| a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3])
    };
    let taken: Vec<Points> = taken.into_iter().filter(touches).collect();
    if taken.is_empty() && patches.len() == 1 {
        return vec![patches];
    }
    let regions = boolean(patches, taken, OpType::Difference);
    regions.into_iter().map(|p| std::iter::once(p.exterior()).chain(p.interiors()).map(points).collect()).collect()
}

fn outer_rings(regions: MultiPolygon) -> Vec<Points> {
    regions.into_iter().map(|p| points(p.exterior())).collect()
}

fn points(ring: &LineString) -> Points {
    let n = ring.0.len().saturating_sub(1);
    ring.0[..n].iter().map(|c| [c.x, c.y]).collect()
}

fn boolean(a: Vec<Points>, b: Vec<Points>, op: OpType) -> MultiPolygon {
    let regions = |patches: Vec<Points>| {
        let polygon = |mut p: Points| {
            if signed_area(&p) < 0.0 {
                p.reverse();
            }
            Polygon::new(LineString(p.into_iter().map(|[x, y]| Coord { x, y }).collect()), Vec::new())
        };
        MultiPolygon(patches.into_iter().map(polygon).collect())
    };
    regions(a).boolean_op_with_fill_rule(&regions(b), op, FillRule::NonZero)
}

fn signed_area(p: &[[f64; 2]]) -> f64 {
    let n = p.len();
    (0..n).map(|i| (p[i], p[(i + 1) % n])).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// A region of a plane as a face of the solid.
fn face(blank: &Blank, plane: &Plane, region: &[Points], cut: bool) -> Face {
    let circle_bases: Vec<usize> = blank
        .prisms
        .iter()
        .scan(0, |base, p| {
            let start = *base;
            *base += p.circles.len();
            Some(start)
        })
        .collect();
    let rings = region
        .iter()
        .map(|ring| {
            let n = ring.len();
            (0..n)
                .map(|i| {
                    let (a, b) = (plane.point(ring[i]), plane.point(ring[(i + 1) % n]));
                    let near =
                        || blank.prisms.iter().zip(&circle_bases).filter(|(p, _)| touches(p, a) && touches(p, b));
                    Bound {
                        at: a,
                        circle: near().find_map(|(p, base)| circle_of(p, plane, a, b).map(|c| base + c)),
                        smooth: near().find_map(|(p, _)| beyond_seam(blank, p, plane, a, b)),
                        broken: blank.broken.iter().any(|side| [a, b].iter().all(|p| lies_on(blank, *side, p))),
                    }
                })
                .collect()
        })
        .collect();
    let convex = region.len() == 1 && turns_one_way(&region[0]);
    Face { normal: plane.normal, rings, convex, cut }
}

/// The point lies on a side of the blank.
fn lies_on(blank: &Blank, side: Dir, p: &[f64; 3]) -> bool {
    let k = side.axis.index();
    let at = if side.positive { blank.bounds.max[k] } else { blank.bounds.min[k] };
    (p[k] - at).abs() < SAME
}

/// The point lies in the prism's box or on it.
fn touches(prism: &Prism, p: [f64; 3]) -> bool {
    (0..3).all(|i| prism.bounds.min[i] - SAME <= p[i] && p[i] <= prism.bounds.max[i] + SAME)
}

/// The circle of a prism that an edge follows, in a face square to its axis.
fn circle_of(prism: &Prism, plane: &Plane, a: [f64; 3], b: [f64; 3]) -> Option<usize> {
    if prism.circles.is_empty() || plane.normal[prism.axis.index()].abs() < 0.5 {
        return None;
    }
    let (u, v) = prism.axis.others();
    let middle: [f64; 3] = std::array::from_fn(|i| f64::midpoint(a[i], b[i]));
    prism.circles.iter().position(|c| {
        let off = |p: [f64; 3]| c.radius - libm::hypot(p[u.index()] - c.centre[0], p[v.index()] - c.centre[1]);
        // The ends of a straight edge across the circle lie on it as well.
        [a, b].iter().all(|p| off(*p).abs() < SAME) && off(middle) < c.chord + SAME
    })
}

/// The normal beyond an edge that lies on a seam of the prism, if there is a surface of that normal; none for a true
/// edge.
fn beyond_seam(blank: &Blank, prism: &Prism, plane: &Plane, a: [f64; 3], b: [f64; 3]) -> Option<[f64; 3]> {
    let (u, v) = prism.axis.others();
    let (u, v) = (u.index(), v.index());
    if (a[u] - b[u]).abs() > SAME || (a[v] - b[v]).abs() > SAME {
        return None;
    }
    let own = [plane.normal[u], plane.normal[v]];
    let on = |s: &&Seam| {
        // The skin that is taken off a face moves its end the farther, the flatter the next one joins.
        let [n, m] = s.normals;
        let reach = SAME + (2.0 * SKIN / (n[0] * m[1] - n[1] * m[0]).abs()).min(MOVED);
        (s.at[0] - a[u]).abs() < reach && (s.at[1] - a[v]).abs() < reach
    };
    let middle: [f64; 3] = std::array::from_fn(|i| f64::midpoint(a[i], b[i]));
    prism.seams.iter().filter(on).find_map(|s| {
        let after = dot(s.normals[0], own) >= dot(s.normals[1], own);
        let [near, far] = if after { [0, 1] } else { [1, 0] }.map(|k| s.normals[k]);
        // A little way on along the surface beyond, just beneath it and just over it.
        let way = if after { BEYOND } else { -BEYOND };
        let place = |over: f64| {
            let on = embed(prism.axis, [way * far[1] + over * far[0], over * far[1] - way * far[0]], 0.0);
            std::array::from_fn(|i| middle[i] + on[i])
        };
        let surface = || blank.holds(place(-SAME)) && !blank.holds(place(SAME));
        (dot(near, own) > SMOOTH && surface()).then(|| embed(prism.axis, far, 0.0))
    })
}

fn turns_one_way(ring: &[[f64; 2]]) -> bool {
    let n = ring.len();
    let turn = |i: usize| {
        let (a, b, c) = (ring[i], ring[(i + 1) % n], ring[(i + 2) % n]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    };
    (0..n).all(|i| turn(i) >= -1e-9) || (0..n).all(|i| turn(i) <= 1e-9)
}
