//! Every fault of the files in `tests/faults`, with its place and its mend.
//!
//! A file is an order, or a design if it names a system. Lines `#> name=value` at its head are settings of the command
//! line; lines `#! 7:1: …` at its end are the faults that it must bring, all of them and no others, in order.
//! `CASEWRIGHT_RENEW=1` rewrites those.

use std::fs;
use std::path::Path;

use design::Job;
use fault::Source;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/faults");

/// The faults of a file, one to a line, without the file's name.
fn faults(name: &str, text: &str) -> Vec<String> {
    let settings: Vec<String> = text.lines().filter_map(|l| l.strip_prefix("#> ")).map(str::to_owned).collect();
    let source = Source::new(name, text);
    let read = if text.lines().any(|l| l.starts_with("system = ")) {
        Job::read(&design::plain_order(name), &settings, |_| Ok(std::sync::Arc::clone(&source)))
    } else {
        Job::read(&source, &settings, |path| {
            let text = fs::read_to_string(format!("{FOLDER}/{path}")).map_err(|_| String::from("no such file"))?;
            Ok(Source::new(path, text))
        })
    };
    let faults = read.err().unwrap_or_default();
    faults.iter().map(|f| f.to_string().replace(&format!("{name}:"), "")).collect()
}

#[test]
fn every_fault_is_told_with_place_and_mend() {
    let mut seen = 0;
    let mut wrong = Vec::new();
    let mut entries: Vec<_> =
        fs::read_dir(FOLDER).unwrap().map(|e| e.unwrap().path()).filter(|p| p.is_file()).collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap().to_str().unwrap();
        let text = fs::read_to_string(&path).unwrap();
        let expected: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix("#! ")).collect();
        let found = faults(name, &text);
        if std::env::var_os("CASEWRIGHT_RENEW").is_some() {
            renew(&path, &text, &found);
        } else if found != expected {
            wrong.push(format!("{name}\nexpected:\n{}\nfound:\n{}\n", expected.join("\n"), found.join("\n")));
        }
        assert!(!found.is_empty(), "{name} brings no fault");
        seen += 1;
    }
    assert!(seen >= 12, "only {seen} files looked at");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[expect(clippy::disallowed_methods, reason = "renewing is what the switch asks for")]
fn renew(path: &Path, text: &str, found: &[String]) {
    let kept: Vec<&str> = text.lines().filter(|l| !l.starts_with("#! ")).collect();
    let told: Vec<String> = found.iter().map(|f| format!("#! {f}\n")).collect();
    fs::write(path, format!("{}\n\n{}", kept.join("\n").trim_end(), told.concat())).unwrap();
}

#[test]
fn six_faults_of_an_order_come_in_one_run() {
    let text = fs::read_to_string(format!("{FOLDER}/order-six.toml")).unwrap();
    let found = faults("order-six.toml", &text);
    assert_eq!(found.len(), 6, "{found:#?}");
}
