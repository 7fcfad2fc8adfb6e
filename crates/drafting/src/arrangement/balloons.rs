//! Part numbers in balloons: each kind of part once, where most of it is seen.

use case::{Case, PartId};

use super::Board;
use super::views::View;
use crate::balloons::Paper;
use crate::margins::Place;
use crate::solids::Thing;
use paper::dimension;
use paper::scene::{At, Layer};
use paper::sheet::Frame;

/// A part must show this much on paper to be pointed at, mm across.
const LEAST: f64 = 0.5;

/// So many parts of a kind are looked for in a view.
const LIKES: usize = 4;

/// A view on a sheet.
pub(super) struct Shown<'a, 'b> {
    pub(super) view: &'b View<'a>,
    pub(super) place: Place,
    /// Index of its sheet.
    pub(super) sheet: usize,
}

/// A wish for a balloon: which part, on which view, and points on it that are seen, best first.
struct Wish {
    id: PartId,
    shown: usize,
    tips: Vec<At>,
}

/// Draws the balloons of all sheets, in the room that the frame leaves.
pub(super) fn draw(case: &Case, shown: &[Shown<'_, '_>], boards: &mut [Board], frame: &Frame) {
    let mut wishes: Vec<Wish> =
        case.kinds().into_iter().filter_map(|(first, likes)| wish(first.id, &likes, shown)).collect();
    // Those with the fewest places to choose from go first.
    wishes.sort_by_key(|w| (w.tips.len(), w.id));
    for (sheet, board) in boards.iter_mut().enumerate() {
        let mut paper = Paper::of(&board.layers, frame.space, &[frame.block]);
        let mut layer = Layer::new("part-numbers", "Part numbers");
        let mut found: Vec<(PartId, At, At)> = Vec::new();
        for wish in wishes.iter().filter(|w| shown[w.shown].sheet == sheet) {
            if let Some((centre, tip)) = paper.place(&wish.tips) {
                paper.add_balloon(centre, tip);
                found.push((wish.id, centre, tip));
            }
        }
        found.sort_by_key(|f| f.0);
        for (id, centre, tip) in found {
            dimension::balloon(&mut layer, centre, tip, &id.to_string());
        }
        board.layers.push(layer);
    }
}

/// The view that shows most of the kind, and where.
fn wish(id: PartId, likes: &[&case::Part], shown: &[Shown<'_, '_>]) -> Option<Wish> {
    let mut best: Option<(f64, Wish)> = None;
    for (k, s) in shown.iter().enumerate() {
        let (area, tips) =
            likes.iter().take(LIKES).map(|p| seen(p, s)).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default();
        // A later view must show clearly more.
        if !tips.is_empty() && best.as_ref().is_none_or(|(most, _)| area > most * 1.5) {
            best = Some((area, Wish { id, shown: k, tips }));
        }
    }
    best.map(|(_, wish)| wish)
}

/// About how much of a part is seen on paper, mm², and points within what is seen, in sheet mm.
fn seen(part: &case::Part, shown: &Shown<'_, '_>) -> (f64, Vec<At>) {
    let view = shown.view;
    let Some(body) = view.things.iter().position(|t| matches!(t, Thing::Part(p) if p.id == part.id)) else {
        return (0.0, Vec::new());
    };
    let b = part.case_box();
    let [u, v] = view.which.axes().map(|a| b.along(a).map(measure::Length::mm));
    let (across, up) = ((u[1] - u[0]), (v[1] - v[0]));
    let ratio = shown.place.ratio;
    let counts = [across, up].map(|l| ((l * ratio / 4.0).ceil()).clamp(3.0, 9.0));
    let half = LEAST / 2.0 / ratio;
    let on = |p: At| view.picture.front.at(p).is_some_and(|(seen, _)| seen == body);
    let mut tips = Vec::new();
    let steps = |n: f64| (0..).map(f64::from).take_while(move |k| *k < n);
    for i in steps(counts[0]) {
        for j in steps(counts[1]) {
            let p = [u[0] + across * (i + 0.5) / counts[0], v[0] + up * (j + 0.5) / counts[1]];
            if on(p)
                && [[-half, 0.0], [half, 0.0], [0.0, -half], [0.0, half]].iter().all(|d| on([p[0] + d[0], p[1] + d[1]]))
            {
                tips.push(shown.place.map(p));
            }
        }
    }
    let share = tips.len() as f64 / (counts[0] * counts[1]);
    let middle = shown.place.map([(u[0] + u[1]) / 2.0, (v[0] + v[1]) / 2.0]);
    let far = |p: &At| libm::hypot(p[0] - middle[0], p[1] - middle[1]);
    tips.sort_by(|a, b| far(a).total_cmp(&far(b)));
    // A dozen, from the middle outward.
    let every = tips.len().div_ceil(12).max(1);
    (share * across * up * ratio * ratio, tips.into_iter().step_by(every).collect())
}
