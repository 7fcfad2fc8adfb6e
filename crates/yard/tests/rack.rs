//! The stock file: its faults, all in one run, and the example that is shipped.

use fault::Source;
use measure::{Unit, inches, mm};
use yard::Rack;

const QUAYSIDE: &str = include_str!("../../../templates/stock/quayside.toml");

#[test]
fn the_example_reads() {
    let rack = Rack::read(&Source::new("quayside.toml", QUAYSIDE), Unit::Inch).unwrap();
    let q02 = rack.stacks.iter().find(|s| s.id == "Q02").unwrap();
    assert_eq!((q02.length, q02.width, q02.price), (inches(98, 1), inches(31, 4), Some(5050)));
    assert!(q02.flaws[0].1.hidden_use && !q02.flaws[1].1.hidden_use);
    assert_eq!((rack.currency.as_str(), rack.sawing.kerf), ("USD", inches(1, 8)));
}

#[test]
fn what_the_file_leaves_out_is_as_common() {
    let rack = Rack::read(&Source::new("rack.toml", ""), Unit::Millimetre).unwrap();
    assert!(rack.stacks.is_empty() && rack.prices.is_empty());
    assert_eq!((rack.sawing.end_trim, rack.sawing.keep), (mm(25), (mm(600), mm(75))));
}

#[test]
fn all_faults_of_a_file_are_told_at_once_with_place_and_mend() {
    let text = "\
currency = 3
[[boards]]
id = \"A\"
wood = \"oak\"
thickness = \"1\"
length = \"40 in\"
width = \"6 in\"
price = 12.345
lenght = \"2 in\"
[[boards]]
id = \"A\"
wood = \"oak\"
thickness = \"1 in\"
length = \"40 in\"
width = \"6 in\"
count = 2
flaws = [{ at = [\"39 in\", \"1 in\"], size = [\"2 in\", \"1 in\"] }]
";
    let faults = Rack::read(&Source::new("rack.toml", text), Unit::Inch).unwrap_err().to_string();
    let told: Vec<(&str, &str)> = faults
        .lines()
        .map(|line| {
            line.strip_prefix("rack.toml:").and_then(|l| l.split_once(": ")).unwrap_or_else(|| panic!("{line}"))
        })
        .collect();
    let places: Vec<&str> = told.iter().map(|t| t.0.split(':').next().unwrap()).collect();
    assert_eq!(places, ["1", "5", "8", "9", "16", "17"], "{faults}");
    assert!(told[3].1.ends_with("mend: write `length`"), "{faults}");
    assert!(told[4].1.ends_with("mend: write a table for each of them"), "{faults}");
    assert!(told[5].1.starts_with("the flaw reaches over the end of its board"), "{faults}");
}

#[test]
fn two_boards_of_one_name_are_a_fault() {
    let board = "[[boards]]\nid = \"A\"\nwood = \"oak\"\nthickness = \"1 in\"\nlength = \"4 ft\"\nwidth = \"6 in\"\n";
    let faults = Rack::read(&Source::new("rack.toml", board.repeat(2)), Unit::Inch).unwrap_err().to_string();
    assert!(faults.contains("another board or sheet is called `A` too"), "{faults}");
    assert!(faults.contains("mend: give it an id of its own, or the one of line"), "{faults}");
}
