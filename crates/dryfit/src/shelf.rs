//! Loose shelves: how each is lifted off its pins and brought out between the posts and past the open doors.
//!
//! A shelf that passes as it lies is drawn straight out. One that is longer than the way is wide is tipped in its own
//! place, one end up and the other down, until it is short enough, and then drawn out; the pins under the end that
//! goes down are pulled first. What lies beside it, above it and below it is asked of the solids. Shelves that are in
//! the way of others come out before them.

use case::{Axis, Box3, Case, Dir, PartId, Purpose};
use measure::Length;

use crate::check::{Fit, Found, Rule};
use crate::columns::TOUCH;
use crate::motion::strikes;
use crate::order::loose_shelves;
use crate::solid::{Body, Solid};
use crate::swing::{OPEN, doors};

/// Room that a shelf must keep on each side while it is carried, in mm; common practice, no source.
const ROOM: f64 = 3.0;

/// How a loose shelf comes out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShelfWay {
    /// The shelf.
    pub shelf: PartId,
    /// How far it is lifted, or how high the space must be that it is tipped in, in mm.
    pub height: f64,
    /// The angle by which one end is tipped up, in degrees; 0 if it is drawn out as it lies.
    pub tip: f64,
}

/// Why a shelf does not come out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShelfShut {
    /// The shelf.
    pub shelf: PartId,
    /// The space from what lies below to what lies above, in mm.
    pub space: f64,
    /// The height that it takes to tip it far enough, in mm; nothing if it cannot be tipped at all.
    pub needed: Option<f64>,
}

/// How the loose shelves come out, in that order, and what keeps the others in.
pub fn ways_out(case: &Case, solids: &[Solid]) -> (Vec<ShelfWay>, Vec<ShelfShut>) {
    let mut inside = loose_shelves(case);
    let mut room = Room::new(case, solids, &inside);
    let mut out = Vec::new();
    loop {
        let tried: Vec<_> = inside.iter().rev().map(|id| room.way(*id)).collect();
        let Some(way) = tried.iter().find_map(|t| t.as_ref().ok().copied()) else {
            return (out, tried.into_iter().filter_map(Result::err).collect());
        };
        inside.retain(|id| *id != way.shelf);
        room.others.retain(|o| o.body != Body::Part(way.shelf));
        room.pins.retain(|(id, _)| *id != way.shelf);
        out.push(way);
    }
}

/// What stands about the shelves.
struct Room<'a> {
    case: &'a Case,
    /// Everything but the doors, and the edgings of the shelves.
    others: Vec<&'a Solid>,
    /// Under each shelf, the lowest point of its pins.
    pins: Vec<(PartId, Length)>,
    /// The way between open doors, in mm.
    between: [f64; 2],
}

impl<'a> Room<'a> {
    fn new(case: &'a Case, solids: &'a [Solid], shelves: &[PartId]) -> Self {
        let doors = doors(case, solids);
        let of_door = |i: usize| doors.iter().any(|d| d.solids.contains(&i));
        // An edging is no longer than the way between the posts and no thicker than its shelf, and goes with it.
        let glued: Vec<Body> =
            case.edgings().filter(|(s, _)| shelves.contains(s)).map(|(_, e)| Body::Part(e)).collect();
        let stands = |(i, s): &(usize, &Solid)| !of_door(*i) && !glued.contains(&s.body);
        let others = solids.iter().enumerate().filter(stands).map(|(_, s)| s).collect();
        let mut between = [f64::NEG_INFINITY, f64::INFINITY];
        for door in &doors {
            let reach = door.standing_in(solids, OPEN);
            if door.hung.positive {
                between[1] = between[1].min(door.pin[0] - reach);
            } else {
                between[0] = between[0].max(door.pin[0] + reach);
            }
        }
        let pins = shelves.iter().filter_map(|id| Some((*id, pins_of(case, *id).map(|p| p.low).min()?))).collect();
        Self { case, others, pins, between }
    }

    fn way(&self, id: PartId) -> Result<ShelfWay, ShelfShut> {
        let shelf = Solid::of_part(self.case.part(id));
        let [[x0, x1], [_, y1], [z0, z1]] = Axis::ALL.map(|a| shelf.blank.along(a));
        let others: Vec<&Solid> = self.others.iter().copied().filter(|o| o.body != shelf.body).collect();
        // Beside it, between the posts.
        let middle = x0 + (x1 - x0).half();
        let level = |o: &&&Solid| {
            let [low, high] = o.blank.along(Axis::Z);
            high.min(z1) - low.max(z0) > TOUCH
        };
        let mut between = self.between;
        for o in others.iter().filter(level) {
            let [low, high] = o.blank.along(Axis::X);
            if high <= middle {
                between[0] = between[0].max(high.mm());
            } else if low >= middle {
                between[1] = between[1].min(low.mm());
            }
        }
        // Above and below it, and on its way out to the front.
        let way = Box3::new([x0, x1], [Length::from_nm(i64::MIN / 4), y1], [z0, z1]);
        let (mut floor, mut ceiling) = (f64::NEG_INFINITY, f64::INFINITY);
        for o in &others {
            let apart = [Axis::X, Axis::Y].iter().any(|a| {
                let ([p0, p1], [q0, q1]) = (o.blank.along(*a), way.along(*a));
                p1.min(q1) - p0.max(q0) <= TOUCH
            });
            let [low, high] = o.blank.along(Axis::Z);
            if apart || self.beside(o, between) {
                continue;
            }
            if high <= z0 + TOUCH {
                floor = floor.max(high.mm());
            } else if low >= z1 - TOUCH {
                ceiling = ceiling.min(low.mm());
            }
        }
        let above = self.pins.iter().filter(|(other, low)| *other != id && *low > z0).map(|(_, low)| low.mm());
        ceiling = above.fold(ceiling, f64::min);
        let (long, thick) = ((x1 - x0).mm(), (z1 - z0).mm());
        let (wide, space) = (between[1] - between[0] - 2.0 * ROOM, ceiling - floor);
        let shut = |needed| ShelfShut { shelf: id, space, needed };
        let headroom = ceiling - z1.mm();
        if long <= between[1] - between[0] && x0.mm() >= between[0] - 1e-6 && x1.mm() <= between[1] + 1e-6 {
            let lift = ROOM.min(headroom);
            let lifted = shelf.moved([Length::ZERO, Length::ZERO, Length::from_mm(lift.max(0.0))]);
            let free = others.iter().all(|o| !strikes(&lifted, o, Dir::NY, None));
            return if headroom >= ROOM && free {
                Ok(ShelfWay { shelf: id, height: lift, tip: 0.0 })
            } else {
                Err(shut(None))
            };
        }
        // Tipped about its middle it first grows a little longer, to its diagonal.
        let diagonal = libm::hypot(long, thick);
        let growth = Length::from_mm((diagonal - long) / 2.0);
        let tips = [Dir::NX, Dir::PX].iter().all(|d| others.iter().all(|o| !strikes(&shelf, o, *d, Some(growth))));
        if !tips || wide <= 0.0 {
            return Err(shut(None));
        }
        let corner = libm::atan2(thick, long);
        let tip = corner + libm::acos((wide / diagonal).min(1.0));
        let needed = diagonal * libm::sin(tip + corner) + 2.0 * ROOM;
        if needed > space {
            return Err(shut(Some(needed)));
        }
        Ok(ShelfWay { shelf: id, height: needed, tip: tip.to_degrees() })
    }

    /// Whether something stands wholly beside the way between the posts: an end panel, an end rail.
    fn beside(&self, o: &Solid, between: [f64; 2]) -> bool {
        let [low, high] = o.blank.along(Axis::X).map(Length::mm);
        high <= between[0] + 1e-6 || low >= between[1] - 1e-6
    }
}

/// A pin under a shelf.
pub(crate) struct Pin {
    /// The post that it is in.
    pub(crate) post: PartId,
    /// The centre of its hole, on the post's face.
    pub(crate) at: case::Point,
    /// Its lowest and its highest point, as the hole says.
    pub(crate) low: Length,
    pub(crate) high: Length,
}

/// The pins of a shelf that have a hole in their post.
pub(crate) fn pins_of(case: &Case, shelf: PartId) -> impl Iterator<Item = Pin> + '_ {
    let pins = case.fittings.iter().filter(move |f| f.kind == "shelf pin" && f.parts.last() == Some(&shelf));
    pins.filter_map(|f| {
        let post = *f.parts.first()?;
        let part = case.part(post);
        let hole = part.cuts.iter().filter(|c| c.purpose == Purpose::PinHole).find_map(|c| {
            let b = part.placement.box_to_case(&c.bounds(part.size));
            let across = part.placement.dir_to_case(c.from).axis;
            let about = |axis: Axis| {
                let [low, high] = b.along(axis);
                axis == across || low + (high - low).half() == f.at[axis.index()]
            };
            Axis::ALL.into_iter().all(about).then(|| b.along(Axis::Z))
        })?;
        Some(Pin { post, at: f.at, low: hole[0], high: hole[1] })
    })
}

pub(crate) const SHELF_OUT: Rule = Rule {
    id: "shelf-out",
    asks: "Every loose shelf comes out to the front past the posts and the open doors: as it lies, or tipped with one end up.",
    why: "A shelf that cannot be got out cannot be got in either once the piece is together.",
    source: "geometry; 3 mm of room on each side is common practice, no source",
    check: shelf_out,
};

fn shelf_out(fit: &Fit<'_>, found: &mut Vec<Found>) {
    let (_, shut) = ways_out(fit.case, &fit.solids);
    if let Some(s) = shut.first() {
        let space = fit.show(Length::from_mm(s.space));
        let limit = match s.needed.map(|n| fit.show(Length::from_mm(n))) {
            None => "room to tip it".into(),
            // As the order's ruler reads them the two are the same.
            Some(needed) if needed == space => "a little more to tip it".into(),
            Some(needed) => format!("{needed} to tip it"),
        };
        found.push(Found {
            parts: shut.iter().map(|s| s.shelf).collect(),
            what: "the shelves cannot be got out past the posts and the open doors".into(),
            figure: format!("{space} of height"),
            limit,
            advice: "let the shelves lie between the posts, order fewer, or make the piece narrower or higher",
        });
    }
}
