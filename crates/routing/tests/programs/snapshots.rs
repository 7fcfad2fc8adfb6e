//! A few small programs and a sheet, pinned. Whoever renews them reads them as the operator would.

use measure::Unit;
use routing::{Controller, Machine, Program, Routing};

use crate::{fixture, routed};

fn program<'a>(r: &'a Routing, file: &str) -> &'a Program {
    r.programs.iter().find(|p| p.file == file).unwrap_or_else(|| panic!("no {file}"))
}

fn names(r: &Routing) -> Vec<&str> {
    r.programs.iter().map(|p| p.file.as_str()).collect()
}

#[test]
fn a_shelf_with_notched_corners() {
    let r = routed(&fixture::case(Unit::Millimetre, vec![fixture::shelf()]), &Machine::default());
    assert_eq!(names(&r), ["P03-A-T3.nc"]);
    insta::assert_snapshot!("shelf", r.programs[0].text);
}

#[test]
fn pin_holes_written_out_and_by_cycle() {
    let case = fixture::case(Unit::Inch, vec![fixture::post()]);
    let plain = routed(&case, &Machine::default());
    insta::assert_snapshot!("holes-written-out", head(&program(&plain, "P01-C-T11.nc").text));
    let controller =
        Controller { canned_cycles: true, tool_change: true, length_offset: true, ..Controller::default() };
    let cycles = routed(&case, &Machine { controller, ..Machine::default() });
    insta::assert_snapshot!("holes-by-cycle", tail(&program(&cycles, "P01-C.nc").text));
}

#[test]
fn a_high_arch_cut_off_on_bridges() {
    let r = routed(&fixture::case(Unit::Millimetre, vec![fixture::apron()]), &Machine::default());
    insta::assert_snapshot!("apron", r.programs[0].text);
}

#[test]
fn the_sheet_of_a_rail_on_its_face() {
    let r = routed(&fixture::case(Unit::Inch, vec![fixture::rail()]), &Machine::default());
    insta::assert_snapshot!("rail-sheet", r.sheets[1].text);
}

fn head(text: &str) -> String {
    text.lines().take(34).collect::<Vec<_>>().join("\n")
}

fn tail(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    lines[lines.len().saturating_sub(34)..].join("\n")
}
