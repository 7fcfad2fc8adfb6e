//! Posts and rails: the frame, its tenons, its shaped edges and its pegs.

use design::spec::{Curve, Meeting, Rail};
use measure::Length;

use super::plan::{Plan, Side};
use crate::builder::{Builder, Stock};
use crate::curve;
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Mitre, MortiseAndTenon, Peg, mortise_and_tenon, peg};
use crate::outline::Outline;
use crate::part::{PartId, Profile, Purpose, Role};

/// A rail and where it stands.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Laid {
    pub(crate) id: PartId,
    /// Its lower and upper edge.
    pub(crate) z: [Length; 2],
    /// Its tenons' lower and upper edge.
    pub(crate) tenon_z: [Length; 2],
}

/// The frame's parts. Side 0 is left, 1 right; in a pair of rails 0 is the bottom, 1 the top.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// By side, then front (0) or back (1).
    pub(crate) posts: [[PartId; 2]; 2],
    pub(crate) front: [Laid; 2],
    pub(crate) back: [Laid; 2],
    /// By side.
    pub(crate) ends: [[Laid; 2]; 2],
}

/// What a rail's edges lose to the tenon's shoulders.
struct Shoulders {
    lower: Length,
    upper: Length,
}

/// Makes posts and rails and joins them.
pub(crate) fn frame(b: &mut Builder, p: &Plan<'_>) -> Frame {
    let posts = p.sides().map(|s| p.front_and_back().map(|f| post(b, p, s, f)));
    let (spec, edge) = (p.spec, p.spec.rails.tenon.edge_shoulder);
    let grooved = edge.max(spec.ends.panel.groove_depth);
    let level = |rail: &Rail, top: bool, grooved_edge: Length| {
        let z =
            if top { [p.height - rail.height, p.height] } else { [spec.rails.floor, spec.rails.floor + rail.height] };
        let s = if top {
            Shoulders { lower: grooved_edge, upper: edge }
        } else {
            Shoulders { lower: edge, upper: grooved_edge }
        };
        (z, [z[0] + s.lower, z[1] - s.upper])
    };
    let pair = |bottom: &Rail, top: &Rail, e: Length| [level(bottom, false, e), level(top, true, e)];
    let front_z = pair(&spec.front.bottom_rail, &spec.front.top_rail, edge);
    let back_z = pair(&spec.back.bottom_rail, &spec.back.top_rail, edge);
    let end_z = pair(&spec.ends.bottom_rail, &spec.ends.top_rail, grooved);
    let meets = |a: [Length; 2], c: [Length; 2]| a[0] < c[1] && c[0] < a[1];

    let names = ["bottom", "top"];
    let mut across = |outer: Side, z: &[([Length; 2], [Length; 2]); 2], face: Length, back: bool| -> [Laid; 2] {
        std::array::from_fn(|i| {
            let (z, tenon_z) = z[i];
            let meeting = meets(tenon_z, end_z[i].1);
            let reach = cross_reach(p, meeting);
            let x = [p.post - reach, p.width - p.post + reach];
            let y = outer.from.span(face, face + spec.rails.thickness);
            let stock = Stock::of(format!("{} {} rail", outer.name, names[i]), Role::Rail, "case", &p.wood);
            // The show face of a back rail is the one inside, but its tenon is gauged from the outside like the others.
            let id = b.part(stock, Box3::new(x, y, z), Dir::PX, Dir::NY);
            let laid = Laid { id, z, tenon_z };
            let cheeks = outer.from.span(
                face + spec.rails.tenon.front_shoulder,
                face + spec.rails.tenon.front_shoulder + spec.rails.tenon.thickness,
            );
            for (k, side) in p.sides().iter().enumerate() {
                let into = side.from.outward();
                let tenon = Box3::new(side.from.span(p.post - reach, p.post), cheeks, tenon_z);
                let mitre = mitre(p, meeting, reach, p.tenon[1], outer.from.towards);
                join(b, p, posts[k][usize::from(back)], id, into, outer.from.outward(), tenon, mitre);
            }
            laid
        })
    };
    let [front_side, back_side] = p.front_and_back();
    let front = across(front_side, &front_z, p.rail_face, false);
    let back = across(back_side, &back_z, spec.back.thickness, true);
    let ends: [[Laid; 2]; 2] = std::array::from_fn(|k| {
        let side = p.sides()[k];
        std::array::from_fn(|i| {
            let (z, tenon_z) = end_z[i];
            // Front, then back: the tenons that these meet, and how far in from the post's outer face their inner cheek is.
            let met = [
                (meets(tenon_z, front_z[i].1), p.tenon[1]),
                (
                    meets(tenon_z, back_z[i].1),
                    spec.back.thickness + spec.rails.tenon.front_shoulder + spec.rails.tenon.thickness,
                ),
            ];
            let reach = met.map(|(meeting, line)| end_reach(p, meeting, line));
            let stock = Stock::of(format!("{} end {} rail", side.name, names[i]), Role::Rail, "case", &p.wood);
            let y = [p.post - reach[0], p.depth - p.post + reach[1]];
            let face = side.from.outward();
            let grain = crate::frame::cross(Dir::PZ, face);
            let id = b.part(stock, Box3::new(side.from.span(p.rail_face, p.rail_back), y, z), grain, face);
            let cheeks = side.from.span(p.tenon[0], p.tenon[1]);
            for (f, end) in p.front_and_back().iter().enumerate() {
                let (meeting, line) = met[f];
                let tenon = Box3::new(cheeks, end.from.span(p.post - reach[f], p.post), tenon_z);
                let mitre = mitre(p, meeting, reach[f], line, side.from.towards);
                join(b, p, posts[k][f], id, end.from.outward(), face, tenon, mitre);
            }
            Laid { id, z, tenon_z }
        })
    });
    let frame = Frame { posts, front, back, ends };
    shape_edges(b, p, &frame);
    frame
}

fn post(b: &mut Builder, p: &Plan<'_>, side: Side, end: Side) -> PartId {
    let zero = Length::ZERO;
    let at = Box3::new(side.from.span(zero, p.post), end.from.span(zero, p.post), [zero, p.height]);
    let stock = Stock::of(format!("{} {} post", end.name, side.name), Role::Post, "case", &p.wood);
    let id = b.part(stock, at, Dir::PZ, Dir::NY);
    let radius = p.spec.posts.eased;
    if radius > zero {
        let (out, front) = (side.from.outward(), end.from.outward());
        for faces in [[front, out], [front, out.opposite()], [front.opposite(), out]] {
            b.work_edge(id, faces, Profile::Round { radius });
        }
    }
    id
}

/// Length of the front and back rails' tenons, where they meet those of the ends and where they do not.
fn cross_reach(p: &Plan<'_>, meeting: bool) -> Length {
    let t = &p.spec.rails.tenon;
    match (meeting, t.meeting) {
        (false, _) => t.length,
        (true, Meeting::Shortened) => t.length.min(p.post - p.tenon[1] - t.least_wall - t.glue_room),
        (true, Meeting::Mitred) => t.length.min(mitred_reach(p, p.tenon[1])),
    }
}

/// Length of an end rail's tenon, where it meets one whose inner cheek is `line` in from the post's outer face and where
/// it does not. It is the one that keeps its length.
fn end_reach(p: &Plan<'_>, meeting: bool, line: Length) -> Length {
    let t = &p.spec.rails.tenon;
    if meeting && t.meeting == Meeting::Mitred { t.length.min(mitred_reach(p, line)) } else { t.length }
}

/// The length at which a tenon's mitre takes its whole thickness and no more: its point is its end.
fn mitred_reach(p: &Plan<'_>, line: Length) -> Length {
    let t = &p.spec.rails.tenon;
    p.post - (line - t.thickness) - t.glue_room
}

/// The mitre of a tenon of length `reach` that meets one whose inner cheek is `line` in from the post's outer face.
fn mitre(p: &Plan<'_>, meeting: bool, reach: Length, line: Length, towards: Dir) -> Option<Mitre> {
    let t = &p.spec.rails.tenon;
    let shorter = line + t.glue_room - (p.post - reach);
    (meeting && t.meeting == Meeting::Mitred && shorter > Length::ZERO).then_some(Mitre { towards, shorter })
}

#[expect(clippy::too_many_arguments, reason = "one joint, told once")]
fn join(
    b: &mut Builder,
    p: &Plan<'_>,
    post: PartId,
    rail: PartId,
    into: Dir,
    front: Dir,
    tenon: Box3,
    mitre: Option<Mitre>,
) {
    let t = &p.spec.rails.tenon;
    let [low, high] = tenon.along(Axis::Z);
    mortise_and_tenon(
        b,
        &MortiseAndTenon {
            post,
            rail,
            into,
            front,
            tenon,
            back_longer: Length::ZERO,
            lip: Length::ZERO,
            haunch: None,
            glue_room: t.glue_room,
            cheek_room: t.cheek_room,
            edge_room: p.edge_room(t, &p.wood, high - low),
            mitre,
        },
    );
}

/// Cuts the curves of the rails' lower edges.
fn shape_edges(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let spec = p.spec;
    for (laid, rail) in f.front.iter().zip([&spec.front.bottom_rail, &spec.front.top_rail]) {
        shape(b, laid, rail, Axis::X, p.between(), Dir::NY);
    }
    for (laid, rail) in f.back.iter().zip([&spec.back.bottom_rail, &spec.back.top_rail]) {
        shape(b, laid, rail, Axis::X, p.between(), Dir::NY);
    }
    for (k, side) in p.sides().iter().enumerate() {
        for (laid, rail) in f.ends[k].iter().zip([&spec.ends.bottom_rail, &spec.ends.top_rail]) {
            shape(b, laid, rail, Axis::Y, p.between_deep(), side.from.outward());
        }
    }
}

fn shape(b: &mut Builder, laid: &Laid, rail: &Rail, along: Axis, between: [Length; 2], face: Dir) {
    if let Some(c) = &rail.curve {
        shaped_edge(b, laid.id, c, along, between, laid.z[0], face);
    }
}

/// Takes the waste under a curve from a rail's lower edge at height `low`, over `between` less the landings.
pub(crate) fn shaped_edge(
    b: &mut Builder,
    part: PartId,
    c: &Curve,
    along: Axis,
    between: [Length; 2],
    low: Length,
    face: Dir,
) {
    let span = between[1] - between[0] - c.landing * 2;
    if c.rise <= Length::ZERO || span <= Length::ZERO {
        return;
    }
    let start = between[0] + c.landing;
    let outline: Outline = curve::waste(c.kind, span, c.rise).mapped(false, |u, v| (u + start, v + low));
    debug_assert!(along != Axis::Z, "a rail lies level");
    let floor = b.at(part).along(face.axis)[usize::from(!face.positive)];
    b.cut_prism(part, Purpose::Outline, None, face, &outline, floor);
}

/// Pegs the tenons of the front rails and of the end rails.
pub(crate) fn pegs(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let Some(spec) = &p.spec.pegs else { return };
    let half = spec.side.half();
    let mut drive = |post: PartId, rail: &Laid, face: Dir, axis: Axis, centre: Length| {
        let [low, high] = rail.tenon_z;
        let inset = spec.from_edge + half;
        let centres =
            if high - low >= spec.two_from { vec![low + inset, high - inset] } else { vec![low + (high - low).half()] };
        for z in centres {
            let square = |c: Length| [c - half, c - half + spec.side];
            let section = b.at(post).with(axis, square(centre)).with(Axis::Z, square(z));
            let (depth, proud) = (spec.depth, spec.proud);
            peg(b, &Peg { post, rail: rail.id, face, section, depth, proud, wood: &p.wood });
        }
    };
    let in_post = p.post - spec.from_shoulder;
    for (k, side) in p.sides().iter().enumerate() {
        for rail in &f.front {
            drive(f.posts[k][0], rail, Dir::NY, Axis::X, side.from.at(in_post));
        }
        for rail in &f.ends[k] {
            for (e, end) in p.front_and_back().iter().enumerate() {
                drive(f.posts[k][e], rail, side.from.outward(), Axis::Y, end.from.at(in_post));
            }
        }
    }
}
