//! What should have gone and has not, told apart from the corners that the tool's radius must leave.
//!
//! In a slab, the region that must go is the claim's; of it, a tool of radius r can reach all within r of the places
//! where its centre may be, which are those at least r from every wall: an opening by a disc. What it can reach and has
//! not is left over; what it cannot reach is a fillet. Where a shallower cut opens beside a corner, the corner can be
//! reached from there down to that cut's floor, and so it must have been.
//!
//! A region is covered by stadiums exactly if its own border is, and if no border of the stadiums' union lies inside it
//! (a hole in the cover has a border, and so has its edge). Each piece of either border that fails is then asked
//! whether the tool could have reached it: whether it comes nearer than r to the border of the places for the centre.
//!
//! The stadiums are grown by [`SLACK`] in this, and the tool is taken to be thinner by [`GRACE`], so that a groove just
//! as wide as its bit and two rows that just meet are no question of the last bit of a number. Leftovers thinner than
//! the slack are thus not seen.

use std::collections::BTreeMap;

use super::cover::Cover;
use super::curve::{Curve, P2, dist};
use super::grid::Seen;
use super::path::Stretch;
use super::reach::Reach;
use super::region::{BESIDE, Class, LEVEL, Plan, Slab, keep_class};
use super::within::Gaps;

/// Leftovers up to this are not seen, mm.
pub(crate) const SLACK: f64 = 0.003;

/// So much thinner the tool is taken to be when asking where it can go, mm.
const GRACE: f64 = 0.0005;

/// Something left over.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Left {
    /// Index of the claim's cut.
    pub cut: usize,
    /// The farthest that any of it lies from cleared room, mm.
    pub thickness: f64,
    pub at: P2,
    /// Height of its foot.
    pub z: f64,
    /// The stretch of path that went deepest over it, or else past it.
    pub near: Option<usize>,
}

/// A corner that the tool cannot reach into.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fillet {
    /// The corner.
    pub at: P2,
    /// From the corner to cleared room, mm.
    pub size: f64,
    /// From which height to which.
    pub z: [f64; 2],
}

/// What a whole program leaves.
#[derive(Clone, Debug, Default)]
pub(crate) struct Leftovers {
    pub left: Vec<Left>,
    /// By the index of the claim's cut.
    pub fillets: BTreeMap<usize, Vec<Fillet>>,
}

/// Compares what the path clears with all that must go. `radii` is the radius of the tool that finishes each cut, where
/// the claim names it.
pub(crate) fn leftovers(plan: &Plan, path: &[Stretch], radii: &[Option<f64>]) -> Leftovers {
    let mut out = Leftovers::default();
    for (index, slab) in plan.slabs.iter().enumerate().filter(|(_, s)| !s.cuts.is_empty()) {
        let cover = Cover::new(path, slab.low + LEVEL, &plan.stock);
        let radii = finishing(plan, slab, &cover, path, radii);
        let mut check = Check::new(plan, index, &cover, &radii);
        check.run(SLACK, None);
        let (misses, bare) = (std::mem::take(&mut check.misses), std::mem::take(&mut check.bare));
        add_fillets(&mut out.fillets, slab, &cover, &bare);
        let mut by_cut: BTreeMap<usize, P2> = BTreeMap::new();
        for m in &misses {
            by_cut.entry(m.cut).or_insert(m.at);
        }
        for (cut, at) in by_cut {
            let (thickness, at) = thickness(plan, index, path, &radii, cut, at);
            let near = nearest(path, at);
            out.left.push(Left { cut, thickness, at, z: slab.low, near });
        }
    }
    out
}

/// The stretch that comes nearest to a place in plan, of equals the deepest.
fn nearest(path: &[Stretch], at: P2) -> Option<usize> {
    let feeding = path.iter().enumerate().filter(|(_, s)| !s.rapid && !s.blind);
    // To the slack: passes over one another are equals.
    let key = |s: &Stretch| ((s.curve.distance(at) - s.r).max(0.0) / SLACK).round();
    let order = |a: &Stretch, b: &Stretch| key(a).total_cmp(&key(b)).then(a.lowest().total_cmp(&b.lowest()));
    feeding.min_by(|a, b| order(a.1, b.1)).map(|(i, _)| i)
}

/// The radius of the tool that finishes each cut of a slab: the claim's, or the thinnest seen at work in it.
fn finishing(plan: &Plan, slab: &Slab, cover: &Cover, path: &[Stretch], radii: &[Option<f64>]) -> Vec<f64> {
    let thinnest = path.iter().map(|s| s.r).fold(f64::INFINITY, f64::min);
    let mut out: Vec<f64> = radii.iter().map(|r| r.unwrap_or(f64::INFINITY)).collect();
    for &cut in slab.cuts.iter().filter(|i| radii[**i].is_none()) {
        let o = plan.cut(cut);
        let works = |c: &Curve| [0.0, 0.5, 1.0].into_iter().any(|t| o.holds(c.at(t)));
        let seen = cover.all.iter().filter(|s| s.bounds.meets(&o.bounds) && works(&s.curve)).map(|s| s.r);
        let r = seen.fold(f64::INFINITY, f64::min);
        out[cut] = if r.is_finite() { r } else { thinnest };
    }
    out
}

/// The farthest that anything left of a cut lies from cleared room: aside, or up to a height where the path is done and
/// aside there, whichever is nearest. And where that is, about; `at` is a place where anything is left.
fn thickness(plan: &Plan, index: usize, path: &[Stretch], radii: &[f64], cut: usize, mut at: P2) -> (f64, P2) {
    const MOST_LEVELS: usize = 40;
    let slab = &plan.slabs[index];
    let mut levels: Vec<f64> = path
        .iter()
        .filter(|s| !s.rapid && !s.blind)
        .flat_map(|s| s.z)
        .filter(|z| *z > slab.low + LEVEL && *z < plan.top)
        .collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|b, a| *b - *a < 1e-4);
    // Any height gives a bound from above, so some may be left out.
    let every = levels.len().div_ceil(MOST_LEVELS).max(1);
    let mut best = plan.top - slab.low;
    for z in std::iter::once(slab.low).chain(levels.into_iter().step_by(every)) {
        let up = z - slab.low;
        if up >= best {
            break;
        }
        let cover = Cover::new(path, z + LEVEL, &plan.stock);
        let mut check = Check::new(plan, index, &cover, radii);
        let (side, place) = aside(&mut check, cut, best);
        best = best.min(libm::hypot(up, side));
        at = place.unwrap_or(at);
    }
    (best, at)
}

/// How much the stadiums must grow to cover all of a cut that can be reached, 0 if not at all and infinite beyond
/// `most`; and a place that was the last to be covered.
fn aside(check: &mut Check<'_>, cut: usize, most: f64) -> (f64, Option<P2>) {
    let mut last = None;
    let mut covered = |slack: f64| {
        check.misses.clear();
        check.bare.clear();
        check.run(slack, Some(cut));
        last = check.misses.first().map(|m| m.at).or(last);
        check.misses.is_empty()
    };
    if covered(SLACK) {
        return (0.0, None);
    }
    let (mut low, mut high) = (SLACK, 2.0 * SLACK);
    while !covered(high) {
        (low, high) = (high, 2.0 * high);
        if low >= most {
            return (f64::INFINITY, last);
        }
    }
    while high - low > 0.0005 + 0.01 * low {
        let middle = f64::midpoint(low, high);
        if covered(middle) { high = middle } else { low = middle }
    }
    (high, last)
}

/// A place that could have been reached and is not cleared.
#[derive(Clone, Copy, Debug)]
struct Miss {
    at: P2,
    cut: usize,
}

/// A stretch of rim that the tool cannot reach.
#[derive(Clone, Copy, Debug)]
struct Bare {
    curve: Curve,
    cut: usize,
}

struct Check<'a> {
    plan: &'a Plan,
    /// The slab in hand.
    index: usize,
    cover: &'a Cover,
    radii: &'a [f64],
    /// By slab and the bits of the radius.
    reach: BTreeMap<(usize, u64), Reach>,
    seen: Seen,
    stops: Vec<f64>,
    misses: Vec<Miss>,
    bare: Vec<Bare>,
}

impl<'a> Check<'a> {
    fn new(plan: &'a Plan, index: usize, cover: &'a Cover, radii: &'a [f64]) -> Self {
        Self {
            plan,
            index,
            cover,
            radii,
            reach: BTreeMap::new(),
            seen: Seen::default(),
            stops: Vec::new(),
            misses: Vec::new(),
            bare: Vec::new(),
        }
    }

    /// Collects the misses, all or of one cut.
    fn run(&mut self, slack: f64, only: Option<usize>) {
        let (plan, cover) = (self.plan, self.cover);
        let slab = &plan.slabs[self.index];
        let mut gaps = Gaps::default();
        let room = only.map(|i| plan.cut(i).bounds.grown(slack));
        for rim in &slab.rims.all {
            if room.is_some_and(|r| !r.meets(&rim.bounds)) {
                continue;
            }
            cover.uncovered(&rim.curve, slack, &mut self.seen, &mut gaps);
            let k = if rim.sides[0] == Class::Cut { BESIDE } else { -BESIDE };
            for [s, t] in gaps.0.drain(..) {
                let piece = rim.curve.part(s, t);
                let (p, n) = (piece.at(0.5), piece.left(0.5).unwrap_or([0.0; 2]));
                self.judge(&piece, [p[0] + k * n[0], p[1] + k * n[1]], only, true);
            }
        }
        let mut seen = std::mem::take(&mut self.seen);
        for i in 0..cover.all.len() {
            if room.is_some_and(|r| !r.meets(&cover.all[i].bounds.grown(slack))) {
                continue;
            }
            cover.border_of(i, slack, &mut seen, &mut gaps, |x, gaps| {
                keep_class(plan, slab, x, Class::Cut, gaps, &mut self.seen, &mut self.stops);
                for [s, t] in gaps.0.drain(..) {
                    let piece = x.part(s, t);
                    self.judge(&piece, piece.at(0.5), only, false);
                }
            });
        }
        self.seen = seen;
    }

    /// Whether an uncovered piece counts; `inside` is a place at its middle, in the cut.
    fn judge(&mut self, piece: &Curve, inside: P2, only: Option<usize>, rim: bool) {
        let (mut r, mut cut) = (f64::INFINITY, None);
        for i in self.plan.cuts_at(&self.plan.slabs[self.index], inside) {
            if only.is_none_or(|o| o == i) && self.radii[i] < r {
                r = self.radii[i];
                cut = Some(i);
            }
        }
        let Some(cut) = cut else { return };
        match self.touch(self.index, r, piece) {
            Some(at) => self.misses.push(Miss { at, cut }),
            None if rim => self.bare.push(Bare { curve: *piece, cut }),
            None => {}
        }
    }

    /// Where a tool of that radius could touch a piece in a slab.
    fn touch(&mut self, slab: usize, r: f64, piece: &Curve) -> Option<P2> {
        let plan = &self.plan.slabs[slab];
        let new = || Reach::new(r - GRACE, plan.walls.all.len());
        self.reach.entry((slab, r.to_bits())).or_insert_with(new).touch(self.plan, plan, piece)
    }
}

/// Adds the corners of the bare rims: where two of them meet, or the middle of one that is bare in itself. A corner
/// that is there already grows upward.
fn add_fillets(out: &mut BTreeMap<usize, Vec<Fillet>>, slab: &Slab, cover: &Cover, bare: &[Bare]) {
    const SAME: f64 = 10.0 * BESIDE;
    let mut seen = Seen::default();
    let mut by_cut: BTreeMap<usize, Vec<Curve>> = BTreeMap::new();
    for b in bare {
        by_cut.entry(b.cut).or_default().push(b.curve);
    }
    for (cut, curves) in by_cut {
        let known = out.entry(cut).or_default();
        for (i, c) in curves.iter().enumerate() {
            let meets = |p: &P2| curves.iter().enumerate().any(|(j, o)| j != i && o.distance(*p) < SAME);
            let mut corners: Vec<P2> = [c.from(), c.to()].into_iter().filter(meets).collect();
            if corners.is_empty() {
                corners.push(c.at(0.5));
            }
            for at in corners {
                let size = cover.distance(at, 10.0, &mut seen).map_or(f64::INFINITY, |d| d.0);
                match known.iter_mut().find(|f| dist(f.at, at) < SAME) {
                    Some(f) => {
                        f.size = f.size.max(size);
                        f.z[1] = slab.high;
                    }
                    None => known.push(Fillet { at, size, z: [slab.low, slab.high] }),
                }
            }
        }
    }
}
