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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::builder::Stock;
    use crate::part::{Cut, Role};
    use measure::inches;

    /// A 7/8 in rail, 3 in high, that runs into a stile 2 in wide at x = 2 in, with a 1 1/4 in tenon 3/8 in thick.
    fn joined(change: impl FnOnce(&mut MortiseAndTenon)) -> (Builder, PartId, PartId) {
        let mut b = Builder::default();
        let i = |n, d| inches(n, d);
        let depth = [i(0, 1), i(7, 8)];
        let stile = Box3::new([i(0, 1), i(2, 1)], depth, [i(0, 1), i(20, 1)]);
        let rail = Box3::new([i(3, 4), i(12, 1)], depth, [i(5, 1), i(8, 1)]);
        let oak = crate::part::Material::solid("oak");
        let post = b.part(Stock::of("stile", Role::Stile, "door", &oak), stile, Dir::PZ, Dir::NY);
        let rail = b.part(Stock::of("rail", Role::DoorRail, "door", &oak), rail, Dir::PX, Dir::NY);
        let tenon = Box3::new([i(3, 4), i(2, 1)], [i(1, 4), i(5, 8)], [i(21, 4), i(31, 4)]);
        let mut j = MortiseAndTenon {
            post,
            rail,
            into: Dir::NX,
            front: Dir::NY,
            tenon,
            back_longer: Length::ZERO,
            lip: Length::ZERO,
            haunch: None,
            glue_room: i(1, 16),
            cheek_room: Length::ZERO,
            edge_room: Length::ZERO,
            mitre: None,
        };
        change(&mut j);
        mortise_and_tenon(&mut b, &j);
        (b, post, rail)
    }

    fn cut(b: &Builder, part: PartId, purpose: Purpose, from: Dir) -> Cut {
        b.get(part).cuts.iter().find(|c| c.purpose == purpose && c.from == from).expect("the cut").clone()
    }

    fn square_inches(c: &Cut) -> f64 {
        c.outline.area() / (25.4 * 25.4)
    }

    #[test]
    fn the_mortise_is_deeper_than_the_tenon_is_long_by_the_glue_room() {
        let (b, post, rail) = joined(|_| {});
        let m = &b.get(post).cuts[0];
        assert_eq!((m.purpose, m.depth), (Purpose::Mortise, inches(21, 16)));
        assert!((square_inches(m) - 2.5 * 0.375).abs() < 1e-9);
        assert_eq!(b.get(rail).cuts.len(), 4, "two cheeks and two edges");
    }

    /// Where the stile is rabbeted 1/4 in wide the inside shoulder lies 1/4 in nearer to the rail's end, and the
    /// rail's back fills the rabbet over the rail's whole height (common practice, no source).
    #[test]
    fn a_rabbeted_stile_gets_a_long_and_a_short_shoulder() {
        let (b, _, rail) = joined(|j| {
            j.back_longer = inches(1, 4);
            j.lip = inches(3, 8);
        });
        let run = |from| {
            let [along, _] = cut(&b, rail, Purpose::TenonCheek, from).outline.bounds();
            along[1] - along[0]
        };
        assert_eq!((run(Dir::PZ), run(Dir::NZ)), (inches(5, 4), inches(1, 1)));
        let edge = cut(&b, rail, Purpose::TenonEdge, Dir::PY);
        assert_eq!(edge.outline.0.len(), 6, "stepped at the lip");
        assert!((square_inches(&edge) - (1.25 * 0.375 + 1.0 * 0.5)).abs() < 1e-9);
    }

    #[test]
    fn a_haunch_is_left_beside_the_tenon() {
        let (b, _, rail) = joined(|j| j.haunch = Some((Dir::PZ, inches(3, 8))));
        let haunch = cut(&b, rail, Purpose::Haunch, Dir::PY);
        assert!((square_inches(&haunch) - (1.25 - 0.375) * 0.875).abs() < 1e-9);
        assert_eq!(haunch.depth, inches(1, 4));
    }

    #[test]
    fn a_mitre_takes_a_triangle_or_a_trapezium_off_the_end() {
        let mitred = |shorter| {
            let (b, _, rail) = joined(|j| j.mitre = Some(Mitre { towards: Dir::PY, shorter }));
            cut(&b, rail, Purpose::TenonMitre, Dir::PY)
        };
        let small = mitred(inches(1, 4));
        assert!((square_inches(&small) - 0.25 * 0.25 / 2.0).abs() < 1e-9);
        // Longer than the tenon is thick: the far cheek is shortened too.
        let large = mitred(inches(1, 2));
        assert!((square_inches(&large) - 0.375 * (0.5 + 0.125) / 2.0).abs() < 1e-9);
        assert!(large.outline.0.iter().all(|v| v.bulge == 0.0));
    }
}
