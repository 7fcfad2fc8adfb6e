//! What reading needs besides the node: the names in scope, the list of faults; and how a node is reckoned with them.

use fault::{Fault, Faults, Value as Held, tick};
use measure::Unit;

use super::Text;
use crate::formula::{Flaw, Quantity, Ratio, Scope};
use crate::shape::Shape;
use crate::value::Value;

/// What reading needs besides the node.
pub(crate) struct Context<'a> {
    /// Names that formulas and words may use.
    pub scope: Scope<'a>,
    /// Where faults go.
    pub faults: &'a mut Faults,
    /// The whole file's shape, to tell where a stray key belongs.
    pub root: fn() -> Shape,
    /// The unit of the order, for figures in faults.
    pub unit: Unit,
}

impl Context<'_> {
    /// What a node reckons to; nothing if there was a fault. `wanted` is what would do in its place.
    pub(crate) fn quantity(&mut self, node: &Text, wanted: fn() -> String) -> Option<Quantity> {
        match &node.value {
            Held::Text(formula) => match formula.evaluate(&self.scope) {
                Ok(quantity) => Some(quantity),
                Err(flaw) => {
                    if let Some(flaw) = flaw {
                        self.faults.push(flaw.into_fault(node, &formula.text));
                    }
                    None
                }
            },
            Held::Integer(n) => Some(Quantity::Number(Ratio::whole(*n))),
            Held::Decimal(text) => {
                let number = Ratio::from_decimal(text);
                if number.is_none() {
                    let fault = Fault::new(&node.place, format!("{} is not a plain decimal", tick(text)));
                    self.faults.push(fault.expected("a number such as `0.618`"));
                }
                number.map(Quantity::Number)
            }
            _ => {
                node.mismatch(&wanted(), self.faults);
                None
            }
        }
    }

    /// Whether a table is switched on: it has no `when`, or its `when` is true, or a count or length that is not zero.
    pub(super) fn is_on(&mut self, node: &Text) -> Option<bool> {
        let Held::Table(table) = &node.value else { return Some(true) };
        let Some(when) = table.get("when") else { return Some(true) };
        if let Held::Switch(on) = when.value {
            return Some(on);
        }
        if let Held::Text(formula) = &when.value
            && let Some(Some(Value::Switch(on))) = self.scope.find(&formula.text)
        {
            return Some(*on);
        }
        let wanted = || String::from("`true`, `false`, or the name of a switch, a count or a length");
        Some(!self.quantity(when, wanted)?.is_zero())
    }
}

impl Flaw {
    /// The fault of the text `formula`, which stands at `node`.
    pub(crate) fn into_fault(self, node: &Text, formula: &str) -> Fault {
        let place = node.place.within(formula, self.at);
        Fault { place, what: self.what, expected: self.expected, mend: self.mend }
    }
}
