//! What the claim says at each height: what may go, what must, and the walls between.
//!
//! The claim's prisms begin and end at a few heights only. Between two neighbouring ones, in a slab, everything is an
//! upright extrusion, so one plan tells all. The plan's borders are found without joining polygons: each side of each
//! outline is cut where others cross it, and a piece is a border of something exactly if that something lies on one
//! side of it and not on the other. Coinciding sides, the everyday case in joinery, need no care in this.

use crate::claim::{Claim, Prism};

use super::curve::{Bounds, Curve, P2};
use super::grid::{Grid, Seen};
use super::outline::Outline;
use super::within::{Gaps, crossings, within};

/// How far beside a border one looks for what lies there, mm. Strips thinner than this do not count; the nanometre that
/// halving an odd length leaves between two cuts is one.
pub(crate) const BESIDE: f64 = 1e-4;

/// Borders shorter than this do not count, mm.
pub(crate) const SLIVER: f64 = 1e-5;

/// Heights nearer than this are one, mm.
pub(crate) const LEVEL: f64 = 1e-5;

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

/// What a prism of the claim is, first what outweighs the others where they overlap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Sort {
    Tab,
    /// Of another program, which clears what is in common.
    Theirs,
    Cut,
    /// Of another program.
    Open,
}

/// A prism of the claim from above.
#[derive(Clone, Debug)]
struct Shape {
    sort: Sort,
    /// Its number among the claim's prisms of its kind.
    index: usize,
    outline: Outline,
    z: [f64; 2],
}

/// The plan between two heights.
#[derive(Clone, Debug)]
pub(crate) struct Slab {
    pub low: f64,
    pub high: f64,
    /// Indices of the claim's cuts that are open here.
    pub cuts: Vec<usize>,
    /// Indices of all shapes that are.
    open: Vec<usize>,
    /// Of those, by place.
    grid: Grid,
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
    pub slabs: Vec<Slab>,
    /// By sort.
    shapes: Vec<Shape>,
    /// The shape of each cut.
    cuts: Vec<usize>,
}

impl Plan {
    pub(crate) fn new(claim: &Claim) -> Self {
        let (s, e) = (&claim.stock.min, &claim.stock.max);
        let shapes = shapes(claim);
        let mut cuts = vec![0; claim.cuts.len()];
        for (i, shape) in shapes.iter().enumerate().filter(|(_, s)| s.sort == Sort::Cut) {
            cuts[shape.index] = i;
        }
        let stock = Bounds { min: [s[0], s[1]], max: [e[0], e[1]] };
        let mut plan = Self { stock, top: e[2], slabs: Vec::new(), shapes, cuts };
        let levels = levels(claim);
        for w in levels.windows(2) {
            let slab = plan.slab(w[0], w[1]);
            plan.slabs.push(slab);
        }
        for i in 1..plan.slabs.len() {
            let (below, here) = (&plan.slabs[i - 1], &plan.slabs[i]);
            let is_tab = |j: &&usize| plan.shapes[**j].sort == Sort::Tab;
            let opens = below.open.iter().filter(|j| !is_tab(j)).all(|j| here.open.binary_search(j).is_ok());
            let tabs = here.open.iter().filter(is_tab).all(|j| below.open.binary_search(j).is_ok());
            plan.slabs[i].nested = opens && tabs;
        }
        plan
    }

    fn slab(&self, low: f64, high: f64) -> Slab {
        let middle = f64::midpoint(low, high);
        let here = |s: &Shape| s.z[0] < middle && middle < s.z[1];
        let open: Vec<usize> = (0..self.shapes.len()).filter(|i| here(&self.shapes[*i])).collect();
        let cuts = open.iter().map(|i| &self.shapes[*i]).filter(|s| s.sort == Sort::Cut).map(|s| s.index).collect();
        let grid = Grid::of_boxes(open.iter().map(|i| self.shapes[*i].outline.bounds));
        let none = || Borders::new(Vec::new());
        let mut slab = Slab { low, high, cuts, open, grid, walls: none(), rims: none(), nested: false };
        let borders = self.borders(&slab);
        let parts = |class: Class| {
            let sort = borders.iter().filter(|b| (b.sides[0] == class) != (b.sides[1] == class)).copied();
            Borders::new(sort.collect())
        };
        (slab.walls, slab.rims) = (parts(Class::Keep), parts(Class::Cut));
        slab
    }

    /// The outline of a cut.
    pub(crate) fn cut(&self, index: usize) -> &Outline {
        &self.shapes[self.cuts[index]].outline
    }

    /// The shapes at a place of a slab, first what outweighs the others.
    fn at<'a>(&'a self, slab: &'a Slab, p: P2) -> impl Iterator<Item = &'a Shape> + 'a {
        slab.grid.at(p).map(move |i| &self.shapes[slab.open[i]]).filter(move |s| s.outline.holds(p))
    }

    /// What a place is, in a slab.
    pub(crate) fn class(&self, slab: &Slab, p: P2) -> Class {
        let s = &self.stock;
        if !(s.min[0] < p[0] && p[0] < s.max[0] && s.min[1] < p[1] && p[1] < s.max[1]) {
            return Class::Air;
        }
        match self.at(slab, p).next().map(|s| s.sort) {
            None | Some(Sort::Tab) => Class::Keep,
            Some(Sort::Cut) => Class::Cut,
            Some(Sort::Theirs | Sort::Open) => Class::Elsewhere,
        }
    }

    /// The cuts open at a place of a slab.
    pub(crate) fn cuts_at<'a>(&'a self, slab: &'a Slab, p: P2) -> impl Iterator<Item = usize> + 'a {
        self.at(slab, p).filter(|s| s.sort == Sort::Cut).map(|s| s.index)
    }

    fn borders(&self, slab: &Slab) -> Vec<Border> {
        let mut sides: Vec<(Curve, f64)> = self.stock.sides().into_iter().map(|c| (c, BESIDE)).collect();
        let outlines = slab.open.iter().map(|i| &self.shapes[*i].outline);
        sides.extend(outlines.flat_map(|o| &o.sides).map(|c| (*c, BESIDE)));
        let grid = Grid::new(&sides);
        let mut seen = Seen::default();
        let mut out = Vec::new();
        for (i, (c, _)) in sides.iter().enumerate() {
            let bounds = c.bounds();
            if !bounds.meets(&self.stock) {
                continue;
            }
            let mut stops = vec![0.0, 1.0];
            grid.near(&bounds.grown(2.0 * BESIDE), &mut seen, |j| {
                let o = &sides[j].0;
                if j != i {
                    crossings(c, o, |t| stops.push(t));
                    // What lies beside it can change where the other only comes near, as a circle does that touches it.
                    within(c, o, 2.0 * BESIDE, |s, t| stops.extend([s, t]));
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

/// The claim's prisms by sort.
fn shapes(claim: &Claim) -> Vec<Shape> {
    let shape =
        |sort, index, p: &Prism| Shape { sort, index, outline: Outline::new(&p.outline), z: [p.z_bottom, p.z_top] };
    let others = claim.elsewhere.iter().enumerate().map(|(i, o)| {
        let sort = if o.relieves { Sort::Theirs } else { Sort::Open };
        shape(sort, i, &o.prism)
    });
    let tabs = claim.tabs.iter().enumerate().map(|(i, p)| shape(Sort::Tab, i, p));
    let cuts = claim.cuts.iter().enumerate().map(|(i, c)| shape(Sort::Cut, i, &c.prism));
    let mut all: Vec<Shape> = tabs.chain(others).chain(cuts).collect();
    all.sort_by_key(|s| s.sort);
    all
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
