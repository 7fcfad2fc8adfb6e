//! The JSON Schemas (2020-12) of design and order files, written from their shapes; for editors that complete and check
//! as one types. What a schema cannot say, formulas and ranges above all, the reader checks.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use crate::design::design_shape;
use crate::order::order_shape;
use crate::shape::{ChoiceShape, FieldShape, Shape, TableShape};

/// The schema of a design file.
pub fn design_schema() -> Value {
    root(&design_shape(), "Design", Words::OrParameters)
}

/// The schema of an order file.
pub fn order_schema() -> Value {
    root(&order_shape(), "Order", Words::Alone)
}

/// Whether a word may also be the name of a parameter that holds it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Words {
    Alone,
    OrParameters,
}

fn root(shape: &Shape, title: &str, words: Words) -> Value {
    let Shape::Table(table) = shape else { return json!({}) };
    let mut writer = Writer { words, definitions: BTreeMap::new() };
    let body = writer.table(table);
    let mut out = Map::new();
    out.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    out.insert("title".into(), json!(title));
    out.extend(body);
    out.insert("unevaluatedProperties".into(), json!(false));
    out.insert("$defs".into(), writer.definitions.into_iter().collect::<Map<_, _>>().into());
    Value::Object(out)
}

struct Writer {
    words: Words,
    /// By name; a table is defined once, wherever it is used.
    definitions: BTreeMap<String, Value>,
}

impl Writer {
    fn table(&mut self, table: &TableShape) -> Map<String, Value> {
        let properties: Map<String, Value> = table.fields.iter().map(|f| (f.key.into(), self.field(f))).collect();
        let is_required = |f: &&FieldShape| f.default.is_none() && !f.shape.may_be_absent();
        let required: Vec<&str> = table.fields.iter().filter(is_required).map(|f| f.key).collect();
        let mut out = Map::new();
        out.insert("description".into(), json!(table.about));
        out.insert("type".into(), json!("object"));
        out.insert("properties".into(), properties.into());
        out.insert("required".into(), json!(required));
        out
    }

    fn field(&mut self, field: &FieldShape) -> Value {
        let mut out = Map::new();
        out.insert("description".into(), json!(field.about));
        if let Value::Object(schema) = self.shape(&field.shape) {
            out.extend(schema);
        }
        if let Some(default) = field.default {
            let count = matches!(field.shape, Shape::Count).then(|| default.parse::<u64>().ok()).flatten();
            out.insert("default".into(), count.map_or_else(|| json!(default), |n| json!(n)));
        }
        Value::Object(out)
    }

    fn shape(&mut self, shape: &Shape) -> Value {
        match shape {
            Shape::Length => self.defined("length", |_| {
                json!({
                    "description": "A length with its unit, or a formula for one: `41 7/8 in`, `1064 mm`, `2 * width`.",
                    "type": "string", "minLength": 1,
                })
            }),
            Shape::Count => self.defined("count", |_| {
                json!({
                    "description": "A whole number, or a formula for one.",
                    "anyOf": [{ "type": "integer", "minimum": 0 }, { "type": "string", "minLength": 1 }],
                })
            }),
            Shape::Text => json!({ "type": "string" }),
            Shape::Date => json!({ "type": "string", "format": "date" }),
            Shape::Measure(measure) => self
                .defined(measure.name, |_| json!({ "description": measure.about, "type": "string", "minLength": 1 })),
            Shape::Any => json!({ "type": ["string", "number", "boolean"] }),
            Shape::Choice(choice) => self.defined(choice.name, |writer| writer.choice(choice)),
            Shape::Table(table) => {
                let Value::Object(mut out) = self.defined(table.name, |writer| writer.table(table).into()) else {
                    return json!({});
                };
                out.insert("unevaluatedProperties".into(), json!(false));
                out.into()
            }
            Shape::Optional(inner) => self.switched(inner),
            Shape::List(inner) => json!({ "type": "array", "items": self.switched(inner) }),
            Shape::Map(inner) => json!({
                "type": "object",
                "propertyNames": { "pattern": "^[a-z][a-z0-9_]*$" },
                "additionalProperties": self.shape(inner),
            }),
        }
    }

    /// A table that `when` may switch off.
    fn switched(&mut self, inner: &Shape) -> Value {
        let mut schema = self.shape(inner);
        if let (Shape::Table(_), Words::OrParameters, Value::Object(out)) = (inner, self.words, &mut schema) {
            let when = self.defined("when", |_| {
                json!({
                    "description": "Whether the table counts: a switch, or a formula for a count or length that is not zero.",
                    "type": ["boolean", "string"],
                })
            });
            out.insert("properties".into(), json!({ "when": when }));
        }
        schema
    }

    fn choice(&self, choice: &ChoiceShape) -> Value {
        let words: Vec<Value> =
            choice.words.iter().map(|(word, about)| json!({ "const": word, "description": about })).collect();
        match self.words {
            Words::Alone => json!({ "description": choice.about, "oneOf": words }),
            Words::OrParameters => json!({
                "description": format!("{} A word, or the name of a choice.", choice.about),
                "anyOf": [{ "oneOf": words }, { "type": "string", "pattern": "^[a-z][a-z0-9_]*$" }],
            }),
        }
    }

    /// A reference to a definition, which is made if it is not there yet.
    fn defined(&mut self, name: &str, make: impl FnOnce(&mut Self) -> Value) -> Value {
        if !self.definitions.contains_key(name) {
            let definition = make(self);
            self.definitions.insert(name.to_owned(), definition);
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }
}
