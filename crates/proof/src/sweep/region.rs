//! What the claim says at each height: what may go, what must, and the walls between.
//!
//! The claim's prisms begin and end at a few heights only. Between two neighbouring ones, in a slab, everything is an
//! upright extrusion, so one plan tells all. The plan's borders are found without joining polygons: each side of each
//! outline is cut where others cross it, and a piece is a border of something exactly if that something lies on one
//! side of it and not on the other. Coinciding sides, the everyday case in joinery, need no care in this.

use crate::claim::{Claim, Cut, Prism, Vertex};

use super::curve::{Arc, Bounds, Curve, P2};
use super::grid::{Grid, Seen};
use super::within::{Gaps, crossings};

/// How far beside a border one looks for what lies there, mm. Strips thinner than this do not count; the nanometre that
/// halving an odd length leaves between two cuts is one.
pub(crate) const BESIDE: f64 = 1e-4;

/// Borders shorter than this do not count, mm.
pub(crate) const SLIVER: f64 = 1e-5;

/// Heights nearer than this are one, mm.
pub(crate) const LEVEL: f64 = 1e-5;

/// A closed outline.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    pub sides: Vec<Curve>,
    pub bounds: Bounds,
    rising: Vec<Rising>,
}

/// A piece of outline that only rises or only falls, for counting crossings of a level ray.
#[derive(Clone, Copy, Debug)]
struct Rising {
    low: f64,
    high: f64,
    shape: Shape,
}

#[derive(Clone, Copy, Debug)]
enum Shape {
    /// A point and the run per rise.
    Line(P2, f64),
    /// Centre, radius, and +1 for the right half of the circle.
    Arc(P2, f64, f64),
}

impl Outline {
    pub(crate) fn new(vertices: &[Vertex]) -> Self {
        let n = vertices.len();
        let sides: Vec<Curve> = (0..n)
            .filter_map(|i| {
                let (a, b) = (vertices[i], vertices[(i + 1) % n]);
                side([a.x, a.y], [b.x, b.y], a.bulge)
            })
            .collect();
        let bounds = sides.iter().fold(Bounds::NONE, |b, c| b.union(&c.bounds()));
        let mut rising = Vec::new();
        for c in &sides {
            rise(c, &mut rising);
        }
        Self { sides, bounds, rising }
    }

    /// Whether a point lies inside; on the border it may go either way.
    pub(crate) fn holds(&self, p: P2) -> bool {
        if !self.bounds.holds(p) {
            return false;
        }
        let to_the_right = self.rising.iter().filter(|r| {
            r.low <= p[1]
                && p[1] < r.high
                && match r.shape {
                    Shape::Line(a, run) => a[0] + (p[1] - a[1]) * run > p[0],
                    Shape::Arc(c, radius, half) => {
                        let dy = p[1] - c[1];
                        c[0] + half * (radius * radius - dy * dy).max(0.0).sqrt() > p[0]
                    }
                }
        });
        to_the_right.count() % 2 == 1
    }
}

fn side(a: P2, b: P2, bulge: f64) -> Option<Curve> {
    if a == b || ![a[0], a[1], b[0], b[1], bulge].iter().all(|v| v.is_finite()) {
        return None;
    }
    if bulge.abs() < 1e-12 {
        return Some(Curve::line(a, b));
    }
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let k = (1.0 - bulge * bulge) / (4.0 * bulge);
    let c = [f64::midpoint(a[0], b[0]) - k * dy, f64::midpoint(a[1], b[1]) + k * dx];
    let v = [a[0] - c[0], a[1] - c[1]];
    let (r, start) = (libm::hypot(v[0], v[1]), libm::atan2(v[1], v[0]));
    Some(Curve::Arc(Arc { c, r, start, sweep: 4.0 * libm::atan(bulge), a, b }))
}

fn rise(c: &Curve, out: &mut Vec<Rising>) {
    let piece = |a: P2, b: P2, shape| Rising { low: a[1].min(b[1]), high: a[1].max(b[1]), shape };
    match c {
        Curve::Line(l) if l.a[1] == l.b[1] => {}
        Curve::Line(l) => out.push(piece(l.a, l.b, Shape::Line(l.a, (l.b[0] - l.a[0]) / (l.b[1] - l.a[1])))),
        Curve::Arc(a) => {
            // Cut at the highest and the lowest point of the circle, where it turns back.
            let (top, bottom) = ([a.c[0], a.c[1] + a.r], [a.c[0], a.c[1] - a.r]);
            let quarter = std::f64::consts::FRAC_PI_2;
            let mut stops = vec![(0.0, a.a), (1.0, a.b)];
            stops.extend([(quarter, top), (-quarter, bottom)].map(|(angle, p)| (a.parameter(angle), p)));
            stops.retain(|(t, _)| (0.0..=1.0).contains(t));
            stops.sort_by(|x, y| x.0.total_cmp(&y.0));
            for w in stops.windows(2).filter(|w| w[0].1[1] != w[1].1[1]) {
                let middle = c.at(f64::midpoint(w[0].0, w[1].0));
                let half = if middle[0] >= a.c[0] { 1.0 } else { -1.0 };
                out.push(piece(w[0].1, w[1].1, Shape::Arc(a.c, a.r, half)));
            }
        }
    }
}

/// What a place is, in a slab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Class {
    /// Beside the stock.
    Air,
    /// It must stay.
    Keep,
    /// It must go.
    Cut,
    /// It may go: another program takes it.
    Elsewhere,
}

/// A piece of border.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Border {
    pub curve: Curve,
    pub bounds: Bounds,
    /// What lies to its left and to its right.
    pub sides: [Class; 2],
}

/// Borders of one sort, and where they are.
#[derive(Clone, Debug)]
pub(crate) struct Borders {
    pub all: Vec<Border>,
    grid: Grid,
}

impl Borders {
    fn new(all: Vec<Border>) -> Self {
        let grid = Grid::new(&all.iter().map(|b| (b.curve, 0.0)).collect::<Vec<_>>());
        Self { all, grid }
    }

    /// Those that can touch the box, until `found` says stop (false).
    pub(crate) fn near(&self, b: &Bounds, seen: &mut Seen, mut found: impl FnMut(usize, &Border) -> bool) {
        self.grid.near(b, seen, |i| if self.all[i].bounds.meets(b) { found(i, &self.all[i]) } else { true });
    }
}

/// The plan between two heights.
#[derive(Clone, Debug)]
pub(crate) struct Slab {
    pub low: f64,
    pub high: f64,
    /// Indices of the claim's cuts that are open here.
    pub cuts: Vec<usize>,
    elsewhere: Vec<usize>,
    tabs: Vec<usize>,
    /// Between what stays and anything else.
    pub walls: Borders,
    /// Between what must go and anything else.
    pub rims: Borders,
    /// What stays here stays in the slab below too, so that a tool that keeps off it there keeps off it here.
    pub nested: bool,
}

/// The whole claim by heights, lowest slab first.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    pub stock: Bounds,
    pub top: f64,
    pub cuts: Vec<Outline>,
    /// Each with whether it relieves.
    elsewhere: Vec<(Outline, bool)>,
    tabs: Vec<Outline>,
    /// The slab at whose foot each cut ends.
    pub floors: Vec<usize>,
    pub slabs: Vec<Slab>,
}

impl Plan {
    pub(crate) fn new(claim: &Claim) -> Self {
        let outlines = |prisms: &mut dyn Iterator<Item = &Prism>| prisms.map(|p| Outline::new(&p.outline)).collect();
        let (s, e) = (&claim.stock.min, &claim.stock.max);
        let mut plan = Self {
            stock: Bounds { min: [s[0], s[1]], max: [e[0], e[1]] },
            top: e[2],
            cuts: outlines(&mut claim.cuts.iter().map(|c| &c.prism)),
            elsewhere: claim.elsewhere.iter().map(|o| (Outline::new(&o.prism.outline), o.relieves)).collect(),
            tabs: outlines(&mut claim.tabs.iter()),
            floors: Vec::new(),
            slabs: Vec::new(),
        };
        let levels = levels(claim);
        for w in levels.windows(2) {
            let slab = plan.slab(claim, w[0], w[1]);
            plan.slabs.push(slab);
        }
        let floor = |c: &Cut| plan.slabs.iter().position(|s| c.prism.z_bottom < s.high - LEVEL).unwrap_or(0);
        plan.floors = claim.cuts.iter().map(floor).collect();
        for i in 1..plan.slabs.len() {
            let (below, here) = (&plan.slabs[i - 1], &plan.slabs[i]);
            let all_in = |a: &[usize], b: &[usize]| a.iter().all(|x| b.contains(x));
            let nested = all_in(&below.cuts, &here.cuts)
                && all_in(&below.elsewhere, &here.elsewhere)
                && all_in(&here.tabs, &below.tabs);
            plan.slabs[i].nested = nested;
        }
        plan
    }

    fn slab(&self, claim: &Claim, low: f64, high: f64) -> Slab {
        let middle = f64::midpoint(low, high);
        let open = |p: &Prism| p.z_bottom < middle && middle < p.z_top;
        let cuts: Vec<usize> = (0..claim.cuts.len()).filter(|i| open(&claim.cuts[*i].prism)).collect();
        let elsewhere: Vec<usize> = (0..claim.elsewhere.len()).filter(|i| open(&claim.elsewhere[*i].prism)).collect();
        let tabs: Vec<usize> = (0..claim.tabs.len()).filter(|i| open(&claim.tabs[*i])).collect();
        let empty = || Borders::new(Vec::new());
        let mut slab = Slab { low, high, cuts, elsewhere, tabs, walls: empty(), rims: empty(), nested: false };
        let borders = self.borders(&slab);
        let parts = |class: Class| {
            let sort = borders.iter().filter(|b| (b.sides[0] == class) != (b.sides[1] == class)).copied();
            Borders::new(sort.collect())
        };
        (slab.walls, slab.rims) = (parts(Class::Keep), parts(Class::Cut));
        slab
    }

    /// What a place is, in a slab.
    pub(crate) fn class(&self, slab: &Slab, p: P2) -> Class {
        let s = &self.stock;
        let elsewhere = |relieves: bool| {
            let mut all = slab.elsewhere.iter().map(|i| &self.elsewhere[*i]);
            all.any(|(o, r)| (*r || !relieves) && o.holds(p))
        };
        if !(s.min[0] < p[0] && p[0] < s.max[0] && s.min[1] < p[1] && p[1] < s.max[1]) {
            Class::Air
        } else if slab.tabs.iter().any(|i| self.tabs[*i].holds(p)) {
            Class::Keep
        } else if elsewhere(true) {
            Class::Elsewhere
        } else if slab.cuts.iter().any(|i| self.cuts[*i].holds(p)) {
            Class::Cut
        } else if elsewhere(false) {
            Class::Elsewhere
        } else {
            Class::Keep
        }
    }

    /// The cuts open at a place of a slab.
    pub(crate) fn cuts_at<'a>(&'a self, slab: &'a Slab, p: P2) -> impl Iterator<Item = usize> + 'a {
        slab.cuts.iter().copied().filter(move |i| self.cuts[*i].holds(p))
    }

    fn borders(&self, slab: &Slab) -> Vec<Border> {
        let mut sides: Vec<(Curve, f64)> = self.stock.sides().into_iter().map(|c| (c, BESIDE)).collect();
        let mut add = |o: &Outline| sides.extend(o.sides.iter().map(|c| (*c, BESIDE)));
        slab.cuts.iter().for_each(|i| add(&self.cuts[*i]));
        slab.elsewhere.iter().for_each(|i| add(&self.elsewhere[*i].0));
        slab.tabs.iter().for_each(|i| add(&self.tabs[*i]));
        let grid = Grid::new(&sides);
        let mut seen = Seen::default();
        let mut out = Vec::new();
        for (i, (c, _)) in sides.iter().enumerate() {
            let bounds = c.bounds();
            if !bounds.meets(&self.stock) {
                continue;
            }
            let mut stops = vec![0.0, 1.0];
            grid.near(&bounds.grown(BESIDE), &mut seen, |j| {
                let o = &sides[j].0;
                if j != i {
                    crossings(c, o, |t| stops.push(t));
                    // Coinciding sides cross nowhere; the ends of one can lie on the other.
                    [o.from(), o.to()].into_iter().for_each(|p| stops.extend(on(c, p)));
                }
                true
            });
            stops.sort_by(f64::total_cmp);
            self.pieces(slab, c, &stops, &mut out);
        }
        out
    }

    /// The pieces of a side between stops, neighbours of one kind joined.
    fn pieces(&self, slab: &Slab, c: &Curve, stops: &[f64], out: &mut Vec<Border>) {
        let length = c.length();
        let mut open: Option<([f64; 2], [Class; 2])> = None;
        let mut close = |o: Option<([f64; 2], [Class; 2])>| {
            if let Some(([s, t], sides)) = o
                && sides[0] != sides[1]
            {
                let curve = c.part(s, t);
                out.push(Border { curve, bounds: curve.bounds(), sides });
            }
        };
        let mut from = 0.0;
        for &t in stops {
            if (t - from) * length <= SLIVER {
                continue;
            }
            let middle = f64::midpoint(from, t);
            let (p, n) = (c.at(middle), c.left(middle).unwrap_or([0.0; 2]));
            let sides = [BESIDE, -BESIDE].map(|k| self.class(slab, [p[0] + k * n[0], p[1] + k * n[1]]));
            match &mut open {
                Some((range, s)) if *s == sides => range[1] = t,
                _ => close(open.replace(([from, t], sides))),
            }
            from = t;
        }
        close(open);
    }
}

/// The parameter of a point that lies on a curve.
fn on(c: &Curve, p: P2) -> Option<f64> {
    if c.distance(p) > BESIDE {
        return None;
    }
    match c {
        Curve::Line(l) => {
            let (d, v) = ([l.b[0] - l.a[0], l.b[1] - l.a[1]], [p[0] - l.a[0], p[1] - l.a[1]]);
            Some(((v[0] * d[0] + v[1] * d[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0))
        }
        Curve::Arc(a) => Some(a.parameter(libm::atan2(p[1] - a.c[1], p[0] - a.c[0]))).filter(|t| *t <= 1.0),
    }
}

/// The heights between which nothing changes, lowest first.
fn levels(claim: &Claim) -> Vec<f64> {
    let (bottom, top) = (claim.stock.min[2], claim.stock.max[2]);
    let prisms = claim.cuts.iter().map(|c| &c.prism).chain(claim.elsewhere.iter().map(|o| &o.prism)).chain(&claim.tabs);
    let mut all: Vec<f64> = prisms
        .flat_map(|p| [p.z_bottom, p.z_top])
        .filter(|z| *z > bottom + LEVEL && *z < top - LEVEL)
        .chain([bottom, top])
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < LEVEL);
    all
}

/// Keeps of the stretches of `x` in `gaps` those whose place is of a class, cut where the rims cross `x`.
pub(crate) fn keep_class(
    plan: &Plan,
    slab: &Slab,
    x: &Curve,
    class: Class,
    gaps: &mut Gaps,
    seen: &mut Seen,
    stops: &mut Vec<f64>,
) {
    stops.clear();
    slab.rims.near(&x.bounds(), seen, |_, b| {
        crossings(x, &b.curve, |t| stops.push(t));
        true
    });
    stops.sort_by(f64::total_cmp);
    let length = x.length();
    let old = std::mem::take(&mut gaps.0);
    for [s, t] in old {
        let mut from = s;
        for stop in stops.iter().copied().filter(|v| s < *v && *v < t).chain([t]) {
            let long = (stop - from) * length > SLIVER;
            if long && plan.class(slab, x.at(f64::midpoint(from, stop))) == class {
                match gaps.0.last_mut() {
                    Some(last) if last[1] == from => last[1] = stop,
                    _ => gaps.0.push([from, stop]),
                }
            }
            from = stop;
        }
    }
}
