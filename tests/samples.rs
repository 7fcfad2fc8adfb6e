//! `out-samples/` holds a packet of each standard design, and today's program writes exactly that.
//!
//! `CASEWRIGHT_RENEW=1` writes them anew: look at what changed before it is kept.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use crate::run::{Room, designs, files};

fn top(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

#[test]
fn the_program_writes_the_sample_packets_byte_for_byte() {
    for design in designs() {
        let room = Room::new();
        let order = top(&format!("tests/orders/{design}.toml"));
        // The demo order is the glazed case's.
        if order.exists() {
            room.well(&["packet", order.to_str().unwrap()]);
        } else {
            room.well(&["packet"]);
        }
        let written = files(&room.path("packet"));
        let sample = top(&format!("out-samples/{design}"));
        if env::var_os("CASEWRIGHT_RENEW").is_some() {
            if sample.exists() {
                fs::remove_dir_all(&sample).unwrap();
            }
            for (path, bytes) in &written {
                let to = sample.join(path);
                fs::create_dir_all(to.parent().unwrap()).unwrap();
                fs::write(to, bytes).unwrap();
            }
        }
        let kept = files(&sample);
        let names = |files: &std::collections::BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&written), names(&kept), "{design}: other files than in out-samples");
        let differ: Vec<_> = written.iter().filter(|(path, bytes)| kept[*path] != **bytes).map(|(p, _)| p).collect();
        assert!(differ.is_empty(), "{design}: {differ:?} differ from out-samples; CASEWRIGHT_RENEW=1 writes them anew");
    }
}
