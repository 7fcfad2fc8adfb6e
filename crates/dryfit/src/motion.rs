//! Straight moves: whether a solid can be slid along an axis past another that stays where it is.
//!
//! Slopes and arcs are followed down to [`crate::columns::FINE`]; a move is only said to be blocked where it surely is.

use case::{Axis, Box3, Dir};
use measure::Length;

use crate::columns::{Filled, Look, Sight, Span, Spans, TOUCH, scan, shadow};
use crate::solid::Solid;

/// Whether `b`, which stays, keeps `a` from being drawn away along an axis, however far: towards lesser coordinates,
/// and towards greater ones.
pub fn blocked(a: &Solid, b: &Solid, axis: Axis) -> [bool; 2] {
    let mut found = [false; 2];
    let ahead = ahead(a.blank.along(axis), b.blank.along(axis));
    let Some(window) = shadow(&a.blank, &b.blank, axis).filter(|_| ahead != [false; 2]) else { return found };
    scan(a, b, Sight::along(axis), window, &mut |column| {
        let most = hulls(&column.a.most, &column.b.most).map_or([false; 2], |[a, b]| self::ahead(a, b));
        if !(0..2).any(|k| most[k] && !found[k]) {
            return Look::Enough;
        }
        let least = hulls(&column.a.least, &column.b.least).map_or([false; 2], |[a, b]| self::ahead(a, b));
        found = [found[0] || least[0], found[1] || least[1]];
        if (0..2).all(|k| found[k] || !ahead[k]) {
            Look::Done
        } else if least == most {
            Look::Enough
        } else {
            Look::Closer
        }
    });
    found
}

/// Whether something of `b` lies before `a`, below and above.
fn ahead(a: Span, b: Span) -> [bool; 2] {
    [a[1] > b[0] + TOUCH, a[0] < b[1] - TOUCH]
}

fn hulls(a: &[Span], b: &[Span]) -> Option<[Span; 2]> {
    let hull = |s: &[Span]| Some([s.first()?[0], s.last()?[1]]);
    Some([hull(a)?, hull(b)?])
}

/// Whether `a` runs into `b`, which stays, when it is moved from where it is by `travel`; without end if there is none.
pub fn strikes(a: &Solid, b: &Solid, towards: Dir, travel: Option<Length>) -> bool {
    let axis = towards.axis;
    let far = Length::from_nm(i64::MAX / 4);
    let travel = travel.unwrap_or(far);
    let swept = |[low, high]: Span| if towards.positive { [low, high + travel] } else { [low - travel, high] };
    let meet = |a: Span, b: Span| {
        let a = swept(a);
        a[1].min(b[1]) - a[0].max(b[0]) > TOUCH
    };
    let any = |a: &Filled, b: &Filled, which: fn(&Filled) -> &Spans| {
        which(a).iter().any(|p| which(b).iter().any(|q| meet(*p, *q)))
    };
    let Some(window) = shadow(&a.blank, &b.blank, axis) else { return false };
    if !meet(a.blank.along(axis), b.blank.along(axis)) {
        return false;
    }
    let mut struck = false;
    scan(a, b, Sight::along(axis), window, &mut |column| {
        if !any(&column.a, &column.b, |f| &f.most) {
            return Look::Enough;
        }
        if !any(&column.a, &column.b, |f| &f.least) {
            return Look::Closer;
        }
        struck = true;
        Look::Done
    });
    struck
}

/// How far a box must go towards a direction until it lies past another.
pub(crate) fn past(a: &Box3, b: &Box3, towards: Dir) -> Length {
    let ([a0, a1], [b0, b1]) = (a.along(towards.axis), b.along(towards.axis));
    if towards.positive { b1 - a0 } else { a1 - b0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Body, Removal};
    use case::PartId;
    use measure::mm;

    fn block(x: [i64; 2], y: [i64; 2], z: [i64; 2], cuts: &[Box3]) -> Solid {
        let removal = |b: &Box3| Removal { axis: Axis::X, bounds: *b, section: None };
        let blank = Box3::new(x.map(mm), y.map(mm), z.map(mm));
        Solid { body: Body::Part(PartId(1)), blank, removals: cuts.iter().map(removal).collect() }
    }

    /// A bolt in a blind hole leaves by its mouth alone; in a slot open above, by two ways.
    #[test]
    fn a_tenon_leaves_its_mortise_the_way_it_came() {
        let hole = Box3::new([mm(0), mm(30)], [mm(10), mm(20)], [mm(10), mm(20)]);
        let post = block([0, 50], [0, 30], [0, 100], &[hole]);
        let tenon = block([-200, 30], [10, 20], [10, 20], &[]);
        assert_eq!(blocked(&tenon, &post, Axis::X), [false, true]);
        assert_eq!(blocked(&post, &tenon, Axis::X), [true, false]);
        assert_eq!(blocked(&tenon, &post, Axis::Y), [true, true]);
        assert_eq!(blocked(&tenon, &post, Axis::Z), [true, true]);
        let slot = Box3::new([mm(0), mm(30)], [mm(10), mm(20)], [mm(10), mm(100)]);
        let post = block([0, 50], [0, 30], [0, 100], &[slot]);
        assert_eq!(blocked(&tenon, &post, Axis::Z), [true, false]);
        assert!(!strikes(&tenon, &post, Dir::NX, None));
        assert!(strikes(&tenon, &post, Dir::PX, Some(mm(1))));
    }

    #[test]
    fn a_short_move_stops_short() {
        let (a, b) = (block([0, 10], [0, 10], [0, 10], &[]), block([30, 40], [5, 15], [0, 10], &[]));
        assert!(!strikes(&a, &b, Dir::PX, Some(mm(20))));
        assert!(strikes(&a, &b, Dir::PX, Some(mm(21))));
        assert!(!strikes(&a, &b, Dir::NX, None));
        assert_eq!(past(&a.blank, &b.blank, Dir::PX), mm(40));
        assert_eq!(past(&a.blank, &b.blank, Dir::NX), mm(-20));
    }
}
