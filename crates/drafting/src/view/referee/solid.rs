//! Solids as a referee knows them: a box less prisms, asked only whether it holds a point and where a line runs in it.
//! Arcs stay arcs. Nothing here knows of faces, and nothing is shared with the engine's solids.

use case::{Edge, Part, Profile};
use nalgebra::{Matrix3, Vector3};

/// A prism that is open at a face of the box runs on so far beyond it, mm.
const BEYOND: f64 = 1e4;

/// One side of an outline: a line, or an arc of a circle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub(super) from: [f64; 2],
    pub(super) to: [f64; 2],
    /// Centre, radius, angle of the start and sweep.
    pub(super) arc: Option<([f64; 2], f64, f64, f64)>,
}

/// What is taken away: an outline in the two axes that are not `axis`, in their order, over a range along it.
#[derive(Clone, Debug)]
pub(super) struct Prism {
    pub(super) axis: usize,
    pub(super) range: [f64; 2],
    pub(super) sides: Vec<Side>,
}

/// A box less prisms, where it stands.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    pub(super) low: Vector3<f64>,
    pub(super) high: Vector3<f64>,
    pub(super) prisms: Vec<Prism>,
    /// The directions of its own axes, as columns, and its own origin.
    pub(super) axes: Matrix3<f64>,
    pub(super) origin: Vector3<f64>,
}

/// The two axes beside one.
pub(super) const fn beside(axis: usize) -> [usize; 2] {
    [[1, 2], [0, 2], [0, 1]][axis]
}

impl Side {
    /// From a bulge, tan of a quarter of the arc's angle, counter-clockwise positive.
    pub(super) fn new(from: [f64; 2], to: [f64; 2], bulge: f64) -> Self {
        if bulge == 0.0 {
            return Self { from, to, arc: None };
        }
        let sweep = 4.0 * libm::atan(bulge);
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        // From the middle of the chord the centre lies square to it, so far to the left.
        let far = 0.5 / libm::tan(sweep / 2.0);
        let centre = [(from[0] + to[0]) / 2.0 - far * dy, (from[1] + to[1]) / 2.0 + far * dx];
        let start = libm::atan2(from[1] - centre[1], from[0] - centre[0]);
        Self { from, to, arc: Some((centre, libm::hypot(from[0] - centre[0], from[1] - centre[1]), start, sweep)) }
    }

    /// The angle lies on the arc.
    fn spans(start: f64, sweep: f64, angle: f64) -> bool {
        let turned = (angle - start) * sweep.signum();
        turned.rem_euclid(std::f64::consts::TAU) <= sweep.abs()
    }

    /// Where the line `p + t d` meets the side, as values of `t`.
    fn meets(&self, p: [f64; 2], d: [f64; 2], out: &mut Vec<f64>) {
        if let Some((c, r, start, sweep)) = self.arc {
            let on = |t: &f64| Self::spans(start, sweep, libm::atan2(p[1] + t * d[1] - c[1], p[0] + t * d[0] - c[0]));
            out.extend(meets_circle(c, r, p, d).into_iter().flatten().filter(on));
            return;
        }
        let s = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
        let cross = d[0] * s[1] - d[1] * s[0];
        if cross.abs() > 1e-12 {
            let q = [self.from[0] - p[0], self.from[1] - p[1]];
            let along = (q[0] * d[1] - q[1] * d[0]) / cross;
            if (-1e-9..=1.0 + 1e-9).contains(&along) {
                out.push((q[0] * s[1] - q[1] * s[0]) / cross);
            }
        }
    }

    /// A line from the point to growing first coordinates crosses the side an odd number of times.
    fn crosses(&self, p: [f64; 2]) -> bool {
        let over = |a: [f64; 2], b: [f64; 2]| (a[1] <= p[1]) != (b[1] <= p[1]);
        let Some((c, r, start, sweep)) = self.arc else {
            let (a, b) = (self.from, self.to);
            return over(a, b) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
        };
        // Taken apart at its highest and lowest points.
        let (quarter, pi) = (std::f64::consts::FRAC_PI_2, std::f64::consts::PI);
        let mut ends = vec![0.0, sweep.abs()];
        for k in 0..6 {
            let turned = ((quarter + f64::from(k) * pi - start) * sweep.signum()).rem_euclid(2.0 * pi);
            if turned < sweep.abs() {
                ends.push(turned);
            }
        }
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let at = |turned: f64| {
            let (s, k) = libm::sincos(start + turned * sweep.signum());
            [c[0] + r * k, c[1] + r * s]
        };
        let last = ends.len() - 1;
        let point = |i: usize| match i {
            0 => self.from,
            i if i == last => self.to,
            i => at(ends[i]),
        };
        let crossed = (0..last).filter(|i| {
            let right = libm::cos(start + (ends[*i] + ends[i + 1]) / 2.0 * sweep.signum()) > 0.0;
            let half = (r * r - (p[1] - c[1]) * (p[1] - c[1])).max(0.0).sqrt();
            over(point(*i), point(i + 1)) && p[0] < c[0] + if right { half } else { -half }
        });
        crossed.count() % 2 == 1
    }
}

/// Where the line `p + t d` meets a circle, as values of `t`.
pub(super) fn meets_circle(c: [f64; 2], r: f64, p: [f64; 2], d: [f64; 2]) -> Option<[f64; 2]> {
    let q = [p[0] - c[0], p[1] - c[1]];
    let (a, b) = (d[0] * d[0] + d[1] * d[1], q[0] * d[0] + q[1] * d[1]);
    let root = b * b - a * (q[0] * q[0] + q[1] * q[1] - r * r);
    (root >= 0.0 && a > 1e-18).then(|| [(-b - root.sqrt()) / a, (-b + root.sqrt()) / a])
}

impl Prism {
    /// It has an arc.
    pub(super) fn is_round(&self) -> bool {
        self.sides.iter().any(|s| s.arc.is_some())
    }

    fn holds_flat(&self, p: [f64; 2]) -> bool {
        self.sides.iter().filter(|s| s.crosses(p)).count() % 2 == 1
    }

    fn holds(&self, p: &Vector3<f64>) -> bool {
        let [u, v] = beside(self.axis);
        self.range[0] < p[self.axis] && p[self.axis] < self.range[1] && self.holds_flat([p[u], p[v]])
    }

    /// The stretches of the line `p + t d` within it.
    fn stretches(&self, p: &Vector3<f64>, d: &Vector3<f64>, out: &mut Vec<[f64; 2]>) {
        let mut slab = [f64::NEG_INFINITY, f64::INFINITY];
        if d[self.axis].abs() < 1e-12 {
            if p[self.axis] <= self.range[0] || self.range[1] <= p[self.axis] {
                return;
            }
        } else {
            let [a, b] = self.range.map(|r| (r - p[self.axis]) / d[self.axis]);
            slab = [a.min(b), a.max(b)];
        }
        let [u, v] = beside(self.axis);
        let (q, e) = ([p[u], p[v]], [d[u], d[v]]);
        if libm::hypot(e[0], e[1]) < 1e-12 {
            if self.holds_flat(q) {
                out.push(slab);
            }
            return;
        }
        let mut at = Vec::new();
        self.sides.iter().for_each(|s| s.meets(q, e, &mut at));
        at.sort_by(f64::total_cmp);
        for pair in at.windows(2) {
            let (from, to) = (pair[0].max(slab[0]), pair[1].min(slab[1]));
            let middle = (pair[0] + pair[1]) / 2.0;
            if to - from > 1e-9 && self.holds_flat([q[0] + middle * e[0], q[1] + middle * e[1]]) {
                out.push([from, to]);
            }
        }
    }
}

impl Solid {
    /// A part as it stands: its cuts, and those of its worked edges that are wanted.
    pub(super) fn of(part: &Part, work: impl Fn(&Edge) -> bool) -> Self {
        let size = part.size.map(measure::Length::mm);
        let mut axes = Matrix3::zeros();
        for (column, d) in part.placement.axes.iter().enumerate() {
            axes[(d.axis as usize, column)] = if d.positive { 1.0 } else { -1.0 };
        }
        let cuts = part.cuts.iter().map(|c| {
            let (axis, depth) = (c.from.axis as usize, c.depth.mm());
            let open = if c.from.positive { [size[axis] - depth, BEYOND] } else { [-BEYOND, depth] };
            let through = depth >= size[axis];
            let v = &c.outline.0;
            let point = |i: usize| [v[i % v.len()].u.mm(), v[i % v.len()].v.mm()];
            let sides = (0..v.len()).map(|i| Side::new(point(i), point(i + 1), v[i].bulge)).collect();
            Prism { axis, range: if through { [-BEYOND, BEYOND] } else { open }, sides }
        });
        let edges = part.edges.iter().filter(|e| work(e)).map(|e| worked(e, size));
        Self {
            low: Vector3::zeros(),
            high: size.into(),
            prisms: cuts.chain(edges).collect(),
            axes,
            origin: part.placement.origin.map(measure::Length::mm).into(),
        }
    }

    pub(super) fn to_own(&self, p: &Vector3<f64>) -> Vector3<f64> {
        self.axes.transpose() * (p - self.origin)
    }

    pub(super) fn placed(&self, p: &Vector3<f64>) -> Vector3<f64> {
        self.axes * p + self.origin
    }

    /// There is wood at a point of its own frame.
    pub(super) fn holds(&self, p: &Vector3<f64>) -> bool {
        (0..3).all(|i| self.low[i] < p[i] && p[i] < self.high[i]) && !self.prisms.iter().any(|k| k.holds(p))
    }

    /// The stretches of wood on the line `p + t d`, in the frame of all, by growing `t`.
    pub(super) fn wood(&self, p: &Vector3<f64>, d: &Vector3<f64>) -> Vec<[f64; 2]> {
        let (p, d) = (self.to_own(p), self.axes.transpose() * d);
        let mut whole = [f64::NEG_INFINITY, f64::INFINITY];
        for i in 0..3 {
            if d[i].abs() < 1e-12 {
                if p[i] <= self.low[i] || self.high[i] <= p[i] {
                    return Vec::new();
                }
                continue;
            }
            let (a, b) = ((self.low[i] - p[i]) / d[i], (self.high[i] - p[i]) / d[i]);
            whole = [whole[0].max(a.min(b)), whole[1].min(a.max(b))];
        }
        if whole[1] <= whole[0] {
            return Vec::new();
        }
        let mut taken = Vec::new();
        self.prisms.iter().for_each(|k| k.stretches(&p, &d, &mut taken));
        taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let mut out = Vec::new();
        let mut from = whole[0];
        for [a, b] in taken {
            if a > from {
                out.push([from, a.min(whole[1])]);
            }
            from = from.max(b);
            if from >= whole[1] {
                break;
            }
        }
        if from < whole[1] {
            out.push([from, whole[1]]);
        }
        out.retain(|s| s[1] - s[0] > 1e-6);
        out
    }
}

/// A worked edge as what it takes away: drawn as distances inward from its two faces, and then put where they are.
fn worked(edge: &Edge, size: [f64; 3]) -> Prism {
    let [a, b] = edge.faces.map(|f| (f.axis as usize, f.positive));
    let axis = 3 - a.0 - b.0;
    let corners: Vec<([f64; 2], f64)> = match edge.profile {
        Profile::Round { radius } => {
            let r = radius.mm();
            // The hollow side of the round lies in the wood: the arc turns about a point r from both faces.
            vec![([0.0, 0.0], 0.0), ([r, 0.0], libm::tan(-std::f64::consts::PI / 8.0)), ([0.0, r], 0.0)]
        }
        Profile::Chamfer { width } => vec![([0.0, 0.0], 0.0), ([width.mm(), 0.0], 0.0), ([0.0, width.mm()], 0.0)],
        Profile::Raise { width, tongue, depth, step } => {
            let (w, t, d, s) = (width.mm(), tongue.mm(), depth.mm(), step.mm());
            vec![([0.0, 0.0], 0.0), ([d, 0.0], 0.0), ([d, t], 0.0), ([s, w], 0.0), ([0.0, w], 0.0)]
        }
    };
    // So that no skin is left on the faces, what lies on them is put outside.
    let place = |(k, positive): (usize, bool), inward: f64| {
        let out = if inward == 0.0 { -1e-7 } else { inward };
        if positive { size[k] - out } else { out }
    };
    let at = |[i, j]: [f64; 2]| {
        let (p, q) = (place(a, i), place(b, j));
        if a.0 < b.0 { [p, q] } else { [q, p] }
    };
    // Each of the three may turn left into right.
    let mirrored = (a.1 == b.1) != (a.0 < b.0);
    let n = corners.len();
    let side = |i: usize| {
        let bulge = corners[i].1 * if mirrored { -1.0 } else { 1.0 };
        Side::new(at(corners[i].0), at(corners[(i + 1) % n].0), bulge)
    };
    let (from, to) = (edge.from.mm(), edge.to.mm());
    let range = [if from <= 0.0 { -BEYOND } else { from }, if to >= size[axis] { BEYOND } else { to }];
    Prism { axis, range, sides: (0..n).map(side).collect() }
}
