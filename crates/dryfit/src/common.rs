//! Common volume: no two bodies of the case may share any.

use case::{Axis, Box3};
use measure::Length;

use crate::columns::{Look, Sight, Span, TOUCH, scan};
use crate::solid::Solid;

/// What two solids have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Common {
    /// The box that holds it.
    pub within: Box3,
    /// The least side of that box: how far one runs into the other.
    pub depth: Length,
    /// Its volume in mm³; where arcs bound it, a little less than the truth.
    pub volume: f64,
}

/// How finely a volume that should not be is measured: 0.25 mm at arcs and slopes.
const COARSE: Length = Length::from_nm(250_000);

/// Whether two solids share more than a touch, and what. Exact for square cuts; at slopes and arcs nothing thicker than
/// [`crate::columns::FINE`] goes unseen, and nothing is found that is not there.
pub fn common(a: &Solid, b: &Solid) -> Option<Common> {
    let both = a.blank.intersection(&b.blank)?;
    if both.size().into_iter().any(|s| s <= TOUCH) {
        return None;
    }
    let axis = axis(a, b, &both);
    let (u, v) = axis.others();
    let (window, reach) = ([both.along(u), both.along(v)], both.along(axis));
    let mut sight = Sight { axis, reach, ..Sight::along(axis) };
    let mut first = None;
    scan(a, b, sight, window, &mut |column| {
        if shared(&column.a.most, &column.b.most).is_none() {
            return Look::Enough;
        }
        let Some(span) = shared(&column.a.least, &column.b.least) else { return Look::Closer };
        first = Some(placed(axis, column.rect, span));
        Look::Done
    });
    let mut within = first?;
    sight.fine = COARSE;
    let mut volume = 0.0;
    scan(a, b, sight, window, &mut |column| {
        if column.division.is_some() {
            let any = shared(&column.a.most, &column.b.most).is_some();
            return if any { Look::Closer } else { Look::Enough };
        }
        let area: f64 = column.rect.iter().map(|[low, high]| (*high - *low).mm()).product();
        for span in overlaps(&column.a.least, &column.b.least) {
            volume += area * (span[1] - span[0]).mm();
            within = within.union(&placed(axis, column.rect, span));
        }
        Look::Enough
    });
    let depth = within.size().into_iter().min().unwrap_or_default();
    Some(Common { within, depth, volume })
}

/// The axis along which the columns are fewest: across every arc, and long.
fn axis(a: &Solid, b: &Solid, both: &Box3) -> Axis {
    let curved = |axis: Axis| {
        let here = |s: &Solid| {
            let near = s.removals.iter().filter(|r| r.section.is_some() && r.axis == axis);
            near.filter(|r| r.bounds.intersection(both).is_some()).count()
        };
        here(a) + here(b)
    };
    let rank = |axis: &Axis| (curved(*axis), -both.size()[axis.index()]);
    Axis::ALL.into_iter().min_by_key(rank).unwrap_or(Axis::Z)
}

fn placed(axis: Axis, rect: [Span; 2], span: Span) -> Box3 {
    let (u, v) = axis.others();
    let nothing = Box3 { min: [Length::ZERO; 3], max: [Length::ZERO; 3] };
    nothing.with(u, rect[0]).with(v, rect[1]).with(axis, span)
}

/// The first interval, thicker than a touch, that two lists have in common.
fn shared(a: &[Span], b: &[Span]) -> Option<Span> {
    overlaps(a, b).next()
}

fn overlaps<'a>(a: &'a [Span], b: &'a [Span]) -> impl Iterator<Item = Span> + 'a {
    let both = a.iter().flat_map(move |p| b.iter().map(move |q| [p[0].max(q[0]), p[1].min(q[1])]));
    both.filter(|[low, high]| *high - *low > TOUCH)
}
