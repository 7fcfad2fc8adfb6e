//! Part numbers in balloons: each kind of part once, where most of it is seen, its balloon in the nearest free place.
//!
//! The search tries places round the part, nearest first: a balloon may touch no line, lettering or other balloon; its
//! leader may cross the lines of the view, at a price, but no lettering, dimension or other leader.

use case::{Case, PartId};
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use super::Board;
use crate::margins::Place;
use super::views::View;
use crate::solids::Thing;
use paper::dimension::{self, BALLOON};
use paper::scene::{At, Item, Layer, Path, Pen, Rect};
use paper::sheet::Frame;

/// Clear paper round a balloon, mm.
const CLEAR: f64 = 0.8;
/// Longest leader, mm.
const REACH: f64 = 60.0;
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
        let mut paper = Paper::of(&board.layers, frame);
        let mut layer = Layer::new("part-numbers", "Part numbers");
        let mut found: Vec<(PartId, At, At)> = Vec::new();
        for wish in wishes.iter().filter(|w| shown[w.shown].sheet == sheet) {
            if let Some((centre, tip)) = paper.place(wish) {
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

/// What a balloon has to keep clear of.
struct Paper {
    room: Rect,
    block: Rect,
    /// Each with whether a leader may cross it.
    lines: RTree<GeomWithData<Line<At>, bool>>,
    texts: Vec<[At; 4]>,
    balloons: Vec<At>,
}

impl Paper {
    fn of(layers: &[Layer], frame: &Frame) -> Self {
        let (mut lines, mut texts) = (Vec::new(), Vec::new());
        let mut add = |path: &Path, crossable: bool| {
            let points = path.flattened(0.3);
            lines.extend(points.windows(2).map(|w| GeomWithData::new(Line::new(w[0], w[1]), crossable)));
        };
        for item in layers.iter().flat_map(|l| &l.items) {
            match item {
                Item::Line { path, pen } => add(path, *pen != Pen::Dimension && *pen != Pen::Plane),
                Item::Fill(paths) => paths.iter().for_each(|p| add(p, false)),
                Item::Text(text) => {
                    let c = text.corners();
                    add(&Path::polygon(c), false);
                    texts.push(c);
                }
            }
        }
        Self { room: frame.space, block: frame.block, lines: RTree::bulk_load(lines), texts, balloons: Vec::new() }
    }

    fn add_balloon(&mut self, centre: At, tip: At) {
        self.balloons.push(centre);
        self.lines.insert(GeomWithData::new(Line::new(centre, tip), false));
    }

    /// The cheapest free place for a wish: centre and tip.
    fn place(&self, wish: &Wish) -> Option<(At, At)> {
        let mut best: Option<(f64, At, At)> = None;
        let mut length = 0.0;
        while length < REACH {
            if best.as_ref().is_some_and(|b| b.0 <= length) {
                break;
            }
            for tip in wish.tips.iter().filter(|t| self.may_end(**t)) {
                for k in 0..24 {
                    let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 24.0 + 0.13);
                    let reach = BALLOON + length;
                    let centre = if length == 0.0 { *tip } else { [tip[0] + c * reach, tip[1] + s * reach] };
                    if !self.is_free(centre) {
                        continue;
                    }
                    if let Some(crossed) = self.crossed(centre, *tip) {
                        let price = length + 2.0 * crossed as f64;
                        if best.as_ref().is_none_or(|b| price < b.0) {
                            best = Some((price, centre, *tip));
                        }
                    }
                    if length == 0.0 {
                        break;
                    }
                }
            }
            length += 2.0;
        }
        best.map(|(_, centre, tip)| (centre, tip))
    }

    /// A leader may end here: not on a dimension, an arrowhead or another leader.
    fn may_end(&self, tip: At) -> bool {
        self.lines.locate_within_distance(tip, 1.5 * 1.5).all(|l| l.data)
    }

    fn is_free(&self, centre: At) -> bool {
        let r = BALLOON + CLEAR;
        let round = Rect { min: centre, max: centre }.grown(r);
        self.room.holds(&round)
            && !self.block.overlaps(&round)
            && self.balloons.iter().all(|b| libm::hypot(b[0] - centre[0], b[1] - centre[1]) > BALLOON + r)
            && self.lines.locate_within_distance(centre, r * r).next().is_none()
            && !self.texts.iter().any(|t| within(centre, t))
    }

    /// How many lines of the view the leader crosses; nothing if it meets what it must not.
    fn crossed(&self, centre: At, tip: At) -> Option<usize> {
        let leader = [centre, tip];
        if self.balloons.iter().any(|b| distance(*b, leader) < BALLOON + CLEAR)
            || self.texts.iter().any(|t| within(tip, t))
        {
            return None;
        }
        let low = [centre[0].min(tip[0]), centre[1].min(tip[1])];
        let high = [centre[0].max(tip[0]), centre[1].max(tip[1])];
        let mut count = 0;
        for line in self.lines.locate_in_envelope_intersecting(&AABB::from_corners(low, high)) {
            if meet(leader, [line.geom().from, line.geom().to]) {
                if !line.data {
                    return None;
                }
                count += 1;
            }
        }
        Some(count)
    }
}

fn distance(p: At, [a, b]: [At; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = (dx * dx + dy * dy).max(1e-12);
    let t = (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0);
    libm::hypot(a[0] + t * dx - p[0], a[1] + t * dy - p[1])
}

fn meet([a, b]: [At; 2], [p, q]: [At; 2]) -> bool {
    let side = |s: At, e: At, x: At| (e[0] - s[0]) * (x[1] - s[1]) - (e[1] - s[1]) * (x[0] - s[0]);
    (side(a, b, p) > 0.0) != (side(a, b, q) > 0.0) && (side(p, q, a) > 0.0) != (side(p, q, b) > 0.0)
}

/// The point lies in a convex counter-clockwise quadrilateral.
fn within(p: At, corners: &[At; 4]) -> bool {
    (0..4).all(|i| {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= 0.0
    })
}
