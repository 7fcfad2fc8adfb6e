//! The command itself: what it prints, its statuses, and how it behaves among other programs.

use std::io::Read as _;
use std::process::Stdio;

use serde_json::Value;

use crate::run::{Room, command, designs};

#[test]
fn without_a_word_more_packet_builds_the_demo_here_and_says_where() {
    let room = Room::new();
    let ran = room.well(&["packet"]);
    assert_eq!(room.names(), ["packet"]);
    assert!(ran.out.contains("Glazed case: 42 in × 16 in × 60 in"), "{}", ran.out);
    let start = std::path::Path::new("packet").join("START-HERE.html");
    assert!(ran.out.contains(start.to_str().unwrap()) && room.path("packet").join("START-HERE.html").is_file());
}

#[test]
fn help_tells_the_statuses() {
    let help = Room::new().well(&["--help"]).out;
    for word in ["packet", "solve", "designs", "new", "Exit status: 0"] {
        assert!(help.contains(word), "{word} is not in the help");
    }
}

#[test]
fn a_new_order_of_each_design_builds_as_it_is() {
    for design in designs() {
        let room = Room::new();
        room.write("order.toml", &room.well(&["new", &design]).out);
        room.well(&["packet", "order.toml", "--out", "as-printed"]);
        // Every commented line can be taken into use, and says what the design says anyway.
        let order = std::fs::read_to_string(room.path("order.toml")).unwrap();
        let (head, parameters) = order.split_once("[parameters]").unwrap();
        let in_use = |line: &str| match line.strip_prefix('#') {
            Some(set) if !set.starts_with(' ') => format!("{set}\n"),
            _ => format!("{line}\n"),
        };
        let parameters: String = parameters.lines().map(in_use).collect();
        room.write("in-use.toml", &format!("{head}[parameters]{parameters}"));
        let models = ["order.toml", "in-use.toml"].map(|order| room.well(&["solve", order]).out);
        assert_eq!(models[0], models[1], "{design}");
    }
}

#[test]
fn a_setting_wins_over_the_order_and_a_design_may_stand_in_for_one() {
    let room = Room::new();
    room.write("order.toml", "design = \"glazed-case\"\n[parameters]\nwidth = \"40 in\"\n");
    let width = |args: &[&str]| {
        let model: Value = serde_json::from_str(&room.well(args).out).unwrap();
        model["size"]["width"].as_f64().unwrap()
    };
    assert_eq!(width(&["solve", "order.toml"]), 1016.0);
    assert_eq!(width(&["solve", "order.toml", "--set", "width=1000 mm"]), 1000.0);
    assert_eq!(width(&["solve", "glazed-case", "--set", "width=3' 6\""]), 1066.8);
    let own = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/glazed-case.toml")).unwrap();
    room.write("my own.toml", &own);
    assert_eq!(width(&["solve", "my own.toml"]), 1066.8);
    room.write("order.toml", "design = \"my own.toml\"\n");
    assert_eq!(width(&["solve", "order.toml"]), 1066.8);
}

#[test]
fn reports_for_programs_are_one_json_object_with_the_status() {
    let room = Room::new();
    let ran = room.well(&["packet", "--json", "--out", "p"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((&report["format"], &report["status"]), (&"casewright-report/1".into(), &0.into()));
    assert_eq!(report["packet"]["folder"], "p");
    let ran = room.casewright(&["packet", "--json", "--out", "q", "--set", "widht=40 in", "--set", "depth=wide"]);
    let report: Value = serde_json::from_str(&ran.err).unwrap();
    assert_eq!((ran.status, &report["status"], ran.out.as_str()), (2, &2.into(), ""));
    assert_eq!(report["faults"].as_array().unwrap().len(), 2);
    assert_eq!(report["faults"][0]["mend"], "write `width`");
    assert_eq!(room.names(), ["p"]);
}

#[test]
fn a_reader_that_stops_reading_is_no_error() {
    let mut child = command(&["solve"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let mut said = String::new();
    child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    assert_eq!(said, "");
}

#[test]
fn what_cannot_be_read_is_status_two() {
    let room = Room::new();
    for args in [
        &["packet", "no-such-order.toml"] as &[&str],
        &["packet", "glazed-cse"],
        &["solve", "--set", "width"],
        &["new", "no-such-design"],
        &["sovle"],
        &[],
    ] {
        let ran = room.casewright(args);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{args:?}");
        assert!(!ran.err.is_empty(), "{args:?} says nothing");
    }
    assert!(room.casewright(&["packet", "glazed-cse"]).err.contains("`glazed-case`"));
    assert_eq!(room.names(), [""; 0]);
}
