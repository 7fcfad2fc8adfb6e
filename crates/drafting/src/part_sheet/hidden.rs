//! Which hidden edges help on a view of a part: those of mortises, grooves and the like that are cut from the faces beside
//! it, so that one sees how deep they go and where they meet. What is cut from the opposite face would only repeat its
//! outline; holes in rows and waste beside tenons are told well enough where they are cut.

use case::{Part, Purpose};
use measure::Length;

use super::face::Face;
use super::feature::Feature;
use crate::solid::Solid;
use crate::view::{self, Body, Camera, Stroke};
use paper::scene::At;

/// A hidden edge, and how wide the cut is that it bounds, mm of the part: at a small scale its lines would run together.
#[derive(Clone, Debug)]
pub(crate) struct Hidden {
    pub(crate) stroke: Stroke,
    pub(crate) width: f64,
}

/// A stroke lies on a cut if it is so near, mm of the part.
const ON: f64 = 0.01;

/// What is seen of a face, and the hidden edges that help there.
pub(super) fn looked(part: &Part, solid: &Solid, face: Face, features: &[Feature<'_>]) -> (Vec<Stroke>, Vec<Hidden>) {
    let camera = Camera::at(face.right, face.up);
    let (helpful, others): (Vec<_>, Vec<_>) = features.iter().partition(|f| helps(f, face, part));
    let all = |some: Vec<&Feature<'_>>| some.into_iter().flat_map(|f| rooms(f, face)).collect::<Vec<[At; 2]>>();
    let (rooms, others) = (all(helpful), all(others));
    let strokes = view::look(&camera, &[Body::in_its_own_frame(solid)], |_| !rooms.is_empty()).strokes;
    let (hidden, seen): (Vec<_>, Vec<_>) = strokes.into_iter().partition(|s| s.hidden);
    let within = |s: &Stroke, r: &[At; 2]| {
        let on = |p: At| (0..2).all(|k| r[0][k] - ON <= p[k] && p[k] <= r[1][k] + ON);
        s.path.vertices.iter().all(|(p, _)| on(*p))
    };
    let hidden = hidden.into_iter().filter_map(|stroke| {
        // A hole in the floor of a groove lies in the groove's room as well.
        let area = |r: &[At; 2]| (r[1][0] - r[0][0]) * (r[1][1] - r[0][1]);
        let room = rooms.iter().filter(|r| within(&stroke, r)).max_by(|a, b| area(a).total_cmp(&area(b)))?;
        if others.iter().any(|o| within(&stroke, o) && area(o) < area(room)) {
            return None;
        }
        let width = (room[1][0] - room[0][0]).min(room[1][1] - room[0][1]);
        Some(Hidden { stroke, width })
    });
    (seen, hidden.collect())
}

/// Its hidden edges tell something on that face.
fn helps(f: &Feature<'_>, face: Face, part: &Part) -> bool {
    let deep = matches!(
        f.purpose,
        Purpose::Mortise
            | Purpose::PegMortise
            | Purpose::Groove
            | Purpose::Rabbet
            | Purpose::Housing
            | Purpose::HingeGain
            | Purpose::ButtonPocket
    );
    deep && f.face().axis != face.dir.axis && !f.shows_on(face.dir, part.size) && f.pitch().is_none()
}

/// What a feature takes away, as the face's picture shows it.
fn rooms<'a>(f: &'a Feature<'_>, face: Face) -> impl Iterator<Item = [At; 2]> + 'a {
    f.places.iter().map(move |place| {
        let range = |d: case::Dir| {
            let [low, high] = place.bounds.along(d.axis).map(Length::mm);
            if d.positive { [low, high] } else { [-high, -low] }
        };
        let (x, y) = (range(face.right), range(face.up));
        [[x[0], y[0]], [x[1], y[1]]]
    })
}
