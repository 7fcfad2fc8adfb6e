//! The packet on disk: names, hashes, manifest; the only crate that writes.
