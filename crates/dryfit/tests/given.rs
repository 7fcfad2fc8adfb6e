//! Cases to test on, and points thrown at parts by a method that shares nothing with the one under test.

use case::{Axis, Box3, Case, Cut, Dir, Edge, Material, Part, PartId, Placement, Profile, Role};
use fault::Source;
use measure::Length;

/// An order of a built-in design, solved.
pub(crate) fn order(design: &str, settings: &[&str]) -> Case {
    let text = format!("design = \"{design}\"\n");
    let settings: Vec<String> = settings.iter().map(ToString::to_string).collect();
    let read = design::Job::read(&Source::new("order.toml", &text), &settings, |_| Err("no file".into()));
    let (_, resolved) = read.unwrap_or_else(|faults| panic!("{faults}"));
    let case = case::build(&resolved);
    let stops: Vec<_> = case.findings.iter().filter(|f| f.level == case::Level::Stop).collect();
    assert!(stops.is_empty(), "{design} {settings:?}: {stops:?}");
    case
}

/// Orders that between them show every kind of joint, panel, curve and field.
pub(crate) fn orders() -> Vec<(String, Case)> {
    let all: &[(&str, &[&str])] = &[
        ("glazed-case", &[]),
        ("glazed-case", &["lower=glass", "end_panels=flat", "doors=1", "width=30 in"]),
        ("low-cupboard", &["upper_panels=true", "end_panels=raised"]),
        ("low-cupboard", &["door_panels=flat", "width=750 mm", "doors=1"]),
        ("open-shelves", &["curve=elliptical", "pegs=true", "end_panels=raised"]),
        ("open-shelves", &["curve=ogee", "fixed_shelves=2"]),
    ];
    all.iter().map(|(design, settings)| (format!("{design} {settings:?}"), order(design, settings))).collect()
}

/// A part without cuts that fills a box, its axes those of the case.
pub(crate) fn plain_part(id: u32, at: &Box3) -> Part {
    let placement = Placement::filling(at, Dir::PX, Dir::PZ);
    Part {
        id: PartId(id),
        name: format!("block {id}"),
        role: Role::Rail,
        assembly: "case".into(),
        material: Material::solid("oak"),
        size: placement.box_to_part(at).max,
        placement,
        cuts: Vec::new(),
        edges: Vec::new(),
        same_as: None,
    }
}

/// Random numbers from 0 to 1, the same every time.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn throw(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn upto(&mut self, n: usize) -> usize {
        // The product is below n.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index")]
        let i = (self.throw() * n as f64) as usize;
        i.min(n - 1)
    }

    pub(crate) fn between(&mut self, [low, high]: [Length; 2]) -> f64 {
        low.mm() + self.throw() * (high - low).mm()
    }
}

/// A part's wood, told by points: in its blank, and in none of its cuts and worked edges, whose arcs are taken as 1 µm
/// chords.
pub(crate) struct Wood<'a> {
    part: &'a Part,
    cuts: Vec<Waste<'a>>,
}

struct Waste<'a> {
    cut: &'a Cut,
    bounds: [[f64; 2]; 3],
    polygon: Vec<[f64; 2]>,
}

impl<'a> Wood<'a> {
    pub(crate) fn new(part: &'a Part) -> Self {
        let cut = |c: &'a Cut| {
            let bounds = c.bounds(part.size);
            let bounds = Axis::ALL.map(|a| bounds.along(a).map(Length::mm));
            Waste { cut: c, bounds, polygon: c.outline.flattened(0.001) }
        };
        Self { part, cuts: part.cuts.iter().map(cut).collect() }
    }

    /// Whether a point of the case lies in it.
    pub(crate) fn holds(&self, point: [f64; 3]) -> bool {
        let part = self.part;
        let at: [f64; 3] = std::array::from_fn(|i| {
            let d = part.placement.axes[i];
            (point[d.axis.index()] - part.placement.origin[d.axis.index()].mm()) * d.sign() as f64
        });
        (0..3).all(|i| 0.0 < at[i] && at[i] < part.size[i].mm())
            && !self.cuts.iter().any(|w| {
                let near = (0..3).all(|i| w.bounds[i][0] <= at[i] && at[i] <= w.bounds[i][1]);
                near && in_cut(part, w.cut, &w.polygon, at)
            })
            && !part.edges.iter().any(|e| in_edge(part, e, at))
    }
}

fn in_cut(part: &Part, cut: &Cut, polygon: &[[f64; 2]], at: [f64; 3]) -> bool {
    let (u, v) = cut.from.axis.others();
    let k = cut.from.axis.index();
    let depth = if cut.from.positive { part.size[k].mm() - at[k] } else { at[k] };
    depth < cut.depth.mm() && in_polygon(polygon, [at[u.index()], at[v.index()]])
}

fn in_edge(part: &Part, edge: &Edge, at: [f64; 3]) -> bool {
    let along = Axis::ALL.into_iter().find(|a| edge.faces.iter().all(|f| f.axis != *a)).unwrap().index();
    let inward = edge.faces.map(|f| {
        let k = f.axis.index();
        if f.positive { part.size[k].mm() - at[k] } else { at[k] }
    });
    let [t, s] = inward;
    let taken = match edge.profile {
        Profile::Round { radius } => {
            let r = radius.mm();
            s < r && t < r && libm::hypot(r - s, r - t) > r
        }
        Profile::Chamfer { width } => s + t < width.mm(),
        Profile::Raise { width, tongue, depth, step } => {
            let slope = (depth - step).mm() / (width - tongue).mm();
            s < width.mm() && t < depth.mm().min(step.mm() + (width.mm() - s) * slope)
        }
    };
    taken && edge.from.mm() < at[along] && at[along] < edge.to.mm()
}

fn in_polygon(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let n = polygon.len();
    let crossed = |i: &usize| {
        let (a, b) = (polygon[*i], polygon[(*i + 1) % n]);
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    };
    (0..n).filter(crossed).count() % 2 == 1
}
