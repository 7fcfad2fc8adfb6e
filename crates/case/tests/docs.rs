//! Generated pages of `docs/` say what the program says: the list of findings and the model's JSON Schema.
//!
//! `CASEWRIGHT_RENEW=1 cargo test` writes them anew.

use std::fmt::Write as _;
use std::path::Path;

use case::Level;
use case::inspect::RULES;
use case::model::Model;

fn current(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs").join(name);
    #[expect(clippy::disallowed_methods, reason = "a test that renews a page on request")]
    if std::env::var("CASEWRIGHT_RENEW").is_ok() {
        std::fs::write(&path, text).expect("the page can be written");
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(held == text, "docs/{name} is not what the program says: CASEWRIGHT_RENEW=1 cargo test writes it anew");
}

#[test]
fn the_list_of_findings_is_current() {
    let mut page = String::from(
        "# Findings\n\nWhat the inspection asks of every case, in the order in which it asks.\n\
         A `stop` means that the piece cannot be built so, and nothing is written; a `caution` is printed with the packet.\n\
         This page is made from the program's own table.\n",
    );
    for rule in RULES {
        let level = match rule.level {
            Level::Stop => "stop",
            Level::Caution => "caution",
            Level::Note => "note",
        };
        let _ = write!(
            page,
            "\n## `{}` ({level})\n\n{}\n\nWhy: {}\n\nSource: {}.\n",
            rule.id,
            rule.asks,
            rule.why,
            rule.source.trim_end_matches('.')
        );
    }
    current("findings.md", &page);
}

#[test]
fn rules_have_ids_of_their_own() {
    let mut ids: Vec<_> = RULES.iter().map(|r| r.id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), RULES.len());
}

#[test]
fn the_model_s_schema_is_current() {
    let schema = schemars::schema_for!(Model);
    let text = serde_json::to_string_pretty(&schema).expect("a schema prints") + "\n";
    current("model.schema.json", &text);
}
