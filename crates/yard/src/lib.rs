//! The wood yard: from the cut list to the boards. Rough sizes, what stands in the rack, how the pieces lie on it, what is
//! short, and what to buy.
//!
//! Reads the parts of a [`case::Case`], its [`takeoff::Takeoff`] and a stock file, and asks `stock` for the layouts. Time
//! is the caller's affair: [`plan`] does a fixed amount of work and gives the same plan every time, and a caller who has
//! more time lets [`Plan::improve`] go on where a bound says that there is something to be won.

pub mod allowance;
mod buy;
mod csv;
mod finding;
mod lay;
mod page;
mod rack;
mod rough;
mod sheets;
mod shows;

use case::{Case, Finding, Material};
use measure::{Length, Unit};
pub use stock::{Area, Fate, Region};
use stock::{Limits, Progress};

use allowance::Allowances;
pub use buy::{Bought, Buying, FINISH, Finish};
pub use csv::{buying_list, rough_list};
pub use lay::{Cutting, GivenUp, Placed, Sawn};
pub use page::{buying_page, rough_page};
pub use rack::{Rack, Sawing, Stack};
pub use rough::{RoughLine, Stock};
pub use sheets::{label_sheets, layout_sheets};

/// Work on the layout of one material and thickness, in the steps of [`stock::Limits`]: a good layout in a few hundredths
/// of a second.
const WORK: u64 = 6_000_000;

/// The limits of a plan that comes at once and is always the same. Two threads whatever the machine has, since their number
/// is part of what decides the answer.
pub const fn limits() -> Limits<'static> {
    Limits { threads: 2, ..Limits::work(WORK) }
}

/// Everything that is sawn, and from what.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The stock file, if there is one.
    pub rack: Option<Rack>,
    /// How boards are sawn.
    pub sawing: Sawing,
    /// The unit of its allowances.
    pub unit: Unit,
    /// By material and thickness, solid wood first.
    pub groups: Vec<Group>,
}

/// The pieces of one material that are sawn from boards or sheets of one thickness.
#[derive(Clone, Debug)]
pub struct Group {
    batch: rough::Batch,
    laid: lay::Attempt,
}

/// How much must stay free on every side of a finished sheet part so thick, where a router cuts it out of the sheet;
/// nothing where it is sawn out.
pub type Around<'a> = &'a dyn Fn(Length) -> Option<Length>;

/// For a shop that saws all its sheet parts out.
pub const SAWN_OUT: Around<'static> = &|_| None;

/// Makes the plan, with `limits` of work for each layout that is tried.
pub fn plan(case: &Case, rack: Option<&Rack>, around: Around<'_>, limits: &Limits<'_>) -> Plan {
    let takeoff = takeoff::take_off(case);
    let unit = case.order.unit;
    let allowances = Allowances::of(unit);
    let sawing = rack.map_or_else(|| Sawing::of(unit), |rack| rack.sawing);
    let lay = |batch: &rough::Batch, stacks: &[Stack]| {
        let widths = lay::widths(stacks, &sawing, allowances);
        let tried = widths
            .into_iter()
            .map(|widest| lay::attempt(batch, stacks, &sawing, (widest, None), allowances, limits, &mut |_| {}));
        tried.min_by_key(lay::Attempt::rank)
    };
    let batches = rough::batches(case, &takeoff, rack, around, allowances);
    let mut shelf = Shelf::of(rack, &batches, allowances);
    // The thickest first: what they leave may serve for thinner parts.
    let mut groups = Vec::new();
    for (i, batch) in batches.into_iter().enumerate().rev() {
        let Some(mut laid) = lay(&batch, &shelf.own(i)) else { continue };
        if laid.missing.iter().any(|m| !m.is_empty()) {
            let more = shelf.all(&batch, i, allowances);
            if more.len() > laid.stacks.len()
                && let Some(other) = lay(&batch, &more)
                && other.rank() < laid.rank()
            {
                laid = other;
            }
        }
        shelf.take(&laid.cuttings);
        groups.push(Group { batch, laid });
    }
    groups.reverse();
    Plan { rack: rack.cloned(), sawing, unit, groups }
}

/// What is still at hand while a plan is made, and the batch that each stack is for: of those that it suits the one which
/// needs the most of its thickness.
struct Shelf(Vec<(Stack, Option<usize>)>);

impl Shelf {
    fn of(rack: Option<&Rack>, batches: &[rough::Batch], allowances: &Allowances) -> Self {
        let stacks = rack.into_iter().flat_map(|rack| &rack.stacks);
        let owner = |stack: &Stack| {
            let suited = (0..batches.len()).filter(|&b| batches[b].suits(stack, allowances));
            suited.max_by_key(|&b| batches[b].needs)
        };
        Self(stacks.map(|stack| (stack.clone(), owner(stack))).collect())
    }

    fn own(&self, batch: usize) -> Vec<Stack> {
        self.left().filter(|(_, owner)| *owner == Some(batch)).map(|(stack, _)| stack.clone()).collect()
    }

    /// Its own, and what thicker parts have left.
    fn all(&self, batch: &rough::Batch, index: usize, allowances: &Allowances) -> Vec<Stack> {
        let suits = |(stack, owner): &&(Stack, Option<usize>)| {
            owner.is_some_and(|owner| owner >= index) && batch.suits(stack, allowances)
        };
        self.left().filter(suits).map(|(stack, _)| stack.clone()).collect()
    }

    fn left(&self) -> impl Iterator<Item = &(Stack, Option<usize>)> {
        self.0.iter().filter(|(stack, _)| stack.count > 0)
    }

    fn take(&mut self, cuttings: &[Cutting]) {
        for cutting in cuttings.iter().filter(|c| !c.bought) {
            if let Some((stack, _)) = self.0.iter_mut().find(|(stack, _)| stack.id == cutting.board.id) {
                stack.count = stack.count.saturating_sub(1);
            }
        }
    }
}

impl Plan {
    /// The groups whose layout may still get better.
    pub fn open(&self) -> Vec<usize> {
        (0..self.groups.len()).filter(|&g| self.groups[g].may_improve()).collect()
    }

    /// Searches on for a better layout of one group; what is there is kept unless something better is found. Whether it was.
    pub fn improve(&mut self, group: usize, limits: &Limits<'_>, report: &mut dyn FnMut(Progress)) -> bool {
        let Some(Group { batch, laid }) = self.groups.get_mut(group) else { return false };
        let allowances = Allowances::of(self.unit);
        let as_now = (laid.widest, Some(laid.given_up));
        let found = lay::attempt(batch, &laid.stacks, &self.sawing, as_now, allowances, limits, report);
        let bound = found.bound.max(laid.bound);
        let better = found.rank() < laid.rank();
        if better {
            *laid = found;
        }
        if laid.missing.iter().all(Vec::is_empty) {
            laid.bound = laid.bound.max(bound.min(laid.cost));
        }
        better
    }

    /// What is short, and what the boards at hand did not allow.
    pub fn findings(&self, case: &Case) -> Vec<Finding> {
        finding::findings(self, case)
    }
}

impl Group {
    /// The material.
    pub const fn material(&self) -> &Material {
        &self.batch.material
    }

    /// What the pieces are sawn from.
    pub const fn stock(&self) -> Stock {
        self.batch.stock
    }

    /// Whether a router cuts its parts out of the sheets, so that the saw cuts no more than blanks that it can hold.
    pub fn is_nested(&self) -> bool {
        self.batch.is_nested()
    }

    /// The rough list.
    pub fn lines(&self) -> &[RoughLine] {
        &self.laid.lines
    }

    /// The pieces, as the layouts number them.
    pub fn pieces(&self) -> &[Sawn] {
        &self.laid.pieces
    }

    /// Boards at hand that are used, and then boards to buy.
    pub fn cuttings(&self) -> &[Cutting] {
        &self.laid.cuttings
    }

    /// What is written on pieces for which there is no board at hand, by piece; with no stock file, on all.
    pub fn missing(&self) -> &[Vec<String>] {
        &self.laid.missing
    }

    /// What is written on pieces that no board holds that is sold in the usual sizes.
    pub fn unlaid(&self) -> impl Iterator<Item = &str> {
        self.laid.unlaid.iter().flatten().map(String::as_str)
    }

    /// What the boards at hand did not allow.
    pub const fn given_up(&self) -> GivenUp {
        self.laid.given_up
    }

    /// How much of the cost of its boards might be saved at most, from 0 to 1; nothing is known where boards are short.
    pub fn gap(&self) -> Option<f64> {
        let l = &self.laid;
        (l.cost > 0 && l.bound > 0).then(|| (l.cost - l.bound).max(0) as f64 / l.cost as f64)
    }

    fn may_improve(&self) -> bool {
        self.laid.cost > self.laid.bound || self.laid.missing.iter().any(|m| !m.is_empty())
    }
}
