//! `casewright designs`: the built-in designs, or one of one's own, and their parameters.

use design::{Parameter, Resolved, builtin};
use serde_json::{Value, json};

use crate::args::OrderArgs;
use crate::outcome::Failure;
use crate::{input, report};

/// Lists the designs with their parameters; with a name or a path, that one alone.
pub(crate) fn run(design: Option<&str>, as_json: bool) -> Result<(), Failure> {
    let designs = match design {
        Some(design) => vec![as_it_is(design)?],
        None => builtin::DESIGNS.iter().map(|(name, _)| as_it_is(name)).collect::<Result<_, _>>()?,
    };
    let text = if as_json {
        let designs: Vec<_> = designs.iter().map(as_object).collect();
        report::json(0, json!({ "designs": designs }))
    } else {
        designs.iter().map(design::description).collect::<Vec<_>>().join("\n")
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
            "least": p.show_least(r.order.unit), "most": p.show_most(r.order.unit), "of": p.of,
        })
    };
    let parameters: Vec<_> = r.parameters.iter().map(parameter).collect();
    json!({ "name": r.design.name, "title": r.design.title, "about": r.design.about, "parameters": parameters })
}
