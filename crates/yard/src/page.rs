//! The rough list and the buying list as pages to read and print.

use case::{Case, Form, Level, OrderInfo, PartId};
use maud::{Markup, html};
use measure::{Length, Ruler};
use takeoff::{Strip, Takeoff, bought_by, capital, runs};

use crate::allowance::Allowances;
use crate::csv::money;
use crate::{Bought, Buying, Group, Plan, RoughLine};

/// The rough list: what is sawn out for each part, and from what.
pub fn rough_page(plan: &Plan, case: &Case) -> String {
    let ruler = &case.order.ruler;
    let body = html! {
        p.note {
            "Rough sizes in " (unit(ruler)) ", length along the grain, allowances included. What is marked on a piece is the "
            "number of its part; letters tell the pieces of a part apart, and these come from one board."
        }
        @for group in &plan.groups { (rough_table(group, ruler)) }
        (allowances(plan, ruler))
    };
    page::page("Rough list", &particulars(&case.order), &body)
}

fn rough_table(group: &Group, ruler: &Ruler) -> Markup {
    let pieces: usize = group.lines().iter().map(RoughLine::pieces).sum();
    html! {
        h2 { (capital(&group.material().to_string())) ", " (group.stock().name(ruler)) }
        table {
            thead { tr {
                th { "Part" } th { "Name" } th.n { "Finished" } th.n { "Pieces" } th.n { "Rough" } th { "Face" } th { "Remarks" }
            } }
            tbody { @for line in group.lines() { tr {
                td { (ids(&line.parts)) }
                td { (name(line)) }
                td.n { @for (i, size) in line.finished.iter().enumerate() { @if i > 0 { " × " } (ruler.figure(*size)) } }
                td.n { (line.pieces()) }
                td.n { (ruler.figure(line.rough[0])) " × " (ruler.figure(line.rough[1])) }
                td { @if line.shows { "shows" } @else { "one hidden" } }
                td { (remarks(line)) }
            } } }
            tfoot { tr { td {} td {} td {} td.n { (pieces) } td colspan="3" { (if pieces == 1 { "piece" } else { "pieces" }) } } }
        }
    }
}

fn name(line: &RoughLine) -> String {
    if line.assembly.is_empty() || line.assembly == "case" || line.name.contains(&line.assembly) {
        return line.name.clone();
    }
    format!("{}: {}", line.assembly, line.name)
}

fn remarks(line: &RoughLine) -> String {
    let mut remarks = Vec::new();
    if line.book {
        remarks.push(String::from("resawn in two leaves, bookmatched"));
    }
    if line.staves > 1 {
        remarks.push(format!("glued up from {} staves", line.staves));
    }
    if line.layers > 1 {
        remarks.push(format!("{} layers", line.layers));
    }
    if line.strip {
        let marks: Vec<&str> = line.sets.iter().flatten().map(String::as_str).collect();
        remarks.push(format!("marked {}", marks.join(", ")));
    }
    remarks.join("; ")
}

fn allowances(plan: &Plan, ruler: &Ruler) -> Markup {
    let a = Allowances::of(plan.unit);
    let show = |l: Length| ruler.show(l);
    html! {
        h2 { "Allowances" }
        ul {
            li { "Solid wood: " (show(a.length)) " on the length; " (show(a.width)) " on the width of each piece. A part wider than "
                (show(a.widest_stave)) ", or than the boards allow, is glued up." }
            li { "Thickness: the thinnest board that still yields the part when both faces are planed ("
                @for (i, rung) in a.ladder.iter().enumerate() {
                    @if i > 0 { ", " } (rung.name) " to " (show(a.planed(rung.nominal)))
                } ")." }
            li { "Bookmatched panels: a board is sawn in two leaves; " (show(a.resaw_kerf)) " for the kerf, and " (show(a.resaw_skim))
                " planed off each sawn face." }
            li { "Sheet: " (show(a.sheet)) " on both sizes, or what a router's bit and the webs need." }
            li { "Running stock: " (show(a.strip_end)) " on each length, in strips of " (show(a.strip)) " at most." }
            li { "Rough sizes are rounded up to " (show(a.step)) "." }
            li { "A face does not show if it looks to the back or down, but for doors and for undersides above a sitting person's "
                "eyes. A part with such a face may be laid over a flaw that can be filled; turn the flaw to that face." }
        }
    }
}

/// Edging, beads and the like by the length: sawn from the boards above, or bought ready made.
fn running(takeoff: &Takeoff, ruler: &Ruler) -> Markup {
    let long = |strip: &Strip| -> Length {
        strip.lines.iter().map(|l| l.finished[0] * i64::try_from(l.count()).unwrap_or(i64::MAX)).sum()
    };
    html! {
        @if !takeoff.strips.is_empty() {
            h2 { "Running stock" }
            table {
                thead { tr { th { "For" } th { "Wood" } th.n { "Section" } th.n { "Pieces" } th.n { "Length" } } }
                tbody { @for strip in &takeoff.strips { tr {
                    td { (capital(strip.name)) }
                    td { (strip.material.to_string()) }
                    td.n { (ruler.figure(strip.section[0])) " × " (ruler.figure(strip.section[1])) }
                    td.n { (strip.lines.iter().map(takeoff::Line::count).sum::<usize>()) }
                    td.n { (ruler.figure(long(strip))) }
                } } }
            }
            p.note { "Its wood is in the boards above; lengths are finished ones, without what the saw takes." }
        }
    }
}

/// The buying list: boards, sheets, glass, fittings and finish.
pub fn buying_page(plan: &Plan, buying: &Buying, takeoff: &Takeoff, case: &Case) -> String {
    let order = &case.order;
    let ruler = &order.ruler;
    let findings = plan.findings(case);
    let body = html! {
        @if plan.rack.is_none() {
            p.note { "No stock file was given: everything is bought, in boards and sheets of the sizes named below." }
        }
        @for finding in findings.iter().filter(|f| f.level == Level::Caution) {
            p.caution { strong { (capital(&finding.what)) ". " } (capital(&finding.figure)) ". " (capital(&finding.advice)) "." }
        }
        h2 { "Boards and sheets" }
        (boards(plan, buying, order))
        p.note {
            "Waste is the share of these boards that the layouts leave neither as a piece nor as an offcut of "
            (ruler.show(plan.sawing.keep.0)) " × " (ruler.show(plan.sawing.keep.1)) " or more. Boards are never all clear: "
            "choose them with the layouts in hand, and lay out anew what you bring home."
        }
        (running(takeoff, ruler))
        (glass(takeoff, order))
        @if !takeoff.fittings.is_empty() {
            h2 { "Fittings" }
            table {
                thead { tr { th.n { "No." } th { "Fitting" } th { "To ask for" } } }
                tbody { @for line in &takeoff.fittings { tr {
                    td.n { (line.count) } td { (capital(line.kind)) } td { (line.spec) }
                } } }
            }
        }
        h2 { "Finish" }
        p {
            (capital(&buying.finish.name)) ": " (format!("{:.1} m² ({:.0} sq ft)", buying.area, buying.area / SQUARE_FOOT)) " of wood, "
            (buying.finish.coats) " coats at " (buying.finish.coverage) " m² to the litre: "
            (format!("{:.1} l", buying.litres())) ". All faces of the blanks are counted; the tin says how far it goes."
        }
        p.caution {
            "Rags wet with drying oil can catch fire by themselves: soak them in water or spread them out flat, out of doors. "
            "Keep finishes from flames, and see to fresh air."
        }
    };
    page::page("Buying list", &particulars(order), &body)
}

/// In square metres, exact.
const SQUARE_FOOT: f64 = 0.092_903_04;

fn boards(plan: &Plan, buying: &Buying, order: &OrderInfo) -> Markup {
    let rack = plan.rack.as_ref();
    let priced = buying.rows.iter().any(|r| r.price.is_some() || (r.at_hand.0 > 0 && r.at_hand.2.is_some()));
    let currency = rack.map_or("", |rack| rack.currency.as_str());
    html! {
        table {
            thead { tr {
                th { "Material" } th { "Stock" } th.n { "Finished" } th.n { "Rough" }
                @if rack.is_some() { th.n { "From the rack" } }
                th.n { "To buy" } th { "" } th { "In boards of" } th.n { "Waste" }
                @if priced { th.n { "Price " (currency) } }
            } }
            tbody { @for row in &buying.rows { (board_row(row, rack.is_some(), priced, order)) } }
        }
        (bounds(plan, &order.ruler))
    }
}

fn board_row(row: &Bought, rack: bool, priced: bool, order: &OrderInfo) -> Markup {
    let form = row.material.form;
    let ruler = &order.ruler;
    let figure = |q: &takeoff::Quantity| q.figure(form, order.unit);
    html! { tr {
        td { (capital(&row.material.to_string())) }
        td { (row.stock.name(ruler)) }
        td.n { (figure(&row.net)) }
        td.n { (figure(&row.rough)) }
        @if rack {
            td.n { @if row.at_hand.0 > 0 { (figure(&row.at_hand.1)) " in " (row.at_hand.0) } @else { "–" } }
        }
        td.n { @if row.buy.is_empty() { "–" } @else { strong { (figure(&row.to_buy)) } } }
        td { (bought_by(form, order.unit)) }
        td { @for (i, (n, length, width)) in row.buy.iter().enumerate() {
            @if i > 0 { ", " } (n) " of " (ruler.figure(*length)) " × " (ruler.figure(*width))
        } }
        td.n { (format!("{:.0} %", row.waste * 100.0)) }
        @if priced { td.n {
            @if let Some(cost) = row.price { (money(cost.sum)) " (" (format!("{:.2}", cost.amount)) " " (cost.per.name()) ")" }
            @else if let (1.., _, Some(sum)) = row.at_hand { (money(sum)) }
        } }
    } }
}

/// How good the layouts are, in words.
fn bounds(plan: &Plan, ruler: &Ruler) -> Markup {
    html! {
        ul { @for group in &plan.groups { @if let Some(gap) = group.gap() { li {
            (capital(&group.material().to_string())) ", " (group.stock().name(ruler)) ": "
            @if gap <= 0.0 { "nothing can be saved; it is proven that no layout of these pieces takes less." }
            @else {
                "any layout of these pieces takes at least " (format!("{:.0} %", ((1.0 - gap) * 100.0).floor()))
                " of these boards, so that at most " (format!("{:.0} %", (gap * 100.0).ceil()))
                " could be saved; in truth less, since the bound knows more of areas than of how pieces lie side by side."
            }
        } } } }
    }
}

fn glass(takeoff: &Takeoff, order: &OrderInfo) -> Markup {
    html! {
        @if !takeoff.panes.is_empty() {
            h2 { "Glass" }
            table {
                thead { tr { th.n { "No." } th { "Size" } th.n { "Thick" } th { "For" } } }
                tbody { @for line in &takeoff.panes { tr {
                    td.n { (line.panes.len()) }
                    td { (order.ruler.figure(line.size[0])) " × " (order.ruler.figure(line.size[1])) }
                    td.n { (order.ruler.figure(line.size[2])) }
                    td { (line.assemblies.join(", ")) }
                } } }
                tfoot { tr { td colspan="4" { (takeoff.glass().figure(Form::Sheet, order.unit)) " " (bought_by(Form::Sheet, order.unit)) } } }
            }
        }
    }
}

fn particulars(order: &OrderInfo) -> [(&str, &str); 6] {
    let [revision, date] = order.issue();
    [
        ("Order", &order.number),
        ("Piece", &order.title),
        ("For", &order.customer),
        ("By", &order.maker),
        ("Revision", revision),
        ("Date", date),
    ]
}

fn unit(ruler: &Ruler) -> &'static str {
    match ruler.unit {
        measure::Unit::Inch => "inches",
        measure::Unit::Millimetre => "millimetres",
    }
}

fn ids(parts: &[PartId]) -> String {
    let ids: Vec<String> = parts.iter().map(ToString::to_string).collect();
    runs(ids.iter().map(String::as_str))
}
