//! The buying list: what the layouts take of boards and sheets, at hand and to buy, with the waste that they really have;
//! and finish, by area and coats. Glass and fittings are the takeoff's.

use case::{Case, Form, Material, Role};
use measure::Length;
use stock::{Fate, Region};
use takeoff::Quantity;

use crate::rack::{Per, Price, Stack};
use crate::rough::Stock;
use crate::{Cutting, Group, Plan};

/// Finish: its coats, and the square metres that a litre covers once.
#[derive(Clone, Debug, PartialEq)]
pub struct Finish {
    /// What it is: `oil`, `varnish`.
    pub name: String,
    /// How many coats.
    pub coats: u32,
    /// Square metres to the litre.
    pub coverage: f64,
}

/// What is taken for granted where the stock file names no finish. Common practice, no source; the tin says it better.
pub const FINISH: (u32, f64) = (3, 10.0);

/// Everything to have in hand before work begins.
#[derive(Clone, Debug)]
pub struct Buying {
    /// Boards and sheets, by material and thickness.
    pub rows: Vec<Bought>,
    /// Square metres of wood to finish: all faces of the blanks.
    pub area: f64,
    /// The finish.
    pub finish: Finish,
}

/// Boards or sheets of one material and thickness.
#[derive(Clone, Debug)]
pub struct Bought {
    /// The material.
    pub material: Material,
    /// The board or sheet.
    pub stock: Stock,
    /// Finished parts.
    pub net: Quantity,
    /// Pieces as they are sawn out.
    pub rough: Quantity,
    /// Boards at hand that are used: how many, how much, and what they cost where all have a price.
    pub at_hand: (usize, Quantity, Option<i64>),
    /// Boards to buy: how many of a size.
    pub buy: Vec<(usize, Length, Length)>,
    /// How much that is.
    pub to_buy: Quantity,
    /// What it costs, and the amount it is sold by, where the stock file says.
    pub price: Option<Cost>,
    /// Share of all those boards that is neither piece nor offcut worth keeping, from 0 to 1.
    pub waste: f64,
}

/// A price and what it is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// So much.
    pub amount: f64,
    /// Of this.
    pub per: Per,
    /// In hundredths of the currency.
    pub sum: i64,
}

impl Buying {
    /// The buying list of a plan.
    pub fn of(plan: &Plan, case: &Case) -> Self {
        let skin = |size: case::Point| {
            let [l, w, t] = size.map(|s| s.mm() * 1e-3);
            2.0 * (l * w + l * t + w * t)
        };
        let finished = case.parts.iter().filter(|p| !matches!(p.role, Role::Button | Role::Peg));
        let named = plan.rack.as_ref().and_then(|rack| rack.finish.clone());
        Self {
            rows: plan.groups.iter().map(|group| Bought::of(plan, group, case)).collect(),
            area: finished.map(|p| skin(p.size)).sum(),
            finish: named.unwrap_or(Finish { name: "finish".into(), coats: FINISH.0, coverage: FINISH.1 }),
        }
    }

    /// Litres of finish.
    pub fn litres(&self) -> f64 {
        self.area * f64::from(self.finish.coats) / self.finish.coverage
    }
}

impl Bought {
    fn of(plan: &Plan, group: &Group, case: &Case) -> Self {
        let form = group.material().form;
        let thickness = group.stock().thickness();
        let (to_buy, at_hand): (Vec<&Cutting>, Vec<&Cutting>) = group.cuttings().iter().partition(|c| c.bought);
        let whole = |cuttings: &[&Cutting]| cuttings.iter().map(|c| quantity(form, &c.board)).sum();
        let mut buy: Vec<(usize, Length, Length)> = Vec::new();
        for board in to_buy.iter().map(|c| &c.board) {
            match buy.iter_mut().find(|b| (b.1, b.2) == (board.length, board.width)) {
                Some(known) => known.0 += 1,
                None => buy.push((1, board.length, board.width)),
            }
        }
        let net = group.lines().iter().flat_map(|l| &l.parts).map(|id| {
            let [l, w, t] = case.part(*id).size;
            of_form(form, t, w, l)
        });
        let rough = group.lines().iter().map(|l| {
            let one = of_form(form, thickness, l.rough[1], l.rough[0]);
            (0..l.pieces()).map(|_| one).sum()
        });
        let boards: f64 = group.cuttings().iter().map(|c| square(c.board.length, c.board.width)).sum();
        let used: f64 = group.cuttings().iter().map(|c| kept(&c.region)).sum();
        let prices: Option<Vec<i64>> = at_hand.iter().map(|c| c.board.price).collect();
        let bought: Quantity = whole(&to_buy);
        let sheets = to_buy.len();
        let density = case.seasons.strength(group.material()).density;
        Self {
            material: group.material().clone(),
            stock: group.stock(),
            net: net.sum(),
            rough: rough.sum(),
            at_hand: (at_hand.len(), whole(&at_hand), prices.map(|p| p.iter().sum())),
            buy,
            to_buy: bought,
            price: plan.price(group).filter(|_| sheets > 0).map(|price| price.cost(&bought, sheets, density)),
            waste: if boards > 0.0 { (1.0 - used / boards).max(0.0) } else { 0.0 },
        }
    }
}

impl Plan {
    /// What the stock file says that boards like those of a group cost: the price of its thickness, or of any.
    fn price(&self, group: &Group) -> Option<&Price> {
        let prices = self.rack.iter().flat_map(|rack| &rack.prices);
        let of: Vec<&Price> = prices.filter(|p| p.material.eq_ignore_ascii_case(&group.material().name)).collect();
        let exact = of.iter().find(|p| p.thickness == Some(group.stock().thickness()));
        exact.or_else(|| of.iter().find(|p| p.thickness.is_none())).copied()
    }
}

impl Price {
    /// What so much costs; `density` is the wood's, in kg/m³, where the price does not say its own.
    fn cost(&self, quantity: &Quantity, sheets: usize, density: f64) -> Cost {
        let kilograms = quantity.cubic_metres * self.density.unwrap_or(density);
        let amount = match self.per {
            Per::BoardFoot => quantity.board_feet(),
            Per::CubicMetre => quantity.cubic_metres,
            Per::SquareFoot => quantity.square_feet(),
            Per::SquareMetre => quantity.square_metres,
            Per::Sheet => sheets as f64,
            Per::Kilogram => kilograms,
            Per::Pound => kilograms / KILOGRAMS_PER_POUND,
        };
        #[expect(clippy::cast_possible_truncation, reason = "rounded, and saturating is what an absurd sum deserves")]
        let sum = (amount * self.price as f64).round() as i64;
        Cost { amount, per: self.per, sum }
    }
}

/// The international pound, exact.
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;

fn quantity(form: Form, board: &Stack) -> Quantity {
    of_form(form, board.thickness, board.width, board.length)
}

fn of_form(form: Form, thickness: Length, width: Length, length: Length) -> Quantity {
    match form {
        Form::Solid => Quantity::solid(1, thickness, width, length),
        Form::Sheet => Quantity::sheet(1, width, length),
    }
}

fn square(length: Length, width: Length) -> f64 {
    length.mm() * width.mm()
}

/// Square millimetres of pieces and of offcuts that are worth keeping.
fn kept(region: &Region) -> f64 {
    let mut sum = 0.0;
    region.walk(&mut |r| {
        if matches!(r.fate, Fate::Piece { .. } | Fate::Offcut) {
            sum += square(r.area.length, r.area.width);
        }
    });
    sum
}
