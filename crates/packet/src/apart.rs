//! Files that are asked for apart from a packet, each written whole or not at all.

use std::fs;
use std::io::Write as _;
use std::path::Path;

use crate::WriteFault;

/// Writes files of those names and contents into a folder, which is made if it is not there. Each is written beside its
/// place and renamed over it.
///
/// # Errors
/// If the disk fails; what stands already then stays as it was, and no file is half written.
pub fn write_apart(folder: &Path, files: &[(String, String)]) -> Result<(), WriteFault> {
    let failed = |doing, path: &Path| {
        let path = path.to_owned();
        move |source| WriteFault::Disk { doing, path, source }
    };
    fs::create_dir_all(folder).map_err(failed("making", folder))?;
    for (name, text) in files {
        let target = folder.join(name);
        let mut scratch =
            tempfile::Builder::new().prefix(".casewright-").tempfile_in(folder).map_err(failed("writing", &target))?;
        scratch.write_all(text.as_bytes()).map_err(failed("writing", &target))?;
        scratch.persist(&target).map_err(|e| failed("renaming", &target)(e.error))?;
    }
    Ok(())
}
