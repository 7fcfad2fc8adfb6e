//! The piece taken apart in one isometric picture: each part drawn out of its joints the way that it comes out of them.
//!
//! The steps of assembly come from outside as plain data. In their order, what a step moves is drawn back from what it is
//! put on until all of it stands clear, so that a part keeps what was put on it before, and moves with what it is part of.

use case::{Axis, Box3, Case, Dir, Part, PartId};
use measure::{Length, mm};

use crate::arrangement::notes;
use crate::balloons::Paper;
use crate::margins::Place;
use crate::pens::penned;
use crate::solids::{Built, Solids, Thing};
use crate::tips::tips;
use crate::view::{Body, Camera, Picture, look};
use paper::dimension::{self, BALLOON};
use paper::scale::Scale;
use paper::scene::{At, Layer, Rect};
use paper::sheet::{self, Document, Draft, Frame, Sheet};

/// Left between what was joined, in parts of the piece's height, and at the least.
const GAP: i64 = 30;
const LEAST_GAP: Length = mm(45);
/// The isometric view: from the front, turned to the right and up, degrees.
const ISOMETRIC: [f64; 2] = [45.0, 35.264];
/// Width of the wide line, mm.
const WIDE: f64 = 0.35;
/// Room for balloons round the picture, mm.
const ROUND: f64 = 2.0 * BALLOON + 3.0;

/// What a step moves or joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Member {
    /// A part.
    Part(PartId),
    /// A pane, by its place in the case's list.
    Pane(usize),
}

/// One step of the assembly.
#[derive(Clone, Debug)]
pub struct Step {
    /// What moves, as one.
    pub moves: Vec<Member>,
    /// What it is put on, already together.
    pub onto: Vec<Member>,
    /// The way that it moves home.
    pub towards: Dir,
}

/// A sheet of the piece taken apart, its parts numbered; the steps are in the order of assembly. What no step moves goes
/// out by the front, before anything that was hung on the case.
pub fn exploded(solids: &Solids<'_>, steps: &[Step]) -> Vec<Sheet> {
    let case = solids.case;
    let shifts = shifts(solids, steps);
    let bodies: Vec<Body<'_>> = solids
        .built
        .iter()
        .zip(&shifts)
        .map(|(b, by)| Body::new(&b.solid, b.thing.placement()).moved(by.map(Length::mm)))
        .collect();
    let picture = look(&Camera::oblique(ISOMETRIC[0], ISOMETRIC[1]), &bodies, |_| false);
    let Some(bounds) = picture.bounds() else { return Vec::new() };
    let frame = Frame::of(case.order.paper.sheet);
    let (scale, place) = placed(&frame, &picture, &bounds);
    let mut layer = Layer::new("exploded", "The piece taken apart");
    for stroke in picture.strokes.iter().filter(|s| !s.hidden) {
        for (pen, path) in penned(&picture, stroke) {
            layer.draw(pen, path.mapped(false, |p| place.map(p)));
        }
    }
    let drawn = place.rect(&bounds).grown(ROUND + 2.0);
    let taken = [frame.block.grown(3.0), drawn];
    let parts = notes::parts(case);
    let mut layers = vec![layer];
    let mut room = frame.space;
    if let Some(block) = notes::free(&frame.space, &taken, parts.size(), [frame.space.min[0], frame.space.max[1]]) {
        let mut layer = Layer::new("parts", "Parts");
        parts.draw(&mut layer, [block.min[0], block.max[1]]);
        layers.push(layer);
        room.min[0] = room.min[0].max(drawn.min[0]);
    }
    let numbers = numbers(case, &picture, &solids.built, &layers, room, place, &frame);
    layers.push(numbers);
    let draft = Draft { name: "exploded".into(), title: "Taken apart".into(), scale: Some(scale), wide: WIDE, layers };
    let document = Document { code: "X", kind: "Exploded view", caution: sheet::BY_FIGURES };
    sheet::bind(&case.order, document, vec![draft])
}

/// The index of a member among the solids.
fn index(case: &Case, member: Member) -> usize {
    match member {
        Member::Part(id) => id.0 as usize - 1,
        Member::Pane(i) => case.parts.len() + i,
    }
}

/// How far each body is moved.
fn shifts(solids: &Solids<'_>, steps: &[Step]) -> Vec<[Length; 3]> {
    let case = solids.case;
    let boxes: Vec<Box3> = solids.built.iter().map(|b| b.thing.case_box()).collect();
    let mut shifts = vec![[Length::ZERO; 3]; boxes.len()];
    let gap = (case.size[2] / GAP).max(LEAST_GAP);
    for (moves, onto, towards) in all_steps(solids, steps) {
        let at = |i: usize, shifts: &[[Length; 3]]| moved(&boxes[i], shifts[i]);
        let mut far = Length::ZERO;
        let (u, v) = towards.axis.others();
        for &m in &moves {
            let a = at(m, &shifts);
            for &o in &onto {
                let b = at(o, &shifts);
                let beside = [u, v].into_iter().all(|axis| {
                    let (a, b) = (a.along(axis), b.along(axis));
                    a[0] < b[1] && b[0] < a[1]
                });
                if beside {
                    let ([a0, a1], [b0, b1]) = (a.along(towards.axis), b.along(towards.axis));
                    // Until it has left the other behind, if it stands before it now or in it.
                    far = far.max(if towards.positive { a1 - b0 } else { b1 - a0 });
                }
            }
        }
        let small = moves.len() == 1 && is_small(&boxes[moves[0]]);
        // From above, what is drawn up hides what lies under it, the more so the lower it hangs.
        let by = far
            + if small {
                gap.half()
            } else if towards.axis == Axis::Z {
                gap * 2
            } else {
                gap
            };
        for m in moves {
            let k = towards.axis.index();
            shifts[m][k] -= by * towards.sign();
        }
    }
    shifts
}

fn moved(b: &Box3, by: [Length; 3]) -> Box3 {
    Box3 { min: std::array::from_fn(|k| b.min[k] + by[k]), max: std::array::from_fn(|k| b.max[k] + by[k]) }
}

/// A peg, a button or the like, which stays near to what it holds.
fn is_small(b: &Box3) -> bool {
    b.size().into_iter().all(|l| l < mm(80))
}

/// What moves off what, which way home; with what no step moves.
fn all_steps(solids: &Solids<'_>, steps: &[Step]) -> Vec<(Vec<usize>, Vec<usize>, Dir)> {
    let case = solids.case;
    let set = |list: &[Member]| list.iter().map(|m| index(case, *m)).collect::<Vec<usize>>();
    let mut out: Vec<_> = steps.iter().map(|s| (set(&s.moves), set(&s.onto), s.towards)).collect();
    let mut told = vec![false; solids.built.len()];
    out.iter().for_each(|(m, o, _)| m.iter().chain(o).for_each(|i| told[*i] = true));
    let in_case = |i: &usize| assembly(&solids.built[*i]) == "case";
    let own: Vec<usize> = (0..told.len()).filter(|i| told[*i] && in_case(i)).collect();
    let hung = |(m, o, _): &(Vec<usize>, Vec<usize>, Dir)| !m.iter().all(in_case) && o.iter().any(in_case);
    let at = out.iter().position(hung).unwrap_or(out.len());
    let loose: Vec<usize> = (0..told.len()).filter(|i| !told[*i]).collect();
    for step in loose.into_iter().map(|i| (vec![i], own.clone(), Dir::PY)) {
        out.insert(at, step);
    }
    // What is hung on the case clears what is loose in it as well.
    for (m, o, _) in &mut out {
        if !m.iter().all(in_case) && o.iter().any(in_case) {
            o.extend((0..told.len()).filter(|i| !told[*i]));
        }
    }
    out
}

fn assembly<'a>(b: &Built<'a>) -> &'a str {
    match b.thing {
        Thing::Part(p) => &p.assembly,
        Thing::Pane(p) => &p.assembly,
    }
}

/// The largest scale at which the picture fits, and where it stands: as near to the middle as the title block lets it.
/// Room for balloons is left on all sides or, to gain a scale, at the sides only.
fn placed(frame: &Frame, picture: &Picture, bounds: &Rect) -> (Scale, Place) {
    let (space, block) = (frame.space, frame.block.grown(3.0));
    let corner = |p: At| Rect { min: p, max: p };
    let edges: Vec<Rect> = picture
        .strokes
        .iter()
        .filter_map(|s| s.path.flattened(1.0).into_iter().map(corner).reduce(|a, b| a.union(&b)))
        .collect();
    let spot = |scale: Scale| {
        let ratio = scale.ratio();
        let size = [bounds.width() * ratio, bounds.height() * ratio];
        [[ROUND, ROUND], [ROUND, 1.0]].into_iter().find_map(|round| {
            let spare = [0, 1].map(|k| space.max[k] - space.min[k] - size[k] - 2.0 * round[k]);
            if spare.iter().any(|s| *s < 0.0) {
                return None;
            }
            let shares = [0.5, 0.6, 0.4, 0.75, 0.25, 1.0, 0.0];
            let mut ways = shares.iter().flat_map(|y| shares.iter().map(move |x| [*x, *y]));
            ways.find_map(|share| {
                let at = [0, 1].map(|k| space.min[k] + round[k] + spare[k] * share[k] - bounds.min[k] * ratio);
                let place = Place { at, ratio };
                edges.iter().all(|e| !place.rect(e).overlaps(&block)).then_some(place)
            })
        })
    };
    let scale = Scale::largest(Scale::FULL, |s| spot(s).is_some());
    (scale, spot(scale).unwrap_or(Place { at: space.min, ratio: scale.ratio() }))
}

/// A balloon for each kind of part, on the one that is seen best.
fn numbers(
    case: &Case,
    picture: &Picture,
    built: &[Built<'_>],
    drawn: &[Layer],
    room: Rect,
    place: Place,
    frame: &Frame,
) -> Layer {
    let tips = tips(picture, built.len(), place.ratio);
    let mut paper = Paper::of(drawn, room, &[frame.block]);
    let mut layer = Layer::new("part-numbers", "Part numbers");
    let best = |likes: &[&Part]| {
        let seen = likes.iter().map(|p| p.id.0 as usize - 1);
        seen.max_by(|a, b| tips[*a].0.total_cmp(&tips[*b].0).then(b.cmp(a)))
    };
    let mut wishes: Vec<(String, Vec<At>)> = case
        .kinds()
        .iter()
        .filter_map(|(first, likes)| Some((first, best(likes)?)))
        .map(|(first, i)| (first.id.to_string(), tips[i].1.iter().map(|p| place.map(*p)).collect()))
        .collect();
    // Those with the fewest places to choose from go first; pegs and beads are many, and have time.
    wishes.sort_by_key(|w| w.1.len());
    for (says, tips) in wishes {
        if let Some((centre, tip)) = paper.place(&tips) {
            paper.add_balloon(centre, tip);
            dimension::balloon(&mut layer, centre, tip, &says);
        }
    }
    layer
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture;
    use paper::check;

    fn steps(case: &Case) -> Vec<Step> {
        let solids = dryfit::solids(case);
        let member = |b: &dryfit::Body| match b {
            dryfit::Body::Part(id) => Member::Part(*id),
            dryfit::Body::Pane(i) => Member::Pane(*i),
        };
        let set = |list: &[dryfit::Body]| list.iter().map(member).collect();
        let order = dryfit::order(case, &solids).expect("every design comes apart");
        order
            .iter()
            .map(|s| Step { moves: set(&s.moves), onto: set(&s.onto), towards: s.legs.last().expect("a move").towards })
            .collect()
    }

    #[test]
    fn nothing_stands_in_anything_and_every_kind_is_numbered() {
        for (name, _) in design::builtin::DESIGNS {
            let case = fixture::design(name, &[]);
            let solids = Solids::of(&case);
            let steps = steps(&case);
            let shifts = shifts(&solids, &steps);
            let apart: Vec<Box3> =
                solids.built.iter().zip(&shifts).map(|(b, by)| moved(&b.thing.case_box(), *by)).collect();
            for (i, a) in apart.iter().enumerate() {
                for (j, b) in apart.iter().enumerate().skip(i + 1) {
                    assert!(a.intersection(b).is_none(), "{name}: bodies {i} and {j} stand in one another");
                }
            }
            let sheets = exploded(&solids, &steps);
            let faults: Vec<_> = sheets.iter().flat_map(check::collisions).collect();
            assert_eq!(faults, [], "{name}");
            let numbers = sheets[0].scene.layers.iter().find(|l| l.id == "part-numbers").expect("a layer of numbers");
            let texts = numbers.items.iter().filter(|i| matches!(i, paper::scene::Item::Text(_))).count();
            let kinds = case.kinds().len();
            assert!(texts == kinds, "{name}: {texts} of {kinds} kinds have a number");
        }
    }
}
