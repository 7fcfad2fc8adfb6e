//! The values of parameters: which comes from which, what each comes to, and whether it is within its range.

use std::cmp::Ordering;

use fault::{Fault, Faults, Place, Value as Held, nearest, or_list, tick};
use measure::Unit;

use crate::design::{Declaration, Design};
use crate::field::{Context, Field, Named, Text, signed_length};
use crate::formula::{Quantity, Ratio};
use crate::value::{Bound, Kind, Value};

/// A parameter as resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// Its name in formulas and orders.
    pub name: String,
    /// One sentence on it.
    pub about: String,
    /// What it is.
    pub kind: Kind,
    /// Its value.
    pub value: Value,
    /// The order or the command line gave it; otherwise it is the design's default.
    pub ordered: bool,
    /// The least that builds, with the other parameters as they are.
    pub least: Option<Value>,
    /// The most that builds, with the other parameters as they are.
    pub most: Option<Value>,
    /// The words of a choice.
    pub of: Vec<String>,
}

/// The index of a parameter that an order names.
pub(crate) fn index(design: &Design, name: &str, place: &Place, faults: &mut Faults) -> Option<usize> {
    let parameters = &design.head.parameters.0;
    let found = parameters.iter().position(|p| p.name == name);
    if found.is_none() {
        let known = || parameters.iter().map(|p| p.name.as_str());
        let is_size = design.head.sizes.0.iter().any(|s| s.name == name);
        faults.push(if is_size {
            let what = format!("{} is worked out by the design and cannot be ordered", tick(name));
            Fault::new(place, what).expected(or_list(known()))
        } else {
            let fault = Fault::new(place, format!("{} has no parameter {}", tick(&design.name), tick(name)));
            match nearest(name, known()) {
                Some(near) => fault.mend(format!("write `{near}`")),
                None => fault.expected(or_list(known())),
            }
        });
    }
    found
}

/// The names in an order in which each comes after those that it is worked out from; a fault for every circle.
pub(crate) fn sequence(names: &[String], given: &[Text], faults: &mut Faults) -> Option<Vec<usize>> {
    let needs: Vec<Vec<usize>> = given.iter().map(|node| needed(names, node)).collect();
    let mut sequence = Vec::with_capacity(names.len());
    let mut done = vec![false; names.len()];
    let mut sound = true;
    for start in 0..names.len() {
        // Walked with a stack of one's own: a chain of formulas may be as long as the file.
        let mut path = vec![(start, 0)];
        while let Some((i, next)) = path.last_mut() {
            let i = *i;
            if done[i] {
                path.pop();
            } else if let Some(&need) = needs[i].get(*next) {
                *next += 1;
                if let Some(from) = path.iter().position(|(j, _)| *j == need) {
                    let circle: Vec<String> = path[from..].iter().map(|(j, _)| tick(&names[*j])).collect();
                    let what =
                        format!("{} is worked out from itself: {} → {}", circle[0], circle.join(" → "), circle[0]);
                    faults.push(Fault::new(&given[need].place, what).mend("give one of them a value of its own"));
                    sound = false;
                } else if !done[need] {
                    path.push((need, 0));
                }
            } else {
                done[i] = true;
                sequence.push(i);
                path.pop();
            }
        }
    }
    sound.then_some(sequence)
}

fn needed(names: &[String], node: &Text) -> Vec<usize> {
    let Held::Text(formula) = &node.value else { return Vec::new() };
    formula.names().iter().filter_map(|(name, _)| names.iter().position(|n| n == name)).collect()
}

/// The value of a parameter by its kind.
pub(crate) fn settle(name: &str, declared: &Declaration, node: &Text, cx: &mut Context<'_>) -> Option<Value> {
    match declared.kind {
        Kind::Length => signed_length(node, cx).map(Value::Length),
        Kind::Count => usize::read(node, cx).map(Value::Count),
        Kind::Number => match cx.quantity(node, || String::from("a number such as `0.618`, or a formula for one"))? {
            Quantity::Number(n) => Some(Value::Number(n)),
            Quantity::Length(_) => {
                cx.faults.push(Fault::new(&node.place, "a length where a plain number belongs"));
                None
            }
        },
        Kind::Switch => match &node.value {
            Held::Switch(on) => Some(Value::Switch(*on)),
            _ => {
                node.mismatch("`true` or `false`", cx.faults);
                None
            }
        },
        Kind::Choice => {
            let words = declared.of.as_deref().unwrap_or_default();
            let known = || words.iter().map(String::as_str);
            let Held::Text(formula) = &node.value else {
                node.mismatch(&or_list(known()), cx.faults);
                return None;
            };
            if words.contains(&formula.text) {
                return Some(Value::Word(formula.text.clone()));
            }
            let fault = Fault::new(&node.place, format!("{} cannot be {}", tick(name), tick(&formula.text)));
            let fault = fault.expected(or_list(known()));
            cx.faults.push(match nearest(&formula.text, known()) {
                Some(near) => fault.mend(format!("write `{near}`")),
                None => fault,
            });
            None
        }
        Kind::Text => {
            let Held::Text(formula) = &node.value else {
                node.mismatch("a text in quotes", cx.faults);
                return None;
            };
            Some(Value::Word(formula.text.clone()))
        }
    }
}

/// A size that the design works out: a length or a number, as its formula comes to.
pub(crate) fn settle_size(node: &Text, cx: &mut Context<'_>) -> Option<Value> {
    match cx.quantity(node, || String::from("a formula"))? {
        Quantity::Length(_) => signed_length(node, cx).map(Value::Length),
        Quantity::Number(n) => Some(Value::Number(n)),
    }
}

/// All parameters with their values and ranges out of `cx`'s scope; `ordered` goes by their indices.
pub(crate) fn resolve_all(
    declared: &[Named<Declaration>],
    ordered: &[bool],
    cx: &mut Context<'_>,
) -> Vec<Option<Parameter>> {
    declared.iter().zip(ordered).map(|(p, ordered)| resolve(&p.name, p.value.as_ref()?, *ordered, cx)).collect()
}

/// Notes the values that are out of their range, and gives their indices; `given` goes by them too.
pub(crate) fn out_of_range(all: &[Option<Parameter>], given: &[Text], unit: Unit, faults: &mut Faults) -> Vec<usize> {
    let mut beyond = Vec::new();
    // A default out of range is mostly the echo of an order out of range, and then not worth a word.
    for round in [true, false] {
        let told = !beyond.is_empty();
        for (i, (parameter, node)) in all.iter().zip(given).enumerate() {
            let Some(parameter) = parameter.as_ref().filter(|p| p.ordered == round) else { continue };
            let mut found = Faults::new();
            parameter.check_range(node, unit, &mut found);
            if !found.is_empty() {
                beyond.push(i);
            }
            if !told {
                faults.append(found);
            }
        }
    }
    beyond
}

fn resolve(name: &str, declared: &Declaration, ordered: bool, cx: &mut Context<'_>) -> Option<Parameter> {
    let value = cx.scope.find(name)??.clone();
    let least = declared.least.as_ref().and_then(|node| bound(declared.kind, node, Ratio::ceiling, cx));
    let most = declared.most.as_ref().and_then(|node| bound(declared.kind, node, Ratio::floor, cx));
    let of = declared.of.clone().unwrap_or_default();
    let (name, about) = (name.to_owned(), declared.about.0.clone().unwrap_or_default());
    Some(Parameter { name, about, kind: declared.kind, value, ordered, least, most, of })
}

impl Parameter {
    /// The least that builds, for a person to read.
    pub fn show_least(&self, unit: Unit) -> Option<String> {
        self.least.as_ref().map(|b| b.show_bound(unit, Bound::Least))
    }

    /// The most that builds, for a person to read.
    pub fn show_most(&self, unit: Unit) -> Option<String> {
        self.most.as_ref().map(|b| b.show_bound(unit, Bound::Most))
    }

    /// Notes a value that is out of its range; `node` is where it was given.
    fn check_range(&self, node: &Text, unit: Unit, faults: &mut Faults) {
        let is_beyond = |bound: &Option<Value>, wanted| {
            bound.as_ref().is_some_and(|bound| compare(&self.value, bound) == Some(wanted))
        };
        let (word, bound) = if is_beyond(&self.least, Ordering::Less) {
            ("least", self.show_least(unit))
        } else if is_beyond(&self.most, Ordering::Greater) {
            ("most", self.show_most(unit))
        } else {
            return;
        };
        let (name, value, bound) = (tick(&self.name), self.value.show(unit), bound.unwrap_or_default());
        let by = if self.ordered { "" } else { " by default" };
        let fault = Fault::new(&node.place, format!("{name} is {value}{by}, and {bound} is the {word}"));
        faults.push(fault.mend(self.range_mend(unit)));
    }

    /// The range that would do.
    fn range_mend(&self, unit: Unit) -> String {
        let name = &self.name;
        let order = self.least.as_ref().zip(self.most.as_ref()).and_then(|(least, most)| compare(least, most));
        match (self.show_least(unit), self.show_most(unit)) {
            (Some(_), Some(_)) if order == Some(Ordering::Greater) => {
                format!("no `{name}` will do with the other parameters as they are")
            }
            (Some(only), Some(_)) if order == Some(Ordering::Equal) => format!("give `{name}` {only}"),
            (Some(least), Some(most)) => format!("give `{name}` from {least} to {most}"),
            (Some(least), None) => format!("give `{name}` at least {least}"),
            (None, Some(most)) => format!("give `{name}` at most {most}"),
            (None, None) => format!("give another `{name}`"),
        }
    }
}

/// A bound; a count's is drawn in to a whole number.
fn bound(kind: Kind, node: &Text, draw_in: fn(Ratio) -> Ratio, cx: &mut Context<'_>) -> Option<Value> {
    match (kind, cx.quantity(node, || String::from("a formula"))?) {
        (Kind::Length, Quantity::Length(_)) => signed_length(node, cx).map(Value::Length),
        (Kind::Count, Quantity::Number(n)) => Some(Value::Number(draw_in(n))),
        (Kind::Number, Quantity::Number(n)) => Some(Value::Number(n)),
        (kind, quantity) => {
            let found = if matches!(quantity, Quantity::Length(_)) { "a length" } else { "a number" };
            let fault = Fault::new(&node.place, format!("{found} cannot bound a {kind}"));
            cx.faults.push(if kind == Kind::Length { fault.mend("give it a unit, as in `\"3 in\"`") } else { fault });
            None
        }
    }
}

fn compare(value: &Value, bound: &Value) -> Option<Ordering> {
    let ratio = |q: Quantity| match q {
        Quantity::Number(r) | Quantity::Length(r) => r,
    };
    ratio(value.quantity()?).compare(ratio(bound.quantity()?))
}
