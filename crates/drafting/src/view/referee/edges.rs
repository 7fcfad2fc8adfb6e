//! Every true edge of a solid, found by walking round points on all lines where an edge may be.
//!
//! Edges lie where two surfaces of box or prisms meet. Each such line is cut wherever a third surface meets it; between
//! two cuts it is an edge all along or nowhere. Which of the two, a small ring of points round its middle tells: there
//! is an edge if the wood there is neither all, nor nothing, nor half.

use nalgebra::Vector3;

use super::solid::{Solid, beside, meets_circle};

/// Radius of the ring, mm.
const RING: f64 = 0.004;
/// Points on it.
const POINTS: usize = 72;
/// Off the axes, so that no point of the ring lies on a surface.
const OFF: f64 = 0.0217;
/// Surfaces that turn by less are one smooth surface: the engine's own convention, 12°.
const SMOOTH: f64 = 12.0;
/// Points nearer than this are one, mm.
const SAME: f64 = 1e-5;
/// What comes so near to a circle touches it, mm.
const TOUCH: f64 = 1e-5;

/// A surface of the box or of a prism, in the solid's own frame.
#[derive(Clone, Debug)]
struct Plane {
    normal: Vector3<f64>,
    /// Distance from the origin along the normal.
    at: f64,
    low: Vector3<f64>,
    high: Vector3<f64>,
}

/// A round wall of a prism.
#[derive(Clone, Debug)]
struct Drum {
    axis: usize,
    centre: [f64; 2],
    radius: f64,
    start: f64,
    sweep: f64,
    range: [f64; 2],
}

/// A stretch where two surfaces meet, not cut by a third.
#[derive(Clone, Copy, Debug)]
pub(super) enum Line {
    Straight {
        from: Vector3<f64>,
        to: Vector3<f64>,
    },
    /// In a plane square to `axis`, `at` so far along it.
    Round {
        axis: usize,
        at: f64,
        centre: [f64; 2],
        radius: f64,
        from: f64,
        to: f64,
    },
}

/// A face beside an edge, at one point of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beside {
    /// Out of the wood.
    pub(super) normal: Vector3<f64>,
    /// From the edge into the face.
    pub(super) inward: Vector3<f64>,
}

/// A true edge in the frame of all.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    line: Line,
    /// On a round wall, or its rim.
    pub(super) curved: bool,
    solid: usize,
}

impl Line {
    pub(super) fn length(&self) -> f64 {
        match self {
            Self::Straight { from, to } => (to - from).norm(),
            Self::Round { radius, from, to, .. } => (to - from) * radius,
        }
    }

    fn at(&self, share: f64) -> Vector3<f64> {
        match *self {
            Self::Straight { from, to } => from + (to - from) * share,
            Self::Round { axis, at, centre, radius, from, to } => {
                let (s, c) = libm::sincos(from + (to - from) * share);
                let [u, v] = beside(axis);
                let mut p = Vector3::zeros();
                (p[axis], p[u], p[v]) = (at, centre[0] + radius * c, centre[1] + radius * s);
                p
            }
        }
    }

    fn along(&self, share: f64) -> Vector3<f64> {
        (self.at(share + 1e-4) - self.at(share - 1e-4)).normalize()
    }
}

impl Edge {
    pub(super) fn length(&self) -> f64 {
        self.line.length()
    }

    pub(super) fn at(&self, solids: &[Solid], share: f64) -> Vector3<f64> {
        solids[self.solid].placed(&self.line.at(share))
    }

    pub(super) fn along(&self, solids: &[Solid], share: f64) -> Vector3<f64> {
        solids[self.solid].axes * self.line.along(share)
    }

    /// The faces beside it at a place along it.
    pub(super) fn faces(&self, solids: &[Solid], share: f64) -> Vec<Beside> {
        let solid = &solids[self.solid];
        let found = around(solid, &self.line.at(share), &self.line.along(share)).unwrap_or_default();
        let turn = |v: Vector3<f64>| solid.axes * v;
        found.into_iter().map(|b| Beside { normal: turn(b.normal), inward: turn(b.inward) }).collect()
    }
}

/// All true edges of some solids.
pub(super) fn edges(solids: &[Solid]) -> Vec<Edge> {
    let of = |(i, s): (usize, &Solid)| {
        let found = lines(s).into_iter().filter(|(l, _)| around(s, &l.at(0.5), &l.along(0.5)).is_some());
        found.map(move |(line, curved)| Edge { line, curved, solid: i }).collect::<Vec<_>>()
    };
    solids.iter().enumerate().flat_map(of).collect()
}

/// Where round walls turn away from an eye that is far off in direction `toward`; seen or not, there or not.
pub(super) fn limbs(solids: &[Solid], toward: &Vector3<f64>) -> Vec<[Vector3<f64>; 2]> {
    let mut out = Vec::new();
    for s in solids {
        let own = s.axes.transpose() * toward;
        for d in surfaces(s).1 {
            let [u, v] = beside(d.axis);
            let angle = libm::atan2(own[v], own[u]) + std::f64::consts::FRAC_PI_2;
            for (sin, cos) in [libm::sincos(angle), libm::sincos(angle + std::f64::consts::PI)] {
                let point = |at: f64| {
                    let mut p = Vector3::zeros();
                    (p[d.axis], p[u], p[v]) = (at, d.centre[0] + d.radius * cos, d.centre[1] + d.radius * sin);
                    s.placed(&p)
                };
                out.push(d.range.map(point));
            }
        }
    }
    out
}

/// The faces round a point of a line, if it is an edge there.
fn around(s: &Solid, p: &Vector3<f64>, along: &Vector3<f64>) -> Option<Vec<Beside>> {
    let helper = if along.x.abs() < 0.7 { Vector3::x() } else { Vector3::y() };
    let a = along.cross(&helper).normalize();
    let b = along.cross(&a);
    let way = |angle: f64| a * libm::cos(angle) + b * libm::sin(angle);
    let wood = |angle: f64| s.holds(&(p + way(angle) * RING));
    let step = std::f64::consts::TAU / POINTS as f64;
    let angle = |i: usize| OFF + i as f64 * step;
    let states: Vec<bool> = (0..POINTS).map(|i| wood(angle(i))).collect();
    let mut turns: Vec<(f64, bool)> = Vec::new();
    for i in 0..POINTS {
        let (before, after) = (states[i], states[(i + 1) % POINTS]);
        if before != after {
            let (mut low, mut high) = (angle(i), angle(i + 1));
            for _ in 0..30 {
                let middle = f64::midpoint(low, high);
                if wood(middle) == before { low = middle } else { high = middle }
            }
            turns.push((low, after));
        }
    }
    let half = match turns[..] {
        [] => true,
        [(from, true), (to, _)] | [(to, false), (from, _)] => {
            let wide = (to - from).rem_euclid(std::f64::consts::TAU).to_degrees();
            (wide - 180.0).abs() < SMOOTH
        }
        _ => false,
    };
    let face = |(angle, enters): (f64, bool)| {
        // The wood begins where the angle grows, or ends there.
        let out = way(angle + std::f64::consts::FRAC_PI_2);
        Beside { normal: if enters { -out } else { out }, inward: way(angle) }
    };
    (!half).then(|| turns.into_iter().map(face).collect())
}

/// The surfaces of box and prisms, within the box.
fn surfaces(s: &Solid) -> (Vec<Plane>, Vec<Drum>) {
    let (mut planes, mut drums) = (Vec::new(), Vec::new());
    let mut add = |normal: Vector3<f64>, at: f64, low: Vector3<f64>, high: Vector3<f64>| {
        let (low, high) = (low.sup(&s.low), high.inf(&s.high));
        if (0..3).all(|i| low[i] <= high[i] + SAME) {
            planes.push(Plane { normal, at, low, high });
        }
    };
    let axis_of = |i: usize| Vector3::from_fn(|k, _| if k == i { 1.0 } else { 0.0 });
    for i in 0..3 {
        for at in [s.low[i], s.high[i]] {
            let (mut low, mut high) = (s.low, s.high);
            (low[i], high[i]) = (at, at);
            add(axis_of(i), at, low, high);
        }
    }
    for k in &s.prisms {
        let [u, v] = beside(k.axis);
        let corners = k.sides.iter().flat_map(|side| {
            let round = side.arc.map(|(c, r, ..)| [[c[0] - r, c[1] - r], [c[0] + r, c[1] + r]]);
            [side.from, side.to].into_iter().chain(round.into_iter().flatten())
        });
        let whole = corners.fold([[f64::MAX; 2], [f64::MIN; 2]], |b, p| {
            [[b[0][0].min(p[0]), b[0][1].min(p[1])], [b[1][0].max(p[0]), b[1][1].max(p[1])]]
        });
        let place = |w: f64, p: [f64; 2]| {
            let mut out = Vector3::zeros();
            (out[k.axis], out[u], out[v]) = (w, p[0], p[1]);
            out
        };
        for at in k.range {
            add(axis_of(k.axis), at, place(at, whole[0]), place(at, whole[1]));
        }
        for side in &k.sides {
            if let Some((centre, radius, start, sweep)) = side.arc {
                let range = [k.range[0].max(s.low[k.axis]), k.range[1].min(s.high[k.axis])];
                drums.push(Drum { axis: k.axis, centre, radius, start, sweep, range });
                continue;
            }
            let (a, b) = (side.from, side.to);
            let length = libm::hypot(b[0] - a[0], b[1] - a[1]);
            if length < SAME {
                continue;
            }
            let normal = place(0.0, [(b[1] - a[1]) / length, (a[0] - b[0]) / length]);
            let at = normal.dot(&place(0.0, a));
            let low = place(k.range[0], [a[0].min(b[0]), a[1].min(b[1])]);
            let high = place(k.range[1], [a[0].max(b[0]), a[1].max(b[1])]);
            add(normal, at, low, high);
        }
    }
    (planes, drums)
}

/// Lines where two surfaces meet, cut wherever a third one meets them; whether each is curved.
fn lines(s: &Solid) -> Vec<(Line, bool)> {
    let (planes, drums) = surfaces(s);
    let mut out: Vec<(Line, bool)> = Vec::new();
    let meet = |a: &Plane, b: &Plane| (0..3).all(|i| a.low[i] <= b.high[i] + SAME && b.low[i] <= a.high[i] + SAME);
    for (i, a) in planes.iter().enumerate() {
        for b in planes[i + 1..].iter().filter(|b| meet(a, b)) {
            let along = a.normal.cross(&b.normal);
            if along.norm() > 1e-6 {
                // The point of both that is nearest to the origin.
                let (n, c) = (along.norm_squared(), a.normal.dot(&b.normal));
                let p = (a.normal * (a.at - b.at * c) + b.normal * (b.at - a.at * c)) / n;
                let window = [a.low.sup(&b.low), a.high.inf(&b.high)];
                straight(p, along.normalize(), window, &planes, &drums, false, &mut out);
            }
        }
        for d in &drums {
            if a.normal[d.axis].abs() > 1.0 - 1e-9 {
                if d.range[0] - SAME <= a.at * a.normal[d.axis] && a.at * a.normal[d.axis] <= d.range[1] + SAME {
                    out.extend(rim(d, a.at * a.normal[d.axis], &planes, &drums).into_iter().map(|l| (l, true)));
                }
            } else if a.normal[d.axis].abs() < 1e-9 {
                // Lines along the drum.
                let [u, v] = beside(d.axis);
                let far = a.at - a.normal[u] * d.centre[0] - a.normal[v] * d.centre[1];
                let half = (d.radius * d.radius - far * far).max(0.0).sqrt();
                for sign in [-1.0, 1.0] {
                    let mut p = Vector3::zeros();
                    p[u] = d.centre[0] + far * a.normal[u] - sign * half * a.normal[v];
                    p[v] = d.centre[1] + far * a.normal[v] + sign * half * a.normal[u];
                    if far.abs() <= d.radius + SAME {
                        let mut window = [a.low, a.high];
                        window[0][d.axis] = window[0][d.axis].max(d.range[0]);
                        window[1][d.axis] = window[1][d.axis].min(d.range[1]);
                        let along = Vector3::from_fn(|k, _| if k == d.axis { 1.0 } else { 0.0 });
                        straight(p, along, window, &planes, &drums, true, &mut out);
                    }
                }
            }
        }
    }
    // Lines where two drums side by side meet.
    for (i, a) in drums.iter().enumerate() {
        for b in drums[i + 1..].iter().filter(|b| b.axis == a.axis) {
            let (dx, dy) = (b.centre[0] - a.centre[0], b.centre[1] - a.centre[1]);
            let apart = libm::hypot(dx, dy);
            if apart < SAME {
                continue;
            }
            let far = (apart * apart + a.radius * a.radius - b.radius * b.radius) / (2.0 * apart);
            let square = a.radius * a.radius - far * far;
            if square < -SAME {
                continue;
            }
            let half = square.max(0.0).sqrt();
            let [u, v] = beside(a.axis);
            for sign in [-1.0, 1.0] {
                let mut p = Vector3::zeros();
                p[u] = a.centre[0] + (far * dx - sign * half * dy) / apart;
                p[v] = a.centre[1] + (far * dy + sign * half * dx) / apart;
                let (mut low, mut high) = (s.low, s.high);
                low[a.axis] = a.range[0].max(b.range[0]);
                high[a.axis] = a.range[1].min(b.range[1]);
                let along = Vector3::from_fn(|k, _| if k == a.axis { 1.0 } else { 0.0 });
                straight(p, along, [low, high], &planes, &drums, true, &mut out);
            }
        }
    }
    once(out)
}

/// The line `p + t along` within a window, cut.
fn straight(
    p: Vector3<f64>,
    along: Vector3<f64>,
    window: [Vector3<f64>; 2],
    planes: &[Plane],
    drums: &[Drum],
    curved: bool,
    out: &mut Vec<(Line, bool)>,
) {
    let mut at: Vec<f64> = Vec::new();
    for q in planes {
        let slope = q.normal.dot(&along);
        if slope.abs() > 1e-9 {
            at.push((q.at - q.normal.dot(&p)) / slope);
        }
    }
    for d in drums {
        let [u, v] = beside(d.axis);
        let (q, e) = ([p[u], p[v]], [along[u], along[v]]);
        at.extend(meets_circle(d.centre, d.radius, q, e).into_iter().flatten());
        // Where it only touches the drum.
        let flat = e[0] * e[0] + e[1] * e[1];
        if flat > 1e-9 {
            let t = ((d.centre[0] - q[0]) * e[0] + (d.centre[1] - q[1]) * e[1]) / flat;
            let far = libm::hypot(q[0] + t * e[0] - d.centre[0], q[1] + t * e[1] - d.centre[1]);
            at.extend(((far - d.radius).abs() < TOUCH).then_some(t));
        }
    }
    at.retain(|t| t.is_finite());
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| *a - *b < SAME);
    for w in at.windows(2) {
        let (from, to) = (p + along * w[0], p + along * w[1]);
        let middle = (from + to) / 2.0;
        if (0..3).all(|i| window[0][i] - SAME <= middle[i] && middle[i] <= window[1][i] + SAME) {
            out.push((Line::Straight { from, to }, curved));
        }
    }
}

/// The circle where a drum meets a plane square to its axis, cut.
fn rim(d: &Drum, at: f64, planes: &[Plane], drums: &[Drum]) -> Vec<Line> {
    let tau = std::f64::consts::TAU;
    let [u, v] = beside(d.axis);
    // As shares of the drum's own sweep.
    let mut cuts = vec![0.0, d.sweep.abs()];
    let mut add = |angle: f64| {
        let turned = ((angle - d.start) * d.sweep.signum()).rem_euclid(tau);
        if turned < d.sweep.abs() {
            cuts.push(turned);
        }
    };
    for q in planes {
        let flat = libm::hypot(q.normal[u], q.normal[v]);
        if flat > 1e-6 {
            let far = q.at - q.normal[d.axis] * at - q.normal[u] * d.centre[0] - q.normal[v] * d.centre[1];
            let share = touching(far / flat / d.radius);
            if share.abs() <= 1.0 {
                let (way, half) = (libm::atan2(q.normal[v], q.normal[u]), libm::acos(share));
                add(way + half);
                add(way - half);
            }
        }
    }
    for o in drums.iter().filter(|o| o.axis == d.axis) {
        let (dx, dy) = (o.centre[0] - d.centre[0], o.centre[1] - d.centre[1]);
        let apart = libm::hypot(dx, dy);
        if apart > SAME {
            let share =
                touching((apart * apart + d.radius * d.radius - o.radius * o.radius) / (2.0 * apart * d.radius));
            if share.abs() <= 1.0 {
                add(libm::atan2(dy, dx) + libm::acos(share));
                add(libm::atan2(dy, dx) - libm::acos(share));
            }
        }
    }
    // A drum of another axis meets the rim's plane in two lines along its own.
    for o in drums.iter().filter(|o| o.axis != d.axis) {
        let across = beside(o.axis);
        let (k, w) = if across[0] == d.axis { (0, 1) } else { (1, 0) };
        let half = o.radius * o.radius - (at - o.centre[k]) * (at - o.centre[k]);
        let own = usize::from(across[w] != u);
        for sign in [-1.0, 1.0] {
            let share = touching((o.centre[w] + sign * half.max(0.0).sqrt() - d.centre[own]) / d.radius);
            if half > -TOUCH && share.abs() <= 1.0 {
                let (way, half) = (own as f64 * std::f64::consts::FRAC_PI_2, libm::acos(share));
                add(way + half);
                add(way - half);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b) * d.radius < SAME);
    let angle = |turned: f64| d.start + turned * d.sweep.signum();
    let line = |w: &[f64]| {
        let (a, b) = (angle(w[0]), angle(w[1]));
        Line::Round { axis: d.axis, at, centre: d.centre, radius: d.radius, from: a.min(b), to: a.max(b) }
    };
    cuts.windows(2).map(line).collect()
}

/// A cosine that is 1 but for rounding.
fn touching(share: f64) -> f64 {
    if (share.abs() - 1.0).abs() < TOUCH { share.signum() } else { share }
}

/// Each line once.
fn once(mut all: Vec<(Line, bool)>) -> Vec<(Line, bool)> {
    let key = |l: &Line| {
        let p = l.at(0.5);
        ([p.x, p.y, p.z].map(|v| (v * 1e3).round()), (l.length() * 1e3).round())
    };
    let kind = |l: &Line| matches!(l, Line::Round { .. });
    all.sort_by(|a, b| (key(&a.0), kind(&a.0), a.1).partial_cmp(&(key(&b.0), kind(&b.0), b.1)).expect("numbers"));
    all.dedup_by(|a, b| {
        key(&a.0) == key(&b.0)
            && (a.0.along(0.5).dot(&b.0.along(0.5)).abs() - 1.0).abs() < 1e-6
            && kind(&a.0) == kind(&b.0)
    });
    all
}
