//! The reference page of designs and orders, in Markdown, written from their shapes: every table with its keys, what
//! each takes, its default and its meaning.

use std::fmt::Write as _;

use crate::design::design_shape;
use crate::order::order_shape;
use crate::shape::{ChoiceShape, FieldShape, Shape, TableShape};

const HEAD: &str = "\
# Designs and orders

This page is made from the program's own definitions (`crates/design`); a test keeps it current.
The same definitions make the JSON Schemas [design.schema.json](design.schema.json) and [order.schema.json](order.schema.json), for editors that complete and check as one types.

## How values are written

Both files are [TOML](https://toml.io).

- **A length** is a text with its unit: `\"41 7/8 in\"`, `\"3 ft 5 7/8 in\"`, `\"1064 mm\"`, `\"106.4 cm\"`, `\"1.2 m\"`.
  Lengths are exact to the nanometre. A number without a unit is a fault, and so is a measure that comes to less than nothing.
- **A temperature**, **a percentage** or **a weight** is a text with its unit too: `\"68 F\"` or `\"20 C\"`, `\"45 %\"`, `\"60 kg\"` or `\"130 lb\"`.
- **A formula** may stand wherever a length or a count belongs: `\"2 * width\"`, `\"(height - 3 in) / rows\"`, `\"min(depth, 16 in)\"`.
  It knows `+ - * / ( )`, `min`, `max` and `floor`, and the names of parameters and sizes.
  A length times a number is a length, a length over a length a number; a length plus a number, or a length times a length, is a fault.
  A fraction has no space round its bar: `3/4 in` is a length, `width / 4` a division.
  A hyphen joins a whole number and its fraction, or feet and inches, only where no space stands beside it.
- **A word** out of a few may in a design also be the name of a choice that holds it: `kind = \"end_panels\"`.
  A text may be the name of a text or a choice.
- **An optional table**, and each table of a list, may be switched off by a key `when`: `true` or `false`, a switch, or a formula for a count or a length that is not zero.
";

const SIZES: &str = "\
A parameter is a length, a count, a number, a switch, a choice or a text. Its default, `least` and `most` may be formulas over other parameters, as long as none is worked out from itself.
A name is small letters, digits and `_`; units and the names of functions are taken.
";

/// The page.
pub fn reference_page() -> String {
    let mut page = Page { out: String::from(HEAD), described: Vec::new() };
    page.out.push_str("\n## A design file\n\n");
    page.out.push_str(SIZES);
    page.tables(&design_shape(), "");
    page.out.push_str("\n## An order file\n");
    page.tables(&order_shape(), "");
    page.out
}

struct Page {
    out: String,
    /// Tables and choices that have been described, by name, and where.
    described: Vec<(&'static str, String)>,
}

impl Page {
    /// The table at `path`, and all below it.
    fn tables(&mut self, shape: &Shape, path: &str) {
        self.tables_headed(shape, path, ["[", "]"]);
    }

    fn tables_headed(&mut self, shape: &Shape, path: &str, brackets: [&str; 2]) {
        match shape {
            Shape::Optional(inner) => self.tables_headed(inner, path, brackets),
            Shape::List(inner) => self.tables_headed(inner, path, ["[[", "]]"]),
            Shape::Map(inner) => self.tables(inner, &format!("{path}.NAME")),
            Shape::Table(table) if self.home(table.name).is_none() => {
                self.table(table, path, brackets);
                self.described.push((table.name, path.trim_start_matches('.').to_owned()));
                for field in &table.fields {
                    self.tables(&field.shape, &format!("{path}.{}", field.key));
                }
            }
            _ => {}
        }
    }

    fn table(&mut self, table: &TableShape, path: &str, [open, close]: [&str; 2]) {
        let heading = match path.strip_prefix('.') {
            None => String::from("The file itself"),
            Some(path) => format!("`{open}{path}{close}`"),
        };
        // Writing to a string cannot fail.
        let _ = write!(self.out, "\n### {heading}\n\n{}\n\n", table.about);
        self.out.push_str("| key | takes | default | meaning |\n|---|---|---|---|\n");
        for field in &table.fields {
            let meaning = format!("{}{}", field.about, self.words(&field.shape));
            let row = [format!("`{}`", field.key), self.takes(&field.shape), default(field), meaning];
            let _ = writeln!(self.out, "| {} |", row.map(|cell| cell.replace('|', "\\|")).join(" | "));
        }
    }

    /// Where a table or a choice has been described.
    fn home(&self, name: &str) -> Option<&str> {
        self.described.iter().find(|(described, _)| *described == name).map(|(_, path)| path.as_str())
    }

    fn takes(&self, shape: &Shape) -> String {
        match shape {
            Shape::Length => String::from("length"),
            Shape::Count => String::from("count"),
            Shape::Text => String::from("text"),
            Shape::Date => String::from("date, `YYYY-MM-DD`"),
            Shape::Measure(measure) => measure.name.into(),
            Shape::Any => String::from("value"),
            Shape::Choice(choice) => {
                let words: Vec<String> = choice.words.iter().map(|(word, _)| format!("`{word}`")).collect();
                words.join(", ")
            }
            Shape::Table(table) => match self.home(table.name) {
                Some(home) => format!("table, as [`[{home}]`](#{})", home.replace(['.', ' '], "").to_lowercase()),
                None => String::from("table"),
            },
            Shape::Optional(inner) => self.takes(inner),
            Shape::List(inner) => format!("list, each a {}", self.takes(inner)),
            Shape::Map(inner) => format!("names, each with a {}", self.takes(inner)),
        }
    }

    /// The words of a choice with their meanings, the first time that it comes.
    fn words(&mut self, shape: &Shape) -> String {
        let Some(choice) = choice(shape) else { return String::new() };
        if self.home(choice.name).is_some() {
            return String::new();
        }
        self.described.push((choice.name, String::new()));
        choice.words.iter().map(|(word, about)| format!("<br>`{word}`: {about}")).collect()
    }
}

fn choice(shape: &Shape) -> Option<&ChoiceShape> {
    match shape {
        Shape::Choice(choice) => Some(choice),
        Shape::Optional(inner) | Shape::List(inner) => choice(inner),
        _ => None,
    }
}

fn default(field: &FieldShape) -> String {
    match field.default {
        Some(text) => format!("`{text}`"),
        None if matches!(field.shape, Shape::Table(_)) && field.shape.may_be_absent() => String::from("its defaults"),
        None if field.shape.may_be_absent() => String::from("none"),
        None => String::from("must be given"),
    }
}
