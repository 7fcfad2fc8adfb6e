//! `casewright-model/1`: the solved case as JSON, for other programs. All lengths in millimetres.
//!
//! These structs are the format; the case's own types are free to change. `docs/model.md` explains it, and its JSON
//! Schema in `docs/` is made from here.

mod wood;

use std::collections::BTreeMap;

use measure::Length;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use serde_json::Value;

use crate::{Case, Form, Level, Placement, Point, Profile};

/// Millimetres, exact to the nanometre: printed with as many decimals as it has, six at most.
#[derive(Clone, Copy, Debug, JsonSchema)]
#[schemars(transparent)]
pub struct Mm(#[schemars(with = "f64")] Length);

impl Serialize for Mm {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64(self.0.nm() as f64 / 1e6)
    }
}

type Point3 = [Mm; 3];

const fn point(p: Point) -> Point3 {
    [Mm(p[0]), Mm(p[1]), Mm(p[2])]
}

/// A solved case.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Model {
    /// Always `casewright-model/1`.
    pub format: &'static str,
    /// The order, its parameters as resolved.
    pub order: Order,
    /// Over all, what a tape would read.
    pub size: Size,
    /// The parts, by number.
    pub parts: Vec<Part>,
    /// The joints, by number.
    pub joints: Vec<Joint>,
    /// The glass.
    pub panes: Vec<Pane>,
    /// What is bought.
    pub fittings: Vec<Fitting>,
    /// Where the wood is worked and where it will stand, and the play that it was given.
    pub seasons: wood::Seasons,
    /// What it weighs, and how it stands.
    pub weight: wood::Weight,
    /// What the shelves and the bottom do under their load.
    pub bearing: Vec<wood::Bearing>,
    /// What the inspection says.
    pub findings: Vec<Finding>,
}

/// The order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Order {
    /// The design's name.
    pub design: String,
    /// Title of the piece.
    pub title: String,
    /// The shop.
    pub maker: String,
    /// For whom.
    pub customer: String,
    /// The order's number.
    pub number: String,
    /// Date of issue, as the order gives it.
    pub date: String,
    /// What was changed since, the oldest first.
    pub revisions: Vec<Revision>,
    /// `in` or `mm`: the unit that people read; this file is in millimetres all the same.
    pub unit: String,
    /// Parameters by name, as an order would write them.
    pub parameters: BTreeMap<String, String>,
}

/// A change of the order.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Revision {
    /// What it is called.
    pub number: String,
    /// The day on which it was issued.
    pub date: String,
    /// What was changed, in words.
    pub change: String,
}

/// Sizes over all.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Size {
    /// Along X.
    pub width: Mm,
    /// Along Y.
    pub depth: Mm,
    /// Along Z.
    pub height: Mm,
}

/// One piece of wood.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Part {
    /// `P01`.
    pub id: String,
    /// In the trade's words.
    pub name: String,
    /// The sub-assembly it belongs to.
    pub assembly: String,
    /// Its wood.
    pub material: String,
    /// How its boards are sawn: `flat` or `quarter`; a sheet has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sawn: Option<&'static str>,
    /// The finished blank, along the part's x (the grain), y and z.
    pub size: Point3,
    /// kg, as the cuts leave it.
    pub mass: f64,
    /// Where it stands.
    pub placement: PlacementJson,
    /// What is taken from the blank.
    pub cuts: Vec<Cut>,
    /// Its worked edges.
    pub edges: Vec<Edge>,
    /// The first part that it equals or mirrors.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub same_as: Option<SameAs>,
}

/// A likeness.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SameAs {
    /// The first part of the kind.
    pub part: String,
    /// This one is its mirror image: the same with x counted from the other end.
    pub mirrored: bool,
}

/// A placement: part to case is `origin + x·axes[0] + y·axes[1] + z·axes[2]`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PlacementJson {
    /// The part's origin in the case frame.
    pub origin: Point3,
    /// The part's x, y and z directions in the case frame.
    pub axes: [[i8; 3]; 3],
}

/// One removal.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cut {
    /// `P01.3`.
    pub id: String,
    /// What it is for.
    pub purpose: &'static str,
    /// The joint that asked for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joint: Option<String>,
    /// The face it enters.
    pub from: &'static str,
    /// `[u, v, bulge]` by vertex, counter-clockwise; u and v are the two other part axes in the order x, y, z.
    pub outline: Vec<(Mm, Mm, f64)>,
    /// Inward from the face.
    pub depth: Mm,
    /// It goes right through.
    pub through: bool,
}

/// One worked edge.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Edge {
    /// The two faces that meet there: `+z+y`.
    pub edge: String,
    /// `round`, `chamfer` or `raise`.
    pub profile: &'static str,
    /// Radius of a round.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub radius: Option<Mm>,
    /// Width of a chamfer, or of a raise from rim to field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width: Option<Mm>,
    /// Width of a raise's flat tongue.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tongue: Option<Mm>,
    /// Depth of a raise from the face to the tongue.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth: Option<Mm>,
    /// Step of a raise at the field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<Mm>,
    /// Start along the arris.
    pub from: Mm,
    /// End along the arris.
    pub to: Mm,
}

/// A joint.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Joint {
    /// `J07`.
    pub id: String,
    /// Its kind.
    pub kind: &'static str,
    /// The parts it joins, those that receive first; the last one moves home.
    pub parts: Vec<String>,
    /// Clearances by name.
    pub clearance: BTreeMap<&'static str, Mm>,
    /// It is never glued.
    pub dry: bool,
    /// How the last part moves home in the case frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub insertion: Option<&'static str>,
}

/// A pane of glass.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Pane {
    /// `G01`.
    pub id: String,
    /// Where it goes.
    pub name: String,
    /// Width, height, thickness.
    pub size: Point3,
    /// Where it stands.
    pub placement: PlacementJson,
    /// Room to the rabbet's wall on each side.
    pub clearance: Mm,
}

/// A bought thing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Fitting {
    /// What it is.
    pub kind: &'static str,
    /// What to ask for.
    pub spec: String,
    /// Where it sits in the case frame: the centre of its mouth, or the lower end of a hinge's pin.
    pub at: Point3,
    /// The parts it holds.
    pub parts: Vec<String>,
}

/// A finding.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Finding {
    /// `note`, `caution` or `stop`.
    pub level: &'static str,
    /// The rule's id.
    pub rule: &'static str,
    /// The parts concerned.
    pub parts: Vec<String>,
    /// What is wrong.
    pub what: String,
    /// The figure found.
    pub figure: String,
    /// The limit.
    pub limit: String,
    /// What to do.
    pub advice: String,
    /// The parameters whose change clears it, all at once, and the values that do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mend: Option<Vec<(String, String)>>,
}

impl From<&crate::Finding> for Finding {
    fn from(f: &crate::Finding) -> Self {
        Self {
            level: match f.level {
                Level::Note => "note",
                Level::Caution => "caution",
                Level::Stop => "stop",
            },
            rule: f.rule,
            parts: f.parts.iter().map(ToString::to_string).collect(),
            what: f.what.clone(),
            figure: f.figure.clone(),
            limit: f.limit.clone(),
            advice: f.advice.clone(),
            mend: f.mend.as_ref().map(|m| m.settings.clone()),
        }
    }
}

fn placement(p: &Placement) -> PlacementJson {
    let axes = p.axes.map(|d| {
        let mut v = [0; 3];
        v[d.axis.index()] = if d.positive { 1 } else { -1 };
        v
    });
    PlacementJson { origin: point(p.origin), axes }
}

fn edge(e: &crate::Edge) -> Edge {
    let mut out = Edge {
        edge: e.faces.map(crate::Dir::name).concat(),
        profile: "round",
        radius: None,
        width: None,
        tongue: None,
        depth: None,
        step: None,
        from: Mm(e.from),
        to: Mm(e.to),
    };
    match e.profile {
        Profile::Round { radius } => out.radius = Some(Mm(radius)),
        Profile::Chamfer { width } => {
            out.profile = "chamfer";
            out.width = Some(Mm(width));
        }
        Profile::Raise { width, tongue, depth, step } => {
            out.profile = "raise";
            (out.width, out.tongue) = (Some(Mm(width)), Some(Mm(tongue)));
            (out.depth, out.step) = (Some(Mm(depth)), Some(Mm(step)));
        }
    }
    out
}

fn part(p: &crate::Part, mass: crate::weight::Mass) -> Part {
    let cut = |(i, c): (usize, &crate::Cut)| Cut {
        id: p.cut_id(i),
        purpose: c.purpose.name(),
        joint: c.joint.map(|j| j.to_string()),
        from: c.from.name(),
        outline: c.outline.0.iter().map(|v| (Mm(v.u), Mm(v.v), v.bulge)).collect(),
        depth: Mm(c.depth),
        through: p.is_through(c),
    };
    Part {
        id: p.id.to_string(),
        name: p.name.clone(),
        assembly: p.assembly.clone(),
        material: p.material.name.clone(),
        sawn: (p.material.form == Form::Solid).then(|| p.material.sawn_word()),
        size: point(p.size),
        mass: rounded(mass.kg, 1000.0),
        placement: placement(&p.placement),
        cuts: p.cuts.iter().enumerate().map(cut).collect(),
        edges: p.edges.iter().map(edge).collect(),
        same_as: p.same_as.map(|s| SameAs { part: s.part.to_string(), mirrored: s.mirrored }),
    }
}

/// To so many parts of a whole, so that the last bit of a float reaches no file.
fn rounded(x: f64, parts: f64) -> f64 {
    (x * parts).round() / parts
}

impl Model {
    /// The file.
    pub fn text(&self) -> String {
        by_line(self)
    }
}

/// JSON with a line for each entry, and for each item of an entry that is a list, so that two files can be compared
/// line by line.
pub fn by_line(whole: &impl Serialize) -> String {
    let entry = |(key, value): (&String, &Value)| match value {
        Value::Array(items) if !items.is_empty() => {
            let lines: Vec<String> = items.iter().map(|item| format!("    {item}")).collect();
            format!("  \"{key}\": [\n{}\n  ]", lines.join(",\n"))
        }
        other => format!("  \"{key}\": {other}"),
    };
    // Plain data has no maps with other keys than texts, the one thing that JSON cannot take.
    let whole = serde_json::to_value(whole).unwrap_or_default();
    let entries: Vec<String> = whole.as_object().into_iter().flatten().map(entry).collect();
    format!("{{\n{}\n}}\n", entries.join(",\n"))
}

impl From<&crate::Revision> for Revision {
    fn from(r: &crate::Revision) -> Self {
        Self { number: r.number.clone(), date: r.date.clone(), change: r.change.clone() }
    }
}

impl From<&Case> for Model {
    fn from(c: &Case) -> Self {
        let ids = |parts: &[crate::PartId]| parts.iter().map(ToString::to_string).collect();
        let o = &c.order;
        Self {
            format: "casewright-model/1",
            order: Order {
                design: o.design.clone(),
                title: o.title.clone(),
                maker: o.maker.clone(),
                customer: o.customer.clone(),
                number: o.number.clone(),
                date: o.date.clone(),
                revisions: o.revisions.iter().map(Revision::from).collect(),
                unit: o.unit.to_string(),
                parameters: o.parameters.iter().cloned().collect(),
            },
            size: Size { width: Mm(c.size[0]), depth: Mm(c.size[1]), height: Mm(c.size[2]) },
            parts: c.parts.iter().zip(crate::weight::of_parts(c)).map(|(p, mass)| part(p, mass)).collect(),
            joints: c
                .joints
                .iter()
                .map(|j| Joint {
                    id: j.id.to_string(),
                    kind: j.kind.name(),
                    parts: ids(&j.parts),
                    clearance: j.clearances.iter().map(|(n, l)| (*n, Mm(*l))).collect(),
                    dry: j.dry,
                    insertion: j.insertion.map(crate::Dir::name),
                })
                .collect(),
            panes: c
                .panes
                .iter()
                .map(|p| Pane {
                    id: p.id.clone(),
                    name: p.name.clone(),
                    size: point(p.size),
                    placement: placement(&p.placement),
                    clearance: Mm(p.clearance),
                })
                .collect(),
            fittings: c
                .fittings
                .iter()
                .map(|f| Fitting { kind: f.kind, spec: f.spec.clone(), at: point(f.at), parts: ids(&f.parts) })
                .collect(),
            seasons: wood::seasons(c),
            weight: wood::weight(c),
            bearing: wood::bearing(c),
            findings: c.findings.iter().map(Finding::from).collect(),
        }
    }
}
