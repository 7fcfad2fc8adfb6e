//! The rough list and the buying list for spreadsheets: RFC 4180, one header row, sizes as plain decimals in the unit that
//! the row names.

use ::csv::{Terminator, WriterBuilder};
use case::{Form, OrderInfo};
use serde::Serialize;
use takeoff::{bought_by, decimal};

use crate::{Buying, Plan};

#[derive(Serialize)]
struct RoughRow<'a> {
    parts: String,
    name: &'a str,
    assembly: &'a str,
    material: String,
    form: &'static str,
    stock: String,
    unit: String,
    pieces: usize,
    rough_length: String,
    rough_width: String,
    staves: usize,
    layers: usize,
    bookmatched: bool,
    shows: bool,
    marks: String,
}

/// The rough list: a row for each kind of part and each section of running stock.
pub fn rough_list(plan: &Plan, order: &OrderInfo) -> String {
    table(plan.groups.iter().flat_map(|group| {
        group.lines().iter().map(move |line| RoughRow {
            parts: line.parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
            name: &line.name,
            assembly: &line.assembly,
            material: group.material().to_string(),
            form: form(group.material().form),
            stock: group.stock().name(&order.ruler),
            unit: order.unit.to_string(),
            pieces: line.pieces(),
            rough_length: decimal(line.rough[0], order.unit),
            rough_width: decimal(line.rough[1], order.unit),
            staves: line.staves,
            layers: line.layers,
            bookmatched: line.book,
            shows: line.shows,
            marks: line.sets.iter().flatten().cloned().collect::<Vec<_>>().join(" "),
        })
    }))
}

#[derive(Serialize)]
struct BuyingRow {
    material: String,
    form: &'static str,
    stock: String,
    quantity_unit: &'static str,
    finished: String,
    rough: String,
    boards_at_hand: usize,
    at_hand: String,
    boards_to_buy: usize,
    to_buy: String,
    waste_percent: String,
    sold_by: &'static str,
    amount: String,
    price: String,
}

/// Boards and sheets: a row for each material and thickness.
pub fn buying_list(buying: &Buying, order: &OrderInfo) -> String {
    table(buying.rows.iter().map(|row| {
        let kind = row.material.form;
        let figure = |q: &takeoff::Quantity| q.figure(kind, order.unit);
        BuyingRow {
            form: form(kind),
            stock: row.stock.name(&order.ruler),
            quantity_unit: bought_by(kind, order.unit),
            finished: figure(&row.net),
            rough: figure(&row.rough),
            boards_at_hand: row.at_hand.0,
            at_hand: figure(&row.at_hand.1),
            boards_to_buy: row.buy.iter().map(|b| b.0).sum(),
            to_buy: figure(&row.to_buy),
            waste_percent: format!("{:.0}", row.waste * 100.0),
            sold_by: row.price.map_or("", |p| p.per.name()),
            amount: row.price.map_or_else(String::new, |p| format!("{:.2}", p.amount)),
            price: row.price.map_or_else(String::new, |p| money(p.sum)),
            material: row.material.to_string(),
        }
    }))
}

/// Hundredths as a sum of money.
pub(crate) fn money(hundredths: i64) -> String {
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

const fn form(form: Form) -> &'static str {
    match form {
        Form::Solid => "solid",
        Form::Sheet => "sheet",
    }
}

fn table<R: Serialize>(rows: impl Iterator<Item = R>) -> String {
    let mut out = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        out.serialize(row).expect("memory takes every row, and all rows of a table have the same fields");
    }
    let bytes = out.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("text in, text out")
}
