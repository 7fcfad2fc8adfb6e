//! Room for a balloon: the nearest free place on a drawing, and its leader's way.
//!
//! The search tries places round the points on the part, nearest first: a balloon may touch no line, lettering or other
//! balloon; its leader may cross the lines of the view, at a price, but no lettering, dimension or other leader.

use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use paper::dimension::BALLOON;
use paper::scene::{At, Item, Layer, Path, Pen, Rect};

/// Clear paper round a balloon, mm.
const CLEAR: f64 = 0.8;
/// A leader that crosses a line of the view is as good as one that is so much longer, mm.
const CROSSING: f64 = 4.0;
/// Longest leader, mm.
const REACH: f64 = 60.0;

/// What a balloon has to keep clear of.
pub(crate) struct Paper {
    room: Rect,
    taken: Vec<Rect>,
    /// Each with whether a leader may cross it.
    lines: RTree<GeomWithData<Line<At>, bool>>,
    /// Corners, and the rectangle round them.
    texts: Vec<([At; 4], Rect)>,
    balloons: Vec<At>,
}

impl Paper {
    /// With what is drawn on it; balloons keep within the room and off what is taken.
    pub(crate) fn of<'a>(layers: impl IntoIterator<Item = &'a Layer>, room: Rect, taken: &[Rect]) -> Self {
        let (mut lines, mut texts) = (Vec::new(), Vec::new());
        let mut add = |path: &Path, crossable: bool| {
            let points = path.flattened(0.3);
            lines.extend(points.windows(2).map(|w| GeomWithData::new(Line::new(w[0], w[1]), crossable)));
        };
        for item in layers.into_iter().flat_map(|l| &l.items) {
            match item {
                Item::Line { path, pen } => add(path, *pen != Pen::Dimension),
                Item::Fill(paths) => paths.iter().for_each(|p| add(p, false)),
                Item::Text(text) => {
                    let c = text.corners();
                    add(&Path::polygon(c), false);
                    texts.push((c, Rect::around(&c)));
                }
            }
        }
        let taken = taken.to_vec();
        Self { room, taken, lines: RTree::bulk_load(lines), texts, balloons: Vec::new() }
    }

    /// Takes the room of a balloon.
    pub(crate) fn add_balloon(&mut self, centre: At, tip: At) {
        self.balloons.push(centre);
        self.lines.insert(GeomWithData::new(Line::new(centre, tip), false));
    }

    /// The cheapest free place for a balloon that may point at any of these: its centre, and the one.
    pub(crate) fn place(&self, tips: &[At]) -> Option<(At, At)> {
        let tips: Vec<At> = tips.iter().copied().filter(|tip| self.may_end(*tip)).collect();
        let rays: Vec<At> = (0..24)
            .map(|k| libm::sincos(f64::from(k) * std::f64::consts::TAU / 24.0 + 0.13))
            .map(|(s, c)| [c, s])
            .collect();
        let mut best: Option<(f64, At, At)> = None;
        let mut length = 0.0;
        while length < REACH {
            if best.as_ref().is_some_and(|b| b.0 <= length) {
                break;
            }
            for tip in &tips {
                for [c, s] in &rays {
                    let reach = BALLOON + length;
                    let centre = if length == 0.0 { *tip } else { [tip[0] + c * reach, tip[1] + s * reach] };
                    if !self.is_free(centre, length == 0.0) {
                        continue;
                    }
                    if let Some(crossed) = self.crossed(centre, *tip) {
                        let price = length + CROSSING * crossed as f64;
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

    /// A balloon may stand on its own part even where none else may.
    fn is_free(&self, centre: At, on_its_part: bool) -> bool {
        let r = BALLOON + CLEAR;
        let round = Rect { min: centre, max: centre }.grown(r);
        self.room.holds(&round)
            && (on_its_part || !self.taken.iter().any(|t| t.overlaps(&round)))
            && self.balloons.iter().all(|b| libm::hypot(b[0] - centre[0], b[1] - centre[1]) > BALLOON + r)
            && self.lines.locate_within_distance(centre, r * r).next().is_none()
            && !self.is_on_text(centre)
    }

    fn is_on_text(&self, p: At) -> bool {
        let at = Rect { min: p, max: p };
        self.texts.iter().any(|(corners, round)| round.holds(&at) && within(p, corners))
    }

    /// How many lines of the view the leader crosses; nothing if it meets what it must not.
    fn crossed(&self, centre: At, tip: At) -> Option<usize> {
        let leader = [centre, tip];
        if self.balloons.iter().any(|b| distance(*b, leader) < BALLOON + CLEAR) || self.is_on_text(tip) {
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
