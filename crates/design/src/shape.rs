//! What a file may hold, as data: the schema and the reference page are written from it, and a fault tells from it
//! where a stray key belongs. Each `table!` and `choice!` makes its own.

use fault::or_list;

/// What a key takes.
#[derive(Clone, Debug)]
pub(crate) enum Shape {
    /// A length or a formula for one.
    Length,
    /// A whole number or a formula for one.
    Count,
    /// Words of one's own.
    Text,
    /// `YYYY-MM-DD`.
    Date,
    /// A number with a unit of its own.
    Measure(MeasureShape),
    /// Whatever the kind of the parameter asks for.
    Any,
    /// A word out of a few.
    Choice(ChoiceShape),
    /// A table.
    Table(TableShape),
    /// May be left out; a table may be switched off by `when`.
    Optional(Box<Shape>),
    /// Several, one after another.
    List(Box<Shape>),
    /// Several, each under a name of one's own.
    Map(Box<Shape>),
}

/// A number with its unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MeasureShape {
    /// What it measures.
    pub name: &'static str,
    /// How it is written.
    pub about: &'static str,
    /// What would do, with an example, for a fault.
    pub wanted: &'static str,
}

/// A choice.
#[derive(Clone, Debug)]
pub(crate) struct ChoiceShape {
    /// Its name in the code.
    pub name: &'static str,
    /// What it decides.
    pub about: String,
    /// The words, and what each means.
    pub words: Vec<(&'static str, String)>,
}

/// A table.
#[derive(Clone, Debug)]
pub(crate) struct TableShape {
    /// Its name in the code.
    pub name: &'static str,
    /// What it describes.
    pub about: String,
    /// Its keys, in order.
    pub fields: Vec<FieldShape>,
}

/// A key of a table.
#[derive(Clone, Debug)]
pub(crate) struct FieldShape {
    /// The key.
    pub key: &'static str,
    /// What it means.
    pub about: String,
    /// What it is where the file leaves it out, as the file would write it.
    pub default: Option<&'static str>,
    /// What it takes.
    pub shape: Shape,
}

impl Shape {
    /// What would do, with an example, for a fault.
    pub(crate) fn wanted(&self) -> String {
        match self {
            Self::Length => String::from("a length such as `\"3/4 in\"`, or a formula for one"),
            Self::Count => String::from("a whole number, or a formula for one"),
            Self::Text => String::from("a text in quotes"),
            Self::Date => String::from("a date such as `2026-11-02`"),
            Self::Measure(measure) => String::from(measure.wanted),
            Self::Any => String::from("a value"),
            Self::Choice(choice) => or_list(choice.words.iter().map(|(word, _)| *word)),
            Self::Table(_) | Self::Map(_) => String::from("a table"),
            Self::Optional(inner) => inner.wanted(),
            Self::List(inner) => format!("a list, each {}", inner.wanted()),
        }
    }

    /// Whether a key of this shape may be left out.
    pub(crate) fn may_be_absent(&self) -> bool {
        match self {
            Self::Optional(_) | Self::Map(_) => true,
            Self::Table(table) => table.fields.iter().all(|f| f.default.is_some() || f.shape.may_be_absent()),
            _ => false,
        }
    }

    /// The headings of all tables at or below it that have such a key: `` `[rails]` ``.
    pub(crate) fn homes(&self, key: &str) -> Vec<String> {
        let mut homes = Vec::new();
        self.collect_homes(key, "", &mut homes);
        homes
    }

    fn collect_homes(&self, key: &str, path: &str, homes: &mut Vec<String>) {
        match self {
            Self::Optional(inner) => inner.collect_homes(key, path, homes),
            Self::List(inner) => inner.collect_homes(key, path, homes),
            Self::Map(inner) => inner.collect_homes(key, &format!("{path}.NAME"), homes),
            Self::Table(table) => {
                if table.fields.iter().any(|f| f.key == key) {
                    homes.push(match path.strip_prefix('.') {
                        None => String::from("the head of the file"),
                        Some(path) => format!("`[{path}]`"),
                    });
                }
                for field in &table.fields {
                    field.shape.collect_homes(key, &format!("{path}.{}", field.key), homes);
                }
            }
            _ => {}
        }
    }
}

/// Joins the lines of a doc comment.
pub(crate) fn joined(lines: &[&str]) -> String {
    let lines: Vec<&str> = lines.iter().map(|l| l.trim()).collect();
    lines.join(" ")
}
