//! The packet on disk: complete, consistent, the same every time, and never in the way of other people's files.

use std::fs;

use serde_json::Value;
use sha2::{Digest as _, Sha256};

use crate::run::{Room, designs, files};

fn manifest(room: &Room, packet: &str) -> Value {
    serde_json::from_slice(&fs::read(room.path(packet).join("manifest.json")).unwrap()).unwrap()
}

#[test]
fn the_manifest_lists_every_file_with_its_size_and_hash() {
    for design in designs() {
        let room = Room::new();
        room.well(&["packet", &design, "--out", "p", "--set", "width=30 in"]);
        let (manifest, mut found) = (manifest(&room, "p"), files(&room.path("p")));
        found.remove("manifest.json");
        assert_eq!(manifest["format"], "casewright-packet/1");
        assert_eq!(manifest["program"]["version"], env!("CARGO_PKG_VERSION"));
        assert_eq!(manifest["order"]["settings"][0], "width=30 in");
        for entry in manifest["files"].as_array().unwrap() {
            let path = entry["path"].as_str().unwrap();
            let bytes = found.remove(path).unwrap_or_else(|| panic!("{path} is listed and not there"));
            assert_eq!(entry["size"], bytes.len(), "{path}");
            let hash: String = Sha256::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect();
            assert_eq!(entry["sha256"], hash.as_str(), "{path}");
            if path == "order/order.toml" {
                assert_eq!(manifest["order"]["sha256"], hash.as_str());
            }
        }
        assert_eq!(found.keys().collect::<Vec<_>>(), [""; 0], "not listed");
    }
}

#[test]
fn the_packet_can_be_made_again_from_what_is_in_it() {
    let room = Room::new();
    room.well(&["packet", "--out", "first", "--set", "width=30 in", "--set", "doors=1"]);
    let settings = manifest(&room, "first")["order"]["settings"].clone();
    let mut args = vec!["packet", "first/order/order.toml", "--out", "second"];
    for setting in settings.as_array().unwrap() {
        args.extend(["--set", setting.as_str().unwrap()]);
    }
    room.well(&args);
    assert!(files(&room.path("first")) == files(&room.path("second")), "the second packet differs from the first");
}

#[test]
fn links_of_the_first_page_lead_to_every_file() {
    let room = Room::new();
    room.well(&["packet", "--out", "p"]);
    let page = fs::read_to_string(room.path("p/START-HERE.html")).unwrap();
    let mut links: Vec<_> = page.split("href=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    links.sort_unstable();
    let found = files(&room.path("p"));
    let others = found.keys().map(String::as_str).filter(|path| !["START-HERE.html", "manifest.json"].contains(path));
    assert_eq!(links, others.collect::<Vec<_>>());
}

#[test]
fn another_order_replaces_the_packet_and_a_stranger_s_folder_stays() {
    let room = Room::new();
    room.well(&["packet"]);
    room.well(&["packet", "--set", "shelves=2"]);
    assert_eq!(manifest(&room, "packet")["order"]["settings"][0], "shelves=2");

    fs::write(room.path("packet/lists/note.txt"), "ask about the knob").unwrap();
    let before = files(&room.path("packet"));
    let ran = room.casewright(&["packet"]);
    assert_eq!((ran.status, ran.out.as_str()), (3, ""));
    assert!(ran.err.contains("note.txt") && ran.err.contains("--out"), "{}", ran.err);
    assert!(files(&room.path("packet")) == before);
    assert_eq!(room.names(), ["packet"], "nothing half-written lies about");
}

#[test]
fn cautions_of_the_trade_are_on_the_first_page() {
    let room = Room::new();
    room.well(&["packet"]);
    let page = fs::read_to_string(room.path("packet/START-HERE.html")).unwrap();
    for word in ["Guards on", "Wood dust", "Glass", "to the wall", "Oily rags", "Local codes and licensed practice"] {
        assert!(page.contains(word), "no word of {word:?}");
    }
}

#[test]
fn the_shop_s_own_machine_and_tools_are_used_and_kept() {
    let room = Room::new();
    let order = |machine: &str| format!("design = \"open-shelves\"\n[shop]\nmachine = \"{machine}\"\n");
    room.write("order.toml", &order("small.toml"));
    room.write("small.toml", "name = \"small router\"\ntravel = [\"600 mm\", \"400 mm\", \"80 mm\"]\n");
    room.well(&["packet", "order.toml"]);
    let kept = fs::read_to_string(room.path("packet/order/machine.toml")).unwrap();
    assert!(kept.contains("small router"));
    let index: Value = serde_json::from_slice(&fs::read(room.path("packet/routing/programs.json")).unwrap()).unwrap();
    let too_long =
        index["by_hand"].as_array().unwrap().iter().filter(|task| task["why"].to_string().contains("travel"));
    assert!(too_long.count() > 0, "a 78 in post does not lie on a 600 mm table: {:#}", index["by_hand"]);

    room.write("small.toml", "travel = [\"600\", \"400 mm\", \"80 mm\"]\nclaer = \"20 mm\"\n");
    let ran = room.casewright(&["packet", "order.toml"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("small.toml:1:") && ran.err.contains("small.toml:2:"), "{}", ran.err);
    room.write("order.toml", &order("lost.toml"));
    let ran = room.casewright(&["packet", "order.toml"]);
    assert!(ran.status == 2 && ran.err.contains("lost.toml"), "{}", ran.err);
}
