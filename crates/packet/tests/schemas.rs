//! The JSON Schemas in `docs/` are made from the types that write the files; this sees that they are current.
//!
//! `CASEWRIGHT_RENEW=1 cargo test -p packet` writes them anew.

#![expect(clippy::disallowed_methods, reason = "renews files of the repository when the environment says so")]

use std::fs;
use std::path::Path;

use schemars::{JsonSchema, schema_for};

#[track_caller]
fn current<T: JsonSchema>(name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs").join(name);
    let schema = serde_json::to_string_pretty(&schema_for!(T)).unwrap() + "\n";
    if std::env::var_os("CASEWRIGHT_RENEW").is_some() {
        fs::write(&path, &schema).unwrap();
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    assert!(written == schema, "docs/{name} is not current; run this test with CASEWRIGHT_RENEW=1");
}

#[test]
fn the_manifest_s_schema_is_current() {
    current::<packet::Manifest>("manifest.schema.json");
}

#[test]
fn the_programs_index_s_schema_is_current() {
    current::<routing::programs::Index<proof::Figures>>("programs.schema.json");
}
