//! A referee that shares nothing with the sweep: points of the stock, and whether a tool passes over them, by walking
//! every path in small steps. Slow and coarse, and therefore easy to believe.

use std::collections::BTreeMap;

use proof::reader::{Motion, Plane, read};
use proof::{Claim, Prism};

/// Steps along the path, mm. A disc that is missed between two steps misses r - sqrt(r² - (STEP/2)²), less than 0.0005.
const STEP: f64 = 0.08;

/// A place of the tip, and the tool's radius.
type Place = ([f64; 3], f64);

/// No tool reaches farther than this, mm, thickened as it may be.
const SQUARE: f64 = 8.0;

#[expect(clippy::cast_possible_truncation, reason = "squares of a small board")]
fn square(x: f64, y: f64) -> (i64, i64) {
    ([x, y].map(|v| (v / SQUARE).floor() as i64)).into()
}

/// What the referee knows of a program and its claim.
pub(crate) struct Referee {
    /// By squares of [`SQUARE`].
    places: BTreeMap<(i64, i64), Vec<Place>>,
    cuts: Vec<(Shape, [f64; 2])>,
    stock: ([f64; 3], [f64; 3]),
    /// Of the thinnest tool.
    radius: f64,
}

impl Referee {
    pub(crate) fn new(text: &str, claim: &Claim) -> Self {
        let radius_of = |t: u32| claim.tools.iter().find(|k| k.number == t).unwrap_or(&claim.tools[0]).diameter / 2.0;
        let top = claim.stock.max[2];
        let mut places: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for m in read(text.as_bytes()).motions.iter().filter(|m| !m.rapid && m.blind == 0) {
            let n = (m.length() / STEP).ceil().max(1.0);
            let mut i = 0.0;
            while i <= n {
                let p = at(m, i / n);
                if p[2] < top {
                    places.entry(square(p[0], p[1])).or_default().push((p, radius_of(m.tool)));
                }
                i += 1.0;
            }
        }
        let cuts = claim.cuts.iter().map(|c| (Shape::of(&c.prism), [c.prism.z_bottom, c.prism.z_top])).collect();
        let radius = claim.tools.iter().map(|t| t.diameter / 2.0).fold(f64::INFINITY, f64::min);
        Self { places, cuts, stock: (claim.stock.min, claim.stock.max), radius }
    }

    pub(crate) fn in_stock(&self, p: [f64; 3]) -> bool {
        (0..3).all(|i| self.stock.0[i] < p[i] && p[i] < self.stock.1[i])
    }

    /// A tool has been there, `by` mm thicker than it is.
    pub(crate) fn removed(&self, p: [f64; 3], by: f64) -> bool {
        let (x, y) = square(p[0], p[1]);
        let near = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y)));
        let mut near = near.filter_map(|s| self.places.get(&s)).flatten();
        near.any(|(q, r)| q[2] <= p[2] + by.max(0.0) && libm::hypot(q[0] - p[0], q[1] - p[1]) < r + by)
    }

    /// The claim wants it gone.
    pub(crate) fn claimed(&self, p: [f64; 3]) -> bool {
        self.cuts.iter().any(|(o, z)| z[0] < p[2] && p[2] < z[1] && o.holds([p[0], p[1]]))
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
                [c[0] + r * libm::cos(a), c[1] + r * libm::sin(a)]
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
            [w * libm::cos(a), w * libm::sin(a), h]
        })
    })
}

fn at(m: &Motion, t: f64) -> [f64; 3] {
    let mut p = [0, 1, 2].map(|i| m.from[i] + t * (m.to[i] - m.from[i]));
    if let Some(a) = m.arc {
        assert_eq!(a.plane, Plane::Xy);
        let angle = a.start + t * a.sweep;
        p[0] = a.centre[0] + a.radius * libm::cos(angle);
        p[1] = a.centre[1] + a.radius * libm::sin(angle);
    }
    p
}

/// An outline, simply.
enum Shape {
    Circle([f64; 2], f64),
    /// Its arcs are very short sides.
    Polygon(Vec<[f64; 2]>),
}

impl Shape {
    fn of(prism: &Prism) -> Self {
        let v = &prism.outline;
        if let [a, b] = v.as_slice()
            && a.bulge == 1.0
            && b.bulge == 1.0
        {
            return Self::Circle([(a.x + b.x) / 2.0, (a.y + b.y) / 2.0], libm::hypot(b.x - a.x, b.y - a.y) / 2.0);
        }
        let sides = (0..v.len()).map(|i| (v[i], v[(i + 1) % v.len()]));
        Self::Polygon(sides.flat_map(|(a, b)| bowed([a.x, a.y], [b.x, b.y], a.bulge)).collect())
    }

    fn holds(&self, p: [f64; 2]) -> bool {
        match self {
            Self::Circle(c, r) => libm::hypot(p[0] - c[0], p[1] - c[1]) < *r,
            Self::Polygon(o) => {
                let crossed = (0..o.len()).filter(|i| {
                    let (a, b) = (o[*i], o[(i + 1) % o.len()]);
                    (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
                });
                crossed.count() % 2 == 1
            }
        }
    }
}

/// Points from `a` up to before `b` along an arc of that bulge.
fn bowed(a: [f64; 2], b: [f64; 2], bulge: f64) -> Vec<[f64; 2]> {
    if bulge == 0.0 {
        return vec![a];
    }
    let half = 2.0 * libm::atan(bulge);
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let point = |k: u32| {
        let w = half * (f64::from(k) / 200.0 - 1.0);
        let along = 0.5 + libm::sin(w) / (2.0 * libm::sin(half));
        // Counter-clockwise arcs bow to the right of their chord.
        let aside = (libm::cos(w) - libm::cos(half)) / (2.0 * libm::sin(half));
        [a[0] + along * dx + aside * dy, a[1] + along * dy - aside * dx]
    };
    (0..400).map(point).collect()
}

/// The worst that is found at many points spread over the stock, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Verdict {
    /// Cut so far inside what must stay, at least.
    pub(crate) gouge: f64,
    /// Left so far from cleared room, at least.
    pub(crate) leftover: f64,
}

/// Depths that are told apart, mm; the first is what counts as wrong.
const LADDER: [f64; 8] = [0.02, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 4.0];

/// An even spread of points in the unit cube, the same every time (Kronecker's sequence).
fn spread(seed: f64) -> impl Iterator<Item = [f64; 3]> {
    const STEPS: [f64; 3] = [0.819_172_513_396_164_5, 0.671_043_606_703_789_2, 0.549_700_477_901_97];
    (1_u32..).map(move |i| STEPS.map(|s| ((f64::from(i) + seed) * s).fract()))
}

pub(crate) fn judge(text: &str, claim: &Claim, points: usize, seed: u32) -> Verdict {
    let referee = Referee::new(text, claim);
    let mut worst = Verdict { gouge: 0.0, leftover: 0.0 };
    let (min, max) = (claim.stock.min, claim.stock.max);
    for u in spread(f64::from(seed) * 0.37).take(points) {
        let p = [0, 1, 2].map(|a| min[a] + u[a] * (max[a] - min[a]));
        if referee.claimed(p) {
            let left = |d: &f64| p[2] + d < max[2] && !referee.removed(p, *d);
            let by = LADDER.into_iter().take_while(left).last().unwrap_or(0.0);
            if by > worst.leftover && referee.reachable(p, 0.02) {
                worst.leftover = by;
            }
        } else if referee.removed(p, -0.001) {
            let by = LADDER.into_iter().take_while(|d| referee.is_deep(p, *d)).last().unwrap_or(0.0);
            worst.gouge = worst.gouge.max(by);
        }
    }
    worst
}

/// Whether a complaint of the proof holds: near the place it names there is wood cut that must stay, or left that could
/// have gone.
pub(crate) fn confirms(text: &str, claim: &Claim, at: [f64; 3], reach: f64, gouge: bool) -> bool {
    let referee = Referee::new(text, claim);
    // A sliver of a corner can be small; a point of it is quickly tried.
    let points = if gouge { 40_000_u32 } else { 4000 };
    spread(0.0).zip(1..=points).any(|(u, k)| {
        let u = u.map(|v| v * 2.0 - 1.0);
        // Upward only: what the tool passes over lies above its tip, what is left stands on its floor. Nearest first.
        let shrink = f64::from(k) / f64::from(points);
        let p =
            [at[0] + u[0] * reach * shrink, at[1] + u[1] * reach * shrink, at[2] + u[2].abs() * 0.2 * shrink + 1e-4];
        referee.in_stock(p)
            && if gouge {
                !referee.claimed(p) && referee.removed(p, 0.001)
            } else {
                referee.claimed(p) && !referee.removed(p, -0.001) && referee.reachable(p, -0.02)
            }
    })
}
