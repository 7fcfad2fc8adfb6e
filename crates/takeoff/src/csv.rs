//! The lists for spreadsheets: RFC 4180, one header row, sizes as plain decimals in the unit that the row names.
//!
//! Sizes are exact: 1/64 in and 0.001 mm both end within six decimals.

use ::csv::{Terminator, WriterBuilder};
use case::{Form, OrderInfo, PartId};
use measure::{Length, Unit};
use serde::Serialize;

use crate::list::{Line, Takeoff};

#[derive(Serialize)]
struct CutRow<'a> {
    parts: String,
    name: &'a str,
    assembly: &'a str,
    count: usize,
    mirrored: usize,
    material: String,
    form: &'static str,
    unit: String,
    length: String,
    width: String,
    thickness: String,
    running: &'static str,
}

/// The cut list: a row for each kind of part, pieces of running stock last.
pub fn cut_list(takeoff: &Takeoff, order: &OrderInfo) -> String {
    let unit = order.unit;
    let row = |l: &Line| CutRow {
        parts: ids(&l.parts),
        name: "",
        assembly: "",
        count: l.count(),
        mirrored: l.mirrored,
        material: String::new(),
        form: "solid",
        unit: unit.to_string(),
        length: decimal(l.finished[0], unit),
        width: decimal(l.finished[1], unit),
        thickness: decimal(l.finished[2], unit),
        running: "",
    };
    let boards = takeoff.groups.iter().flat_map(|g| {
        g.lines.iter().map(|l| CutRow {
            name: &l.name,
            assembly: &l.assembly,
            material: g.material.to_string(),
            form: if g.material.form == Form::Solid { "solid" } else { "sheet" },
            ..row(l)
        })
    });
    let strips = takeoff.strips.iter().flat_map(|s| {
        s.lines.iter().map(|l| CutRow {
            name: &l.name,
            assembly: &l.assembly,
            material: s.material.to_string(),
            running: s.name,
            ..row(l)
        })
    });
    table(boards.chain(strips))
}

#[derive(Serialize)]
struct GlassRow {
    panes: String,
    count: usize,
    unit: String,
    length: String,
    width: String,
    thickness: String,
    for_assembly: String,
}

/// The glass, a row for each size.
pub fn glass(takeoff: &Takeoff, order: &OrderInfo) -> String {
    table(takeoff.panes.iter().map(|l| GlassRow {
        panes: l.panes.join(" "),
        count: l.panes.len(),
        unit: order.unit.to_string(),
        length: decimal(l.size[0], order.unit),
        width: decimal(l.size[1], order.unit),
        thickness: decimal(l.size[2], order.unit),
        for_assembly: l.assemblies.join(", "),
    }))
}

#[derive(Serialize)]
struct FittingRow<'a> {
    kind: &'a str,
    specification: &'a str,
    count: usize,
    parts: String,
}

/// The bought things, a row for each kind and specification.
pub fn fittings(takeoff: &Takeoff) -> String {
    table(takeoff.fittings.iter().map(|l| FittingRow {
        kind: l.kind,
        specification: &l.spec,
        count: l.count,
        parts: ids(&l.parts),
    }))
}

fn ids(parts: &[PartId]) -> String {
    parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

fn table<R: Serialize>(rows: impl Iterator<Item = R>) -> String {
    let mut out = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        out.serialize(row).expect("memory takes every row, and all rows of a table have the same fields");
    }
    let bytes = out.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("text in, text out")
}

/// A length as a plain decimal in a unit: all digits up to the sixth, without trailing zeros.
pub fn decimal(length: Length, unit: Unit) -> String {
    let millionths = match unit {
        Unit::Millimetre => length.nm(),
        // 25.4 mm to the inch; halves of a millionth go up.
        Unit::Inch => (length.nm() * 10 + 127).div_euclid(254),
    };
    let sign = if millionths < 0 { "-" } else { "" };
    let digits = format!("{sign}{}.{:06}", millionths.abs() / 1_000_000, millionths.abs() % 1_000_000);
    digits.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{inches, mm};

    #[test]
    fn decimals_are_exact_where_the_ruler_is() {
        assert_eq!(decimal(inches(2681, 64), Unit::Inch), "41.890625");
        assert_eq!(decimal(mm(1064), Unit::Millimetre), "1064");
        assert_eq!(decimal(Length::from_nm(1_000), Unit::Millimetre), "0.001");
        assert_eq!(decimal(Length::ZERO, Unit::Inch), "0");
    }
}
