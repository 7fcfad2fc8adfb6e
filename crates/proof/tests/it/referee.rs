//! A referee that shares nothing with the sweep: points of the stock, and whether a tool passes over them, by walking
//! every path in small steps. Slow and coarse, and therefore easy to believe.

use proof::reader::{Motion, Plane, read};
use proof::{Claim, Prism};

/// Steps along the path, mm. A disc that is missed between two steps misses r - sqrt(r² - (STEP/2)²), less than 0.0005.
const STEP: f64 = 0.08;

/// What the referee knows of a program and its claim.
pub(crate) struct Referee {
    /// Places of the tip and the tool's radius.
    places: Vec<([f64; 3], f64)>,
    cuts: Vec<(Vec<[f64; 2]>, [f64; 2])>,
    stock: ([f64; 3], [f64; 3]),
    /// Of the thinnest tool.
    radius: f64,
}

impl Referee {
    pub(crate) fn new(text: &str, claim: &Claim) -> Self {
        let radius_of = |t: u32| claim.tools.iter().find(|k| k.number == t).unwrap_or(&claim.tools[0]).diameter / 2.0;
        let mut places = Vec::new();
        for m in read(text.as_bytes()).motions.iter().filter(|m| !m.rapid && m.blind == 0) {
            let n = (m.length() / STEP).ceil().max(1.0);
            let mut i = 0.0;
            while i <= n {
                places.push((at(m, i / n), radius_of(m.tool)));
                i += 1.0;
            }
        }
        let top = claim.stock.max[2];
        places.retain(|(p, _)| p[2] < top);
        let cuts = claim.cuts.iter().map(|c| (flat(&c.prism), [c.prism.z_bottom, c.prism.z_top])).collect();
        let radius = claim.tools.iter().map(|t| t.diameter / 2.0).fold(f64::INFINITY, f64::min);
        Self { places, cuts, stock: (claim.stock.min, claim.stock.max), radius }
    }

    pub(crate) fn in_stock(&self, p: [f64; 3]) -> bool {
        (0..3).all(|i| self.stock.0[i] < p[i] && p[i] < self.stock.1[i])
    }

    /// A tool has been there, `by` mm thicker than it is.
    pub(crate) fn removed(&self, p: [f64; 3], by: f64) -> bool {
        self.places.iter().any(|(q, r)| q[2] <= p[2] + by.max(0.0) && (q[0] - p[0]).hypot(q[1] - p[1]) < r + by)
    }

    /// The claim wants it gone.
    pub(crate) fn claimed(&self, p: [f64; 3]) -> bool {
        self.cuts.iter().any(|(o, z)| z[0] < p[2] && p[2] < z[1] && inside(o, [p[0], p[1]]))
    }

    fn free(&self, p: [f64; 3]) -> bool {
        !self.in_stock(p) || self.claimed(p)
    }

    /// No room that may be empty lies within `d`: a sphere of points about it says so.
    pub(crate) fn is_deep(&self, p: [f64; 3], d: f64) -> bool {
        directions().all(|u| !self.free([p[0] + d * u[0], p[1] + d * u[1], p[2] + d * u[2]]))
    }

    /// The thinnest tool, `by` mm thicker, could reach it from straight above without touching what must stay.
    pub(crate) fn reachable(&self, p: [f64; 3], by: f64) -> bool {
        let r = self.radius + by;
        let ring = |c: [f64; 2], r: f64, n: u32| {
            (0..n).map(move |i| {
                let a = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
                [c[0] + r * a.cos(), c[1] + r * a.sin()]
            })
        };
        let allowed = |c: [f64; 2]| {
            (0..=10).all(|k| ring(c, r * (1.0 - f64::from(k) / 10.5), 64).all(|q| self.free([q[0], q[1], p[2]])))
        };
        [0.0, 0.25, 0.5, 0.75, 0.98].iter().any(|k| ring([p[0], p[1]], self.radius * k, 40).any(allowed))
    }
}

fn directions() -> impl Iterator<Item = [f64; 3]> {
    (0..24).flat_map(|i| {
        let a = f64::from(i) / 24.0 * std::f64::consts::TAU;
        [-1.0, -0.5, 0.0, 0.5, 1.0_f64].map(|h| {
            let w = (1.0 - h * h).sqrt();
            [w * a.cos(), w * a.sin(), h]
        })
    })
}

fn at(m: &Motion, t: f64) -> [f64; 3] {
    let mut p = [0, 1, 2].map(|i| m.from[i] + t * (m.to[i] - m.from[i]));
    if let Some(a) = m.arc {
        assert_eq!(a.plane, Plane::Xy);
        let angle = a.start + t * a.sweep;
        p[0] = a.centre[0] + a.radius * angle.cos();
        p[1] = a.centre[1] + a.radius * angle.sin();
    }
    p
}

/// The outline as a polygon of very short sides.
fn flat(prism: &Prism) -> Vec<[f64; 2]> {
    let v = &prism.outline;
    let mut out = Vec::new();
    for i in 0..v.len() {
        let (a, b) = (v[i], v[(i + 1) % v.len()]);
        let n = if a.bulge == 0.0 { 1 } else { 400 };
        for k in 0..n {
            let t = f64::from(k) / f64::from(n);
            // The point of an arc that sees the chord under its inscribed angle: by turning the half-angle evenly.
            let half = 2.0 * a.bulge.atan();
            let (s, c) = if half == 0.0 {
                (t, 0.0)
            } else {
                let w = half * (2.0 * t - 1.0);
                (0.5 + w.sin() / (2.0 * half.sin()), (w.cos() - half.cos()) / (2.0 * half.sin()))
            };
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            // Counter-clockwise arcs bow to the right of their chord.
            out.push([a.x + s * dx + c * dy, a.y + s * dy - c * dx]);
        }
    }
    out
}

fn inside(o: &[[f64; 2]], p: [f64; 2]) -> bool {
    let mut odd = false;
    for i in 0..o.len() {
        let (a, b) = (o[i], o[(i + 1) % o.len()]);
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
            odd = !odd;
        }
    }
    odd
}

/// Points at which something is wrong by more than `by`, among many points spread over the stock: `(gouged, left)`.
pub(crate) fn judge(text: &str, claim: &Claim, points: u32, seed: u32, by: f64) -> (Option<[f64; 3]>, Option<[f64; 3]>) {
    let referee = Referee::new(text, claim);
    let (mut gouged, mut left) = (None, None);
    let (min, max) = (claim.stock.min, claim.stock.max);
    // A Kronecker sequence: even, and the same every time.
    let steps = [0.819_172_513_396_164_5, 0.671_043_606_703_789_2, 0.549_700_477_901_97];
    for i in 0..points {
        let k = f64::from(i + 1) + f64::from(seed) * 0.37;
        let p = [0, 1, 2].map(|a| min[a] + (k * steps[a]).fract() * (max[a] - min[a]));
        let claimed = referee.claimed(p);
        if gouged.is_none() && !claimed && referee.removed(p, -0.001) && referee.is_deep(p, by) {
            gouged = Some(p);
        }
        if left.is_none() && claimed && !referee.removed(p, by) && referee.reachable(p, 0.02) {
            left = Some(p);
        }
    }
    (gouged, left)
}

/// Whether a complaint of the proof holds: near the place it names there is wood cut that must stay, or left that could
/// have gone.
pub(crate) fn confirms(text: &str, claim: &Claim, at: [f64; 3], reach: f64, gouge: bool) -> bool {
    let referee = Referee::new(text, claim);
    let steps = [0.819_172_513_396_164_5, 0.671_043_606_703_789_2, 0.549_700_477_901_97];
    (0..20_000).any(|i| {
        let k = f64::from(i);
        let u = steps.map(|s| (k * s).fract() * 2.0 - 1.0);
        // Upward only: what the tool passes over lies above its tip, what is left stands on its floor. Nearest first.
        let shrink = (k + 1.0) / 20_000.0;
        let p = [at[0] + u[0] * reach * shrink, at[1] + u[1] * reach * shrink, at[2] + u[2].abs() * 0.2 * shrink + 1e-4];
        referee.in_stock(p)
            && if gouge {
                !referee.claimed(p) && referee.removed(p, 0.001)
            } else {
                referee.claimed(p) && !referee.removed(p, -0.001) && referee.reachable(p, -0.02)
            }
    })
}
