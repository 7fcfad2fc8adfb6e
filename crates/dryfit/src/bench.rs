//! The case on the bench: what moves as one, what holds what, and which way each can go.

use std::cell::RefCell;

use case::{Axis, Case, Dir, JointId, JointKind, PartId};

use crate::motion::blocked;
use crate::solid::{Body, Solid};

/// A joint between units of the bench.
#[derive(Clone, Debug)]
pub(crate) struct Tie {
    pub(crate) joint: JointId,
    pub(crate) kind: JointKind,
    /// Units that receive.
    pub(crate) onto: Vec<usize>,
    /// The unit that moves home.
    pub(crate) mover: usize,
    /// The way it moves home.
    pub(crate) home: Option<Dir>,
    pub(crate) dry: bool,
}

/// Units of a case, each one or more solids that move as one, and the joints between them.
pub(crate) struct Bench<'a> {
    pub(crate) solids: &'a [Solid],
    /// Indices of solids.
    pub(crate) units: Vec<Vec<usize>>,
    ties: Vec<Tie>,
    /// The ties of each unit.
    own: Vec<Vec<usize>>,
    /// By pair of units: the ways, a bit for each, that the first can go by the joints between them only if the second
    /// goes along.
    held: Vec<u8>,
    /// By pair of units and axis: the first is kept from going backward and forward by the second.
    known: RefCell<Vec<Option<[bool; 2]>>>,
}

/// Some of the units of a bench.
#[derive(Clone, Debug)]
pub(crate) struct Set {
    pub(crate) list: Vec<usize>,
    has: Vec<bool>,
}

impl Set {
    pub(crate) fn new(list: Vec<usize>, of: usize) -> Self {
        let mut has = vec![false; of];
        list.iter().for_each(|u| has[*u] = true);
        Self { list, has }
    }

    pub(crate) fn has(&self, unit: usize) -> bool {
        self.has[unit]
    }

    pub(crate) fn without(&self, gone: &Self) -> Self {
        Self::new(self.list.iter().copied().filter(|u| !gone.has(*u)).collect(), self.has.len())
    }
}

impl<'a> Bench<'a> {
    /// Lays units out with the joints between them.
    pub(crate) fn new(case: &Case, solids: &'a [Solid], units: Vec<Vec<usize>>) -> Self {
        let n = units.len();
        let mut of_part = vec![None; case.parts.len() + 1];
        for (u, unit) in units.iter().enumerate() {
            for s in unit {
                if let Body::Part(PartId(id)) = solids[*s].body {
                    of_part[id as usize] = Some(u);
                }
            }
        }
        let of = |part: &PartId| of_part[part.0 as usize];
        let tie = |j: &case::Joint| {
            let (last, others) = j.parts.split_last()?;
            let mover = of(last)?;
            let onto: Vec<usize> = others.iter().filter_map(of).filter(|u| *u != mover).collect();
            let tie = Tie { joint: j.id, kind: j.kind, onto, mover, home: j.insertion, dry: j.dry };
            (!tie.onto.is_empty()).then_some(tie)
        };
        let ties: Vec<Tie> = case.joints.iter().filter_map(tie).collect();
        let mut own = vec![Vec::new(); n];
        let mut held = vec![0; n * n];
        for (i, t) in ties.iter().enumerate() {
            own[t.mover].push(i);
            let (out, back) = t.ways_closed();
            for &o in &t.onto {
                own[o].push(i);
                held[t.mover * n + o] |= out;
                held[o * n + t.mover] |= back;
            }
        }
        Self { solids, units, ties, own, held, known: RefCell::new(vec![None; n * n * 3]) }
    }

    /// All its units.
    pub(crate) fn all(&self) -> Set {
        Set::new((0..self.units.len()).collect(), self.units.len())
    }

    /// Whether a unit can go a way only if another goes with it: because the other stands in its way, or because the
    /// joint between them opens otherwise.
    pub(crate) fn takes(&self, unit: usize, other: usize, towards: Dir) -> bool {
        self.held[unit * self.units.len() + other] & bit(towards) != 0 || self.in_the_way(unit, other, towards)
    }

    fn in_the_way(&self, unit: usize, other: usize, towards: Dir) -> bool {
        let (a, b) = (unit.min(other), unit.max(other));
        let slot = (a * self.units.len() + b) * 3 + towards.axis.index();
        let known = self.known.borrow()[slot];
        let found = known.unwrap_or_else(|| {
            let found = self.between(a, b, towards.axis);
            self.known.borrow_mut()[slot] = Some(found);
            found
        });
        // If one is kept from going forward, the other is kept from going backward.
        found[usize::from((unit == a) == towards.positive)]
    }

    fn between(&self, a: usize, b: usize, axis: Axis) -> [bool; 2] {
        let mut found = [false; 2];
        for &i in &self.units[a] {
            for &j in &self.units[b] {
                let here = blocked(&self.solids[i], &self.solids[j], axis);
                found = [found[0] || here[0], found[1] || here[1]];
                if found == [true; 2] {
                    return found;
                }
            }
        }
        found
    }

    /// Whether a unit can go a way and leave the rest of a set behind.
    pub(crate) fn free(&self, unit: usize, set: &Set, towards: Dir) -> bool {
        set.list.iter().all(|other| *other == unit || !self.takes(unit, *other, towards))
    }

    /// The units of a set that must go along when one goes a way, itself first.
    pub(crate) fn following(&self, unit: usize, set: &Set, towards: Dir) -> Set {
        let mut along = Set::new(vec![unit], self.units.len());
        let mut next = 0;
        while next < along.list.len() {
            for &other in &set.list {
                if !along.has(other) && self.takes(along.list[next], other, towards) {
                    along.list.push(other);
                    along.has[other] = true;
                }
            }
            next += 1;
        }
        along
    }

    /// The joints of one unit with others of a set.
    pub(crate) fn joints(&self, unit: usize, set: &Set) -> impl Iterator<Item = &Tie> {
        let own = self.own[unit].iter().map(|i| &self.ties[*i]);
        own.filter(move |t| if t.mover == unit { t.onto.iter().any(|u| set.has(*u)) } else { set.has(t.mover) })
    }

    /// The joints that part when some units of a set leave the rest.
    pub(crate) fn parting(&self, moved: &Set, set: &Set) -> Vec<&Tie> {
        let parts =
            |t: &&Tie| set.has(t.mover) && t.onto.iter().any(|u| set.has(*u) && moved.has(*u) != moved.has(t.mover));
        let mut found: Vec<usize> = moved.list.iter().flat_map(|u| self.own[*u].iter().copied()).collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|i| &self.ties[i]).filter(parts).collect()
    }
}

const fn bit(d: Dir) -> u8 {
    1 << (d.axis.index() * 2 + d.positive as usize)
}

impl Tie {
    /// The ways, a bit for each, that the mover cannot go without what receives it, and the other way about.
    fn ways_closed(&self) -> (u8, u8) {
        let but = |way: Option<Dir>| way.map_or(0, |way| 0b11_1111 & !bit(way));
        // What is glued comes out as it went in.
        let glued = |way| if self.dry { 0 } else { but(way) };
        let (out, back) = (glued(self.home.map(Dir::opposite)), glued(self.home));
        // What a peg, a screw or a pin holds cannot be taken away while that is in place, whichever way it goes.
        let holds = matches!(
            self.kind,
            JointKind::Peg | JointKind::Button | JointKind::Face | JointKind::Hinge | JointKind::Pins
        );
        (out, if holds { 0b11_1111 } else { back })
    }
}
