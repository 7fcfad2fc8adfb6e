//! What the program says of its designs: the list of them, and an order to fill in. Texts for people, from what the
//! design files themselves say.

use std::fmt::Write as _;

use fault::{Faults, Source};
use measure::Unit;

use crate::builtin::{DEMO_ORDER, DESIGNS};
use crate::job::{Job, Resolved};
use crate::parameter::Parameter;
use crate::value::{Value, quoted};

/// An order of a design that leaves everything at its default.
pub fn bare_order(design: &str) -> std::sync::Arc<Source> {
    Source::new("order.toml", format!("design = {}\n", quoted(design)))
}

/// The built-in designs with their parameters, or the one of that name: default, range and sentence of each.
pub fn designs(only: Option<&str>) -> String {
    let mut out = String::new();
    for (name, _) in DESIGNS.iter().filter(|(name, _)| only.is_none_or(|o| o == *name)) {
        // The built-in designs resolve; a test sees to it.
        let Ok((_, resolved)) = builtin(name) else { continue };
        if !out.is_empty() {
            out.push('\n');
        }
        let _ = writeln!(out, "{name}: {}", resolved.design.title);
        for line in wrapped(&resolved.design.about, 96) {
            let _ = writeln!(out, "  {line}");
        }
        let wide = resolved.parameters.iter().map(|p| p.name.len()).max().unwrap_or(0);
        for p in &resolved.parameters {
            let _ = writeln!(out, "  {:wide$}  {}", p.name, facts(p, resolved.order.unit).join("; "));
            for line in wrapped(&p.about, 92 - wide) {
                let _ = writeln!(out, "  {:wide$}    {line}", "");
            }
        }
    }
    out
}

/// An order of a design that builds as it is, each parameter with its sentence, default and range in comments.
///
/// # Errors
/// The faults of a design of one's own, which `open` fetches by its path, and of a name that is none.
pub fn new_order(
    design: &str,
    open: impl FnOnce(&str) -> Result<std::sync::Arc<Source>, String>,
) -> Result<String, Faults> {
    let (_, resolved) = Job::read(&bare_order(design), &[], open)?;
    let unit = resolved.order.unit;
    let mut out = format!("# An order over the design `{}`: {}\n", resolved.design.name, resolved.design.title);
    for line in wrapped(&resolved.design.about, 110) {
        let _ = writeln!(out, "# {line}");
    }
    let _ = write!(
        out,
        "#
# Lengths carry their unit: \"41 7/8 in\", \"3 ft 5 7/8 in\", \"1064 mm\", \"106.4 cm\".
# Lines that begin with # are comments; take the # away from a parameter and write what is wanted.

design = {}
number = \"1\"
customer = \"not given\"
maker = \"not given\"
#date = 2026-11-02
unit = \"{unit}\"
ruler = \"1/32 in\"

[paper]
#sheet = \"B\"
#projection = \"third\"

# The router and its tools, as files seen from this order's folder; sound defaults without.
[shop]
#machine = \"machine.toml\"
#tools = \"tools.toml\"

[parameters]
",
        quoted(design)
    );
    for p in &resolved.parameters {
        out.push('\n');
        for line in wrapped(&p.about, 110) {
            let _ = writeln!(out, "# {line}");
        }
        let range = facts(p, unit).split_off(1).join("; ");
        if !range.is_empty() {
            let _ = writeln!(out, "# {range}");
        }
        let _ = writeln!(out, "#{} = {}", p.name, p.value.toml(unit));
    }
    Ok(out)
}

/// The demo order with its design.
///
/// # Errors
/// None, unless the program itself is at fault; a test sees to it.
pub fn demo(settings: &[String]) -> Result<(Job, Resolved), Faults> {
    Job::read(&Source::new("demo.toml", DEMO_ORDER), settings, no_file)
}

fn builtin(name: &str) -> Result<(Job, Resolved), Faults> {
    Job::read(&bare_order(name), &[], no_file)
}

fn no_file(_: &str) -> Result<std::sync::Arc<Source>, String> {
    Err(String::from("only built-in designs are looked for here"))
}

/// Kind and default; then range or words.
fn facts(p: &Parameter, unit: Unit) -> Vec<String> {
    let mut facts = vec![format!("{} {}", p.kind, p.value.show(unit))];
    let show = |bound: &Option<Value>| bound.as_ref().map(|b| b.show(unit));
    match (show(&p.least), show(&p.most)) {
        (Some(least), Some(most)) => facts.push(format!("from {least} to {most}")),
        (Some(least), None) => facts.push(format!("at least {least}")),
        (None, Some(most)) => facts.push(format!("at most {most}")),
        (None, None) => {}
    }
    if !p.of.is_empty() {
        facts.push(fault::or_list(p.of.iter().map(String::as_str)).replace('`', ""));
    }
    facts
}

/// Breaks a text into lines of at most `wide` characters, at spaces.
fn wrapped(text: &str, wide: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= wide => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
