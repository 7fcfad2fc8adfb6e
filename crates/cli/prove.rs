//! `casewright prove`: programs as they stand on the disk, read back and cut in simulation against what they claim.
//!
//! The claims are in `programs.json` beside the programs; the program's own text is all that is believed of it.

use std::path::{Path, PathBuf};

use fault::{Fault, Faults, Place, Source};
use proof::{Claim, Report};
use serde_json::{Value, json};

use crate::outcome::Failure;
use crate::{input, report, trace};

/// Proves one program, or all that stand in a packet.
pub(crate) fn run(path: &Path, draw: Option<&Path>, as_json: bool) -> Result<(), Failure> {
    let (folder, only) = programs_at(path);
    let index = read_index(&folder.join("programs.json"))?;
    let mut proofs = Vec::new();
    let mut drawn = Vec::new();
    for entry in index["programs"].as_array().into_iter().flatten() {
        let file = entry["file"].as_str().unwrap_or_default();
        if only.as_deref().is_none_or(|only| only == file) {
            let (text, claim) = read(&folder.join(file), &entry["claim"])?;
            let proof = proof::prove(&text, &claim);
            if draw.is_some() {
                let sheet = trace::sheet(file, &text, &claim, &proof);
                drawn.push((format!("{}.svg", sheet.name), paper::svg(&sheet)));
            }
            proofs.push((file.to_owned(), proof));
        }
    }
    if proofs.is_empty() {
        return Err(unreadable(path, "no program of that name is in its `programs.json`").into());
    }
    if let Some(folder) = draw {
        packet::write_apart(folder, &drawn)?;
    }
    let refused = proofs.iter().filter(|(_, proof)| !proof.is_proven()).count();
    let text = if as_json { as_object(&proofs, refused) } else { in_words(&proofs, refused) };
    report::print(&text)?;
    if refused == 0 { Ok(()) } else { Err(Failure::Refused) }
}

/// The folder of the programs, and the one that is meant.
fn programs_at(path: &Path) -> (PathBuf, Option<String>) {
    if path.join("routing").is_dir() {
        return (path.join("routing"), None);
    }
    if path.is_dir() {
        return (path.to_owned(), None);
    }
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    (path.parent().map(Path::to_owned).unwrap_or_default(), name)
}

fn read_index(path: &Path) -> Result<Value, Faults> {
    let text = input::source(path).map_err(|why| unreadable(path, &why))?;
    let index: Value = serde_json::from_str(&text.text).map_err(|e| unreadable(path, &e.to_string()))?;
    if index["format"] == "casewright-programs/1" {
        Ok(index)
    } else {
        Err(unreadable(path, "its format is not `casewright-programs/1`"))
    }
}

/// A program and its claim.
fn read(path: &Path, claim: &Value) -> Result<(String, Claim), Faults> {
    let program = input::source(path).map_err(|why| unreadable(path, &why))?;
    let claim: Claim =
        serde_json::from_value(claim.clone()).map_err(|e| unreadable(path, &format!("its claim is broken: {e}")))?;
    Ok((program.text.clone(), claim))
}

fn unreadable(path: &Path, why: &str) -> Faults {
    let path = path.display().to_string();
    let place = Place::new(&Source::new("PATH", path.as_str()), 0..path.len());
    let fault = Fault::new(&place, format!("{} cannot be read: {why}", fault::tick(&path)));
    Faults::from(fault.expected("a packet, or a program with its `programs.json` beside it"))
}

fn as_object(proofs: &[(String, Report)], refused: usize) -> String {
    let entry = |(file, proof): &(String, Report)| json!({ "file": file, "proof": proof.figures() });
    let programs: Vec<_> = proofs.iter().map(entry).collect();
    report::json(u8::from(refused > 0), json!({ "programs": programs }))
}

fn in_words(proofs: &[(String, Report)], refused: usize) -> String {
    let shown: String = proofs.iter().map(|(file, proof)| format!("{file}: {proof}")).collect();
    format!("{shown}{} of {} proven\n", proofs.len() - refused, proofs.len())
}
