//! Writing a packet: whole or not at all, and never over what someone else put there.

#![expect(clippy::disallowed_methods, reason = "the tests set scenes on the disk")]

use std::fs;
use std::path::Path;

use packet::{Kind, Manifest, OrderEntry, Packet, ProgramEntry, WriteFault};

fn sample(text: &str) -> (Packet, Manifest) {
    let mut packet = Packet::new();
    packet.add("START-HERE.html", Kind::Start, "Start here", "<p>hello</p>");
    packet.add("lists/cut-list.csv", Kind::Table, "Cut list", text);
    packet.add("routing/P01/front.ngc", Kind::Program, "P01, front", "G21\r\nM2\r\n");
    let program = ProgramEntry { name: "casewright".into(), version: "0.1.0".into() };
    let order = OrderEntry {
        design: "small".into(),
        number: "Q-1".into(),
        sha256: packet::sha256(b"order"),
        settings: vec!["width=40 in".into()],
    };
    let manifest = Manifest::of(&packet, program, order);
    (packet, manifest)
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Writes over `target` and expects a refusal that says `why`, the scene unchanged and nothing left lying about.
#[track_caller]
fn refused(target: &Path, why: &str) {
    let (packet, manifest) = sample("new");
    let before = names(target.parent().unwrap());
    match packet.write(&manifest, target) {
        Err(fault @ WriteFault::Refused { .. }) => {
            assert!(fault.to_string().contains(why), "{fault}");
            assert!(fault.mend().contains("--out"));
        }
        other => panic!("expected a refusal, got {other:?}"),
    }
    assert_eq!(names(target.parent().unwrap()), before);
}

#[test]
fn a_packet_is_written_with_its_manifest_and_replaced_by_the_next() {
    let room = tempfile::tempdir().unwrap();
    let target = room.path().join("jobs/2026/packet");
    let (packet, manifest) = sample("old");
    packet.write(&manifest, &target).unwrap();
    assert_eq!(names(&target), ["START-HERE.html", "lists", "manifest.json", "routing"]);
    assert_eq!(Manifest::read(&fs::read(target.join("manifest.json")).unwrap()), Some(manifest));

    let (packet, manifest) = sample("new");
    packet.write(&manifest, &target).unwrap();
    assert_eq!(fs::read_to_string(target.join("lists/cut-list.csv")).unwrap(), "new");
    assert_eq!(names(target.parent().unwrap()), ["packet"], "nothing is left beside it");
}

#[test]
fn a_smaller_packet_leaves_nothing_of_the_larger_one() {
    let room = tempfile::tempdir().unwrap();
    let target = room.path().join("packet");
    let (packet, manifest) = sample("old");
    packet.write(&manifest, &target).unwrap();
    let mut less = Packet::new();
    less.add("START-HERE.html", Kind::Start, "Start here", "<p>less</p>");
    let manifest = Manifest::of(&less, manifest.program, manifest.order);
    less.write(&manifest, &target).unwrap();
    assert_eq!(names(&target), ["START-HERE.html", "manifest.json"]);
}

#[test]
fn a_folder_that_is_not_a_packet_is_left_alone() {
    let room = tempfile::tempdir().unwrap();
    let target = room.path().join("photos");
    fs::create_dir(&target).unwrap();
    fs::write(target.join("rose.jpg"), "petals").unwrap();
    refused(&target, "holds no `manifest.json`");
    fs::write(target.join("manifest.json"), "{\"format\": \"another\"}").unwrap();
    refused(&target, "not one that this version wrote");
    assert_eq!(fs::read_to_string(target.join("rose.jpg")).unwrap(), "petals");
}

#[test]
fn what_was_put_in_or_changed_by_hand_stays() {
    let room = tempfile::tempdir().unwrap();
    let target = room.path().join("packet");
    let (packet, manifest) = sample("old");
    let note = target.join("lists/note.txt");
    packet.write(&manifest, &target).unwrap();
    fs::write(&note, "ask about the knob").unwrap();
    refused(&target, "`lists/note.txt` in it is not from this program");
    fs::remove_file(&note).unwrap();
    fs::write(target.join("routing/P01/front.ngc"), "G20\n").unwrap();
    refused(&target, "`routing/P01/front.ngc` in it was changed");
    fs::remove_file(target.join("routing/P01/front.ngc")).unwrap();
    packet.write(&manifest, &target).expect("a file taken out is no loss");
    let text = fs::read_to_string(target.join("manifest.json")).unwrap();
    fs::write(target.join("manifest.json"), text.replace("{\n", "{\n  \"note\": \"ask about the knob\",\n")).unwrap();
    refused(&target, "was changed since");
}

#[test]
fn a_file_in_the_way_is_left_alone_and_an_empty_folder_is_taken() {
    let room = tempfile::tempdir().unwrap();
    let file = room.path().join("file");
    fs::write(&file, "mine").unwrap();
    refused(&file, "not a folder");
    refused(&room.path().join(".."), "a name of its own");
    let empty = room.path().join("empty");
    fs::create_dir(&empty).unwrap();
    let (packet, manifest) = sample("new");
    packet.write(&manifest, &empty).unwrap();
    assert!(empty.join("manifest.json").exists());
}

#[cfg(unix)]
#[test]
fn a_link_is_neither_followed_nor_replaced() {
    let room = tempfile::tempdir().unwrap();
    let (packet, manifest) = sample("old");
    packet.write(&manifest, &room.path().join("real")).unwrap();
    let link = room.path().join("link");
    std::os::unix::fs::symlink("real", &link).unwrap();
    refused(&link, "not a folder");
    let inside = room.path().join("real/lists/link.csv");
    std::os::unix::fs::symlink("cut-list.csv", &inside).unwrap();
    refused(&room.path().join("real"), "neither file nor folder");
}

#[test]
fn a_failing_disk_leaves_nothing_half_written() {
    let room = tempfile::tempdir().unwrap();
    let blocked = room.path().join("file");
    fs::write(&blocked, "mine").unwrap();
    let (packet, manifest) = sample("new");
    let fault = packet.write(&manifest, &blocked.join("packet")).unwrap_err();
    assert!(matches!(fault, WriteFault::Disk { .. }), "{fault:?}");
    assert_eq!(names(room.path()), ["file"]);
}

#[test]
#[should_panic(expected = "two files of the packet")]
fn two_files_cannot_share_a_name() {
    let mut packet = Packet::new();
    packet.add("a.svg", Kind::Drawing, "A", "");
    packet.add("a.svg", Kind::Drawing, "A", "");
}
