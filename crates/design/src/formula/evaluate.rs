//! What a formula comes to, over the values of the names that it uses.

use std::cmp::Ordering;

use fault::{nearest, or_list, tick};
use measure::Length;

use super::{Expr, Flaw, Function, Kind, Op, Ratio};
use crate::value::Value;

/// A number, or a length in nanometres; both exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// A plain number.
    Number(Ratio),
    /// A length, in nanometres.
    Length(Ratio),
}

/// The names that a formula may use, with their values; a value that is missing is at fault itself.
#[derive(Clone, Copy, Debug)]
pub struct Scope<'a> {
    names: &'a [String],
    values: &'a [Option<Value>],
}

impl<'a> Scope<'a> {
    /// No names at all.
    pub const EMPTY: Scope<'static> = Scope { names: &[], values: &[] };

    /// Names, each with the value of the same index.
    pub const fn new(names: &'a [String], values: &'a [Option<Value>]) -> Self {
        Self { names, values }
    }

    /// Nothing if the name is unknown; `Some(None)` if its own value is at fault.
    pub fn find(&self, name: &str) -> Option<Option<&'a Value>> {
        let i = self.names.iter().position(|n| n == name)?;
        Some(self.values.get(i).and_then(Option::as_ref))
    }

    /// The nearest name and the list of all, for a fault.
    pub(crate) fn unknown(&self, name: &str) -> (Option<String>, Option<String>) {
        let names = || self.names.iter().map(String::as_str);
        match nearest(name, names()) {
            Some(near) => (None, Some(format!("write `{near}`"))),
            None if self.names.is_empty() => (None, None),
            None => (Some(or_list(names())), None),
        }
    }
}

type Evaluated<T> = Result<T, Option<Flaw>>;

impl Quantity {
    const fn is_length(self) -> bool {
        matches!(self, Self::Length(_))
    }

    /// Whether it is nothing.
    pub const fn is_zero(self) -> bool {
        self.ratio().is_zero()
    }

    const fn ratio(self) -> Ratio {
        match self {
            Self::Number(r) | Self::Length(r) => r,
        }
    }

    const fn of(is_length: bool, ratio: Ratio) -> Self {
        if is_length { Self::Length(ratio) } else { Self::Number(ratio) }
    }
}

impl From<Length> for Quantity {
    fn from(length: Length) -> Self {
        Self::Length(Ratio::whole(length.nm()))
    }
}

impl Expr {
    pub(super) fn evaluate(&self, scope: &Scope<'_>) -> Evaluated<Quantity> {
        match &self.kind {
            Kind::Number(n) => Ok(Quantity::Number(*n)),
            Kind::Length(l) => Ok(Quantity::from(*l)),
            Kind::Name(name) => self.named(name, scope),
            Kind::Negate(inner) => {
                let value = inner.evaluate(scope)?;
                let negated = value.ratio().negated().ok_or_else(|| self.too_long())?;
                Ok(Quantity::of(value.is_length(), negated))
            }
            Kind::Chain(first, rest) => {
                let mut value = first.evaluate(scope)?;
                let mut so_far = first.at.clone();
                for (op, operand) in rest {
                    let right = operand.evaluate(scope)?;
                    value = self.apply(*op, (value, &so_far), (right, operand))?;
                    so_far.end = operand.at.end;
                }
                Ok(value)
            }
            Kind::Call(function, arguments) => self.call(*function, arguments, scope),
        }
    }

    fn named(&self, name: &str, scope: &Scope<'_>) -> Evaluated<Quantity> {
        let flaw = |what: String| Flaw::new(self.at.clone(), what);
        match scope.find(name) {
            None => {
                let (expected, mend) = scope.unknown(name);
                Err(Some(Flaw { expected, mend, ..flaw(format!("unknown name {}", tick(name))) }))
            }
            Some(None) => Err(None),
            Some(Some(value)) => value.quantity().ok_or_else(|| {
                let what =
                    format!("{} is {}, and a formula reckons with lengths and numbers", tick(name), value.kind());
                Some(flaw(what))
            }),
        }
    }

    fn apply(
        &self,
        op: Op,
        (left, left_at): (Quantity, &std::ops::Range<usize>),
        (right, operand): (Quantity, &Self),
    ) -> Evaluated<Quantity> {
        let (a, b) = (left.ratio(), right.ratio());
        let both = left_at.start..operand.at.end;
        let (is_length, ratio) = match op {
            Op::Add | Op::Subtract => {
                if left.is_length() != right.is_length() {
                    let number = if left.is_length() { operand.at.clone() } else { left_at.clone() };
                    return Err(Some(mixed(number)));
                }
                (left.is_length(), if op == Op::Add { a.plus(b) } else { a.minus(b) })
            }
            Op::Multiply => {
                if left.is_length() && right.is_length() {
                    let flaw = Flaw::new(both, "a length times a length is an area, and no dimension");
                    return Err(Some(flaw.mend("make one of the two a number")));
                }
                (left.is_length() || right.is_length(), a.times(b))
            }
            Op::Divide => {
                if right.is_length() && !left.is_length() {
                    return Err(Some(Flaw::new(both, "a number over a length is no dimension")));
                }
                if b.is_zero() {
                    return Err(Some(Flaw::new(operand.at.clone(), "divided by zero")));
                }
                (left.is_length() != right.is_length(), a.over(b))
            }
        };
        ratio.map(|r| Quantity::of(is_length, r)).ok_or_else(|| Some(self.too_long()))
    }

    fn call(&self, function: Function, arguments: &[Self], scope: &Scope<'_>) -> Evaluated<Quantity> {
        let Some((first, rest)) = arguments.split_first() else { return Err(None) };
        let mut best = first.evaluate(scope)?;
        let wanted = match function {
            Function::Floor if best.is_length() => {
                let flaw = Flaw::new(first.at.clone(), "`floor` takes a number, and this is a length");
                return Err(Some(flaw.mend("divide it by a length")));
            }
            Function::Floor => return Ok(Quantity::Number(best.ratio().floor())),
            Function::Min => Ordering::Less,
            Function::Max => Ordering::Greater,
        };
        for argument in rest {
            let value = argument.evaluate(scope)?;
            if value.is_length() != best.is_length() {
                let number = if value.is_length() { first } else { argument };
                return Err(Some(mixed(number.at.clone())));
            }
            if value.ratio().compare(best.ratio()).ok_or_else(|| self.too_long())? == wanted {
                best = value;
            }
        }
        Ok(best)
    }

    fn too_long(&self) -> Flaw {
        Flaw::new(self.at.clone(), "the figures grow too long to reckon with")
    }
}

fn mixed(number: std::ops::Range<usize>) -> Flaw {
    Flaw::new(number, "this is a number, and what it is reckoned with is a length").mend("give it a unit, as in `3 in`")
}
