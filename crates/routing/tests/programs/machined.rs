//! A plain reader of our own programs, and a check of what they do to the wood: samples of the tool's body against the
//! cuts of the part, and samples of the cuts against the tool's path. Slow and simple on purpose; it shares nothing with
//! the code that made the paths.

use case::{Case, Cut, Outline, Part};
use measure::{Length, Unit};
use routing::{Program, Setup};

type P3 = [f64; 3];

/// One feed move as read back, in mm; an arc by its centre and signed sweep.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fed {
    pub(crate) line: usize,
    pub(crate) tool: f64,
    pub(crate) from: P3,
    pub(crate) to: P3,
    pub(crate) arc: Option<([f64; 2], f64)>,
}

#[derive(Default)]
pub(crate) struct Read {
    pub(crate) fed: Vec<Fed>,
    pub(crate) rapid: Vec<Fed>,
}

/// Reads a program; panics on anything that a strict interpreter refuses and that we might emit.
pub(crate) fn read(p: &Program) -> Read {
    let mut out = Read::default();
    let (mut at, mut feed, mut spindle, mut unit): ([Option<f64>; 3], f64, bool, f64) = ([None; 3], 0.0, false, 0.0);
    let mut radius = p.tools[0].0.radius();
    let tolerance = if p.unit == Unit::Inch { 0.0002 * 25.4 } else { 0.002 };
    for (n, line) in p.text.lines().enumerate() {
        assert!(line.len() <= 79 && line.is_ascii(), "{}:{n}", p.file);
        if line.starts_with('(') {
            assert!(line.ends_with(')') && line.matches(['(', ')']).count() == 2, "{}:{n} {line}", p.file);
            continue;
        }
        if line == "%" {
            continue;
        }
        let words: Vec<(char, f64)> = line
            .split(' ')
            .map(|w| (w.as_bytes()[0] as char, w[1..].parse().unwrap_or_else(|_| panic!("{}:{n} {line}", p.file))))
            .collect();
        let get = |c: char| words.iter().find(|w| w.0 == c).map(|w| w.1);
        let g: Vec<f64> = words.iter().filter(|w| w.0 == 'G').map(|w| w.1).collect();
        if g.contains(&21.0) || g.contains(&20.0) {
            unit = if g.contains(&20.0) { 25.4 } else { 1.0 };
        }
        if get('M') == Some(3.0) {
            assert!(get('S').is_some_and(|s| s > 0.0));
            spindle = true;
        }
        if get('M') == Some(5.0) {
            spindle = false;
        }
        if let Some(t) = get('T') {
            radius = p.tools.iter().find(|(x, _)| f64::from(x.number) == t).unwrap().0.radius();
        }
        if let Some(f) = get('F') {
            feed = f;
        }
        let Some(motion) = g.iter().copied().find(|g| [0.0, 1.0, 2.0, 3.0].contains(g)) else { continue };
        let mut to = at;
        for (i, c) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            if let Some(v) = get(c) {
                to[i] = Some(v * unit);
            }
        }
        assert!(to != at || motion > 1.0, "{}:{n} a move that goes nowhere", p.file);
        if let (Some(f), Some(t)) = (whole(at), whole(to)) {
            let fed = |arc| Fed { line: n + 1, tool: radius, from: f, to: t, arc };
            if motion == 0.0 {
                let level = f[2] == t[2];
                assert!(!level || f[2] >= 20.0, "{}:{n} a lateral rapid at {}", p.file, f[2]);
                assert!(level || (f[0], f[1]) == (t[0], t[1]), "{}:{n} a rapid both ways", p.file);
                out.rapid.push(fed(None));
            } else {
                assert!(feed > 0.0 && spindle && unit > 0.0, "{}:{n}", p.file);
                let arc = (motion > 1.0).then(|| {
                    let c = [f[0] + get('I').unwrap() * unit, f[1] + get('J').unwrap() * unit];
                    let r = |p: P3| libm::hypot(p[0] - c[0], p[1] - c[1]);
                    assert!((r(f) - r(t)).abs() < tolerance, "{}:{n} radii {} {}", p.file, r(f), r(t));
                    let angle = |p: P3| libm::atan2(p[1] - c[1], p[0] - c[0]);
                    let turn = (angle(t) - angle(f)) * if motion == 3.0 { 1.0 } else { -1.0 };
                    let turn = turn.rem_euclid(std::f64::consts::TAU);
                    let turn = if (f[0], f[1]) == (t[0], t[1]) { std::f64::consts::TAU } else { turn };
                    (c, if motion == 3.0 { turn } else { -turn })
                });
                out.fed.push(fed(arc));
            }
        }
        at = to;
    }
    out
}

fn whole(p: [Option<f64>; 3]) -> Option<P3> {
    Some([p[0]?, p[1]?, p[2]?])
}

impl Fed {
    fn length(&self) -> f64 {
        let flat = match self.arc {
            Some((c, sweep)) => libm::hypot(self.from[0] - c[0], self.from[1] - c[1]) * sweep.abs(),
            None => libm::hypot(self.to[0] - self.from[0], self.to[1] - self.from[1]),
        };
        libm::hypot(flat, self.to[2] - self.from[2])
    }

    fn at(&self, t: f64) -> P3 {
        let z = self.from[2] + t * (self.to[2] - self.from[2]);
        match self.arc {
            Some((c, sweep)) => {
                let v = [self.from[0] - c[0], self.from[1] - c[1]];
                let a = libm::atan2(v[1], v[0]) + t * sweep;
                let r = libm::hypot(v[0], v[1]);
                [c[0] + r * libm::cos(a), c[1] + r * libm::sin(a), z]
            }
            None => [self.from[0] + t * (self.to[0] - self.from[0]), self.from[1] + t * (self.to[1] - self.from[1]), z],
        }
    }

    /// Distance in the plane from a point to the move.
    fn distance(&self, p: [f64; 2]) -> f64 {
        match self.arc {
            None => {
                let d = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
                let l2 = d[0] * d[0] + d[1] * d[1];
                let t = if l2 > 0.0 { ((p[0] - self.from[0]) * d[0] + (p[1] - self.from[1]) * d[1]) / l2 } else { 0.0 };
                let q = self.at(t.clamp(0.0, 1.0));
                libm::hypot(p[0] - q[0], p[1] - q[1])
            }
            Some(_) => {
                let n = (self.length() / 0.2).ceil().max(8.0);
                let n = if n < 4000.0 { n } else { 4000.0 };
                let mut least = f64::INFINITY;
                let mut k = 0.0;
                while k <= n {
                    let q = self.at(k / n);
                    least = least.min(libm::hypot(p[0] - q[0], p[1] - q[1]));
                    k += 1.0;
                }
                least
            }
        }
    }
}

/// A cut as a solid in the part frame.
struct Solid {
    cut: Cut,
    polygon: Vec<[f64; 2]>,
    bounds: [[f64; 2]; 2],
    /// Along the axis of its face, from where to where.
    along: [f64; 2],
}

impl Solid {
    fn new(part: &Part, cut: &Cut) -> Self {
        let whole = part.size[cut.from.axis.index()].mm();
        let along = if cut.from.positive { [whole - cut.depth.mm(), whole] } else { [0.0, cut.depth.mm()] };
        Self {
            cut: cut.clone(),
            polygon: cut.outline.flattened(0.001),
            bounds: cut.outline.bounds().map(|b| b.map(Length::mm)),
            along,
        }
    }

    /// Whether it holds a point of the part frame, or misses it by no more than `slack` in depth.
    fn holds(&self, p: P3, slack: f64) -> bool {
        let (u, v) = self.cut.from.axis.others();
        let (q, w) = ([p[u.index()], p[v.index()]], p[self.cut.from.axis.index()]);
        self.along[0] - slack <= w
            && w <= self.along[1] + slack
            && (0..2).all(|i| self.bounds[i][0] <= q[i] && q[i] <= self.bounds[i][1])
            && inside(&self.polygon, q)
    }
}

fn inside(polygon: &[[f64; 2]], p: [f64; 2]) -> bool {
    let n = polygon.len();
    let crossings = (0..n).filter(|&i| {
        let (a, b) = (polygon[i], polygon[(i + 1) % n]);
        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossings.count() % 2 == 1
}

fn to_part(setup: &Setup, p: P3) -> P3 {
    let mut out = setup.origin.map(Length::mm);
    for (d, value) in [setup.x_axis, setup.y_axis, setup.up].into_iter().zip(p) {
        out[d.axis.index()] += if d.positive { value } else { -value };
    }
    out
}

fn to_program(setup: &Setup, p: P3) -> P3 {
    [setup.x_axis, setup.y_axis, setup.up].map(|d| {
        let along = p[d.axis.index()] - setup.origin[d.axis.index()].mm();
        if d.positive { along } else { -along }
    })
}

/// Nothing is cut that no cut of the part asks for, by more than a hundredth of a millimetre.
pub(crate) fn no_gouge(case: &Case, p: &Program, read: &Read) {
    let part = case.part(p.parts[0]);
    let solids: Vec<Solid> = part.cuts.iter().map(|c| Solid::new(part, c)).collect();
    let [w, h, t] = p.setup.size.map(Length::mm);
    let around: Vec<[f64; 2]> =
        (0..24).map(|i| f64::from(i) * 0.261_799_387_8).map(|a| [libm::cos(a), libm::sin(a)]).collect();
    for m in read.fed.iter().filter(|m| m.from[2].min(m.to[2]) < 0.0) {
        let n = (m.length() / if m.arc.is_some() { 1.5 } else { 4.0 }).ceil().max(1.0);
        let mut k = 0.0;
        // The solid that held the last point most likely holds the next.
        let mut last = 0;
        while k <= n {
            let q = m.at(k / n);
            k += 1.0;
            if q[2] >= 0.0 {
                continue;
            }
            assert!(q[2] >= -t - p.claim.spoilboard - 1e-3, "{}:{} too deep", p.file, m.line);
            for u in &around {
                let s = [q[0] + (m.tool - 0.01) * u[0], q[1] + (m.tool - 0.01) * u[1]];
                if s[0] <= 0.0 || s[0] >= w || s[1] <= 0.0 || s[1] >= h {
                    continue;
                }
                // Below the stock is the spoilboard.
                let at = to_part(&p.setup, [s[0], s[1], q[2].max(-t) + 0.001]);
                if !solids[last].holds(at, 0.001) {
                    let found = solids.iter().position(|c| c.holds(at, 0.001));
                    last = found.unwrap_or_else(|| panic!("{}:{} gouges at {s:?}, {}", p.file, m.line, q[2]));
                }
            }
        }
    }
}

/// Every cut that the program claims is wholly taken, but for the corners that the bit cannot reach.
pub(crate) fn no_leftover(case: &Case, p: &Program, read: &Read) {
    let part = case.part(p.parts[0]);
    for (i, cut) in part.cuts.iter().enumerate().filter(|(i, _)| p.cuts.contains(&part.cut_id(*i))) {
        let s = Solid::new(part, cut);
        let (u, v) = cut.from.axis.others();
        let solid_point = |q: [f64; 2], along: f64| {
            let mut at = [along; 3];
            at[u.index()] = q[0];
            at[v.index()] = q[1];
            to_program(&p.setup, at)
        };
        let corners: Vec<P3> = cut
            .outline
            .0
            .iter()
            .filter(|_| cut.outline.0.len() > 2)
            .flat_map(|c| s.along.map(|w| solid_point([c.u.mm(), c.v.mm()], w)))
            .collect();
        for along in [s.along[0] + 0.02, (s.along[0] + s.along[1]) / 2.0, s.along[1] - 0.02] {
            for q in samples(&cut.outline, &s.polygon) {
                let [x, y, z] = solid_point(q, along);
                let taken = |m: &Fed| {
                    let level = m.from[2].max(m.to[2]) <= z && m.distance([x, y]) <= m.tool + 0.01;
                    level || (m.to[2] <= z && libm::hypot(m.to[0] - x, m.to[1] - y) <= m.tool + 0.01)
                };
                let radius = p.tools.iter().map(|t| t.0.radius()).fold(0.0, f64::max);
                let near = |c: &P3| libm::hypot(c[0] - x, c[1] - y) < radius * 1.001;
                assert!(
                    corners.iter().any(near) || read.fed.iter().any(taken),
                    "{} {} is left at {:?}",
                    p.file,
                    part.cut_id(i),
                    [x, y, z]
                );
            }
        }
    }
}

/// Points all over the region, and points 0.02 mm inside its boundary.
fn samples(outline: &Outline, polygon: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let [u, v] = outline.bounds().map(|b| b.map(Length::mm));
    let mut out = Vec::new();
    for i in 0..12 {
        for j in 0..12 {
            let q = [
                u[0] + (u[1] - u[0]) * (f64::from(i) + 0.5) / 12.0,
                v[0] + (v[1] - v[0]) * (f64::from(j) + 0.5) / 12.0,
            ];
            if inside(polygon, q) {
                out.push(q);
            }
        }
    }
    for s in outline.segments() {
        for k in 0..24 {
            let t = (f64::from(k) + 0.5) / 24.0;
            let (a, b, q) = (s.at(t - 0.001), s.at(t + 0.001), s.at(t));
            let l = libm::hypot(b[0] - a[0], b[1] - a[1]);
            out.push([q[0] - 0.02 * (b[1] - a[1]) / l, q[1] + 0.02 * (b[0] - a[0]) / l]);
        }
    }
    out
}
