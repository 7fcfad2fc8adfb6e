//! Lengths and counts by way of formulas, words by way of parameters.

use fault::{Fault, Value as Held, nearest, or_list, tick};
use measure::{Length, Unit};
use timber::Sawn;

use super::{Context, Field, Text};
use crate::formula::Quantity;
use crate::shape::{ChoiceShape, Shape};
use crate::value::Value;

/// The most of anything that a case may have: keeps a slip of the finger from filling the memory.
const MOST: usize = 500;

/// A length, less than nothing or not.
pub(crate) fn signed_length(node: &Text, cx: &mut Context<'_>) -> Option<Length> {
    match cx.quantity(node, || Length::shape().wanted())? {
        Quantity::Length(nm) => {
            let length = nm.rounded().map(Length::from_nm).filter(|l| l.abs() <= measure::LONGEST);
            if length.is_none() {
                cx.faults.push(Fault::new(&node.place, "this comes to a length over 100 m"));
            }
            length
        }
        Quantity::Number(n) => {
            let fault = Fault::new(&node.place, "a number without a unit where a length belongs");
            let figure = match &node.value {
                Held::Text(formula) if formula.names().is_empty() => formula.text.clone(),
                Held::Text(_) => String::new(),
                _ => n.to_string(),
            };
            cx.faults.push(match figure.as_str() {
                "" => fault.mend("multiply it by a length, as in `* 1 in`"),
                figure => fault.mend(format!("write `\"{figure} in\"` or `\"{figure} mm\"`")),
            });
            None
        }
    }
}

impl Field for Length {
    /// No measure of a piece is less than nothing.
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let length = signed_length(node, cx)?;
        if length >= Self::ZERO {
            return Some(length);
        }
        let shown = measure::exact(length, cx.unit);
        cx.faults.push(Fault::new(&node.place, format!("this comes to {shown}, and no measure is less than nothing")));
        None
    }

    fn shape() -> Shape {
        Shape::Length
    }
}

impl Field for usize {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let fault = |what: String| Fault::new(&node.place, what).expected(Self::shape().wanted());
        match cx.quantity(node, || Self::shape().wanted())? {
            Quantity::Number(n) => {
                let count = n.as_whole().and_then(|n| Self::try_from(n).ok()).filter(|n| *n <= MOST);
                if count.is_none() {
                    cx.faults.push(fault(match n.as_whole() {
                        None => format!("this comes to {n}, and things come in whole numbers"),
                        Some(n) if n < 0 => format!("this comes to {n}, and there cannot be less than none"),
                        Some(n) => format!("this comes to {n}, and {MOST} is the most of anything"),
                    }));
                }
                count
            }
            Quantity::Length(_) => {
                cx.faults.push(fault(String::from("a length where a count belongs")));
                None
            }
        }
    }

    fn shape() -> Shape {
        Shape::Count
    }
}

impl Field for String {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        match &node.value {
            Held::Text(formula) => match cx.scope.find(&formula.text) {
                None => Some(formula.text.clone()),
                Some(None) => None,
                Some(Some(Value::Word(word))) => Some(word.clone()),
                Some(Some(other)) => {
                    let what = format!("{} is {}, and words belong here", tick(&formula.text), other.kind());
                    cx.faults.push(Fault::new(&node.place, what));
                    None
                }
            },
            _ => {
                node.mismatch(&Self::shape().wanted(), cx.faults);
                None
            }
        }
    }

    fn shape() -> Shape {
        Shape::Text
    }
}

/// Reads one of a few words, or the name of a parameter that holds one.
pub(crate) fn read_word<T: Copy>(node: &Text, words: &[(&'static str, T)], cx: &mut Context<'_>) -> Option<T> {
    let known = || words.iter().map(|(word, _)| *word);
    let Held::Text(formula) = &node.value else {
        node.mismatch(&or_list(known()), cx.faults);
        return None;
    };
    let written = formula.text.as_str();
    let meant = match cx.scope.find(written) {
        Some(None) => return None,
        Some(Some(Value::Word(word))) => word,
        _ => written,
    };
    let found = words.iter().find(|(word, _)| *word == meant).map(|(_, value)| *value);
    if found.is_none() {
        let what = if meant == written {
            format!("{} is not a word that is known here", tick(written))
        } else {
            format!("{} is {}, which is not a word that is known here", tick(written), tick(meant))
        };
        let fault = Fault::new(&node.place, what).expected(or_list(known()));
        cx.faults.push(match nearest(meant, known()) {
            Some(near) => fault.mend(format!("write `{near}`")),
            None => fault,
        });
    }
    found
}

impl Field for Sawn {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        read_word(node, &[("flat", Self::Flat), ("quarter", Self::Quarter)], cx)
    }

    fn shape() -> Shape {
        Shape::Choice(ChoiceShape {
            name: "Sawn",
            about: String::from("How boards are sawn."),
            words: vec![
                ("flat", String::from("Flat-sawn: the width lies along the year rings and moves most.")),
                (
                    "quarter",
                    String::from("Quarter-sawn: the width lies across the rings and moves about half as much."),
                ),
            ],
        })
    }
}

impl Field for Unit {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        read_word(node, &[("in", Self::Inch), ("mm", Self::Millimetre)], cx)
    }

    fn shape() -> Shape {
        Shape::Choice(ChoiceShape {
            name: "Unit",
            about: String::from("The unit that people read."),
            words: vec![
                ("in", String::from("Inches and their fractions.")),
                ("mm", String::from("Millimetres and their decimals.")),
            ],
        })
    }
}
