//! The order of assembly, found by taking the piece apart: what can be drawn off straight comes off, and the rest is
//! taken apart in its turn. Read backward that is a sequence of straight insertions which closes nothing off too early.
//!
//! Only the joints and the solids are asked. What is not glued is taken off first, so that it goes on last; then one
//! part before several; of several, those that part most glued joints at once, so that frames are glued up whole.

use case::{Case, Dir, JointId, JointKind, PartId, Role};
use measure::Length;

use crate::bench::{Bench, Set};
use crate::motion::{past, strikes};
use crate::solid::{Body, Solid};

/// One straight move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Leg {
    /// The way.
    pub towards: Dir,
    /// How far; without end if there is none.
    pub travel: Option<Length>,
}

/// One step of the assembly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What moves, as one.
    pub moves: Vec<Body>,
    /// What it joins, already together.
    pub onto: Vec<Body>,
    /// How it moves home; the first leg comes from afar.
    pub legs: Vec<Leg>,
    /// The joints that it closes.
    pub joints: Vec<JointId>,
    /// One of them is glued.
    pub glued: bool,
}

/// Bodies that no straight move takes apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stuck(pub Vec<Body>);

/// The order of assembly of a case, its doors first, then the case, then the doors into it. Loose shelves are left out:
/// they go in by another way than straight.
///
/// # Errors
/// What cannot be taken apart.
pub fn order(case: &Case, solids: &[Solid]) -> Result<Vec<Step>, Stuck> {
    let shelves = loose_shelves(case);
    // With their edgings, which are glued on before.
    let edgings = case.edgings().filter(|(shelf, _)| shelves.contains(shelf)).map(|(_, edging)| edging);
    let loose: Vec<Body> = shelves.iter().copied().chain(edgings).map(Body::Part).collect();
    let of = |s: &Solid| match s.body {
        Body::Part(id) => case.part(id).assembly.as_str(),
        Body::Pane(i) => case.panes[i].assembly.as_str(),
    };
    let mut names: Vec<&str> = Vec::new();
    for name in solids.iter().map(of).filter(|name| *name != "case") {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let members = |name: &str| -> Vec<usize> {
        (0..solids.len()).filter(|i| of(&solids[*i]) == name && !loose.contains(&solids[*i].body)).collect()
    };
    let mut steps = Vec::new();
    for name in &names {
        let bench = Bench::new(case, solids, members(name).into_iter().map(|i| vec![i]).collect());
        Taker { case, bench: &bench }.take_apart(bench.all(), &mut steps)?;
    }
    let units = members("case").into_iter().map(|i| vec![i]).chain(names.iter().map(|name| members(name)));
    let bench = Bench::new(case, solids, units.collect());
    Taker { case, bench: &bench }.take_apart(bench.all(), &mut steps)?;
    Ok(steps)
}

/// The shelves that lie on pins.
pub(crate) fn loose_shelves(case: &Case) -> Vec<PartId> {
    let pins = case.joints.iter().filter(|j| j.kind == JointKind::Pins);
    pins.filter_map(|j| j.parts.last().copied()).collect()
}

/// A way to take something off: which units, and how.
struct Way {
    units: Set,
    legs: Vec<Leg>,
}

struct Taker<'a> {
    case: &'a Case,
    bench: &'a Bench<'a>,
}

impl Taker<'_> {
    /// Takes a set of units apart and writes down, in the order of assembly, how it goes together.
    fn take_apart(&self, set: Set, steps: &mut Vec<Step>) -> Result<(), Stuck> {
        let mut rest = set;
        let mut off = Vec::new();
        while rest.list.len() > 1 {
            let Some(Way { units, legs }) = self.way(&rest) else { return Err(Stuck(self.bodies(&rest))) };
            let onto = rest.without(&units);
            let parting = self.bench.parting(&units, &rest);
            let step = Step {
                moves: self.bodies(&units),
                onto: self.bodies(&onto),
                legs: legs.iter().rev().map(|l| Leg { towards: l.towards.opposite(), ..*l }).collect(),
                joints: parting.iter().map(|t| t.joint).collect(),
                glued: parting.iter().any(|t| !t.dry),
            };
            let mut inner = Vec::new();
            self.take_apart(units, &mut inner)?;
            off.push((inner, step));
            rest = onto;
        }
        for (inner, step) in off.into_iter().rev() {
            steps.extend(inner);
            steps.push(step);
        }
        Ok(())
    }

    fn bodies(&self, set: &Set) -> Vec<Body> {
        let solids = set.list.iter().flat_map(|u| &self.bench.units[*u]);
        let mut all: Vec<Body> = solids.map(|s| self.bench.solids[*s].body).collect();
        all.sort();
        all
    }

    fn way(&self, set: &Set) -> Option<Way> {
        let mut singles = set.list.clone();
        singles.sort_by_cached_key(|u| self.rank(*u, set));
        for unit in singles {
            let straight = self.ways(unit, set).into_iter().find(|d| self.bench.free(unit, set, *d));
            let legs = match straight {
                Some(towards) => Some(vec![Leg { towards, travel: None }]),
                None => self.around(unit, set),
            };
            if let Some(legs) = legs {
                return Some(Way { units: Set::new(vec![unit], self.bench.units.len()), legs });
            }
        }
        self.groups(set)
    }

    /// The best way to take several off together: of those that part most glued joints, the one after which both halves
    /// come apart with the fewest parts that close several glued joints at once.
    fn groups(&self, set: &Set) -> Option<Way> {
        let mut ways: Vec<(usize, Way)> = Vec::new();
        for towards in [Dir::PX, Dir::NX, Dir::PY, Dir::NY, Dir::PZ, Dir::NZ] {
            for &unit in &set.list {
                let mut units = self.bench.following(unit, set, towards);
                units.list.sort_unstable();
                if units.list.len() == set.list.len() || ways.iter().any(|(_, w)| w.units.list == units.list) {
                    continue;
                }
                let glued = self.bench.parting(&units, set).iter().filter(|t| !t.dry).count();
                ways.push((glued, Way { units, legs: vec![Leg { towards, travel: None }] }));
            }
        }
        let most = ways.iter().map(|(glued, _)| *glued).max()?;
        ways.retain(|(glued, _)| *glued == most);
        if ways.len() == 1 {
            return ways.pop().map(|(_, way)| way);
        }
        let glued = |step: &Step| step.joints.iter().filter(|j| !self.case.joints[j.0 as usize - 1].dry).count();
        let cost = |way: &Way| {
            let mut steps = Vec::new();
            let halves = [way.units.clone(), set.without(&way.units)];
            let apart = halves.into_iter().all(|half| self.take_apart(half, &mut steps).is_ok());
            let alone = steps.iter().filter(|s| s.moves.len() == 1).map(glued);
            (!apart, alone.filter(|n| *n > 1).sum::<usize>())
        };
        let costs: Vec<_> = ways.iter().map(|(_, way)| cost(way)).collect();
        let best = (0..ways.len()).min_by_key(|i| costs[*i])?;
        Some(ways.swap_remove(best).1)
    }

    /// In which order units are tried on their own: those with the fewest glued joints first, of the dry ones what goes
    /// on last, and what moves home before what receives it.
    fn rank(&self, unit: usize, set: &Set) -> (usize, usize, usize) {
        let glued = self.bench.joints(unit, set).filter(|t| !t.dry).count();
        let receives = self.bench.joints(unit, set).filter(|t| t.mover != unit).count();
        let goes_on = match self.bench.units[unit].as_slice() {
            [one] => match self.bench.solids[*one].body {
                Body::Part(id) => match self.case.part(id).role {
                    Role::Bead => 1,
                    Role::Back => 3,
                    Role::Button => 4,
                    Role::Top => 5,
                    _ => 6,
                },
                Body::Pane(_) => 2,
            },
            // A door.
            _ => 0,
        };
        (glued, goes_on, receives)
    }

    /// The six ways, those first by which the unit's own joints open, then those by which it leaves what it receives.
    fn ways(&self, unit: usize, set: &Set) -> Vec<Dir> {
        let mut ways: Vec<Dir> = Vec::new();
        let joints = || self.bench.joints(unit, set);
        let own = joints().filter(|t| t.mover == unit).filter_map(|t| t.home.map(Dir::opposite));
        let received = joints().filter(|t| t.mover != unit).filter_map(|t| t.home);
        for d in own.chain(received).chain([Dir::PZ, Dir::PX, Dir::NX, Dir::NY, Dir::PY, Dir::NZ]) {
            if !ways.contains(&d) {
                ways.push(d);
            }
        }
        ways
    }

    /// A way out round corners, for one unit whose joints all open one way: that way first, as far as it takes to be
    /// clear of something, then others.
    fn around(&self, unit: usize, set: &Set) -> Option<Vec<Leg>> {
        let mut joints = self.bench.joints(unit, set);
        let home = joints.next().filter(|t| t.mover == unit)?.home?;
        if !joints.all(|t| t.mover == unit && t.home == Some(home)) {
            return None;
        }
        let others = set.list.iter().filter(|other| **other != unit);
        let others: Vec<&Solid> =
            others.flat_map(|other| &self.bench.units[*other]).map(|s| &self.bench.solids[*s]).collect();
        let moving: Vec<Solid> = self.bench.units[unit].iter().map(|s| self.bench.solids[*s].clone()).collect();
        out(&moving, &others, &[home.opposite()], 3)
    }
}

/// Straight moves that lead some solids away from others, at most `legs` of them, the first one of `first`.
fn out(moving: &[Solid], others: &[&Solid], first: &[Dir], legs: usize) -> Option<Vec<Leg>> {
    let struck = |towards: Dir, travel: Option<Length>| -> Vec<&Solid> {
        let hit = |o: &&&Solid| moving.iter().any(|m| strikes(m, o, towards, travel));
        others.iter().filter(hit).copied().collect()
    };
    if let Some(towards) = first.iter().copied().find(|d| struck(*d, None).is_empty()) {
        return Some(vec![Leg { towards, travel: None }]);
    }
    if legs == 1 {
        return None;
    }
    for &towards in first {
        // Only to be clear of something that stands in another way is it worth stopping.
        let turns: Vec<Dir> = Dir::ALL.into_iter().filter(|d| d.axis != towards.axis).collect();
        let whole = moving.iter().map(|m| m.blank).reduce(|a, b| a.union(&b))?;
        let mut stops: Vec<Length> = turns
            .iter()
            .flat_map(|turn| struck(*turn, None))
            .map(|o| past(&whole, &o.blank, towards))
            .filter(|travel| *travel > Length::ZERO)
            .collect();
        stops.sort_unstable();
        stops.dedup();
        for travel in stops {
            if !struck(towards, Some(travel)).is_empty() {
                break;
            }
            let mut by = [Length::ZERO; 3];
            by[towards.axis.index()] = travel * towards.sign();
            // Out of its joint, a part is as good as its box.
            let there: Vec<Solid> = moving.iter().map(|m| Solid::block(m.body, m.blank).moved(by)).collect();
            if let Some(mut rest) = out(&there, others, &turns, legs - 1) {
                rest.insert(0, Leg { towards, travel: Some(travel) });
                return Some(rest);
            }
        }
    }
    None
}
