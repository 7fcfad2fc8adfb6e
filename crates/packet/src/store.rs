//! The packet on disk: written into a scratch folder beside the target, and renamed over it.
//!
//! An existing folder is replaced only if it is a packet that this program wrote and in which nothing was put or
//! changed since; files taken out of it are no matter. Whoever reads the target sees the old packet or the new one,
//! whole, and a failure leaves what was there before.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{fmt, fs, io};

use rayon::prelude::*;

use crate::manifest::{Manifest, sha256};
use crate::{MANIFEST, Packet};

/// Why a packet was not written. Nothing was, in every case.
#[derive(Debug)]
pub enum WriteFault {
    /// What stands at the target is not for this program to replace.
    Refused {
        /// The target.
        target: PathBuf,
        /// What was found there.
        why: String,
    },
    /// The disk failed.
    Disk {
        /// What was tried.
        doing: &'static str,
        /// On what.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl WriteFault {
    /// What to do about it.
    pub const fn mend(&self) -> &'static str {
        match self {
            Self::Refused { .. } => "name another folder with `--out`, or move what is there out of the way",
            Self::Disk { .. } => "see that the folder may be written to and that the disk has room",
        }
    }
}

impl fmt::Display for WriteFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused { target, why } => write!(f, "`{}` is left as it is: {why}", target.display()),
            Self::Disk { doing, path, source } => write!(f, "cannot {doing} `{}`: {source}", path.display()),
        }
    }
}

impl std::error::Error for WriteFault {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Refused { .. } => None,
            Self::Disk { source, .. } => Some(source),
        }
    }
}

impl Packet {
    /// Writes the packet and its manifest as the folder `target`; folders above it are made.
    ///
    /// # Errors
    /// If something else stands at the target, or the disk fails; nothing is written then.
    pub fn write(&self, manifest: &Manifest, target: &Path) -> Result<(), WriteFault> {
        let standing = standing(target)?;
        let beside = match target.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        fs::create_dir_all(beside).map_err(disk("make the folder", beside))?;
        // Dropped, the scratch folder takes with it whatever is still inside: half a packet, or the one replaced.
        let scratch = tempfile::Builder::new().prefix(".casewright-").tempdir_in(beside);
        let scratch = scratch.map_err(disk("make a folder in", beside))?;
        let fresh = scratch.path().join("fresh");
        self.fill(manifest, &fresh)?;
        if standing == Standing::Nothing {
            return fs::rename(&fresh, target).map_err(disk("move the packet to", target));
        }
        let replaced = scratch.path().join("replaced");
        fs::rename(target, &replaced).map_err(disk("move aside", target))?;
        fs::rename(&fresh, target).map_err(|source| {
            // The old packet goes back; if even that fails, the scratch folder must not be dropped with it.
            match fs::rename(&replaced, target) {
                Ok(()) => disk("move the packet to", target)(source),
                Err(_) => disk("move back to its place the folder", &scratch.keep().join("replaced"))(source),
            }
        })
    }

    fn fill(&self, manifest: &Manifest, folder: &Path) -> Result<(), WriteFault> {
        fs::create_dir(folder).map_err(disk("make the folder", folder))?;
        let files: Vec<(PathBuf, &[u8])> =
            self.files().map(|(name, file)| (folder.join(name), file.bytes.as_slice())).collect();
        let parents: BTreeSet<&Path> = files.iter().filter_map(|(path, _)| path.parent()).collect();
        for parent in parents {
            fs::create_dir_all(parent).map_err(disk("make the folder", parent))?;
        }
        // Hundreds of small files: the disk takes several at once.
        files.par_iter().try_for_each(|(path, bytes)| fs::write(path, bytes).map_err(disk("write", path)))?;
        let path = folder.join(MANIFEST);
        fs::write(&path, manifest.text()).map_err(disk("write", &path))
    }
}

#[derive(PartialEq, Eq)]
enum Standing {
    Nothing,
    Replaceable,
}

/// What stands at the target, or why it may not be replaced.
fn standing(target: &Path) -> Result<Standing, WriteFault> {
    let refuse = |why: String| Err(WriteFault::Refused { target: target.to_owned(), why });
    if target.file_name().is_none() {
        return refuse("a packet needs a folder with a name of its own".into());
    }
    match kind_at(target)? {
        None => return Ok(Standing::Nothing),
        Some(kind) if !kind.is_dir() => return refuse("it is not a folder".into()),
        Some(_) => {}
    }
    if fs::read_dir(target).map_err(disk("read the folder", target))?.next().is_none() {
        return Ok(Standing::Replaceable);
    }
    let path = target.join(MANIFEST);
    if !kind_at(&path)?.is_some_and(|kind| kind.is_file()) {
        return refuse(format!("it holds no `{MANIFEST}` to say that this program wrote it"));
    }
    let manifest = fs::read(&path).map_err(disk("read", &path))?;
    let Some(manifest) = Manifest::read(&manifest) else {
        return refuse(format!("its `{MANIFEST}` is not one that this version wrote, or it was changed since"));
    };
    let mut found = BTreeMap::new();
    walk(target, "", &mut found)?;
    found.remove(MANIFEST);
    let known: BTreeMap<&str, &str> = manifest.files.iter().map(|f| (f.path.as_str(), f.sha256.as_str())).collect();
    for (name, path) in &found {
        let Some(path) = path else { return refuse(format!("`{name}` in it is neither file nor folder")) };
        let Some(hash) = known.get(name.as_str()) else {
            return refuse(format!("`{name}` in it is not from this program"));
        };
        if sha256(&fs::read(path).map_err(disk("read", path))?) != *hash {
            return refuse(format!("`{name}` in it was changed since it was written"));
        }
    }
    Ok(Standing::Replaceable)
}

/// What stands at a path, links not followed; nothing if nothing does.
fn kind_at(path: &Path) -> Result<Option<fs::FileType>, WriteFault> {
    match fs::symlink_metadata(path) {
        Ok(found) => Ok(Some(found.file_type())),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(disk("look at", path)(e)),
    }
}

/// The names of all that is in a folder, with `/`, and the path where it is a file.
fn walk(folder: &Path, prefix: &str, found: &mut BTreeMap<String, Option<PathBuf>>) -> Result<(), WriteFault> {
    for entry in fs::read_dir(folder).map_err(disk("read the folder", folder))? {
        let entry = entry.map_err(disk("read the folder", folder))?;
        let kind = entry.file_type().map_err(disk("look at", &entry.path()))?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if kind.is_dir() {
            walk(&entry.path(), &format!("{name}/"), found)?;
        } else {
            found.insert(name, kind.is_file().then(|| entry.path()));
        }
    }
    Ok(())
}

fn disk(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> WriteFault {
    let path = path.to_owned();
    move |source| WriteFault::Disk { doing, path, source }
}
