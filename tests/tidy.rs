//! House rules that no lint knows: head comments, file length, dependency arrows, nothing of one machine.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// A file nobody reads in one sitting is too long.
const MOST_LINES: usize = 500;

/// What each crate may know of the others. Data runs down only; emitters never know one another, TOML or the disk.
const ARROWS: &[(&str, &[&str])] = &[
    ("measure", &[]),
    ("fault", &[]),
    ("page", &[]),
    ("proof", &[]),
    ("stock", &["measure"]),
    ("timber", &["fault"]),
    ("design", &["fault", "measure", "timber"]),
    ("case", &["design", "measure", "timber"]),
    ("paper", &["case", "measure"]),
    ("drafting", &["case", "measure", "paper"]),
    ("dryfit", &["case", "measure"]),
    ("forecast", &["case", "measure", "page", "paper"]),
    ("form", &["fault", "measure"]),
    ("routing", &["case", "fault", "form", "measure", "page", "paper"]),
    ("takeoff", &["case", "measure", "page"]),
    ("yard", &["case", "fault", "form", "measure", "page", "paper", "stock", "takeoff", "timber"]),
    (
        "packet",
        &[
            "case", "design", "drafting", "dryfit", "fault", "forecast", "measure", "page", "paper", "proof",
            "routing", "takeoff", "yard",
        ],
    ),
    (
        "casewright",
        &[
            "case", "design", "drafting", "dryfit", "fault", "measure", "packet", "paper", "proof", "routing", "stock",
            "takeoff", "yard",
        ],
    ),
];

/// Files under version control and files about to be, relative to the root; build output and hidden folders aside.
fn files(extensions: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from(ROOT)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let entry = entry.unwrap();
            let name = entry.file_name().into_string().unwrap();
            if entry.file_type().unwrap().is_dir() {
                if name != "target" && (!name.starts_with('.') || name == ".ci") {
                    folders.push(entry.path());
                }
            } else if extensions.is_empty() || extensions.iter().any(|e| name.ends_with(e)) {
                found.push(entry.path().strip_prefix(ROOT).unwrap().to_owned());
            }
        }
    }
    found.sort();
    assert!(!found.is_empty(), "no file ends with {extensions:?}");
    found
}

fn read(path: &Path) -> String {
    fs::read_to_string(Path::new(ROOT).join(path)).unwrap()
}

#[test]
fn every_rust_file_opens_with_what_it_is_for() {
    let bare: Vec<_> = files(&[".rs"]).into_iter().filter(|path| !read(path).starts_with("//! ")).collect();
    assert!(bare.is_empty(), "these need a `//!` comment at the top: {bare:#?}");
}

#[test]
fn no_rust_file_is_too_long_to_read() {
    let long: Vec<_> = files(&[".rs"]).into_iter().filter(|path| read(path).lines().count() > MOST_LINES).collect();
    assert!(long.is_empty(), "split these, they have more than {MOST_LINES} lines: {long:#?}");
}

#[test]
fn crates_know_only_what_the_map_allows() {
    let allowed: BTreeMap<&str, &[&str]> = ARROWS.iter().copied().collect();
    let manifests: Vec<_> = files(&["Cargo.toml"]);
    assert_eq!(manifests.len(), ARROWS.len(), "a crate is missing from the map, or gone");
    for path in manifests {
        let manifest: toml::Table = read(&path).parse().unwrap();
        let name = manifest["package"]["name"].as_str().unwrap();
        let allowed = allowed.get(name).unwrap_or_else(|| panic!("`{name}` is not on the map"));
        let known = manifest.get("dependencies").and_then(toml::Value::as_table).into_iter().flatten();
        for (other, _) in known.filter(|(other, _)| ARROWS.iter().any(|(name, _)| name == other)) {
            assert!(allowed.contains(&other.as_str()), "`{name}` may not depend on `{other}`");
        }
        for forbidden in
            ["toml", "tempfile"].into_iter().filter(|_| ["drafting", "paper", "routing", "takeoff"].contains(&name))
        {
            let has = manifest.get("dependencies").and_then(|d| d.get(forbidden)).is_some();
            assert!(!has, "emitters read the model and nothing else, so `{name}` has no use for `{forbidden}`");
        }
    }
}

#[test]
fn no_file_names_a_place_on_one_machine() {
    // Spelt apart, so that this file is not caught by itself.
    let places = ["home", "Users", "work", "tmp", "root"].map(|top| format!("/{top}/"));
    for path in files(&[".rs", ".toml", ".md", ".html", ".json", ".csv", ".svg", ".ngc", ".css", ".snap", "run"]) {
        let text = read(&path);
        let named = places.iter().find(|place| {
            text.match_indices(place.as_str())
                .any(|(at, _)| !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '.'))
        });
        assert_eq!(named, None, "{} names a place on one machine", path.display());
    }
}

#[test]
fn links_between_pages_lead_somewhere() {
    let mut links = 0;
    for page in files(&[".md"]) {
        let text = read(&page);
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let target = link.split('#').next().unwrap();
            if !target.is_empty() && !target.contains("://") {
                let there = Path::new(ROOT).join(&page).parent().unwrap().join(target);
                assert!(there.exists(), "{} links to {link}, which is not there", page.display());
                links += 1;
            }
        }
    }
    assert!(links > 10);
}

#[test]
fn the_readme_opens_with_the_job_and_two_commands_that_the_checks_run_too() {
    let readme = read(Path::new("README.md"));
    let mut blocks = readme.split("```\n");
    let opening = blocks.next().unwrap().trim();
    assert_eq!(opening.matches("\n\n").count(), 1, "a title, one paragraph, and then the commands:\n{opening}");
    assert_eq!(blocks.next().unwrap(), "cargo run --release -- packet\ncargo test\n");
    assert!(read(Path::new(".ci/run")).contains("\ncargo test"));
}
