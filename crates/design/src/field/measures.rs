//! Temperatures, percentages and weights: a number with its unit, no formula.

use fault::{Fault, Value as Held, tick};

use super::{Context, Field, Text};
use crate::shape::{MeasureShape, Shape};

/// A temperature in °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Celsius(pub f64);

/// Parts of a hundred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Percent(pub f64);

/// A weight in kg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kilograms(pub f64);

/// A unit, and how a figure in it becomes one in ours: `(figure + .0) × .1`.
type UnitWord = (&'static str, f64, f64);

const TEMPERATURE: MeasureShape = MeasureShape {
    name: "temperature",
    about: "A temperature with its unit: `68 F`, `20 C`.",
    wanted: "a temperature such as `\"68 F\"` or `\"20 C\"`",
};
const PERCENT: MeasureShape = MeasureShape {
    name: "percentage",
    about: "A percentage with its sign: `45 %`.",
    wanted: "a percentage such as `\"45 %\"`",
};
const WEIGHT: MeasureShape = MeasureShape {
    name: "weight",
    about: "A weight with its unit: `60 kg`, `130 lb`.",
    wanted: "a weight such as `\"60 kg\"` or `\"130 lb\"`",
};

const TEMPERATURES: [UnitWord; 4] =
    [("C", 0.0, 1.0), ("°C", 0.0, 1.0), ("F", -32.0, 1.0 / 1.8), ("°F", -32.0, 1.0 / 1.8)];
const PERCENTS: [UnitWord; 1] = [("%", 0.0, 1.0)];
/// 1 lb is 0.453 592 37 kg exactly.
const WEIGHTS: [UnitWord; 2] = [("kg", 0.0, 1.0), ("lb", 0.0, 0.453_592_37)];

/// Reads a figure with one of the units; `most` bounds what makes sense, in the unit of the last argument's words.
fn figure(
    node: &Text,
    shape: &MeasureShape,
    units: &[UnitWord],
    range: [f64; 2],
    said: &str,
    cx: &mut Context<'_>,
) -> Option<f64> {
    let Held::Text(formula) = &node.value else {
        node.mismatch(shape.wanted, cx.faults);
        return None;
    };
    let text = formula.text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(text.len());
    let (number, unit) = (text[..end].parse::<f64>().ok(), text[end..].trim());
    let unit = units.iter().find(|(word, ..)| *word == unit);
    let Some((number, (_, shift, scale))) = number.zip(unit) else {
        let fault = Fault::new(&node.place, format!("{} is no {}", tick(text), shape.name));
        cx.faults.push(fault.expected(shape.wanted));
        return None;
    };
    let value = (number + shift) * scale;
    if (range[0]..=range[1]).contains(&value) {
        return Some(value);
    }
    cx.faults.push(Fault::new(&node.place, format!("{} is out of range", tick(text))).expected(said));
    None
}

impl Field for Celsius {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        figure(node, &TEMPERATURE, &TEMPERATURES, [-20.0, 60.0], "from -20 to 60 °C", cx).map(Self)
    }

    fn shape() -> Shape {
        Shape::Measure(TEMPERATURE)
    }
}

impl Field for Percent {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        figure(node, &PERCENT, &PERCENTS, [1.0, 98.0], "from 1 to 98 %", cx).map(Self)
    }

    fn shape() -> Shape {
        Shape::Measure(PERCENT)
    }
}

impl Field for Kilograms {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        figure(node, &WEIGHT, &WEIGHTS, [0.0, 2000.0], "from 0 to 2000 kg", cx).map(Self)
    }

    fn shape() -> Shape {
        Shape::Measure(WEIGHT)
    }
}
