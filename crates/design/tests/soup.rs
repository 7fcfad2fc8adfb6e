//! Whatever stands in a file: a resolved job or a list of faults that can be shown, and never a panic. Whatever is in
//! range resolves.

use design::{Job, Parameter, builtin};
use fault::{Colour, Source};
use proptest::prelude::*;

/// Reads a text as an order and as a design, and shows the faults in every form.
fn survive(text: &str) {
    let source = Source::new("soup.toml", text);
    for read in [
        Job::read(&source, &[], |_| Err(String::from("no such file"))),
        Job::read(&design::plain_order("soup.toml"), &[text.to_owned()], |_| Ok(source.clone())),
    ] {
        if let Err(faults) = read {
            assert!(!faults.is_empty(), "given up without a fault: {text:?}");
            assert!(!faults.human(Colour::With).is_empty() && faults.json().as_array().is_some_and(|a| !a.is_empty()));
            for fault in &faults {
                assert!(fault.place.start() <= fault.place.end());
            }
        }
    }
}

fn sound() -> Vec<&'static str> {
    let designs = builtin::DESIGNS.iter().map(|(_, text)| *text);
    designs.chain([builtin::DEMO_ORDER]).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn bytes(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        survive(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn words_of_the_files_in_any_order(
        words in prop::collection::vec(
            prop::sample::select(vec![
                "[", "]", "[[", "]]", "{", "}", "=", ".", ",", "\n", "\"", "'", "\"\"\"", "#", " ", "\\u00e9", "é",
                "design", "\"glazed-case\"", "parameters", "width", "sizes", "kind", "\"length\"", "default", "of", "when",
                "true", "2026-11-02", "0x7f", "1e9", "nan", "-1", "\"42 in\"", "\"2 * width\"", "doors", "field", "system",
                "\"post-and-rail\"", "title", "about", "\"a\"", "[sizes]\n", "[parameters.a]\n", "99999999999999999999",
            ]),
            0..60,
        ),
    ) {
        survive(&words.concat());
    }

    #[test]
    fn sound_files_with_lines_lost_doubled_or_swapped(
        file in 0_usize..4, edits in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0_u8..4), 1..6),
    ) {
        let mut lines: Vec<String> = sound()[file].lines().map(str::to_owned).collect();
        for (at, other, edit) in edits {
            let (at, other) = (at.index(lines.len()), other.index(lines.len()));
            match edit {
                0 => drop(lines.remove(at)),
                1 => lines.insert(at, lines[other].clone()),
                2 => lines.swap(at, other),
                // Half of one line runs into half of another.
                _ => {
                    let half = |line: &str| line.chars().count() / 2;
                    let start: String = lines[at].chars().take(half(&lines[at])).collect();
                    let end: String = lines[other].chars().skip(half(&lines[other])).collect();
                    lines[at] = start + &end;
                }
            }
        }
        survive(&lines.join("\n"));
    }
}

#[test]
fn long_and_deep_files() {
    survive(&"[".repeat(20_000));
    survive(&format!("a = {}", "[".repeat(20_000)));
    survive(&format!("a = {}", "{a=".repeat(20_000)));
    survive(&format!("{}a = 1", "a.".repeat(2_000)));
    // A chain of parameters, each worked out from the next.
    let chain: String = (0..2_000)
        .map(|i| format!("[parameters.p{i}]\nkind = \"length\"\nabout = \"link\"\ndefault = \"p{}\"\n", i + 1))
        .collect();
    survive(&format!("title = \"t\"\nabout = \"a\"\nsystem = \"post-and-rail\"\n{chain}"));
}

#[test]
fn a_default_gives_way_to_whatever_is_ordered_within_its_range() {
    for (name, _) in builtin::DESIGNS {
        let read = |settings: &[String]| Job::read(&design::plain_order(name), settings, |_| Err(String::from("none")));
        let sound = |settings: &[String]| read(settings).unwrap_or_else(|f| panic!("{name} {settings:?}:\n{f}")).1;
        for first in sound(&[]).parameters {
            for one in ends(&first) {
                for second in sound(std::slice::from_ref(&one)).parameters.iter().filter(|p| p.name != first.name) {
                    for other in ends(second) {
                        // The second may draw the first's range in, and then the order is at fault; the design never.
                        let faults = read(&[one.clone(), other.clone()]).err().unwrap_or_default();
                        let design = faults.iter().find(|f| !f.place.source().name.starts_with("--set"));
                        assert!(design.is_none(), "{name} {one} {other}:\n{faults}");
                    }
                }
            }
        }
    }
}

/// Settings of a parameter to each end of its range, or each of its words.
fn ends(parameter: &Parameter) -> Vec<String> {
    let unit = measure::Unit::Inch;
    let ends = [parameter.show_least(unit), parameter.show_most(unit)].into_iter().flatten();
    ends.chain(parameter.of.iter().cloned()).map(|value| format!("{}={value}", parameter.name)).collect()
}
