//! The packet: everything that one order needs, in one folder, written whole or not at all.
//!
//! A [`Packet`] is put together in memory, a map of names to bytes, and only [`Packet::write`] touches the disk. What
//! the files say is the business of the crates that make them.

// The one crate of the library that writes files.
#![allow(clippy::disallowed_methods, reason = "this is the crate that clippy.toml leaves the writing to")]

mod apart;
mod assemble;
mod assembly;
mod claim;
mod drawn;
mod manifest;
mod nest;
mod proof;
mod shop;
mod start;
mod store;

use std::collections::BTreeMap;

pub use apart::write_apart;
pub use assemble::{Texts, assemble};
pub use manifest::{FileEntry, Manifest, OrderEntry, ProgramEntry, sha256};
pub use proof::{Unproven, prove_programs};
pub use store::WriteFault;

/// Name of the manifest in the packet's folder.
pub const MANIFEST: &str = "manifest.json";

/// What a file of the packet is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The page to begin with.
    Start,
    /// The order or the design as it was read.
    Order,
    /// The solved model.
    Model,
    /// Many sheets in one file, to print; they are also there one by one.
    Print,
    /// A drawing.
    Drawing,
    /// A full-size pattern.
    Pattern,
    /// A full-size drawing of a jig.
    Jig,
    /// A small sheet of a full-size pattern or jig, or the plan of them.
    Tile,
    /// Outlines of a part or a pattern for another program.
    Dxf,
    /// An RS-274 program.
    Program,
    /// What the programs are and what they were proven to cut.
    ProgramIndex,
    /// A set-up sheet.
    SetUpSheet,
    /// A board or sheet with its cuts, or labels for what is cut from it.
    Layout,
    /// A list to read.
    List,
    /// A list for a spreadsheet.
    Table,
}

/// A file of the packet.
#[derive(Clone, Debug)]
pub struct File {
    /// What it is.
    pub kind: Kind,
    /// What a link to it says.
    pub title: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// A packet in memory: relative paths with `/`, and what stands there.
#[derive(Clone, Debug, Default)]
pub struct Packet {
    files: BTreeMap<String, File>,
}

impl Packet {
    /// An empty packet.
    pub const fn new() -> Self {
        Self { files: BTreeMap::new() }
    }

    /// Puts a file in.
    ///
    /// # Panics
    /// If the path is not plain and relative, or is taken: the program names its files itself.
    pub fn add(&mut self, path: impl Into<String>, kind: Kind, title: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        let path = path.into();
        let plain = |part: &str| {
            !part.is_empty()
                && !part.starts_with('.')
                && part.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_'))
        };
        assert!(path.split('/').all(plain) && path != MANIFEST, "a file of the packet cannot be called {path:?}");
        let file = File { kind, title: title.into(), bytes: bytes.into() };
        let taken = self.files.insert(path.clone(), file).is_some();
        assert!(!taken, "two files of the packet are called {path:?}");
    }

    /// The files by path, the manifest not among them.
    pub fn files(&self) -> impl Iterator<Item = (&str, &File)> {
        self.files.iter().map(|(path, file)| (path.as_str(), file))
    }

    /// The file at a path.
    pub fn get(&self, path: &str) -> Option<&File> {
        self.files.get(path)
    }

    /// The files of one kind, by path.
    pub fn of_kind(&self, kind: Kind) -> impl Iterator<Item = (&str, &File)> {
        self.files().filter(move |(_, file)| file.kind == kind)
    }
}
