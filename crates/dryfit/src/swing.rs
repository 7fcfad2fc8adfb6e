//! Doors: how far each swings about its pins before it touches anything, told in plan by exact arcs.
//!
//! In plan a door is rectangles, and what it may touch is rectangles, or posts with their arrises rounded. Two of them
//! first touch where a corner of one meets the other, so it is enough to follow every corner along its circle about
//! the pin. Of what is met, cuts that do not run all the way up beside the door are passed over,
//! which can only make it larger; knobs, leaves and screws are no part of it.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use case::{Axis, Box3, Case, Dir, JointKind, Profile};
use measure::Length;

use crate::check::{Fit, Found, Rule, part_ids};
use crate::columns::{self, Span};
use crate::solid::{Body, Removal, Solid};

/// How far a door must open, in degrees.
pub const OPEN: f64 = 110.0;

/// What a corner may enter before it is said to touch, in mm: a micrometre.
const TOUCH: f64 = 1e-3;

/// How finely a rounded arris is followed, in mm; its chords lie outside the round.
const CHORD: f64 = 0.005;

/// A door on its pins.
#[derive(Clone, Debug)]
pub struct Door {
    /// `left door`.
    pub name: String,
    /// The side its pins are on.
    pub hung: Dir,
    /// Where the pins stand in plan, in mm.
    pub pin: [f64; 2],
    /// Its bodies, as indices of the solids.
    pub solids: Vec<usize>,
}

/// The doors of a case; a door whose hinges are not in one line has none of them here.
pub fn doors(case: &Case, solids: &[Solid]) -> Vec<Door> {
    let mut doors: Vec<Door> = Vec::new();
    let mut crooked: Vec<String> = Vec::new();
    for joint in case.joints.iter().filter(|j| j.kind == JointKind::Hinge) {
        let &[post, stile] = joint.parts.as_slice() else { continue };
        let name = &case.part(stile).assembly;
        let left = case.part(post).case_box().min[0] < case.part(stile).case_box().min[0];
        let hung = if left { Dir::NX } else { Dir::PX };
        for hinge in case.fittings.iter().filter(|f| f.parts == joint.parts) {
            let pin = [hinge.at[0].mm(), hinge.at[1].mm()];
            match doors.iter().find(|d| d.name == *name) {
                Some(door) if door.pin != pin => crooked.push(name.clone()),
                Some(_) => {}
                None => {
                    let of = |s: &Solid| match s.body {
                        Body::Part(id) => case.part(id).assembly == *name,
                        Body::Pane(i) => case.panes[i].assembly == *name,
                    };
                    let members = (0..solids.len()).filter(|i| of(&solids[*i])).collect();
                    doors.push(Door { name: name.clone(), hung, pin, solids: members });
                }
            }
        }
    }
    doors.retain(|d| !crooked.contains(&d.name));
    doors
}

impl Door {
    /// A plan point as seen from the pin of a door hung on the left; one hung on the right is seen in a mirror. It opens
    /// clockwise, from +x towards -y.
    fn seen(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let x = x - self.pin[0];
        [if self.hung.positive { -x } else { x }, y - self.pin[1]]
    }

    fn rectangle(&self, b: &Box3) -> Vec<[f64; 2]> {
        let [[x0, x1], [y0, y1]] = [Axis::X, Axis::Y].map(|a| b.along(a).map(Length::mm));
        let corners = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(|p| self.seen(p));
        let mut out = corners.to_vec();
        if self.hung.positive {
            out.reverse();
        }
        out
    }

    /// The angle, in degrees, at which it first touches something, and what; nothing if it opens freely to `most`.
    pub fn touches(&self, case: &Case, solids: &[Solid], most: f64) -> Option<(f64, Body)> {
        let reach = self.solids.iter().flat_map(|i| self.rectangle(&solids[*i].blank)).map(length).fold(0.0, f64::max);
        let mut first: Option<(f64, Body)> = None;
        for (i, other) in solids.iter().enumerate() {
            if self.solids.contains(&i) || distance(&self.rectangle(&other.blank)) > reach {
                continue;
            }
            for &d in &self.solids {
                let ([a0, a1], [b0, b1]) = (solids[d].blank.along(Axis::Z), other.blank.along(Axis::Z));
                let level = [a0.max(b0), a1.min(b1)];
                if level[1] - level[0] <= columns::TOUCH {
                    continue;
                }
                let moving = self.rectangle(&solids[d].blank);
                let round = ring(&moving);
                for met in self.outlines(case, other, level) {
                    // Turned about the pin, each stays in its own ring.
                    let about = ring(&met);
                    if round[1] < about[0] || about[1] < round[0] {
                        continue;
                    }
                    let by_corner = moving.iter().filter_map(|p| enters(*p, &met, -1.0));
                    let by_its_corner = met.iter().filter_map(|p| enters(*p, &moving, 1.0));
                    let angle = by_corner.chain(by_its_corner).fold(f64::INFINITY, f64::min).to_degrees();
                    if angle < most && first.is_none_or(|(least, _)| angle < least) {
                        first = Some((angle, other.body));
                    }
                }
            }
        }
        first
    }

    /// How far past its pin, towards the other side of the opening, the door still reaches when it stands open.
    pub fn standing_in(&self, solids: &[Solid], open: f64) -> f64 {
        let (sin, cos) = libm::sincos(open.to_radians());
        let corners = self.solids.iter().flat_map(|i| self.rectangle(&solids[*i].blank));
        corners.map(|[x, y]| x * cos + y * sin).fold(0.0, f64::max)
    }

    /// The plan, between two heights, of what may be met: one outline, or several where square cuts take something off
    /// it all the way.
    fn outlines(&self, case: &Case, solid: &Solid, level: Span) -> Vec<Vec<[f64; 2]>> {
        let through = |r: &&Removal| {
            let [low, high] = r.bounds.along(Axis::Z);
            r.section.is_none() && low <= level[0] && high >= level[1]
        };
        let mut left = vec![solid.blank];
        for r in solid.removals.iter().filter(through) {
            left = left.iter().flat_map(|b| less(b, &r.bounds)).collect();
        }
        if left == [solid.blank] {
            return vec![self.outline(case, solid)];
        }
        left.iter().map(|b| self.rectangle(b)).collect()
    }

    /// The plan of a whole blank, counter-clockwise, its worked upright arrises cut round.
    fn outline(&self, case: &Case, solid: &Solid) -> Vec<[f64; 2]> {
        let mut corners = self.rectangle(&solid.blank);
        let Body::Part(id) = solid.body else { return corners };
        let part = case.part(id);
        for edge in &part.edges {
            let faces = edge.faces.map(|f| part.placement.dir_to_case(f));
            let [Some(fx), Some(fy)] = [Axis::X, Axis::Y].map(|a| faces.into_iter().find(|f| f.axis == a)) else {
                continue;
            };
            let (width, round) = match edge.profile {
                Profile::Round { radius } => (radius.mm(), true),
                Profile::Chamfer { width } => (width.mm(), false),
                Profile::Raise { .. } => continue,
            };
            let at = |f: Dir| solid.blank.along(f.axis)[usize::from(f.positive)].mm();
            let corner = self.seen([at(fx), at(fy)]);
            let Some(i) = corners.iter().position(|p| length([p[0] - corner[0], p[1] - corner[1]]) < TOUCH) else {
                continue;
            };
            let n = corners.len();
            let towards = |p: [f64; 2]| {
                let d = [p[0] - corner[0], p[1] - corner[1]];
                let l = length(d);
                d.map(|x| x / l)
            };
            let (back, ahead) = (towards(corners[(i + n - 1) % n]), towards(corners[(i + 1) % n]));
            let cut = if round {
                rounded(corner, back, ahead, width)
            } else {
                vec![back, ahead].into_iter().map(|d| [corner[0] + d[0] * width, corner[1] + d[1] * width]).collect()
            };
            corners.splice(i..=i, cut);
        }
        corners
    }
}

/// What a box leaves of another in plan, as boxes.
fn less(whole: &Box3, gone: &Box3) -> Vec<Box3> {
    let mut rest = *whole;
    let mut out = Vec::new();
    for axis in [Axis::X, Axis::Y] {
        let ([low, high], [g0, g1]) = (rest.along(axis), gone.along(axis));
        if g1 <= low || g0 >= high {
            return vec![*whole];
        }
        out.extend((low < g0).then(|| rest.with(axis, [low, g0])));
        out.extend((g1 < high).then(|| rest.with(axis, [g1, high])));
        rest = rest.with(axis, [low.max(g0), high.min(g1)]);
    }
    out
}

/// A corner rounded, as tangents to the round: a chain that lies outside it by [`CHORD`] at most.
fn rounded(corner: [f64; 2], back: [f64; 2], ahead: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    let centre: [f64; 2] = std::array::from_fn(|k| corner[k] + (back[k] + ahead[k]) * radius);
    let half = libm::acos(radius / (radius + CHORD)).max(1e-3);
    let n = (FRAC_PI_2 / (2.0 * half)).ceil();
    let half = FRAC_PI_2 / (2.0 * n);
    let far = radius / libm::cos(half);
    // From the side that arrives to the one that leaves, about the centre: from -ahead to -back.
    let mut out = vec![std::array::from_fn(|k| corner[k] + back[k] * radius)];
    let mut t = half;
    while t < FRAC_PI_2 {
        let (sin, cos) = libm::sincos(t);
        out.push(std::array::from_fn(|k| centre[k] - (ahead[k] * cos + back[k] * sin) * far));
        t += 2.0 * half;
    }
    out.push(std::array::from_fn(|k| corner[k] + ahead[k] * radius));
    out
}

fn length([x, y]: [f64; 2]) -> f64 {
    libm::hypot(x, y)
}

/// From the pin to the nearest point of a rectangle; 0 if it stands inside.
fn distance(rectangle: &[[f64; 2]]) -> f64 {
    let range = |k: usize| {
        let values = rectangle.iter().map(move |p| p[k]);
        [values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max)]
    };
    length([0, 1].map(|k| {
        let [low, high] = range(k);
        low.max(0.0) + (-high).max(0.0)
    }))
}

/// How near to the pin and how far from it an outline comes.
fn ring(outline: &[[f64; 2]]) -> [f64; 2] {
    [distance(outline), outline.iter().map(|p| length(*p)).fold(0.0, f64::max)]
}

/// The angle, up to a half turn, at which a point that turns about the origin in a sense first enters a convex outline.
fn enters(point: [f64; 2], outline: &[[f64; 2]], sense: f64) -> Option<f64> {
    let radius = length(point);
    let start = libm::atan2(point[1], point[0]);
    let mut angles = vec![0.0, PI];
    let n = outline.len();
    for i in 0..n {
        // Where the circle crosses the line of a side, drawn in by a touch.
        let (normal, offset) = line(outline[i], outline[(i + 1) % n]);
        let cosine = (offset - TOUCH) / radius;
        if cosine.abs() > 1.0 {
            continue;
        }
        let (middle, half) = (libm::atan2(normal[1], normal[0]), libm::acos(cosine));
        for angle in [middle - half, middle + half] {
            angles.push(((angle - start) * sense).rem_euclid(TAU));
        }
    }
    angles.retain(|a| *a <= PI);
    angles.sort_by(f64::total_cmp);
    let inside = |angle: f64| {
        let (sin, cos) = libm::sincos(start + sense * angle);
        (0..n).all(|i| {
            let (normal, offset) = line(outline[i], outline[(i + 1) % n]);
            radius * (cos * normal[0] + sin * normal[1]) < offset - TOUCH
        })
    };
    angles.windows(2).find(|w| w[1] - w[0] > 1e-9 && inside((w[0] + w[1]) / 2.0)).map(|w| w[0])
}

/// The outward normal of a side of a counter-clockwise outline, and its distance along it.
fn line(a: [f64; 2], b: [f64; 2]) -> ([f64; 2], f64) {
    let l = length([b[0] - a[0], b[1] - a[1]]);
    let normal = [(b[1] - a[1]) / l, (a[0] - b[0]) / l];
    (normal, normal[0] * a[0] + normal[1] * a[1])
}

pub(crate) const DOOR_SWING: Rule = Rule {
    id: "door-swing",
    asks: "Every door has its pins in one upright line and opens 110 degrees about it without touching anything.",
    why: "A door that opens no further than its posts lets them catches knuckles, shelves and what is carried out, and strains its screws.",
    source: "geometry; the angle is common practice, no source",
    check: swing,
};

fn swing(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let doors = doors(fit.case, &fit.solids);
    for joint in fit.case.joints.iter().filter(|j| j.kind == JointKind::Hinge) {
        let Some(stile) = joint.parts.last() else { continue };
        let name = &fit.case.part(*stile).assembly;
        let told = found.iter().any(|f| f.parts == [*stile]);
        if !told && doors.iter().all(|d| d.name != *name) {
            found.push(Found {
                parts: vec![*stile],
                what: format!("the pins of the {name} do not stand in one line"),
                figure: "several lines".into(),
                limit: "one".into(),
                advice: "set all hinges of a door out from one gauge",
            });
        }
    }
    for door in &doors {
        let Some((angle, body)) = door.touches(fit.case, &fit.solids, OPEN) else { continue };
        let what = format!("the {} opens until it touches the {}", door.name, fit.name(body));
        // Two doors of a pair say the same.
        if !found.iter().any(|f| f.figure == format!("{angle:.0}°")) {
            found.push(Found {
                parts: part_ids(&[body]),
                what,
                figure: format!("{angle:.0}°"),
                limit: format!("{OPEN:.0}°"),
                advice: "set the door nearer to the face of its posts, or its pins further forward",
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[10.0, -2.0], [14.0, -2.0], [14.0, 2.0], [10.0, 2.0]];

    /// A point on the circle of radius 12 starts a quarter turn above the square and comes down to its upper side.
    #[test]
    fn a_point_enters_where_its_circle_meets_the_side() {
        let down = enters([0.0, 12.0], &SQUARE, -1.0).unwrap();
        assert!((down - (FRAC_PI_2 - libm::asin((2.0 - TOUCH) / 12.0))).abs() < 1e-9);
        let up = enters([0.0, -12.0], &SQUARE, 1.0).unwrap();
        assert!((up - down).abs() < 1e-9);
        assert_eq!(enters([0.0, 9.9], &SQUARE, -1.0), None);
        assert_eq!(enters([0.0, 12.0], &SQUARE, 1.0), None);
    }

    /// The tangents stay outside the round, by the chord at most.
    #[test]
    fn a_rounded_corner_is_told_from_outside() {
        let chain = rounded([0.0, 0.0], [-1.0, 0.0], [0.0, 1.0], 3.0);
        assert_eq!((chain[0], chain[chain.len() - 1]), ([-3.0, 0.0], [0.0, 3.0]));
        for p in &chain {
            let out = length([p[0] + 3.0, p[1] - 3.0]) - 3.0;
            assert!((-1e-9..=CHORD + 1e-9).contains(&out), "{p:?}");
        }
    }

    /// A door 20 thick, its pin `q` in front of its face and the post's arris 1 beside the pin and `f` in front of it:
    /// past a right angle by t it touches when f sin t = q + cos t (the corner's distance from the pin, along the
    /// normal of the door's face; worked by hand).
    #[test]
    fn a_door_s_face_comes_to_the_post_s_arris() {
        let (q, f) = (3.0, 8.0);
        let post = vec![[-41.0, -f], [-1.0, -f], [-1.0, 32.0], [-41.0, 32.0]];
        let door = vec![[1.0, q], [400.0, q], [400.0, q + 20.0], [1.0, q + 20.0]];
        let by_corner = door.iter().filter_map(|p| enters(*p, &post, -1.0));
        let by_its = post.iter().filter_map(|p| enters(*p, &door, 1.0));
        let angle = by_corner.chain(by_its).fold(f64::INFINITY, f64::min);
        let t = angle - FRAC_PI_2;
        assert!((f * libm::sin(t) - q - libm::cos(t)).abs() < 2.0 * TOUCH, "{}", angle.to_degrees());
    }
}
