//! The page of the dry fit's rules says what the program says. `CASEWRIGHT_RENEW=1 cargo test` writes it anew.

use std::fmt::Write as _;
use std::path::Path;

use case::inspect::RULES as INSPECTED;
use dryfit::RULES;

#[test]
fn the_list_of_rules_is_current() {
    let mut page = String::from(
        "# The dry fit\n\nWhat is asked of every case that the inspection ([findings](findings.md)) has nothing against.\n\
         The placed parts are taken as solids, blank less cuts, and put together in simulation.\n\
         Everything found here is a `stop`.\n\
         Square cuts are exact to the nanometre; slopes and arcs are followed down to 0.02 mm, so that nothing thicker \
         than that goes unseen there.\n\
         This page is made from the program's own table.\n",
    );
    for r in RULES {
        let _ = write!(page, "\n## `{}`\n\n{}\n\nWhy: {}\n\nSource: {}.\n", r.id, r.asks, r.why, r.source);
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/dry-fit.md");
    #[expect(clippy::disallowed_methods, reason = "a test that renews a page on request")]
    if std::env::var("CASEWRIGHT_RENEW").is_ok() {
        std::fs::write(&path, &page).unwrap();
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(held == page, "docs/dry-fit.md is not what the program says: CASEWRIGHT_RENEW=1 cargo test writes it anew");
}

#[test]
fn rules_have_ids_of_their_own() {
    let mut ids: Vec<_> = RULES.iter().map(|r| r.id).chain(INSPECTED.iter().map(|r| r.id)).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), RULES.len() + INSPECTED.len());
}
