//! What a key of a table may hold: the trait that reads it and tells its shape, and how a table is read key by key.
//!
//! The kinds themselves are beside it: `kinds` (lengths, counts, words), `measures` (temperatures, percentages, weights) and `holders` (what may be absent, several, or
//! named by the file).

mod context;
mod holders;
mod kinds;
mod measures;

use fault::{Fault, Faults, Node, Place, Reader, Source, Table, Value as Held, and_list};

use crate::formula::Formula;
use crate::shape::{Shape, TableShape};

pub(crate) use context::Context;
pub(crate) use holders::{Map, Named, Needed, Placed};
pub use measures::{Celsius, Kilograms, Percent};

pub(crate) use kinds::{read_word, signed_length};

/// A node whose texts have been looked at as formulas.
pub(crate) type Text = Node<Formula>;
/// A reader of such a table.
pub(crate) type TextReader<'t> = Reader<'t, Formula>;

/// A key that the file leaves out and that has no default.
pub(crate) struct Missing<'a, 't> {
    pub(crate) reader: &'a mut TextReader<'t>,
    pub(crate) key: &'static str,
}

/// A type that a key may hold.
pub(crate) trait Field: Sized {
    /// Reads it; nothing if there was a fault, which has been noted.
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self>;

    /// Reads it where it may be switched off by a key `when`, which has been looked at.
    fn read_switched(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        Self::read(node, cx)
    }

    /// What it is if the file leaves it out and the table names no default.
    fn absent(missing: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        missing.reader.miss(missing.key, Self::shape().wanted());
        None
    }

    /// What the file may write.
    fn shape() -> Shape;
}

/// A struct whose fields are the keys of a table.
pub(crate) trait Keys: Sized {
    /// The keys.
    const KEYS: &'static [&'static str];

    /// Takes all keys.
    fn take(reader: &mut TextReader<'_>, cx: &mut Context<'_>) -> Option<Self>;

    /// Its shape.
    fn table_shape() -> TableShape;
}

/// Reads one key: as written, by its default, or as its type does without. A key at fault is noted and then read by
/// its default too, so that what else is wrong comes out in the same run.
pub(crate) fn key<T: Field>(
    reader: &mut TextReader<'_>,
    key: &'static str,
    default: Option<&Text>,
    cx: &mut Context<'_>,
) -> Option<T> {
    match (reader.take(key), default) {
        (Some(node), _) if let Some(value) = T::read(node, cx) => Some(value),
        (_, Some(default)) => T::read(default, cx),
        (Some(_), None) => None,
        (None, None) => T::absent(Missing { reader, key }, cx),
    }
}

/// Reads a table; `also` are keys that are known besides its own.
pub(crate) fn read_table<T: Keys>(node: &Text, also: &[&'static str], cx: &mut Context<'_>) -> Option<T> {
    let mut reader = Reader::new(node, cx.faults)?;
    for key in also {
        reader.take(key);
    }
    let value = T::take(&mut reader, cx);
    let root = cx.root;
    reader.finish(cx.faults, |key| home(root, key));
    value
}

/// A table that is left out: what its defaults make of it, or one fault that names the table and not all its keys.
pub(crate) fn absent_table<T: Keys + Field>(missing: &Missing<'_, '_>, cx: &mut Context<'_>) -> Option<T> {
    let mut faults = Faults::new();
    let empty = Node { place: missing.reader.place().clone(), value: Held::Table(Table::default()) };
    let value = read_table(&empty, &[], &mut Context { scope: cx.scope, faults: &mut faults, ..*cx });
    if value.is_none() {
        let path = &missing.reader.table().path;
        let path = if path.is_empty() { missing.key.to_owned() } else { format!("{path}.{}", missing.key) };
        let needed: Vec<_> = T::table_shape().fields;
        let needed = needed.iter().filter(|f| f.default.is_none() && !f.shape.may_be_absent()).map(|f| f.key);
        let fault = Fault::new(missing.reader.place(), format!("the table `[{path}]` is missing"));
        cx.faults.push(fault.mend(format!("add `[{path}]` with {}", and_list(needed))));
    }
    value
}

/// Where a stray key belongs, if that is one of a few tables.
pub(crate) fn home(root: fn() -> Shape, key: &str) -> Option<String> {
    let homes = root().homes(key);
    match homes.as_slice() {
        [] => None,
        [one] => Some(one.clone()),
        [rest @ .., last] if rest.len() < 4 => Some(format!("{} or {last}", rest.join(", "))),
        _ => None,
    }
}

/// A default of the program, as a node.
pub(crate) fn written(text: &'static str) -> Text {
    let source = Source::new("a default of this program", text);
    Node { place: Place::new(&source, 0..text.len()), value: Held::Text(Formula::new(text)) }
}
