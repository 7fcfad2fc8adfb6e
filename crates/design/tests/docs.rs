//! The schemas and the reference page in `docs/` are current, and the schemas hold for real files.
//!
//! `CASEWRIGHT_RENEW=1` rewrites the three files.

use std::fs;

use boon::{Compiler, Schemas};
use design::builtin;
use serde_json::Value;

const DOCS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs");

#[expect(clippy::disallowed_methods, reason = "renewing is what the switch asks for")]
fn check_current(file: &str, made: &str) {
    let path = format!("{DOCS}/{file}");
    if std::env::var_os("CASEWRIGHT_RENEW").is_some() {
        fs::write(&path, made).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == made, "docs/{file} is out of date: CASEWRIGHT_RENEW=1 cargo test -p design --test docs");
}

fn pretty(schema: &Value) -> String {
    serde_json::to_string_pretty(schema).unwrap() + "\n"
}

#[test]
fn the_pages_are_current() {
    check_current("design.schema.json", &pretty(&design::design_schema()));
    check_current("order.schema.json", &pretty(&design::order_schema()));
    check_current("design-reference.md", &design::reference_page());
}

/// What a schema says of a TOML text; dates are texts in JSON.
fn judge(schema: Value, text: &str) -> Result<(), String> {
    let instance = as_json(toml::Value::Table(text.parse().unwrap()));
    let mut schemas = Schemas::new();
    let mut compiler = Compiler::new();
    compiler.enable_format_assertions();
    compiler.add_resource("schema.json", schema).unwrap();
    let index = compiler.compile("schema.json", &mut schemas).unwrap();
    schemas.validate(&instance, index).map_err(|e| format!("{e:#}"))
}

fn as_json(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => text.into(),
        toml::Value::Integer(n) => n.into(),
        toml::Value::Float(x) => x.into(),
        toml::Value::Boolean(on) => on.into(),
        toml::Value::Datetime(date) => date.to_string().into(),
        toml::Value::Array(items) => items.into_iter().map(as_json).collect(),
        toml::Value::Table(table) => Value::Object(table.into_iter().map(|(k, v)| (k, as_json(v))).collect()),
    }
}

#[test]
fn the_built_in_designs_and_the_demo_order_pass() {
    for (name, text) in builtin::DESIGNS {
        judge(design::design_schema(), text).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
    judge(design::order_schema(), builtin::DEMO_ORDER).unwrap_or_else(|e| panic!("{e}"));
}

#[test]
fn what_the_reader_refuses_by_its_keys_and_kinds_the_schema_refuses_too() {
    let demo = builtin::DEMO_ORDER;
    for (from, to) in [
        ("unit = \"in\"", "unit = \"inch\""),
        ("date = 2026-11-02", "date = \"2026-13-02\""),
        ("design = ", "desing = "),
        ("sheet = \"B\"", "sheet = 3"),
        ("[paper]", "[papr]"),
    ] {
        assert!(demo.contains(from), "{from}");
        assert!(judge(design::order_schema(), &demo.replacen(from, to, 1)).is_err(), "{to}");
    }
    let (_, glazed) = builtin::DESIGNS[0];
    for (from, to) in [
        ("[posts]", "[posts]\nwhen = true"),
        ("[posts]\nside = \"post\"", "[posts]"),
        ("hold = \"rabbet\"", "hold = \"Rabbet!\""),
        ("count = \"doors\"", "count = 1.5"),
        ("kind = \"length\"", "kind = \"lenght!\""),
        ("[[doors.field]]", "[[doors.field]]\nrow = 2"),
    ] {
        assert!(glazed.contains(from), "{from}");
        assert!(judge(design::design_schema(), &glazed.replacen(from, to, 1)).is_err(), "{to}");
    }
}
