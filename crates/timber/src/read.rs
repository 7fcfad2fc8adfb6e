//! The reader of a file of woods: every fault with its place, what would do, and what to write.

use std::ops::RangeInclusive;
use std::sync::Arc;

use fault::{Fault, Faults, Node, Reader, Source, Value, parse, tick};

use crate::species::{Sheet, Species, coefficient, gravity_at_12};
use crate::woods::Woods;

/// Reads `[[species]]` and `[[sheet]]`; what is at fault is noted and left out.
pub(crate) fn woods(source: &Arc<Source>, faults: &mut Faults) -> Woods {
    let root = parse(source, faults);
    let Some(mut reader) = Reader::new(&root, faults) else { return Woods::default() };
    let (species, sheets) = (reader.take("species"), reader.take("sheet"));
    reader.finish(faults, |_| None);
    let mut out = Woods::default();
    for node in items(species, faults) {
        if let Some(species) = read_species(node, faults) {
            claim(node, &species.name, &species.also, out.species.iter().map(|s| (&s.name, &s.also)), faults);
            out.species.push(species);
        }
    }
    for node in items(sheets, faults) {
        if let Some(sheet) = read_sheet(node, faults) {
            claim(node, &sheet.name, &sheet.also, out.sheets.iter().map(|s| (&s.name, &s.also)), faults);
            out.sheets.push(sheet);
        }
    }
    out
}

/// The tables of a `[[list]]`.
fn items<'t>(node: Option<&'t Node>, faults: &mut Faults) -> &'t [Node] {
    match node.map(|n| (&n.value, n)) {
        Some((Value::List(items), _)) => items,
        Some((_, node)) => {
            node.mismatch("a list of tables, each under its own `[[…]]`", faults);
            &[]
        }
        None => &[],
    }
}

/// Two woods of one file have no name in common.
fn claim<'w>(
    node: &Node,
    name: &str,
    also: &[String],
    before: impl Iterator<Item = (&'w String, &'w Vec<String>)>,
    faults: &mut Faults,
) {
    let same = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
    let mine: Vec<&str> = std::iter::once(name).chain(also.iter().map(String::as_str)).collect();
    for (other, others) in before {
        let taken = std::iter::once(other).chain(others).find(|theirs| mine.iter().any(|m| same(m, theirs)));
        if let Some(taken) = taken {
            let fault = Fault::new(&node.place, format!("{} is named twice in this file", tick(taken)));
            faults.push(fault.mend("keep one of the two"));
        }
    }
}

fn read_species(node: &Node, faults: &mut Faults) -> Option<Species> {
    let mut r = Reader::new(node, faults)?;
    let name = r.need("name", "a name such as `\"white oak\"`").and_then(|n| text(n, faults));
    let also = r.take("also").map_or(Some(Vec::new()), |n| texts(n, faults));
    let gravity = r.take("gravity").map(|n| number(n, 0.05..=1.5, faults));
    let green = r.take("gravity_green").map(|n| number(n, 0.05..=1.5, faults));
    let modulus = r.need("modulus", "GPa, such as `12.3`").and_then(|n| number(n, 1.0..=40.0, faults));
    let rupture = r.need("rupture", "MPa, such as `105`").and_then(|n| number(n, 5.0..=300.0, faults));
    let shrinkage = r.need("shrinkage", "radial, tangential and volumetric, in percent, such as `[5.6, 10.5, 16.3]`");
    let shrinkage = shrinkage.and_then(|n| numbers::<3>(n, 0.1..=30.0, faults));
    let coefficients = r.take("coefficients").map(|n| numbers::<2>(n, 0.0001..=0.01, faults));
    let source = r.take("source").map_or(Some(String::from("the shop's own figures")), |n| text(n, faults));
    if gravity.is_none() && green.is_none() {
        r.miss("gravity", "ovendry mass over the volume at 12 %, such as `0.68`");
    }
    r.finish(faults, |_| None);
    let shrinkage = shrinkage?;
    let gravity = match gravity {
        Some(gravity) => gravity?,
        None => gravity_at_12(green??, shrinkage[2]),
    };
    let coefficients = match coefficients {
        Some(coefficients) => coefficients?,
        None => [coefficient(shrinkage[0]), coefficient(shrinkage[1])],
    };
    Some(Species {
        name: name?,
        also: also?,
        gravity,
        modulus: modulus?,
        rupture: rupture?,
        shrinkage,
        coefficients,
        source: source?,
    })
}

fn read_sheet(node: &Node, faults: &mut Faults) -> Option<Sheet> {
    let mut r = Reader::new(node, faults)?;
    let name = r.need("name", "a name such as `\"birch plywood\"`").and_then(|n| text(n, faults));
    let also = r.take("also").map_or(Some(Vec::new()), |n| texts(n, faults));
    let density = r.need("density", "kg/m³, such as `680`").and_then(|n| number(n, 50.0..=2000.0, faults));
    let modulus = r.need("modulus", "GPa, such as `7.5`").and_then(|n| number(n, 0.5..=40.0, faults));
    let rupture = r.need("rupture", "MPa, such as `35`").and_then(|n| number(n, 2.0..=300.0, faults));
    let creep = r.take("creep").map_or(Some(crate::beam::CREEP), |n| number(n, 1.0..=10.0, faults));
    let source = r.take("source").map_or(Some(String::from("the shop's own figures")), |n| text(n, faults));
    r.finish(faults, |_| None);
    Some(Sheet {
        name: name?,
        also: also?,
        density: density?,
        modulus: modulus?,
        rupture: rupture?,
        creep: creep?,
        source: source?,
    })
}

fn text(node: &Node, faults: &mut Faults) -> Option<String> {
    match &node.value {
        Value::Text(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
        Value::Text(_) => {
            faults.push(Fault::new(&node.place, "this says nothing").expected("a text in quotes"));
            None
        }
        _ => {
            node.mismatch("a text in quotes", faults);
            None
        }
    }
}

fn texts(node: &Node, faults: &mut Faults) -> Option<Vec<String>> {
    let Value::List(items) = &node.value else {
        node.mismatch("a list of names, such as `[\"walnut\"]`", faults);
        return None;
    };
    items.iter().map(|item| text(item, faults)).collect()
}

fn number(node: &Node, range: RangeInclusive<f64>, faults: &mut Faults) -> Option<f64> {
    let number = match &node.value {
        Value::Integer(n) => Some(*n as f64),
        Value::Decimal(text) => text.replace('_', "").parse::<f64>().ok(),
        _ => {
            node.mismatch("a number", faults);
            return None;
        }
    };
    let number = number.filter(|n| range.contains(n));
    if number.is_none() {
        let fault = Fault::new(&node.place, "no wood has such a figure");
        faults.push(fault.expected(format!("a number from {} to {}", range.start(), range.end())));
    }
    number
}

fn numbers<const N: usize>(node: &Node, range: RangeInclusive<f64>, faults: &mut Faults) -> Option<[f64; N]> {
    let wanted = format!("a list of {N} numbers");
    let Value::List(items) = &node.value else {
        node.mismatch(&wanted, faults);
        return None;
    };
    if items.len() != N {
        faults.push(Fault::new(&node.place, format!("this lists {}", items.len())).expected(wanted));
        return None;
    }
    let read: Vec<Option<f64>> = items.iter().map(|item| number(item, range.clone(), faults)).collect();
    read.into_iter().collect::<Option<Vec<f64>>>()?.try_into().ok()
}
