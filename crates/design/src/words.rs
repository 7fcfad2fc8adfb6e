//! What the program says of a design: its parameters as a list, and an order to fill in. Texts for people, from what
//! the design file itself says.

use std::fmt::Write as _;
use std::sync::Arc;

use fault::Source;
use measure::Unit;

use crate::job::Resolved;
use crate::parameter::Parameter;
use crate::value::quoted;

/// An order that leaves a design, built in or a file, as it is.
pub fn plain_order(design: &str) -> Arc<Source> {
    Source::new("order.toml", format!("design = {}\n", quoted(design)))
}

/// A design and its parameters: kind, default, range and sentence of each.
pub fn description(r: &Resolved) -> String {
    let mut out = format!("{}: {}\n", r.design.name, r.design.title);
    // Writing to a string cannot fail.
    for line in wrapped(&r.design.about, 96) {
        let _ = writeln!(out, "  {line}");
    }
    let wide = r.parameters.iter().map(|p| p.name.len()).max().unwrap_or(0);
    for p in &r.parameters {
        let facts = [vec![format!("{} {}", p.kind, p.value.show(r.order.unit))], range(p, r.order.unit)].concat();
        let _ = writeln!(out, "  {:wide$}  {}", p.name, facts.join("; "));
        for line in wrapped(&p.about, 92_usize.saturating_sub(wide)) {
            let _ = writeln!(out, "  {:wide$}    {line}", "");
        }
    }
    out
}

/// An order over a design that builds as it is. Each parameter has its sentence and range in a comment and stands
/// there with its default, commented out, so that it stays the design's. `named` is what the order calls the design.
pub fn blank_order(r: &Resolved, named: &str) -> String {
    let unit = r.order.unit;
    let mut out = String::new();
    // Wrapped, so that a line break in a title does not end the comment.
    for text in [&r.design.title, &r.design.about] {
        for line in wrapped(text, 110) {
            let _ = writeln!(out, "# {line}");
        }
    }
    let _ = write!(
        out,
        "#
# An order names its design and says what differs from it: take the # away from a line and write what is wanted.
# Lengths carry their unit: \"41 7/8 in\", \"3 ft 5 7/8 in\", \"1064 mm\", \"106.4 cm\".

design = {}
#number = \"1\"
#customer = \"not given\"
#maker = \"not given\"
#date = 2026-11-02
# What was changed since goes into tables at the end of the file: [[revisions]] with number, date and change.

# The unit that people read, \"in\" or \"mm\", and the finest division that the shop marks out.
unit = \"{unit}\"
#ruler = {}

[paper]
#sheet = \"{}\"
#projection = \"{}\"

# The router and its tools, as files seen from this order's folder; sound defaults without.
[shop]
#machine = \"machine.toml\"
#tools = \"tools.toml\"
#woods = \"woods.toml\"

# Where the piece is made and where it will stand: panels, gaps and pockets get the room that their wood needs.
[climate]
#workshop = {{ temperature = \"20 C\", humidity = \"45 %\" }}
#dry = {{ temperature = \"21 C\", humidity = \"30 %\" }}
#wet = {{ temperature = \"24 C\", humidity = \"60 %\" }}

# What the shelves will carry: \"books\", \"general\" or \"kitchen\"; or each = \"60 kg\".
[load]
#shelves = \"books\"

[parameters]
",
        quoted(named),
        quoted(&r.order.ruler.show(r.order.ruler.step)),
        r.order.paper.sheet.word(),
        r.order.paper.projection.word(),
    );
    for p in &r.parameters {
        out.push('\n');
        for line in wrapped(&p.about, 110) {
            let _ = writeln!(out, "# {line}");
        }
        for line in range(p, unit) {
            let _ = writeln!(out, "# {}.", capital(&line));
        }
        let _ = writeln!(out, "#{} = {}", p.name, p.value.toml(unit));
    }
    out
}

/// The range of a parameter, or its words.
fn range(p: &Parameter, unit: Unit) -> Vec<String> {
    let words = p.of.join(", ");
    match (p.show_least(unit), p.show_most(unit)) {
        (Some(least), Some(most)) => vec![format!("from {least} to {most}")],
        (Some(least), None) => vec![format!("at least {least}")],
        (None, Some(most)) => vec![format!("at most {most}")],
        (None, None) if words.is_empty() => Vec::new(),
        (None, None) => vec![format!("one of {words}")],
    }
}

fn capital(phrase: &str) -> String {
    let mut chars = phrase.chars();
    chars.next().map(|c| c.to_uppercase().collect::<String>() + chars.as_str()).unwrap_or_default()
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
