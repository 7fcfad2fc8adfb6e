//! `casewright designs`: the built-in designs, and the parameters of one.

use std::fmt::Write as _;

use design::{Parameter, Resolved, builtin};
use measure::Unit;
use serde_json::{Value, json};

use crate::args::OrderArgs;
use crate::outcome::Failure;
use crate::{input, report};

/// Lists the designs; with a name or a path, that design and its parameters.
pub(crate) fn run(design: Option<&str>, as_json: bool) -> Result<(), Failure> {
    let designs = match design {
        Some(design) => vec![as_it_is(design)?],
        None => builtin::DESIGNS.iter().map(|(name, _)| as_it_is(name)).collect::<Result<_, _>>()?,
    };
    let text = if as_json {
        let designs: Vec<_> = designs.iter().map(as_object).collect();
        report::json(0, json!({ "designs": designs }))
    } else if design.is_some() {
        designs.iter().map(in_full).collect()
    } else {
        let rows: String = designs.iter().map(|r| format!("{}\n  {}\n", r.design.name, r.design.about)).collect();
        rows + "\nFor the parameters of one: casewright designs NAME\n"
    };
    report::print(&text)?;
    Ok(())
}

/// A design with all its defaults.
pub(crate) fn as_it_is(design: &str) -> Result<Resolved, Failure> {
    let args = OrderArgs { order: Some(design.to_owned()), settings: Vec::new() };
    Ok(input::read(&args)?.resolved)
}

fn as_object(r: &Resolved) -> Value {
    let parameter = |p: &Parameter| {
        let show = |v: &design::Value| v.show(r.order.unit);
        json!({
            "name": p.name, "kind": p.kind.to_string(), "about": p.about, "value": show(&p.value),
            "least": p.least.as_ref().map(show), "most": p.most.as_ref().map(show), "of": p.of,
        })
    };
    let parameters: Vec<_> = r.parameters.iter().map(parameter).collect();
    json!({ "name": r.design.name, "title": r.design.title, "about": r.design.about, "parameters": parameters })
}

fn in_full(r: &Resolved) -> String {
    let mut text = format!("{}: {}\n{}\n", r.design.name, r.design.title, r.design.about);
    for p in &r.parameters {
        // Writing to a string cannot fail.
        let _ = write!(text, "\n{} = {}\n  {}\n", p.name, p.value.toml(r.order.unit), about(p, r.order.unit));
    }
    text
}

/// The parameter's sentence, and its range or its words.
pub(crate) fn about(p: &Parameter, unit: Unit) -> String {
    let show = |v: &design::Value| v.show(unit);
    let range = match (&p.least, &p.most) {
        (Some(least), Some(most)) => format!(" From {} to {}.", show(least), show(most)),
        (Some(least), None) => format!(" From {} up.", show(least)),
        (None, Some(most)) => format!(" Up to {}.", show(most)),
        (None, None) if p.of.is_empty() => String::new(),
        (None, None) => format!(" One of {}.", p.of.join(", ")),
    };
    p.about.clone() + &range
}
