//! Mortise and tenon: blind, shouldered all round, haunched, long-and-short shouldered, or mitred at the end.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Box3, Dir};
use crate::outline::{Outline, Vertex};
use crate::part::{JointId, PartId, Purpose};
use crate::piece::JointKind;

/// One end of a rail (or bar) in a post (or stile), in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct MortiseAndTenon {
    /// Receives the mortise.
    pub(crate) post: PartId,
    /// Carries the tenon.
    pub(crate) rail: PartId,
    /// From the rail into the post.
    pub(crate) into: Dir,
    /// The rail's front.
    pub(crate) front: Dir,
    /// The tenon's near end, thickness and width: the box that it fills beyond the face shoulder.
    pub(crate) tenon: Box3,
    /// How much further the back of the rail runs than its face: the width of the post's rabbet.
    pub(crate) back_longer: Length,
    /// Where the back part begins, counted from the rail's front: the lip in front of the rabbet. Only used with
    /// `back_longer`.
    pub(crate) lip: Length,
    /// Length of a haunch beside the tenon's edge that looks this way.
    pub(crate) haunch: Option<(Dir, Length)>,
    /// Room at the bottom of the mortise.
    pub(crate) glue_room: Length,
    /// Room beside each cheek.
    pub(crate) cheek_room: Length,
    /// Room at each edge.
    pub(crate) edge_room: Length,
    /// The tenon meets another inside the post and is mitred: the face that the mitre looks to, and where its line
    /// cuts the tenon's two cheeks, as (along `into`, along that face).
    pub(crate) mitre: Option<Mitre>,
}

/// A mitre at 45° across the end of a tenon.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mitre {
    /// The cheek that becomes the shorter one.
    pub(crate) towards: Dir,
    /// How much shorter it becomes.
    pub(crate) shorter: Length,
}

/// Cuts the mortise and shapes the tenon.
pub(crate) fn mortise_and_tenon(b: &mut Builder, j: &MortiseAndTenon) -> JointId {
    let clearances = [("end", j.glue_room), ("cheek", j.cheek_room), ("edge", j.edge_room)];
    let id = b.joint(JointKind::MortiseAndTenon, &[j.post, j.rail], &clearances);
    b.assembled(j.into, false);
    let width = crate::frame::cross(j.into, j.front).axis;

    let [shoulder, end] = along(&j.tenon, j.into);
    let mut mortise = j.tenon.with(j.into.axis, span(b_face(b, j), end + j.glue_room * j.into.sign()));
    for (axis, room) in [(j.front.axis, j.cheek_room), (width, j.edge_room)] {
        let [low, high] = mortise.along(axis);
        mortise = mortise.with(axis, [low - room, high + room]);
    }
    b.cut(j.post, Purpose::Mortise, Some(id), j.into.opposite(), mortise);

    let rail = b.at(j.rail);
    let back_shoulder = shoulder + j.back_longer * j.into.sign();
    let waste = rail.with(j.into.axis, span(shoulder, end));
    let back_waste = rail.with(j.into.axis, span(back_shoulder, end));
    for (face, region) in [(j.front, &waste), (j.front.opposite(), &back_waste)] {
        let range = beyond(&rail, &j.tenon, face);
        if range[0] < range[1] {
            b.cut(j.rail, Purpose::TenonCheek, Some(id), face, region.with(face.axis, range));
        }
    }
    for positive in [true, false] {
        let edge = Dir { axis: width, positive };
        let range = beyond(&rail, &j.tenon, edge);
        if range[0] >= range[1] {
            continue;
        }
        let haunch = j.haunch.filter(|(d, _)| *d == edge).map_or(Length::ZERO, |(_, l)| l);
        let purpose = if haunch > Length::ZERO { Purpose::Haunch } else { Purpose::TenonEdge };
        let (start, back_start) = (shoulder + haunch * j.into.sign(), back_shoulder + haunch * j.into.sign());
        let outline = edge_waste(j, &rail, start, back_start, end);
        let floor = range[usize::from(!positive)];
        b.cut_prism(j.rail, purpose, Some(id), edge, &outline, floor);
    }
    if let Some(m) = j.mitre {
        let outline = mitre_waste(j, &m);
        let top = Dir { axis: width, positive: true };
        b.cut_prism(j.rail, Purpose::TenonMitre, Some(id), top, &outline, rail.along(width)[0]);
    }
    id
}

/// The post's face that the tenon enters.
fn b_face(b: &Builder, j: &MortiseAndTenon) -> Length {
    along(&b.at(j.post), j.into)[0]
}

/// A box's two ends along a direction: the one it comes to first, then the other.
fn along(b: &Box3, d: Dir) -> [Length; 2] {
    let [low, high] = b.along(d.axis);
    if d.positive { [low, high] } else { [high, low] }
}

fn span(a: Length, b: Length) -> [Length; 2] {
    [a.min(b), a.max(b)]
}

/// What of the rail lies beyond the tenon on one side.
fn beyond(rail: &Box3, tenon: &Box3, side: Dir) -> [Length; 2] {
    let (r, t) = (rail.along(side.axis), tenon.along(side.axis));
    if side.positive { [t[1], r[1]] } else { [r[0], t[0]] }
}

/// The waste beside a tenon's edge, seen on the rail's edge: stepped where the back shoulder lies deeper than the
/// face shoulder, so that the rail's back fills the post's rabbet.
fn edge_waste(j: &MortiseAndTenon, rail: &Box3, start: Length, back_start: Length, end: Length) -> Outline {
    let thickness = rail.along(j.front.axis);
    let lip = if j.front.positive { thickness[1] - j.lip } else { thickness[0] + j.lip };
    let stepped = j.back_longer > Length::ZERO && thickness[0] < lip && lip < thickness[1];
    let (front, back) = (along(rail, j.front)[1], along(rail, j.front)[0]);
    let corners: Vec<(Length, Length)> = if stepped {
        vec![(start, front), (start, lip), (back_start, lip), (back_start, back), (end, back), (end, front)]
    } else {
        vec![(start, front), (start, back), (end, back), (end, front)]
    };
    polygon(j.into, j.front, &corners)
}

/// The triangle (or trapezium) that a mitre takes off the tenon's end.
fn mitre_waste(j: &MortiseAndTenon, m: &Mitre) -> Outline {
    let end = along(&j.tenon, j.into)[1];
    let [far, near] = along(&j.tenon, m.towards);
    let thickness = (near - far).abs();
    let run = m.shorter.min(thickness);
    let sign = j.into.sign();
    let mut corners = vec![(end, near), (end - m.shorter * sign, near)];
    if run < m.shorter {
        corners.push((end - (m.shorter - run) * sign, far));
        corners.push((end, far));
    } else {
        corners.push((end, near - run * m.towards.sign()));
    }
    polygon(j.into, m.towards, &corners)
}

/// A counter-clockwise outline from corners told as (along one axis, along another), in the plane of both.
fn polygon(first: Dir, second: Dir, corners: &[(Length, Length)]) -> Outline {
    let swap = first.axis > second.axis;
    let vertex = |&(a, c): &(Length, Length)| {
        let (u, v) = if swap { (c, a) } else { (a, c) };
        Vertex { u, v, bulge: 0.0 }
    };
    let mut outline = Outline(corners.iter().map(vertex).collect());
    if outline.area() < 0.0 {
        outline.0.reverse();
    }
    outline
}
