//! The cut list as a page to read and print: the finished parts, running stock, glass and fittings.

use case::{Case, Form, PartId};
use maud::{Markup, html};
use measure::{Ruler, Unit};

use crate::list::{Group, Line, Strip, Takeoff};
use crate::quantity::bought_by;

/// The whole page, self-contained HTML.
pub fn page(takeoff: &Takeoff, case: &Case) -> String {
    let order = &case.order;
    let ruler = &order.ruler;
    let body = html! {
        p.note {
            "Sizes in " (unit_name(order.unit)) ", finished, length along the grain; the rough list says what to saw them from. "
            "Finished sizes are the blank's, tenons included. "
            (ruler.legend()) "; the lists for spreadsheets carry all figures in full."
        }
        @for group in &takeoff.groups { (group_table(group, ruler)) }
        @if !takeoff.strips.is_empty() { (strip_table(&takeoff.strips, ruler)) }
        @if !takeoff.panes.is_empty() { (glass(takeoff, ruler, order.unit)) }
        @if !takeoff.fittings.is_empty() { (fittings(takeoff)) }
    };
    let [revision, date] = order.issue();
    let particulars = [
        ("Order", order.number.as_str()),
        ("Piece", &order.title),
        ("For", &order.customer),
        ("By", &order.maker),
        ("Revision", revision),
        ("Date", date),
    ];
    page::page("Cut list", &particulars, &body)
}

const fn unit_name(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Millimetre => "millimetres",
    }
}

fn group_table(group: &Group, ruler: &Ruler) -> Markup {
    let pieces: usize = group.lines.iter().map(Line::count).sum();
    html! {
        h2 { (capital(&group.material.to_string())) }
        table {
            thead { tr {
                th { "Part" } th.n { "No." } th { "Name" }
                th.n { "Length" } th.n { "Width" } th.n { "Thick" }
                th { "Remarks" }
            } }
            tbody { @for line in &group.lines { tr {
                td { (ids(&line.parts)) }
                td.n { (line.count()) }
                td { (name(line)) }
                @for size in line.finished { td.n { (ruler.figure(size)) } }
                td { (remarks(line)) }
            } } }
            tfoot { tr { td {} td.n { (pieces) } td colspan="5" { (if pieces == 1 { "piece" } else { "pieces" }) } } }
        }
    }
}

fn strip_table(strips: &[Strip], ruler: &Ruler) -> Markup {
    html! {
        h2 { "Running stock" }
        p.note {
            "Ripped and planed in long strips of one section, and then cut up: short pieces are not safe to plane or to "
            "rip one by one."
        }
        @for strip in strips {
            h3 {
                (capital(&strip.material.to_string())) " for " (strip.name) "s, "
                (ruler.figure(strip.section[0])) " × " (ruler.figure(strip.section[1])) " " (ruler.unit)
            }
            table {
                thead { tr { th { "Part" } th.n { "No." } th { "Name" } th.n { "Length" } th { "Remarks" } } }
                tbody { @for line in &strip.lines { tr {
                    td { (ids(&line.parts)) }
                    td.n { (line.count()) }
                    td { (name(line)) }
                    td.n { (ruler.figure(line.finished[0])) }
                    td { (remarks(line)) }
                } } }
            }
        }
    }
}

fn glass(takeoff: &Takeoff, ruler: &Ruler, unit: Unit) -> Markup {
    let count: usize = takeoff.panes.iter().map(|l| l.panes.len()).sum();
    html! {
        h2 { "Glass" }
        table {
            thead { tr {
                th { "Pane" } th.n { "No." } th.n { "Length" } th.n { "Width" } th.n { "Thick" } th { "For" }
            } }
            tbody { @for line in &takeoff.panes { tr {
                td { (runs(line.panes.iter().map(String::as_str))) }
                td.n { (line.panes.len()) }
                @for size in line.size { td.n { (ruler.figure(size)) } }
                td { (line.assemblies.join(", ")) }
            } } }
            tfoot { tr {
                td {} td.n { (count) }
                td colspan="4" { (if count == 1 { "pane" } else { "panes" }) ", " (takeoff.glass().figure(Form::Sheet, unit)) " " (bought_by(Form::Sheet, unit)) }
            } }
        }
        p.caution {
            "Measure the rabbets of the finished doors before the glass is ordered. Cut edges are sharp: gloves and eye "
            "protection. Whether safety glass is called for where the piece will stand is for the local code to say."
        }
    }
}

fn fittings(takeoff: &Takeoff) -> Markup {
    html! {
        h2 { "Fittings" }
        table {
            thead { tr { th.n { "No." } th { "Fitting" } th { "To ask for" } th { "Parts" } } }
            tbody { @for line in &takeoff.fittings { tr {
                td.n { (line.count) }
                td { (capital(line.kind)) }
                td { (line.spec) }
                td { (ids(&line.parts)) }
            } } }
        }
        p.note { "Have the fittings in hand before gains and holes are cut, and measure them." }
    }
}

fn name(line: &Line) -> String {
    if line.assembly.is_empty() || line.assembly == "case" || line.name.contains(&line.assembly) {
        return line.name.clone();
    }
    format!("{}: {}", line.assembly, line.name)
}

fn remarks(line: &Line) -> String {
    if line.mirrored > 0 { format!("{} mirrored", line.mirrored) } else { String::new() }
}

fn ids(parts: &[PartId]) -> String {
    let ids: Vec<String> = parts.iter().map(ToString::to_string).collect();
    runs(ids.iter().map(String::as_str))
}

/// Ids with runs drawn together: `P01–P04, P09`.
pub fn runs<'a>(ids: impl Iterator<Item = &'a str>) -> String {
    let number = |id: &str| id.trim_start_matches(|c: char| !c.is_ascii_digit()).parse::<u64>().ok();
    let mut runs: Vec<Vec<&str>> = Vec::new();
    for id in ids {
        match runs.last_mut() {
            Some(run) if run.last().and_then(|last| number(last)).map(|n| n + 1) == number(id) => run.push(id),
            _ => runs.push(vec![id]),
        }
    }
    let text = |run: &Vec<&str>| match run.as_slice() {
        [first, _, .., last] => format!("{first}–{last}"),
        few => few.join(", "),
    };
    runs.iter().map(text).collect::<Vec<_>>().join(", ")
}

/// With a capital letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_three_and_more_are_drawn_together() {
        assert_eq!(runs(["P01", "P02", "P03", "P07", "P09", "P10"].into_iter()), "P01–P03, P07, P09, P10");
        assert_eq!(runs(["G01"].into_iter()), "G01");
    }
}
