//! A design file: what it is called, the parameters that it offers, and the tables that say how the case is built.
//!
//! The head is read here, once; the tables are read anew for every set of parameters (see [`crate::Job`]).

use std::sync::Arc;

use fault::{Fault, Faults, Reader, Source, or_list, tick};

use measure::Unit;

use crate::field::{Context, Keys, Map, Needed, Text};
use crate::formula::{Formula, Scope};
use crate::shape::{Shape, TableShape};
use crate::spec::PostAndRail;
use crate::table::{choice, table};
use crate::value::Kind;

choice! {
    /// The construction system, which decides what tables a design has.
    pub enum SystemName {
        /// Four posts, rails between them, panelled ends.
        PostAndRail = "post-and-rail",
    }
}

table! {
    /// The head of a design file.
    pub(crate) struct Head {
        /// What the piece is called on drawings and lists.
        pub title: Needed<String>,
        /// One sentence on what it is.
        pub about: Needed<String>,
        /// How it is built.
        pub system: Needed<SystemName>,
        /// What an order may change.
        pub parameters: Map<Declaration>,
        /// Sizes that are worked out once and used below by their name; an order cannot set them.
        pub sizes: Map<Text>,
    }
}

table! {
    /// A parameter: something that an order may change.
    pub(crate) struct Declaration {
        /// What it is.
        pub kind: Kind,
        /// One sentence for whoever writes an order.
        pub about: Needed<String>,
        /// Its value if the order says nothing; a formula over other parameters will do.
        pub default: Text,
        /// The least that builds.
        pub least: Option<Text>,
        /// The most that builds.
        pub most: Option<Text>,
        /// The words of a choice.
        pub of: Option<Vec<String>>,
    }
}

/// A design, its head read.
#[derive(Clone, Debug)]
pub(crate) struct Design {
    /// `glazed-case`: the name of the file without its ending.
    pub(crate) name: String,
    pub(crate) head: Head,
    /// Names of parameters, then of sizes.
    pub(crate) names: Vec<String>,
    /// The whole file.
    pub(crate) root: Text,
}

impl Design {
    /// Reads the head and notes what is wrong with it; nothing if there is no going on.
    pub(crate) fn read(source: &Arc<Source>, faults: &mut Faults) -> Option<Self> {
        let root = fault::parse(source, faults).map_text(&mut |text, _| Formula::new(text));
        let mut reader = Reader::new(&root, faults)?;
        let mut head = Head::take(
            &mut reader,
            &mut Context { scope: Scope::EMPTY, faults, root: design_shape, unit: Unit::Inch },
        )?;
        reader.report_missing(faults);
        check_names(&head, faults);
        for parameter in &mut head.parameters.0 {
            if let Some(declared) = &parameter.value
                && !check_declaration(&parameter.name, &parameter.place, declared, faults)
            {
                parameter.value = None;
            }
        }
        let parameters = head.parameters.0.iter().map(|p| p.name.clone());
        let names = parameters.chain(head.sizes.0.iter().map(|s| s.name.clone())).collect();
        Some(Self { name: stem(&source.name).to_owned(), head, names, root })
    }
}

/// What a design file may hold: the head, and the tables of its system.
pub(crate) fn design_shape() -> Shape {
    let mut fields = Head::table_shape().fields;
    fields.extend(PostAndRail::table_shape().fields);
    Shape::Table(TableShape {
        name: "Design",
        about: String::from(
            "A standard design: its name, what an order may change, and the tables that say how it is built.",
        ),
        fields,
    })
}

/// The file's name without folder and ending.
fn stem(path: &str) -> &str {
    let file = path.rsplit(['/', '\\']).next().unwrap_or(path);
    file.strip_suffix(".toml").unwrap_or(file)
}

/// Names can be told from numbers, units and functions, and no two are the same.
fn check_names(head: &Head, faults: &mut Faults) {
    let parameters = head.parameters.0.iter().map(|p| (&p.name, &p.place));
    let mut seen: Vec<&str> = Vec::new();
    for (name, place) in parameters.chain(head.sizes.0.iter().map(|s| (&s.name, &s.place))) {
        let plain = name.starts_with(|c: char| c.is_ascii_lowercase())
            && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        if !plain {
            let fault = Fault::new(place, format!("{} cannot be a name", tick(name)));
            faults.push(fault.expected("small letters, digits and `_`, a letter first"));
        } else if crate::formula::is_reserved(name) {
            let fault = Fault::new(place, format!("{} means something else in a formula", tick(name)));
            faults.push(fault.mend("choose another name"));
        }
        if seen.contains(&name.as_str()) {
            faults.push(Fault::new(place, format!("{} is already the name of a parameter", tick(name))));
        }
        seen.push(name);
    }
}

/// The keys of a parameter go together.
fn check_declaration(name: &str, place: &fault::Place, declared: &Declaration, faults: &mut Faults) -> bool {
    let before = faults.len();
    let has_range = matches!(declared.kind, Kind::Length | Kind::Count | Kind::Number);
    for (key, bound) in [("least", &declared.least), ("most", &declared.most)] {
        if let Some(node) = bound
            && !has_range
        {
            faults.push(Fault::new(&node.place, format!("a {} has no `{key}`", declared.kind)).mend("leave it out"));
        }
    }
    match (&declared.of, declared.kind) {
        (None, Kind::Choice) => {
            let fault = Fault::new(place, format!("the choice {} has no words to choose from", tick(name)));
            faults.push(fault.mend("add `of = [\"one\", \"other\"]`"));
        }
        (Some(words), kind) if kind != Kind::Choice => {
            let fault = Fault::new(place, format!("a {kind} has no `of`"));
            let words = or_list(words.iter().map(String::as_str));
            faults.push(fault.mend(format!("leave it out, or write `kind = \"choice\"` to choose from {words}")));
        }
        _ => {}
    }
    faults.len() == before
}
