//! Runs the real program, and sets its scenes: scratch folders, order files, what it wrote.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// What a run left behind.
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A scratch folder in which the program is run.
pub(crate) struct Room(TempDir);

impl Room {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    /// Runs the program here.
    pub(crate) fn casewright(&self, args: &[&str]) -> Ran {
        let output = command(args).current_dir(self.0.path()).output().unwrap();
        Ran {
            status: output.status.code().expect("it ends by itself"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs the program here and expects it to do what it was asked.
    #[track_caller]
    pub(crate) fn well(&self, args: &[&str]) -> Ran {
        let ran = self.casewright(args);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "casewright {args:?}");
        ran
    }

    /// The names of all that stands here, hidden files too.
    pub(crate) fn names(&self) -> Vec<String> {
        let names = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<_> = names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

pub(crate) fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_casewright"));
    command.args(args).stdin(Stdio::null());
    command
}

/// All files below a folder by their path in it, with `/`.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(&at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let parts = path.strip_prefix(folder).unwrap().iter().map(|part| part.to_str().unwrap());
                found.insert(parts.collect::<Vec<_>>().join("/"), fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// The built-in designs, as the program lists them.
pub(crate) fn designs() -> Vec<String> {
    let listed: serde_json::Value = serde_json::from_str(&Room::new().well(&["designs", "--json"]).out).unwrap();
    let names = listed["designs"].as_array().unwrap().iter();
    let names: Vec<_> = names.map(|design| design["name"].as_str().unwrap().to_owned()).collect();
    assert!(!names.is_empty());
    names
}
