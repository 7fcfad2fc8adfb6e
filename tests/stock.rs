//! A packet with a stock file: layouts on the boards at hand, what is short, and faults of the file.

use std::fs;

use serde_json::Value;

use crate::run::{Room, files};

fn shipped(path: &str) -> String {
    format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_demo_is_laid_out_on_its_rack_and_can_be_made_again() {
    let room = Room::new();
    let rack = shipped("templates/stock/quayside.toml");
    let ran = room.well(&["packet", "--stock", &rack]);
    assert!(!ran.out.contains("[stock-"), "{}", ran.out);
    let packet = files(&room.path("packet"));
    assert_eq!(packet["order/stock.toml"], fs::read(&rack).unwrap());
    let list = String::from_utf8(packet["lists/buying-list.csv"].clone()).unwrap();
    let mut rows = csv::Reader::from_reader(list.as_bytes());
    let column = rows.headers().unwrap().iter().position(|h| h == "boards_to_buy").unwrap();
    assert!(rows.records().all(|row| &row.unwrap()[column] == "0"), "{list}");
    // Named by the order it does the same.
    fs::copy(&rack, room.path("rack.toml")).unwrap();
    let demo = String::from_utf8(packet["order/order.toml"].clone()).unwrap();
    room.write("order.toml", &format!("{demo}\n[shop]\nstock = \"rack.toml\"\n"));
    room.well(&["packet", "order.toml", "--out", "again"]);
    let again = files(&room.path("again"));
    assert_eq!(again["lists/buying-list.csv"], packet["lists/buying-list.csv"]);
    assert_eq!(again["lists/rough-list.csv"], packet["lists/rough-list.csv"]);
}

#[test]
fn too_few_boards_are_a_finding_that_says_what_to_buy() {
    let room = Room::new();
    let ran = room.well(&["packet", "--json", "--stock", &shipped("tests/stock/short.toml")]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    let short: Vec<&Value> =
        report["findings"].as_array().unwrap().iter().filter(|f| f["rule"] == "stock-short").collect();
    assert_eq!(short.len(), 2, "{report:#}");
    let posts = short.iter().find(|f| f["what"].as_str().unwrap().contains("8/4")).unwrap();
    assert!(posts["what"].as_str().unwrap().ends_with("short of P01, P02, P03, P04"), "{posts:#}");
    assert!(posts["advice"].as_str().unwrap().starts_with("buy 12.0 board ft, for instance 1 of"), "{posts:#}");
    let page = fs::read_to_string(room.path("packet/START-HERE.html")).unwrap();
    assert!(page.contains("the boards at hand are not enough"));
}

#[test]
fn a_stock_file_that_cannot_be_read_is_a_fault_and_nothing_is_written() {
    let room = Room::new();
    room.write("rack.toml", "[[boards]]\nid = \"A\"\nwood = \"oak\"\nthickness = \"1\"\nlength = \"4 ft\"\n");
    let ran = room.casewright(&["packet", "--stock", "rack.toml"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("rack.toml:4:13") && ran.err.contains("`width` is missing"), "{}", ran.err);
    let ran = room.casewright(&["packet", "--stock", "none.toml"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("the file `none.toml` cannot be read"), "{}", ran.err);
    assert_eq!(room.names(), ["rack.toml"]);
}

#[test]
fn a_search_for_a_time_keeps_the_best_and_says_nothing_to_a_file() {
    let room = Room::new();
    let rack = shipped("templates/stock/quayside.toml");
    let ran = room.well(&["packet", "--stock", &rack, "--stock-time", "0.2s", "--stock-seed", "3"]);
    assert!(!ran.out.contains("[stock-short]"), "{}", ran.out);
    assert_eq!(room.casewright(&["packet", "--stock-time", "2"]).status, 2);
}
