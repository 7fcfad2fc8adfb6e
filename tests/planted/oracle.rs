//! Whether a planted change alters what is cut: a plain reader and points about every move that changed. It shares
//! nothing with the proof, is slow and simple, and only decides what counts as a fault.

use proof::{Claim, Prism};

use crate::text::{motion, value, words};

type P3 = [f64; 3];

/// One feed move, mm; an arc by its centre and its signed sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Fed {
    from: P3,
    to: P3,
    arc: Option<([f64; 2], f64)>,
    /// What its centre stays within.
    low: [f64; 2],
    high: [f64; 2],
}

/// The feed moves of a program as the emitter writes them.
fn read(text: &str, unit: f64) -> Vec<Fed> {
    let mut at = [f64::NAN; 3];
    let mut out = Vec::new();
    for line in text.lines() {
        let unit = if words(line).is_empty() { continue } else { unit };
        let mut to = at;
        for (i, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            to[i] = value(line, letter).map_or(to[i], |v| v * unit);
        }
        let centre = || {
            let [i, j] = ['I', 'J'].map(|l| value(line, l).unwrap_or(0.0) * unit);
            [at[0] + i, at[1] + j]
        };
        let arc = match motion(line) {
            Some(2) => Some((centre(), -1.0)),
            Some(3) => Some((centre(), 1.0)),
            Some(0) | None => {
                at = to;
                continue;
            }
            _ => None,
        };
        let arc = arc.map(|(c, turn): ([f64; 2], f64)| {
            let angle = |p: P3| libm::atan2(p[1] - c[1], p[0] - c[0]);
            let mut sweep = (angle(to) - angle(at)) * turn;
            while sweep <= 1e-9 {
                sweep += std::f64::consts::TAU;
            }
            (c, sweep * turn)
        });
        let (mut low, mut high) = ([0, 1].map(|i: usize| at[i].min(to[i])), [0, 1].map(|i: usize| at[i].max(to[i])));
        if let Some((c, _)) = arc {
            let r = libm::hypot(at[0] - c[0], at[1] - c[1]);
            (low, high) = (c.map(|v| v - r), c.map(|v| v + r));
        }
        out.push(Fed { from: at, to, arc, low, high });
        at = to;
    }
    out
}

impl Fed {
    fn length(&self) -> f64 {
        let d = [0, 1, 2].map(|i| self.to[i] - self.from[i]);
        let flat = match self.arc {
            None => libm::hypot(d[0], d[1]),
            Some((c, sweep)) => sweep.abs() * libm::hypot(self.from[0] - c[0], self.from[1] - c[1]),
        };
        libm::hypot(flat, d[2])
    }

    fn at(&self, t: f64) -> P3 {
        let mut p = [0, 1, 2].map(|i| self.from[i] + t * (self.to[i] - self.from[i]));
        if let Some((c, sweep)) = self.arc {
            let v = [self.from[0] - c[0], self.from[1] - c[1]];
            let (sin, cos) = libm::sincos(t * sweep);
            (p[0], p[1]) = (c[0] + v[0] * cos - v[1] * sin, c[1] + v[0] * sin + v[1] * cos);
        }
        p
    }

    /// Whether a tool of radius `r` takes the wood at a point on its way.
    fn takes(&self, p: P3, r: f64) -> bool {
        if p[2] <= self.from[2].min(self.to[2]) || (0..2).any(|i| p[i] < self.low[i] - r || self.high[i] + r < p[i]) {
            return false;
        }
        let near = |t: f64| {
            let q = self.at(t);
            q[2] < p[2] && libm::hypot(q[0] - p[0], q[1] - p[1]) < r
        };
        if self.arc.is_none() {
            // From where to where along the line the tool is over the point; it is lowest at one of the two ends.
            let d = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
            let v = [p[0] - self.from[0], p[1] - self.from[1]];
            let length = libm::hypot(d[0], d[1]);
            if length == 0.0 {
                return libm::hypot(v[0], v[1]) < r;
            }
            let (along, aside) = ((v[0] * d[0] + v[1] * d[1]) / length, (v[0] * d[1] - v[1] * d[0]) / length);
            let half = (r * r - aside * aside).max(0.0).sqrt();
            let [a, b] = [along - half, along + half].map(|s| (s / length).clamp(0.0, 1.0));
            return half > 0.0 && along + half > 0.0 && along - half < length && {
                let height = |t: f64| self.from[2] + t * (self.to[2] - self.from[2]);
                height(a).min(height(b)) < p[2]
            };
        }
        let n = (self.length() / 0.1).ceil().clamp(2.0, 20_000.0);
        let mut i = 0.0;
        while i <= n {
            if near(i / n) {
                return true;
            }
            i += 1.0;
        }
        false
    }
}

fn taken(path: &[Fed], p: P3, r: f64) -> bool {
    path.iter().any(|f| f.takes(p, r))
}

fn in_prism(prism: &Prism, p: P3) -> bool {
    if !(prism.z_bottom < p[2] && p[2] < prism.z_top) {
        return false;
    }
    let v = &prism.outline;
    let mut polygon = Vec::new();
    for (i, a) in v.iter().enumerate() {
        let b = v[(i + 1) % v.len()];
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let half = 2.0 * libm::atan(a.bulge);
        for k in 0..if a.bulge == 0.0 { 1 } else { 256 } {
            let w = half * (f64::from(k) / 128.0 - 1.0);
            let (along, aside) = if a.bulge == 0.0 {
                (0.0, 0.0)
            } else {
                let s = 2.0 * libm::sin(half);
                (0.5 + libm::sin(w) / s, (libm::cos(w) - libm::cos(half)) / s)
            };
            polygon.push([a.x + along * dx + aside * dy, a.y + along * dy - aside * dx]);
        }
    }
    let n = polygon.len();
    let crossed = (0..n).filter(|i| {
        let (a, b) = (polygon[*i], polygon[(*i + 1) % n]);
        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossed.count() % 2 == 1
}

/// Whether what is cut differs where it counts: wood gone that must stay, or left that must go.
pub(crate) fn alters(good: &str, bad: &str, unit: f64, claim: &Claim) -> bool {
    const ABOUT: u32 = 24;
    let r = claim.tools[0].diameter / 2.0;
    let (good, bad) = (read(good, unit), read(bad, unit));
    let changed = good.iter().filter(|f| !bad.contains(f)).chain(bad.iter().filter(|f| !good.contains(f)));
    let stock = &claim.stock;
    for f in changed {
        let n = (f.length() / 5.0).ceil().clamp(2.0, 60.0);
        let mut i = 0.0;
        while i <= n {
            let p = f.at(i / n);
            i += 1.0;
            for k in 0..ABOUT {
                let (sin, cos) = libm::sincos(f64::from(k) / f64::from(ABOUT) * std::f64::consts::TAU);
                for (in_by, up) in [(0.02, 0.01), (0.3 * r, 0.01), (0.02, 0.3 * r)] {
                    let q = [p[0] + (r - in_by) * cos, p[1] + (r - in_by) * sin, p[2] + up];
                    if (0..3).any(|a| q[a] <= stock.min[a] || stock.max[a] <= q[a]) {
                        continue;
                    }
                    let other = |relieves: bool| {
                        claim.elsewhere.iter().any(|o| (o.relieves || !relieves) && in_prism(&o.prism, q))
                    };
                    let ours = || claim.cuts.iter().any(|c| in_prism(&c.prism, q));
                    let tab = || claim.tabs.iter().any(|t| in_prism(t, q));
                    match [taken(&good, q, r), taken(&bad, q, r)] {
                        [false, true] if tab() || (!ours() && !other(false)) => return true,
                        [true, false] if ours() && !tab() && !other(true) => return true,
                        _ => {}
                    }
                }
            }
        }
    }
    false
}

/// Whether a straight way at a height runs through wood that no cut of the part takes.
pub(crate) fn crosses_wood(claim: &Claim, from: [f64; 2], to: [f64; 2], z: f64) -> bool {
    let stock = &claim.stock;
    (1..400).any(|i| {
        let t = f64::from(i) / 400.0;
        let p = [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1]), z];
        let inside = (0..3).all(|a| stock.min[a] < p[a] && p[a] < stock.max[a]);
        let prisms = claim.cuts.iter().map(|c| &c.prism).chain(claim.elsewhere.iter().map(|o| &o.prism));
        inside && !prisms.into_iter().any(|prism| in_prism(prism, p))
    })
}

/// Whether a tool that comes down at a place meets wood, once the lines of a text are done.
pub(crate) fn is_wood(done: &str, unit: f64, claim: &Claim, [x, y]: [f64; 2]) -> bool {
    let r = claim.tools[0].diameter / 2.0;
    let path = read(done, unit);
    (0..8).any(|k| {
        let (sin, cos) = libm::sincos(f64::from(k) / 8.0 * std::f64::consts::TAU);
        !taken(&path, [x + 0.9 * r * cos, y + 0.9 * r * sin, -1.0], r)
    })
}
