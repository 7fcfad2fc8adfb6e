//! Orders that are wrong: all faults in one run, each with place and mend; orders that cannot be built; nothing written.

use serde_json::Value;

use crate::run::Room;

/// Nine faults of nine kinds.
const FAULTY: &str = r#"design = "glazed-case"
customer = "Lowmarsh Botanic Garden"
unit = "inch"

[paper]
shete = "B"

[parameters]
widht = "40 in"
height = "72"
depth = "40 in"
light_rows = "4 in"
lower = "pannel"
arch_rise = "1 1/2 in +"
pegs = "yes"
"#;

/// Line, column and a word of the mend or of what was expected.
const PLACES: [(u64, u64, &str); 9] = [
    (3, 8, "`in` or `mm`"),
    (6, 1, "write `sheet`"),
    (9, 1, "write `width`"),
    (10, 10, "\"72 in\""),
    (11, 9, "from 10 in to 26 in"),
    (12, 14, "a whole number"),
    (13, 9, "write `panel`"),
    (14, 24, "a length"),
    (15, 8, "true"),
];

#[test]
fn every_fault_is_told_at_once_with_its_place_and_a_mend() {
    let room = Room::new();
    room.write("order.toml", FAULTY);
    let ran = room.casewright(&["packet", "order.toml", "--json"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    let report: Value = serde_json::from_str(&ran.err).unwrap();
    let faults = report["faults"].as_array().unwrap();
    for ((line, column, word), fault) in PLACES.iter().zip(faults) {
        assert_eq!((&fault["line"], &fault["column"]), (&(*line).into(), &(*column).into()), "{fault:#}");
        assert_eq!(fault["text"], FAULTY.lines().nth(usize::try_from(*line).unwrap() - 1).unwrap());
        let told = format!("{} {}", fault["expected"], fault["mend"]).replace("\\\"", "\"");
        assert!(told.contains(word), "{word:?} is not in {fault:#}");
    }
    assert_eq!(faults.len(), PLACES.len());
    assert_eq!(room.names(), ["order.toml"], "nothing is written");
}

#[test]
fn a_person_sees_the_line_and_a_caret_under_it() {
    let room = Room::new();
    room.write("order.toml", FAULTY);
    insta::assert_snapshot!("faults", room.casewright(&["packet", "order.toml"]).err);
}

/// The glazed case with its ranges thrown open and a mid rail that no longer grows with its arch.
fn careless_design() -> String {
    let own = include_str!("../templates/glazed-case.toml");
    let careless = own
        .replace("most = \"2 1/2 in\"", "most = \"12 in\"")
        .replace("mid_rail = \"2 in + max(arch_rise, 1/2 in)\"", "mid_rail = \"3 1/2 in\"");
    assert_eq!(own.lines().zip(careless.lines()).filter(|(a, b)| a != b).count(), 2, "the design has changed");
    careless
}

#[test]
fn what_cannot_be_built_is_refused_with_a_mend_that_works() {
    let room = Room::new();
    room.write("careless.toml", &careless_design());
    room.write("order.toml", "design = \"careless.toml\"\n[parameters]\narch_rise = \"3 in\"\n");
    let ran = room.casewright(&["packet", "order.toml", "--json"]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    assert_eq!(room.names(), ["careless.toml", "order.toml"], "nothing is written");
    let report: Value = serde_json::from_str(&ran.err).unwrap();
    let findings = report["findings"].as_array().unwrap();
    assert_eq!(findings[0]["level"], "stop", "gravest first");
    let mend = &findings[0]["mend"][0];
    assert_eq!(mend[0], "arch_rise", "{findings:#?}");
    let setting = format!("{}={}", mend[0].as_str().unwrap(), mend[1].as_str().unwrap().trim_matches('"'));
    let ran = room.well(&["packet", "order.toml", "--set", &setting]);
    assert!(!ran.out.contains("stop:"), "{}", ran.out);

    let words = room.casewright(&["packet", "order.toml", "--out", "q"]).err;
    assert!(words.contains("cannot be built as asked") && words.contains(&format!("--set \"{setting}\"")), "{words}");
}

#[test]
fn files_that_are_no_orders_are_told_apart_from_orders_with_faults() {
    let room = Room::new();
    for (name, bytes, word) in [
        ("empty.toml", b"".as_slice(), "`design` is missing"),
        ("photo.toml", b"\xff\xd8\xff\xe0".as_slice(), "not UTF-8"),
        ("broken.toml", b"design = \"glazed-case\n[parameters".as_slice(), "broken.toml:1"),
        (
            "cycle.toml",
            b"design = \"glazed-case\"\n[parameters]\nwidth = \"depth\"\ndepth = \"width\"\n",
            "worked out from itself",
        ),
        ("other.toml", b"design = \"nowhere.toml\"\n", "nowhere.toml"),
    ] {
        std::fs::write(room.path(name), bytes).unwrap();
        let ran = room.casewright(&["packet", name]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{name}");
        assert!(ran.err.contains(word), "{name}: {}", ran.err);
    }
    assert!(!room.path("packet").exists());
}
