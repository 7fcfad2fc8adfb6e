//! `casewright prove` on what stands on the disk: good programs are proven, and one digit by hand is found out.

use std::fs;

use serde_json::Value;

use crate::run::Room;

/// The files of a packet's programs, and one of them with the line that goes deepest, not through.
fn deepest(room: &Room) -> (Vec<String>, String, usize) {
    let index: Value = serde_json::from_slice(&fs::read(room.path("packet/routing/programs.json")).unwrap()).unwrap();
    let programs = index["programs"].as_array().unwrap();
    let files = programs.iter().map(|p| p["file"].as_str().unwrap().to_owned()).collect();
    let blind = |p: &&Value| p["claim"]["cuts"].as_array().unwrap().iter().all(|cut| cut["through"] == false);
    let file = programs.iter().find(blind).unwrap()["file"].as_str().unwrap().to_owned();
    let text = fs::read_to_string(room.path("packet/routing").join(&file)).unwrap();
    let z = |line: &str| line.split(' ').find_map(|w| w.strip_prefix('Z')?.parse::<f64>().ok());
    let depth = text.lines().filter_map(z).fold(0.0, f64::min);
    let line = text.lines().position(|l| z(l) == Some(depth)).unwrap() + 1;
    (files, file, line)
}

#[test]
fn one_digit_by_hand_is_refused_with_its_line_and_what_it_does() {
    let room = Room::new();
    room.well(&["packet", "low-cupboard"]);
    let (files, file, line) = deepest(&room);
    let good = room.well(&["prove", "packet"]).out;
    assert!(good.ends_with(&format!("{0} of {0} proven\n", files.len())), "{good}");

    // The first digit after the point of that Z, one up.
    let path = room.path("packet/routing").join(&file);
    let text = fs::read_to_string(&path).unwrap();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let edited = &mut lines[line - 1];
    let at = edited.find('Z').unwrap() + edited[edited.find('Z').unwrap()..].find('.').unwrap() + 1;
    let digit = edited.as_bytes().get(at).filter(|b| b.is_ascii_digit()).map_or(b'0', |b| *b);
    let other =
        if digit == b'9' { "8" } else { ["1", "2", "3", "4", "5", "6", "7", "8", "9"][usize::from(digit - b'0')] };
    edited.replace_range(at..edited.len().min(at + 1), other);
    fs::write(&path, lines.join("\n") + "\n").unwrap();

    for asked in ["packet", path.to_str().unwrap()] {
        let ran = room.casewright(&["prove", asked]);
        assert_eq!(ran.status, 1, "{}", ran.out);
        let report = ran.out.split("\n\n").next().unwrap();
        assert!(ran.out.contains(&format!("{file}: refused")), "{report}");
        let said = format!("\n  {line}: ");
        let what = ran.out.split(&said).nth(1).unwrap_or_else(|| panic!("no line {line}: {report}"));
        assert!(what.contains(" mm deeper than the cut (P"), "{what}");
    }
    let ran = room.casewright(&["prove", "packet", "--json"]);
    let report: Value = serde_json::from_str(&ran.out).unwrap();
    let refused: Vec<&Value> =
        report["programs"].as_array().unwrap().iter().filter(|p| p["proof"]["proven"] == false).collect();
    assert_eq!((refused.len(), &refused[0]["file"]), (1, &file.as_str().into()));
    assert!(refused[0]["proof"]["refused"].to_string().contains(&format!("\"{line}: gouge")));
}

/// What the letterings of a layer say.
fn letterings<'a>(svg: &'a roxmltree::Document<'_>, layer: &str) -> Vec<&'a str> {
    let group = svg.descendants().find(|n| n.attribute("id") == Some(layer)).unwrap_or_else(|| panic!("no {layer}"));
    group.descendants().filter_map(|n| n.attribute("aria-label")).collect()
}

#[test]
fn every_program_is_drawn_with_its_path_its_depths_and_what_is_wrong() {
    let room = Room::new();
    room.well(&["packet", "open-shelves"]);
    let (files, file, line) = deepest(&room);
    let path = room.path("packet/routing").join(&file);
    let text = fs::read_to_string(&path).unwrap();
    // The deepest cut is never made.
    let cut_short: String =
        text.lines().enumerate().filter(|(i, _)| i + 1 != line).map(|(_, l)| format!("{l}\n")).collect();
    fs::write(&path, cut_short).unwrap();
    let ran = room.casewright(&["prove", "packet", "--draw", "pictures"]);
    assert_eq!(ran.status, 1, "{}", ran.out);

    let index: Value = serde_json::from_slice(&fs::read(room.path("packet/routing/programs.json")).unwrap()).unwrap();
    let mut lettered = 0;
    for program in index["programs"].as_array().unwrap() {
        let name = program["file"].as_str().unwrap();
        let drawn = fs::read_to_string(room.path("pictures").join(name.replace(".nc", ".svg"))).unwrap();
        let svg = roxmltree::Document::parse(&drawn).unwrap();
        let inks = svg.descendants().flat_map(|n| [n.attribute("fill"), n.attribute("stroke")]).flatten();
        assert!(inks.into_iter().all(|ink| ["none", "#000", "#fff"].contains(&ink)), "{name} is coloured");
        let moves = svg.descendants().find(|n| n.attribute("id") == Some("moves")).unwrap();
        assert!(moves.descendants().filter(|n| n.has_tag_name("path")).count() > 0, "{name}");
        let wrong = letterings(&svg, "findings");
        assert_eq!(wrong.is_empty(), name != file, "{name}: {wrong:?}");
        // What is read off the lower picture of a sound program is the depth of one of its cuts, or of a bridge.
        let claim = &program["claim"];
        let is_bridge = |depth: f64| {
            claim["tabs"].as_array().unwrap().iter().any(|tab| (depth + tab["z_top"].as_f64().unwrap()).abs() < 0.006)
        };
        let is_claimed = |depth: f64| {
            claim["cuts"].as_array().unwrap().iter().any(|cut| {
                let beyond = if cut["through"] == true { claim["spoilboard"].as_f64().unwrap() } else { 0.0 };
                let over = depth + cut["z_bottom"].as_f64().unwrap();
                (-0.006..=beyond + 0.006).contains(&over)
            })
        };
        let depths: Vec<f64> = letterings(&svg, "depth-figures").iter().map(|d| d.parse().unwrap()).collect();
        assert!(name == file || depths.iter().all(|d| is_claimed(*d) || is_bridge(*d)), "{name}: {depths:?}");
        lettered += depths.len();
    }
    assert!(lettered > files.len(), "{lettered} depths");
    assert_eq!(fs::read_dir(room.path("pictures")).unwrap().count(), files.len());
}
