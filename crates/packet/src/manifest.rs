//! `manifest.json`: every file of the packet with its kind, size and hash, and what the packet was made from.
//!
//! Its bytes are canonical, so a manifest that was edited by hand is told from one that the program wrote.

use std::fmt::Write as _;

use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::{Kind, Packet};

/// Marks the format, and its first version.
pub(crate) const FORMAT: &str = "casewright-packet/1";

/// The whole manifest.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// Always `casewright-packet/1`.
    pub format: String,
    /// What wrote it.
    pub program: ProgramEntry,
    /// What it was made from.
    pub order: OrderEntry,
    /// The files by path; the manifest itself is not among them.
    pub files: Vec<FileEntry>,
}

/// The program that wrote the packet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProgramEntry {
    /// `casewright`.
    pub name: String,
    /// Its version.
    pub version: String,
}

/// The order; with the settings and the other files in `order/` it gives the same packet, byte for byte.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OrderEntry {
    /// Name of the design.
    pub design: String,
    /// Number of the order.
    pub number: String,
    /// SHA-256 of the order file, as it was read.
    pub sha256: String,
    /// Settings of the command line that won over the order, as `name=value`.
    pub settings: Vec<String>,
}

/// A file of the packet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FileEntry {
    /// Relative to the packet's folder, with `/`.
    pub path: String,
    /// What it is.
    pub kind: Kind,
    /// What a link to it says.
    pub title: String,
    /// Bytes.
    pub size: usize,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

impl Manifest {
    /// Of a packet, and what it was made from.
    pub fn of(packet: &Packet, program: ProgramEntry, order: OrderEntry) -> Self {
        let entry = |(path, file): (&str, &crate::File)| FileEntry {
            path: path.to_owned(),
            kind: file.kind,
            title: file.title.clone(),
            size: file.bytes.len(),
            sha256: sha256(&file.bytes),
        };
        let files: Vec<_> = packet.files().collect();
        Self { format: FORMAT.to_owned(), program, order, files: files.into_par_iter().map(entry).collect() }
    }

    /// The canonical text.
    pub fn text(&self) -> String {
        serde_json::to_string_pretty(self).expect("plain strings and numbers make JSON") + "\n"
    }

    /// A manifest that the program wrote and nobody touched since.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let manifest: Self = serde_json::from_slice(bytes).ok()?;
        (manifest.format == FORMAT && manifest.text().as_bytes() == bytes).then_some(manifest)
    }
}

/// SHA-256 in lower-case hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4's example messages: "abc" and the empty one.
    #[test]
    fn hashes_are_the_standard_ones() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(sha256(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }
}
