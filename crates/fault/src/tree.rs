//! A TOML file as a tree of nodes that remember where they stand.
//!
//! Keys keep the order of the file. What a text means is left open: [`Node::map_text`] turns every text into what the
//! asking crate makes of it, once.

use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::{Fault, Faults, Place, Source};

/// A value and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Node<T = String> {
    /// Where it stands, quotes included.
    pub place: Place,
    /// The value.
    pub value: Value<T>,
}

/// What a file can say.
#[derive(Clone, Debug, PartialEq)]
pub enum Value<T = String> {
    /// `"…"`
    Text(T),
    /// `12`
    Integer(i64),
    /// `1.5`, as the file spells it.
    Decimal(String),
    /// `true` or `false`.
    Switch(bool),
    /// `2026-11-02`, with or without a time, as the file spells it.
    Date(String),
    /// `[…]` and `[[…]]`.
    List(Vec<Node<T>>),
    /// `[…]` and `{…}`.
    Table(Table<T>),
    /// What the syntax left unreadable; its fault has been noted.
    Broken,
}

/// The keys of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table<T = String> {
    /// As its heading would say: `doors.hinge`, `doors.field 2`; empty for the file itself.
    pub path: String,
    /// In the order of the file.
    pub entries: Vec<Entry<T>>,
}

/// A key and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry<T = String> {
    /// The key.
    pub key: String,
    /// Where it stands.
    pub key_place: Place,
    /// Its value.
    pub node: Node<T>,
}

impl<T> Node<T> {
    /// The kind of its value, in words.
    pub const fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "a text",
            Value::Integer(_) => "a whole number",
            Value::Decimal(_) => "a decimal number",
            Value::Switch(_) => "a switch",
            Value::Date(_) => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
            Value::Broken => "nothing readable",
        }
    }

    /// Notes that another kind of value belongs here, unless the node is known to be broken; `expected` gives an
    /// example: ``a length such as `42 in` ``.
    pub fn mismatch(&self, expected: &str, faults: &mut Faults) {
        if !matches!(self.value, Value::Broken) {
            faults.push(Fault::new(&self.place, format!("this is {}", self.kind())).expected(expected));
        }
    }

    /// The same tree with every text turned into something else.
    pub fn map_text<U>(self, map: &mut impl FnMut(T, &Place) -> U) -> Node<U> {
        let value = match self.value {
            Value::Text(text) => Value::Text(map(text, &self.place)),
            Value::Integer(n) => Value::Integer(n),
            Value::Decimal(text) => Value::Decimal(text),
            Value::Switch(on) => Value::Switch(on),
            Value::Date(text) => Value::Date(text),
            Value::List(nodes) => Value::List(nodes.into_iter().map(|n| n.map_text(map)).collect()),
            Value::Table(table) => {
                let entries = table.entries.into_iter();
                let entries = entries.map(|e| Entry { key: e.key, key_place: e.key_place, node: e.node.map_text(map) });
                Value::Table(Table { path: table.path, entries: entries.collect() })
            }
            Value::Broken => Value::Broken,
        };
        Node { place: self.place, value }
    }
}

/// The empty table.
impl<T> Default for Table<T> {
    fn default() -> Self {
        Self { path: String::new(), entries: Vec::new() }
    }
}

impl<T> Table<T> {
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node<T>> {
        self.entries.iter().find(|e| e.key == key).map(|e| &e.node)
    }

    /// `` `[doors.hinge]` ``, or `the file`.
    pub fn title(&self) -> String {
        if self.path.is_empty() { String::from("the file") } else { format!("`[{}]`", self.path) }
    }
}

/// Reads a file as far as its syntax lets one. Of the syntax's faults the first of each line is noted; the others are
/// mostly its echo.
pub fn parse(source: &Arc<Source>, faults: &mut Faults) -> Node {
    let (root, mut errors) = DeTable::parse_recoverable(&source.text);
    errors.sort_by_key(|e| e.span().map_or(0, |s| s.start));
    let mut broken: Vec<Place> = Vec::new();
    for error in errors {
        let place = Place::new(source, error.span().unwrap_or(0..0));
        if broken.last().is_none_or(|b| b.start().line != place.start().line) {
            faults.push(syntax_fault(&place, error.message()));
            broken.push(place);
        }
    }
    let mut planter = Planter { source, broken, faults };
    let table = planter.table(String::new(), root.get_ref());
    // The file as a whole is pointed at by its first line.
    let first_line = source.text.lines().next().map_or(0, str::len);
    Node { place: Place::new(source, 0..first_line), value: Value::Table(table) }
}

/// A fault of the syntax, in the parser's words, with a mend where one is plain.
fn syntax_fault(place: &Place, message: &str) -> Fault {
    let (what, expected) = message.split_once(", expected ").unwrap_or((message, "nothing"));
    let fault = Fault::new(place, what);
    match (what, expected) {
        ("duplicate key", _) => fault.mend("keep one of the two"),
        ("string values must be quoted", _) => fault.mend("put it in quotes"),
        (_, "nothing") => fault,
        _ => fault.expected(expected),
    }
}

struct Planter<'a> {
    source: &'a Arc<Source>,
    /// Where the syntax is at fault.
    broken: Vec<Place>,
    faults: &'a mut Faults,
}

impl Planter<'_> {
    fn place(&self, span: Range<usize>) -> Place {
        Place::new(self.source, span)
    }

    fn table(&mut self, path: String, table: &DeTable<'_>) -> Table {
        let mut entries: Vec<Entry> = Vec::new();
        for (key, value) in table {
            let name = key.get_ref().to_string();
            let below = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
            let key_place = self.place(key.span());
            entries.push(Entry { key: name, node: self.node(below, value), key_place });
        }
        entries.sort_by_key(|e| e.key_place.span().start);
        Table { path, entries }
    }

    fn node(&mut self, path: String, value: &Spanned<DeValue<'_>>) -> Node {
        let place = self.place(value.span());
        let (from, to) = (place.span().start, place.span().end);
        let is_table = matches!(value.get_ref(), DeValue::Table(_));
        if !is_table && self.broken.iter().any(|b| b.span().start <= to && from <= b.span().end) {
            return Node { place, value: Value::Broken };
        }
        let value = match value.get_ref() {
            DeValue::String(text) => Value::Text(text.to_string()),
            DeValue::Integer(n) => match i64::from_str_radix(n.as_str(), n.radix()) {
                Ok(n) => Value::Integer(n),
                Err(_) => {
                    self.faults.push(Fault::new(&place, "a number too large to be read"));
                    Value::Broken
                }
            },
            DeValue::Float(x) => Value::Decimal(x.as_str().to_owned()),
            DeValue::Boolean(on) => Value::Switch(*on),
            DeValue::Datetime(date) => Value::Date(date.to_string()),
            DeValue::Array(items) => {
                let nodes = items.iter().enumerate().map(|(i, item)| self.node(format!("{path} {}", i + 1), item));
                Value::List(nodes.collect())
            }
            DeValue::Table(table) => Value::Table(self.table(path, table)),
        };
        Node { place, value }
    }
}
