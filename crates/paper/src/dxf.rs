//! Outlines as DXF, for those who cut elsewhere: closed outlines with true arcs, in layers, in the order's unit.
//!
//! The dialect is `AC1015`, of the year 2000, which every program reads: an outline is an `LWPOLYLINE` whose arcs are
//! bulges, a full circle a `CIRCLE`, a single arc an `ARC`. `$INSUNITS` says the unit. There are no sheets here and
//! no pens: what a line means is the name of its layer.

use std::collections::BTreeMap;
use std::fmt::{Display, Write as _};

use measure::Unit;

use crate::number::number;
use crate::scene::{At, Path};
use crate::text::{Anchor, Text};

/// Decimals of a coordinate: a nanometre, and less in inches.
const PLACES: u32 = 6;
/// Decimals of a bulge and of an angle in degrees: on a chord of a metre a nanometre.
const FINE: u32 = 9;

/// Handles of what every file holds; those of the entities follow.
const BLOCKS: [u32; 2] = [0x1f, 0x1b];
const ROOT: u32 = 0xc;
const GROUPS: u32 = 0xd;
const FIRST: u32 = 0x100;

/// A drawing that grows.
#[derive(Clone, Debug)]
pub struct Dxf {
    unit: Unit,
    /// Names with the numbers of their colours, 1 to 7.
    layers: BTreeMap<String, u8>,
    entities: String,
    next: u32,
}

impl Dxf {
    /// An empty drawing in a unit.
    pub const fn new(unit: Unit) -> Self {
        Self { unit, layers: BTreeMap::new(), entities: String::new(), next: FIRST }
    }

    /// Draws a path, mm, in a layer. Letters and digits of the layer's name are kept, in capitals, and `-`, `_` and
    /// `.`; other characters become `-`.
    pub fn draw(&mut self, layer: &str, path: &Path) {
        match path.vertices.as_slice() {
            [(a, 1.0), (b, 1.0)] if path.closed => {
                let centre = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
                let radius = libm::hypot(b[0] - a[0], b[1] - a[1]) / 2.0;
                self.begin("CIRCLE", layer, "AcDbCircle");
                self.point(10, centre);
                self.length(40, radius);
            }
            [(a, 0.0), (b, _)] if !path.closed => {
                self.begin("LINE", layer, "AcDbLine");
                self.point(10, *a);
                self.point(11, *b);
            }
            [(from, bulge), (to, _)] if !path.closed => {
                let segment = case::Segment { from: *from, to: *to, bulge: *bulge };
                if let Some(arc) = segment.arc() {
                    self.arc(layer, &arc);
                }
            }
            [_, _, ..] => self.polyline(layer, path),
            _ => {}
        }
    }

    /// A full turn is never asked for; arcs of a DXF run counter-clockwise.
    fn arc(&mut self, layer: &str, arc: &case::Arc) {
        let ends = [arc.start, arc.start + arc.sweep].map(|a| a.to_degrees().rem_euclid(360.0));
        let [from, to] = if arc.sweep > 0.0 { ends } else { [ends[1], ends[0]] };
        self.begin("ARC", layer, "AcDbCircle");
        self.point(10, arc.centre);
        self.length(40, arc.radius);
        self.pair(100, "AcDbArc");
        self.pair(50, number(from, FINE));
        self.pair(51, number(to, FINE));
    }

    fn polyline(&mut self, layer: &str, path: &Path) {
        self.begin("LWPOLYLINE", layer, "AcDbPolyline");
        self.pair(90, path.vertices.len());
        self.pair(70, u8::from(path.closed));
        for ([x, y], bulge) in &path.vertices {
            self.length(10, *x);
            self.length(20, *y);
            if *bulge != 0.0 {
                self.pair(42, number(*bulge, FINE));
            }
        }
    }

    /// Letters a text in a layer; fractions stay in a line.
    pub fn letter(&mut self, layer: &str, text: &Text) {
        if text.content.trim().is_empty() {
            return;
        }
        self.begin("TEXT", layer, "AcDbText");
        self.point(10, text.at);
        self.length(40, text.height);
        self.pair(1, escaped(&text.content));
        if text.angle != 0.0 {
            self.pair(50, number(text.angle, PLACES));
        }
        let side = match text.anchor {
            Anchor::Start => 0,
            Anchor::Middle => 1,
            Anchor::End => 2,
        };
        if side > 0 {
            self.pair(72, side);
            self.point(11, text.at);
        }
        self.pair(100, "AcDbText");
    }

    fn begin(&mut self, entity: &str, layer: &str, class: &str) {
        let layer = layer_name(layer);
        let colours = u8::try_from(self.layers.len() % 6).unwrap_or(0);
        self.layers.entry(layer.clone()).or_insert(colours + 1);
        self.pair(0, entity);
        let handle = format!("{:X}", self.next);
        self.next += 1;
        self.pair(5, handle);
        self.pair(330, format!("{:X}", BLOCKS[0]));
        self.pair(100, "AcDbEntity");
        self.pair(8, layer);
        self.pair(100, class);
    }

    fn pair(&mut self, code: u16, value: impl Display) {
        pair(&mut self.entities, code, value);
    }

    fn point(&mut self, code: u16, [x, y]: At) {
        self.length(code, x);
        self.length(code + 10, y);
        self.pair(code + 20, 0);
    }

    fn length(&mut self, code: u16, mm: f64) {
        let (unit, places) = match self.unit {
            Unit::Inch => (25.4, PLACES + 2),
            Unit::Millimetre => (1.0, PLACES),
        };
        self.pair(code, number(mm / unit, places));
    }

    /// The file.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let (insertion, metric) = match self.unit {
            Unit::Inch => (1, 0),
            Unit::Millimetre => (4, 1),
        };
        section(&mut out, "HEADER", |s| {
            for (name, code, value) in [
                ("$ACADVER", 1, "AC1015".to_owned()),
                ("$DWGCODEPAGE", 3, "ANSI_1252".into()),
                ("$HANDSEED", 5, format!("{:X}", self.next)),
                ("$INSUNITS", 70, insertion.to_string()),
                ("$MEASUREMENT", 70, metric.to_string()),
            ] {
                pair(s, 9, name);
                pair(s, code, value);
            }
        });
        section(&mut out, "CLASSES", |_| {});
        section(&mut out, "TABLES", |s| self.tables(s));
        section(&mut out, "BLOCKS", |s| {
            for (i, name) in BLOCK_NAMES.into_iter().enumerate() {
                let handle = 0x20 + 2 * i;
                for (kind, class, handle) in
                    [("BLOCK", "AcDbBlockBegin", handle), ("ENDBLK", "AcDbBlockEnd", handle + 1)]
                {
                    object(s, kind, format_args!("{handle:X}"), BLOCKS[i], &["AcDbEntity"]);
                    pair(s, 8, "0");
                    pair(s, 100, class);
                    if kind == "BLOCK" {
                        for (code, value) in [(2, name), (70, "0"), (10, "0"), (20, "0"), (30, "0"), (3, name), (1, "")]
                        {
                            pair(s, code, value);
                        }
                    }
                }
            }
        });
        section(&mut out, "ENTITIES", |s| s.push_str(&self.entities));
        section(&mut out, "OBJECTS", |s| {
            object(s, "DICTIONARY", format_args!("{ROOT:X}"), 0, &["AcDbDictionary"]);
            pair(s, 281, 1);
            pair(s, 3, "ACAD_GROUP");
            pair(s, 350, format_args!("{GROUPS:X}"));
            object(s, "DICTIONARY", format_args!("{GROUPS:X}"), ROOT, &["AcDbDictionary"]);
            pair(s, 281, 1);
        });
        pair(&mut out, 0, "EOF");
        out
    }

    /// The tables that the format wants, most of them empty, and the layers.
    fn tables(&self, s: &mut String) {
        table(s, "VPORT", 0x8, 0);
        end_table(s);
        let types = ["ByBlock", "ByLayer", "Continuous"];
        table(s, "LTYPE", 0x5, types.len());
        for (name, handle) in types.into_iter().zip(0x14_u32..) {
            object(s, "LTYPE", format_args!("{handle:X}"), 0x5, &["AcDbSymbolTableRecord", "AcDbLinetypeTableRecord"]);
            for (code, value) in [(2, name), (70, "0"), (3, ""), (72, "65"), (73, "0"), (40, "0")] {
                pair(s, code, value);
            }
        }
        end_table(s);
        table(s, "LAYER", 0x2, self.layers.len() + 1);
        let zero = ("0".to_owned(), 7);
        let all = std::iter::once((&zero.0, &zero.1)).chain(&self.layers);
        for ((name, colour), handle) in all.zip(0x40_u32..) {
            object(s, "LAYER", format_args!("{handle:X}"), 0x2, &["AcDbSymbolTableRecord", "AcDbLayerTableRecord"]);
            pair(s, 2, name);
            pair(s, 70, 0);
            pair(s, 62, colour);
            pair(s, 6, "Continuous");
        }
        end_table(s);
        table(s, "STYLE", 0x3, 1);
        object(s, "STYLE", "11", 0x3, &["AcDbSymbolTableRecord", "AcDbTextStyleTableRecord"]);
        for (code, value) in
            [(2, "Standard"), (70, "0"), (40, "0"), (41, "1"), (50, "0"), (71, "0"), (42, "1"), (3, "txt"), (4, "")]
        {
            pair(s, code, value);
        }
        end_table(s);
        for (name, handle) in [("VIEW", 0x6), ("UCS", 0x7)] {
            table(s, name, handle, 0);
            end_table(s);
        }
        table(s, "APPID", 0x9, 1);
        object(s, "APPID", "12", 0x9, &["AcDbSymbolTableRecord", "AcDbRegAppTableRecord"]);
        pair(s, 2, "ACAD");
        pair(s, 70, 0);
        end_table(s);
        table(s, "DIMSTYLE", 0xa, 0);
        pair(s, 100, "AcDbDimStyleTable");
        end_table(s);
        table(s, "BLOCK_RECORD", 0x1, BLOCKS.len());
        for (name, handle) in BLOCK_NAMES.into_iter().zip(BLOCKS) {
            object(
                s,
                "BLOCK_RECORD",
                format_args!("{handle:X}"),
                0x1,
                &["AcDbSymbolTableRecord", "AcDbBlockTableRecord"],
            );
            pair(s, 2, name);
        }
        end_table(s);
    }
}

const BLOCK_NAMES: [&str; 2] = ["*Model_Space", "*Paper_Space"];

fn pair(out: &mut String, code: u16, value: impl Display) {
    // Writing to a text cannot fail.
    let _ = write!(out, "{code:>3}\n{value}\n");
}

fn section(out: &mut String, name: &str, fill: impl FnOnce(&mut String)) {
    pair(out, 0, "SECTION");
    pair(out, 2, name);
    fill(out);
    pair(out, 0, "ENDSEC");
}

fn table(out: &mut String, name: &str, handle: u32, records: usize) {
    pair(out, 0, "TABLE");
    pair(out, 2, name);
    pair(out, 5, format_args!("{handle:X}"));
    pair(out, 330, 0);
    pair(out, 100, "AcDbSymbolTable");
    pair(out, 70, records);
}

fn end_table(out: &mut String) {
    pair(out, 0, "ENDTAB");
}

fn object(out: &mut String, kind: &str, handle: impl Display, owner: u32, classes: &[&str]) {
    pair(out, 0, kind);
    pair(out, 5, handle);
    pair(out, 330, format_args!("{owner:X}"));
    for class in classes {
        pair(out, 100, class);
    }
}

fn layer_name(name: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c.to_ascii_uppercase() } else { '-' };
    name.chars().map(plain).collect()
}

/// Without line ends, and what is not ASCII by its number.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            c if c.is_control() => out.push(' '),
            c if c.is_ascii() => out.push(c),
            c => {
                let _ = write!(out, "\\U+{:04X}", u32::from(c));
            }
        }
    }
    out
}
