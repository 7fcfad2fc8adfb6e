//! What a key of a table may hold, and how each kind is read: lengths and counts by way of formulas, words by way of
//! parameters, tables by their keys.

use fault::{Fault, Faults, Node, Reader, Source, Table, Value as Held, and_list, nearest, or_list, tick};
use measure::{Length, Unit};

use crate::formula::{Flaw, Formula, Quantity, Scope};
use crate::shape::{ChoiceShape, Shape, TableShape};
use crate::value::Value;

/// A node whose texts have been looked at as formulas.
pub(crate) type Text = Node<Formula>;
/// A reader of such a table.
pub(crate) type TextReader<'t> = Reader<'t, Formula>;

/// The most of anything that a case may have: keeps a slip of the finger from filling the memory.
const MOST: usize = 500;

/// What reading needs besides the node.
pub struct Context<'a> {
    /// Names that formulas and words may use.
    pub scope: Scope<'a>,
    /// Where faults go.
    pub faults: &'a mut Faults,
    /// The whole file's shape, to tell where a stray key belongs.
    pub root: fn() -> Shape,
}

/// A key that the file leaves out and that has no default.
pub struct Missing<'a, 't> {
    pub(crate) reader: &'a mut TextReader<'t>,
    pub(crate) key: &'static str,
}

/// A type that a key may hold.
pub trait Field: Sized {
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
pub trait Keys: Sized {
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
    let value = read_table(&empty, &[], &mut Context { scope: cx.scope, faults: &mut faults, root: cx.root });
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
    Node { place: fault::Place::new(&source, 0..text.len()), value: Held::Text(Formula::new(text)) }
}

impl Context<'_> {
    /// What a node reckons to; nothing if there was a fault, or a value that is no formula.
    pub(crate) fn quantity(&mut self, node: &Text, wanted: &str) -> Option<Quantity> {
        match &node.value {
            Held::Text(formula) => match formula.evaluate(&self.scope) {
                Ok(quantity) => Some(quantity),
                Err(flaw) => {
                    if let Some(flaw) = flaw {
                        self.faults.push(flaw.into_fault(node, &formula.text));
                    }
                    None
                }
            },
            Held::Integer(n) => Some(Quantity::Number(crate::formula::Ratio::whole(*n))),
            Held::Decimal(text) => {
                let number = crate::formula::Ratio::from_decimal(text);
                if number.is_none() {
                    let fault = Fault::new(&node.place, format!("{} is not a plain decimal", tick(text)));
                    self.faults.push(fault.expected("a number such as `0.618`"));
                }
                number.map(Quantity::Number)
            }
            _ => {
                node.mismatch(wanted, self.faults);
                None
            }
        }
    }

    /// Whether a table is switched on: it has no `when`, or its `when` is true, or a count or length that is not zero.
    fn is_on(&mut self, node: &Text) -> Option<bool> {
        let Held::Table(table) = &node.value else { return Some(true) };
        let Some(when) = table.get("when") else { return Some(true) };
        if let Held::Switch(on) = when.value {
            return Some(on);
        }
        if let Held::Text(formula) = &when.value
            && let Some(Some(Value::Switch(on))) = self.scope.find(&formula.text)
        {
            return Some(*on);
        }
        let quantity = self.quantity(when, "`true`, `false`, or the name of a switch, a count or a length")?;
        Some(!quantity.is_zero())
    }
}

impl Flaw {
    /// The fault of the text `formula`, which stands at `node`.
    pub(crate) fn into_fault(self, node: &Text, formula: &str) -> Fault {
        let place = node.place.within(formula, self.at);
        Fault { place, what: self.what, expected: self.expected, mend: self.mend }
    }
}

impl Field for Length {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        match cx.quantity(node, &Self::shape().wanted())? {
            Quantity::Length(nm) => {
                let length = nm.rounded().map(Self::from_nm).filter(|l| l.abs() <= measure::LONGEST);
                if length.is_none() {
                    cx.faults.push(Fault::new(&node.place, "this comes to a length over 100 m"));
                }
                length
            }
            Quantity::Number(n) => {
                let fault = Fault::new(&node.place, "a number without a unit where a length belongs");
                let figure = match &node.value {
                    Held::Text(formula) if formula.names().is_empty() => formula.text.clone(),
                    Held::Text(_) => String::new(),
                    _ => n.to_string(),
                };
                cx.faults.push(match figure.as_str() {
                    "" => fault.mend("multiply it by a length, as in `* 1 in`"),
                    figure => fault.mend(format!("write `\"{figure} in\"` or `\"{figure} mm\"`")),
                });
                None
            }
        }
    }

    fn shape() -> Shape {
        Shape::Length
    }
}

impl Field for usize {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let fault = |what: String| Fault::new(&node.place, what).expected(Self::shape().wanted());
        match cx.quantity(node, &Self::shape().wanted())? {
            Quantity::Number(n) => {
                let count = n.as_whole().and_then(|n| Self::try_from(n).ok()).filter(|n| *n <= MOST);
                if count.is_none() {
                    cx.faults.push(fault(match n.as_whole() {
                        None => format!("this comes to {n}, and things come in whole numbers"),
                        Some(n) if n < 0 => format!("this comes to {n}, and there cannot be less than none"),
                        Some(n) => format!("this comes to {n}, and {MOST} is the most of anything"),
                    }));
                }
                count
            }
            Quantity::Length(_) => {
                cx.faults.push(fault(String::from("a length where a count belongs")));
                None
            }
        }
    }

    fn shape() -> Shape {
        Shape::Count
    }
}

impl Field for String {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        match &node.value {
            Held::Text(formula) => match cx.scope.find(&formula.text) {
                None => Some(formula.text.clone()),
                Some(None) => None,
                Some(Some(Value::Word(word))) => Some(word.clone()),
                Some(Some(other)) => {
                    let what = format!("{} is {}, and words belong here", tick(&formula.text), other.kind());
                    cx.faults.push(Fault::new(&node.place, what));
                    None
                }
            },
            _ => {
                node.mismatch(&Self::shape().wanted(), cx.faults);
                None
            }
        }
    }

    fn shape() -> Shape {
        Shape::Text
    }
}

impl<T: Field> Field for Option<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        // One at fault is taken to be left out: the fault is noted, and the tables round it are looked at all the same.
        Some(if cx.is_on(node)? { T::read_switched(node, cx) } else { None })
    }

    fn absent(_: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        Some(None)
    }

    fn shape() -> Shape {
        Shape::Optional(Box::new(T::shape()))
    }
}

/// A value that must be there; nothing once its absence or its fault has been noted, so that the table round it is read
/// all the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Needed<T>(pub Option<T>);

impl<T: Field> Field for Needed<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        Some(Self(T::read(node, cx)))
    }

    fn absent(missing: Missing<'_, '_>, cx: &mut Context<'_>) -> Option<Self> {
        Some(Self(T::absent(missing, cx)))
    }

    fn shape() -> Shape {
        T::shape()
    }
}

impl<T: Field> Field for Vec<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let Held::List(items) = &node.value else {
            node.mismatch(&Self::shape().wanted(), cx.faults);
            return None;
        };
        Some(items.iter().filter_map(|item| Option::read(item, cx).flatten()).collect())
    }

    fn shape() -> Shape {
        Shape::List(Box::new(T::shape()))
    }
}

/// Any value, left as it is written.
impl Field for Text {
    fn read(node: &Text, _: &mut Context<'_>) -> Option<Self> {
        Some(node.clone())
    }

    fn shape() -> Shape {
        Shape::Any
    }
}

/// Values under names of one's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Map<T>(pub Vec<Named<T>>);

/// A name of one's own, and what stands under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Named<T> {
    /// The name.
    pub name: String,
    /// Where it stands.
    pub place: fault::Place,
    /// What stands under it; nothing if that is at fault, so that the name is known all the same.
    pub value: Option<T>,
}

/// A value and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// Where it stands.
    pub place: fault::Place,
    /// The value.
    pub value: T,
}

impl<T: Field> Field for Placed<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        T::read(node, cx).map(|value| Self { place: node.place.clone(), value })
    }

    fn shape() -> Shape {
        T::shape()
    }
}

impl<T: Field> Field for Map<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let Held::Table(table) = &node.value else {
            node.mismatch(&Self::shape().wanted(), cx.faults);
            return None;
        };
        let named = |e: &fault::Entry<Formula>| Named {
            name: e.key.clone(),
            place: e.key_place.clone(),
            value: T::read(&e.node, cx),
        };
        Some(Self(table.entries.iter().map(named).collect()))
    }

    fn absent(_: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        Some(Self(Vec::new()))
    }

    fn shape() -> Shape {
        Shape::Map(Box::new(T::shape()))
    }
}

/// Reads one of a few words, or the name of a parameter that holds one.
pub(crate) fn read_word<T: Copy>(node: &Text, words: &[(&'static str, T)], cx: &mut Context<'_>) -> Option<T> {
    let known = || words.iter().map(|(word, _)| *word);
    let Held::Text(formula) = &node.value else {
        node.mismatch(&or_list(known()), cx.faults);
        return None;
    };
    let written = formula.text.as_str();
    let meant = match cx.scope.find(written) {
        Some(None) => return None,
        Some(Some(Value::Word(word))) => word,
        _ => written,
    };
    let found = words.iter().find(|(word, _)| *word == meant).map(|(_, value)| *value);
    if found.is_none() {
        let what = if meant == written {
            format!("{} is not a word that is known here", tick(written))
        } else {
            format!("{} is {}, which is not a word that is known here", tick(written), tick(meant))
        };
        let fault = Fault::new(&node.place, what).expected(or_list(known()));
        cx.faults.push(match nearest(meant, known()) {
            Some(near) => fault.mend(format!("write `{near}`")),
            None => fault,
        });
    }
    found
}

impl Field for Unit {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        read_word(node, &[("in", Self::Inch), ("mm", Self::Millimetre)], cx)
    }

    fn shape() -> Shape {
        Shape::Choice(ChoiceShape {
            name: "Unit",
            about: String::from("The unit that people read."),
            words: vec![
                ("in", String::from("Inches and their fractions.")),
                ("mm", String::from("Millimetres and their decimals.")),
            ],
        })
    }
}
