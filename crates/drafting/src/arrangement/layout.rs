//! Where the views stand: in first or third angle, at the largest standard scale at which they fit, on one sheet or two.

use case::{OrderInfo, Projection};

use super::runs::Rise;
use super::views::{View, Which};
use crate::margins::{self, Outline, Place, Run};
use paper::dimension::Chain;
use paper::scale::Scale;
use paper::scene::{At, Rect};
use paper::sheet::Frame;

/// Height of captions, mm.
pub(super) const CAPTION: f64 = 3.5;
/// From a view's topmost ink to its caption's baseline, mm.
const OVER: f64 = 4.5;
/// From an outline to the first dimension line, mm; the front's margins also hold the marks of the sections.
const FIRST: f64 = 10.0;
const FIRST_AT_FRONT: f64 = 13.5;
/// Tried from the widest: room between two views, mm.
const GAPS: [f64; 5] = [24.0, 18.0, 14.0, 10.0, 6.0];

/// A view with its dimensions, before it has a place.
#[derive(Debug)]
pub(super) struct Drawn<'a> {
    pub(super) view: View<'a>,
    pub(super) runs: Vec<Run>,
    pub(super) rises: Vec<Rise>,
}

/// The views of one sheet, by their numbers, with their places.
pub(super) type Placed = Vec<(usize, Place)>;

/// A third sheet is taken only if the case would have to be drawn smaller than this without.
const SMALL: Scale = Scale { paper: 1, piece: 10 };

/// Chooses scale and places: the largest scale that fits on one sheet or two, and one if that will do.
pub(super) fn arrange(order: &OrderInfo, drawn: &[Drawn<'_>]) -> (Scale, Vec<Placed>) {
    let frame = Frame::of(order.paper.sheet);
    let third = order.paper.projection == Projection::Third;
    let numbers = |list: &[Which]| -> Vec<usize> {
        list.iter().filter_map(|w| drawn.iter().position(|d| d.view.which == *w)).collect()
    };
    let group = |upright: &[Which], level: &[Which]| Group { upright: numbers(upright), level: numbers(level), third };
    use Which::{Front, Plan, RightEnd, SectionA, SectionB};
    // The right end stands to the right of the front in third angle, to its left in first.
    let ends: &[Which] = if third { &[Front, RightEnd] } else { &[RightEnd, Front] };
    let row: &[Which] = if third { &[Front, RightEnd, SectionA] } else { &[RightEnd, Front, SectionA] };
    let ways = [
        vec![group(row, &[Plan, SectionB])],
        vec![group(ends, &[Plan]), group(&[SectionA], &[SectionB])],
        vec![group(row, &[]), group(&[], &[Plan, SectionB])],
    ];
    let spread = [vec![group(&[Front], &[]), group(&[RightEnd, SectionA], &[]), group(&[], &[Plan, SectionB])]];
    let fit = |scale: Scale, ways: &[Vec<Group>]| -> Option<Vec<Placed>> {
        let ratio = scale.ratio();
        let extents: Vec<Rect> = drawn.iter().map(|d| extent(order, d, Place { at: [0.0, 0.0], ratio })).collect();
        ways.iter().find_map(|groups| groups.iter().map(|g| g.place(&frame, drawn, &extents, ratio)).collect())
    };
    let scale = Scale::largest(Scale::FULL, |s| fit(s, &ways).is_some());
    if scale.ratio() < SMALL.ratio() {
        let larger = Scale::largest(SMALL, |s| fit(s, &spread).is_some());
        if larger.ratio() > scale.ratio() {
            return (larger, fit(larger, &spread).unwrap_or_default());
        }
    }
    (scale, fit(scale, &ways).unwrap_or_default())
}

/// The views that share a sheet: upright ones from left to right on one ground line, and level ones.
struct Group {
    upright: Vec<usize>,
    level: Vec<usize>,
    third: bool,
}

impl Group {
    fn place(&self, frame: &Frame, drawn: &[Drawn<'_>], extents: &[Rect], ratio: f64) -> Option<Placed> {
        let front = self.upright.iter().position(|i| drawn[*i].view.which == Which::Front);
        GAPS.into_iter().find_map(|gap| shifted(self.at_origin(front, extents, gap), extents, frame, ratio))
    }

    /// Places about an origin of their own.
    fn at_origin(&self, front: Option<usize>, extents: &[Rect], gap: f64) -> Vec<(usize, At)> {
        let mut placed: Vec<(usize, At)> = Vec::new();
        // From the front, or else from the first, outward to both sides.
        let first = front.unwrap_or(0);
        let mut edge = 0.0;
        for &i in self.upright.iter().skip(first) {
            let x = if placed.is_empty() { 0.0 } else { edge + gap - extents[i].min[0] };
            edge = x + extents[i].max[0];
            placed.push((i, [x, 0.0]));
        }
        let mut edge = self.upright.get(first).map_or(0.0, |i| extents[*i].min[0]);
        for &i in self.upright.iter().take(first).rev() {
            let x = edge - gap - extents[i].max[0];
            edge = x + extents[i].min[0];
            placed.push((i, [x, 0.0]));
        }
        let rows = |f: fn(&Rect) -> f64| self.upright.iter().map(move |i| f(&extents[*i]));
        let (top, foot) = (rows(|r| r.max[1]).fold(0.0, f64::max), rows(|r| r.min[1]).fold(0.0, f64::min));
        if front.is_some() {
            // Plan over or under the front, in line with it; others beside the plan.
            let mut edge = f64::NEG_INFINITY;
            for &i in &self.level {
                let e = &extents[i];
                let y = if self.third { top + gap - e.min[1] } else { foot - gap - e.max[1] };
                let x = if edge.is_finite() { edge + gap - e.min[0] } else { 0.0 };
                edge = x + e.max[0];
                placed.push((i, [x, y]));
            }
        } else {
            // Beside the upright ones from their top down, one under the other and in line.
            let wide = self.upright.iter().map(|i| extents[*i].max[0]).reduce(f64::max);
            let left = self.level.iter().map(|i| extents[*i].min[0]).fold(0.0, f64::min);
            let x = wide.map_or(0.0, |w| w + gap - left);
            let mut edge = top;
            for &i in &self.level {
                let y = edge - extents[i].max[1];
                edge = y + extents[i].min[1] - gap;
                placed.push((i, [x, y]));
            }
        }
        placed
    }
}

/// Moves all into the sheet's space, clear of the title block: in the middle if they fit there, else where they do.
fn shifted(placed: Vec<(usize, At)>, extents: &[Rect], frame: &Frame, ratio: f64) -> Option<Placed> {
    let blocks: Vec<Rect> = placed.iter().map(|(i, at)| extents[*i].moved(*at)).collect();
    let whole = blocks.iter().copied().reduce(|a, b| a.union(&b))?;
    let space = frame.space;
    if whole.width() > space.width() || whole.height() > space.height() {
        return None;
    }
    let middle = [0, 1].map(|k| space.centre()[k] - whole.centre()[k]);
    let low = [0, 1].map(|k| space.min[k] - whole.min[k]);
    let high = [0, 1].map(|k| space.max[k] - whole.max[k]);
    let above = frame.above_block().centre()[1] - whole.centre()[1];
    let block = frame.block.grown(4.0);
    let xs = [middle[0], low[0], (low[0] + middle[0]) / 2.0];
    let ys = [middle[1], above.min(high[1]), (middle[1] + high[1]) / 2.0, high[1]];
    let free = |d: &At| {
        let mut moved = blocks.iter().map(|b| b.moved(*d));
        moved.all(|b| space.grown(0.01).holds(&b) && !b.overlaps(&block))
    };
    let shift = xs.iter().flat_map(|x| ys.iter().map(move |y| [*x, *y])).find(free)?;
    Some(placed.into_iter().map(|(i, at)| (i, Place { at: [at[0] + shift[0], at[1] + shift[1]], ratio })).collect())
}

/// Everything that a view covers: outline, dimensions, caption.
pub(super) fn extent(order: &OrderInfo, drawn: &Drawn<'_>, place: Place) -> Rect {
    let body = inked(order, drawn, place);
    let [x, y] = caption_at(&place.rect(&drawn.view.bounds), &body);
    let half = paper::text::width(&drawn.view.which.caption(), CAPTION) / 2.0;
    body.union(&Rect { min: [x - half, y], max: [x + half, y + CAPTION] })
}

/// Outline, marks and dimensions.
pub(super) fn inked(order: &OrderInfo, drawn: &Drawn<'_>, place: Place) -> Rect {
    let marks = if drawn.view.which == Which::Front { 6.5 } else { 0.0 };
    let outline = place.rect(&drawn.view.bounds).grown(marks);
    chains(order, drawn, place).iter().fold(outline, |r, c| r.union(&c.bounds()))
}

/// Where the caption stands: over the middle of the outline, clear of what is inked.
pub(super) const fn caption_at(outline: &Rect, inked: &Rect) -> At {
    [outline.centre()[0], inked.max[1] + OVER]
}

/// The dimensions of a view in their places, on each side from the inside out.
pub(super) fn chains(order: &OrderInfo, drawn: &Drawn<'_>, place: Place) -> Vec<Chain> {
    let mut runs = drawn.runs.clone();
    // Rises that have no room under their curve are figured in the chain that has the curve's foot.
    let [_, up] = drawn.view.which.axes();
    for rise in drawn.rises.iter().filter(|r| !r.has_room(order, drawn.view.which, place.ratio)) {
        let [foot, crown] = rise.away.along(up);
        if let Some(run) = runs.iter_mut().find(|r| r.margin.is_upright() && r.stops.contains(&foot)) {
            let at = run.stops.partition_point(|s| *s < crown);
            run.stops.insert(at, crown);
        }
    }
    let first = if drawn.view.which == Which::Front { FIRST_AT_FRONT } else { FIRST };
    let outline = Outline { rect: place.rect(&drawn.view.bounds), first, thinned: true };
    margins::chains(&order.ruler, &runs, outline, place)
}
