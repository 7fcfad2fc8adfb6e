//! Two solids looked at in columns along an axis: the one method by which common volume, gaps, contact and motion are
//! all told.
//!
//! The plane square to the axis is divided into rectangles, over each of which both solids are plain stacks of
//! intervals along the axis. It is divided no further than the question asks: of every column it is known what the
//! solids fill at most and at least there, and where both answers agree there is nothing more to look for. Divisions
//! fall on the exact lines of the cuts first. Only where a slope or an arc passes through is a rectangle halved, down to
//! [`FINE`]; what is still open then differs from the truth by less than that.

use std::ops::ControlFlow;

use case::{Axis, Box3};
use measure::Length;
use smallvec::SmallVec;

use crate::region::{Covered, Lie, Strip};
use crate::solid::{Removal, Solid};

/// An interval of coordinates, least first.
pub type Span = [Length; 2];

/// Intervals in order; rarely more than a few.
pub type Spans = SmallVec<[Span; 4]>;

type List<'a> = SmallVec<[&'a Removal; 8]>;

/// Parts that share less than this are in contact: a micrometre, far below what wood or a shop can hold.
pub const TOUCH: Length = Length::from_nm(1_000);

/// The size down to which a slope or an arc is followed: 0.02 mm. Nothing thicker goes unseen there.
pub const FINE: Length = Length::from_nm(20_000);

/// What a solid fills of a column, as intervals in order.
#[derive(Clone, Debug, Default)]
pub struct Filled {
    /// Nothing outside these.
    pub most: Spans,
    /// All of these.
    pub least: Spans,
}

/// A rectangle of the plane, and what both solids fill over it.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its two intervals, along the two other axes in the order x, y, z.
    pub rect: [Span; 2],
    /// The first solid.
    pub a: Filled,
    /// The second.
    pub b: Filled,
    /// How it can be divided further.
    pub division: Option<Division>,
}

/// How a column is divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Division {
    /// At a line of a cut: what differs on its two sides is not known yet.
    Line,
    /// In half, to follow a slope or an arc.
    Half,
}

/// What to do with a column after a look at it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Divide it and look again, if it can be divided.
    Closer,
    /// It has said all it can.
    Enough,
    /// The question is answered.
    Done,
}

/// How finely to follow slopes and arcs, and between which coordinates along the axis what happens matters.
#[derive(Clone, Copy, Debug)]
pub struct Sight {
    /// The axis of the columns.
    pub axis: Axis,
    /// Removals outside this interval of the axis are passed over.
    pub reach: Span,
    /// Half a column is never narrower than half of this, save at the exact lines of the cuts.
    pub fine: Length,
}

impl Sight {
    /// All along an axis.
    pub const fn along(axis: Axis) -> Self {
        let far = Length::from_nm(i64::MAX / 4);
        Self { axis, reach: [Length::from_nm(-far.nm()), far], fine: FINE }
    }
}

/// Looks at what two solids fill over the rectangle that `window` has in the plane square to the axis.
pub fn scan(a: &Solid, b: &Solid, sight: Sight, window: [Span; 2], judge: &mut dyn FnMut(&Column) -> Look) {
    if window.iter().any(|[low, high]| *high - *low <= TOUCH) {
        return;
    }
    let scan = Scan { sight, blanks: [a.blank, b.blank].map(|s| s.along(sight.axis)) };
    let lists = [a, b].map(|s| {
        let within = |r: &&Removal| {
            let [low, high] = r.bounds.along(sight.axis);
            low < sight.reach[1] && high > sight.reach[0] && scan.touches(r, window)
        };
        s.removals.iter().filter(within).collect::<List<'_>>()
    });
    let mut column = Column { rect: window, a: Filled::default(), b: Filled::default(), division: None };
    let _ = scan.look(window, &lists, &mut column, judge);
}

/// The rectangle that two boxes have in common in the plane square to an axis, if it has any width and height.
pub fn shadow(a: &Box3, b: &Box3, axis: Axis) -> Option<[Span; 2]> {
    let (u, v) = axis.others();
    let both = |axis| {
        let ([a0, a1], [b0, b1]) = (a.along(axis), b.along(axis));
        [a0.max(b0), a1.min(b1)]
    };
    let window = [both(u), both(v)];
    window.iter().all(|[low, high]| *high - *low > TOUCH).then_some(window)
}

struct Scan {
    sight: Sight,
    blanks: [Span; 2],
}

/// Where to divide a rectangle.
#[derive(Clone, Copy, Debug)]
enum Split {
    /// Along a line of a cut: which interval, and where.
    At(usize, Length),
    /// In half: which interval, and how wide it is.
    Half(usize, Length),
    /// Nowhere yet: a slope or an arc is to be followed first.
    Follow,
}

/// What a removal does to a column.
enum Taken {
    Nothing,
    All(Span),
    /// Somewhere in the rectangle this; and how to learn more.
    Perhaps(Span, Option<Split>),
    /// In the rectangle these intervals across it; and how to learn more.
    Strips(Covered, Option<Split>),
}

impl Scan {
    fn look(
        &self,
        rect: [Span; 2],
        lists: &[List<'_>; 2],
        column: &mut Column,
        judge: &mut dyn FnMut(&Column) -> Look,
    ) -> ControlFlow<()> {
        // Slopes and arcs are only followed where their bounds do not settle it.
        let mut split = self.fill(column, rect, lists, false);
        let mut said = judge(column);
        if said == Look::Closer && split.is_some_and(|s| matches!(s, Split::Follow)) {
            split = self.fill(column, rect, lists, true);
            said = judge(column);
        }
        match (said, split) {
            (Look::Done, _) => ControlFlow::Break(()),
            (Look::Closer, Some(split)) => {
                let (k, at) = match split {
                    Split::At(k, at) => (k, at),
                    Split::Half(k, wide) => (k, rect[k][0] + wide.half()),
                    Split::Follow => return ControlFlow::Continue(()),
                };
                for half in [[rect[k][0], at], [at, rect[k][1]]] {
                    if half[1] - half[0] > TOUCH {
                        let mut part = rect;
                        part[k] = half;
                        let left = lists
                            .each_ref()
                            .map(|list| list.iter().copied().filter(|r| self.touches(r, part)).collect::<List<'_>>());
                        self.look(part, &left, column, judge)?;
                    }
                }
                ControlFlow::Continue(())
            }
            _ => ControlFlow::Continue(()),
        }
    }

    /// Writes what both fill over a rectangle, and says where to divide it to know better.
    fn fill(&self, column: &mut Column, rect: [Span; 2], lists: &[List<'_>; 2], follow: bool) -> Option<Split> {
        let mut split = None;
        column.rect = rect;
        for (side, filled) in [&mut column.a, &mut column.b].into_iter().enumerate() {
            for spans in [&mut filled.most, &mut filled.least] {
                spans.clear();
                spans.push(self.blanks[side]);
            }
            for &removal in &lists[side] {
                match self.taken(removal, rect, follow) {
                    Taken::Nothing => {}
                    Taken::All(span) => {
                        subtract(&mut filled.most, span);
                        subtract(&mut filled.least, span);
                    }
                    Taken::Perhaps(span, next) => {
                        subtract(&mut filled.least, span);
                        split = better(split, next);
                    }
                    Taken::Strips(covered, next) => {
                        covered.perhaps.into_iter().for_each(|s| subtract(&mut filled.least, exact(s)));
                        covered.surely.into_iter().for_each(|s| subtract(&mut filled.most, exact(s)));
                        split = better(split, next);
                    }
                }
            }
        }
        column.division = split.map(|s| if matches!(s, Split::Half(..)) { Division::Half } else { Division::Line });
        split
    }

    /// Whether a removal reaches over a rectangle of the plane.
    fn touches(&self, removal: &Removal, rect: [Span; 2]) -> bool {
        let (u, v) = self.sight.axis.others();
        let (pu, pv) = (removal.bounds.along(u), removal.bounds.along(v));
        pu[1] > rect[0][0] && pu[0] < rect[0][1] && pv[1] > rect[1][0] && pv[0] < rect[1][1]
    }

    fn taken(&self, removal: &Removal, rect: [Span; 2], follow: bool) -> Taken {
        let axis = self.sight.axis;
        let (u, v) = axis.others();
        let plane = [u, v].map(|axis| removal.bounds.along(axis));
        let span = removal.bounds.along(axis);
        let cut_off = (0..2).find_map(|k| plane[k].into_iter().find(|x| inside(*x, rect[k])).map(|x| Split::At(k, x)));
        if let Some(split) = cut_off {
            return Taken::Perhaps(span, Some(split));
        }
        let Some([section, turned]) = &removal.section else { return Taken::All(span) };
        if !follow {
            return Taken::Perhaps(span, Some(Split::Follow));
        }
        if removal.axis == axis {
            let mm = rect.map(|s| s.map(Length::mm));
            return match section.lie(mm) {
                Lie::Over => Taken::All(span),
                Lie::Off => Taken::Nothing,
                Lie::Across => {
                    let split = section.line_in(mm).map(|(k, x)| (k, Length::from_mm(x)));
                    let split = split.filter(|(k, x)| inside(*x, rect[*k])).map(|(k, x)| Split::At(k, x));
                    let longer = usize::from(rect[1][1] - rect[1][0] > rect[0][1] - rect[0][0]);
                    Taken::Perhaps(span, split.or_else(|| self.half(rect, longer)))
                }
            };
        }
        // The prism lies across the columns: its section says, along the other interval, what is taken.
        let k = usize::from(removal.axis == u);
        let (p, _) = removal.axis.others();
        let section = if [u, v][k] == p { section } else { turned };
        match section.strip(rect[k].map(Length::mm)) {
            Strip::Corner(x) => {
                let at = Length::from_mm(x);
                let split = if inside(at, rect[k]) { Some(Split::At(k, at)) } else { self.half(rect, k) };
                Taken::Perhaps(span, split)
            }
            Strip::Covered(covered) => {
                let even = covered.surely.iter().map(|s| exact(*s)).eq(covered.perhaps.iter().map(|s| exact(*s)));
                Taken::Strips(covered, if even { None } else { self.half(rect, k) })
            }
        }
    }

    fn half(&self, rect: [Span; 2], k: usize) -> Option<Split> {
        let wide = rect[k][1] - rect[k][0];
        (wide > self.sight.fine).then_some(Split::Half(k, wide))
    }
}

fn exact(mm: [f64; 2]) -> Span {
    mm.map(Length::from_mm)
}

fn inside(x: Length, [low, high]: Span) -> bool {
    low < x && x < high
}

/// Exact lines first, halves last, and of these the widest.
const fn better(a: Option<Split>, b: Option<Split>) -> Option<Split> {
    match (a, b) {
        (Some(Split::At(..)), _) | (_, None) => a,
        (Some(Split::Half(_, wide)), Some(Split::Half(_, other))) if wide.nm() >= other.nm() => a,
        (Some(Split::Follow), Some(Split::Half(..))) => a,
        _ => b,
    }
}

/// Takes an interval out of intervals in order.
fn subtract(from: &mut Spans, [low, high]: Span) {
    let mut i = 0;
    while i < from.len() {
        let [a, b] = from[i];
        if high <= a || b <= low {
            i += 1;
            continue;
        }
        match (a < low, high < b) {
            (true, true) => {
                from[i] = [a, low];
                from.insert(i + 1, [high, b]);
                return;
            }
            (true, false) => from[i] = [a, low],
            (false, true) => from[i] = [high, b],
            (false, false) => {
                from.remove(i);
                continue;
            }
        }
        i += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::mm;
    use smallvec::smallvec;

    #[test]
    fn intervals_are_taken_out() {
        let mut s: Spans = smallvec![[mm(0), mm(10)], [mm(20), mm(30)]];
        subtract(&mut s, [mm(4), mm(6)]);
        assert_eq!(s.as_slice(), [[mm(0), mm(4)], [mm(6), mm(10)], [mm(20), mm(30)]]);
        subtract(&mut s, [mm(5), mm(25)]);
        assert_eq!(s.as_slice(), [[mm(0), mm(4)], [mm(25), mm(30)]]);
        subtract(&mut s, [mm(-5), mm(50)]);
        assert!(s.is_empty());
    }
}
