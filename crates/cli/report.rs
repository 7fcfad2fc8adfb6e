//! What the command says: a few lines for people, or one JSON object for programs.
//!
//! What was asked for goes to standard output, what went wrong to standard error. A reader that stops reading, such as
//! `head`, is no error.

use std::fmt::Write as _;
use std::io::{self, ErrorKind, IsTerminal as _, Write as _};

use case::{Finding, Level, model};
use fault::Colour;
use serde_json::{Value, json};

use crate::outcome::Failure;

/// There is nothing in the order to mend.
const UNPROVEN: &str = "this is a mistake of casewright: nothing was written; please report it with the order";

/// Writes to standard output.
pub(crate) fn print(text: &str) -> io::Result<()> {
    quiet_if_closed(io::stdout().lock().write_all(text.as_bytes()))
}

/// A report for programs; `what` is an object whose entries follow the format and the status.
pub(crate) fn json(status: u8, what: Value) -> String {
    let mut report = json!({ "format": "casewright-report/1", "status": status });
    if let (Value::Object(report), Value::Object(what)) = (&mut report, what) {
        report.extend(what);
    }
    format!("{report:#}\n")
}

/// Says on standard error why a command failed.
pub(crate) fn failure(failure: &Failure, as_json: bool) {
    let text = if as_json { failure_json(failure) } else { failure_text(failure) };
    // Where standard error is gone too, the exit status is all that is left to say it.
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

fn failure_json(failure: &Failure) -> String {
    let what = match failure {
        Failure::Unbuildable(findings) => json!({ "findings": findings_json(findings) }),
        // The proofs have been printed, and say it.
        Failure::Refused => return String::new(),
        Failure::Unreadable(faults) => json!({ "faults": faults.json() }),
        Failure::Unproven(unproven) => json!({ "error": { "what": unproven.to_string(), "mend": UNPROVEN } }),
        Failure::Disk(fault) => json!({ "error": { "what": fault.to_string(), "mend": fault.mend() } }),
        Failure::Output(error) => json!({ "error": { "what": error.to_string() } }),
    };
    json(failure.status(), what)
}

fn failure_text(failure: &Failure) -> String {
    match failure {
        Failure::Unbuildable(all) => {
            let stops = all.iter().filter(|f| f.level == Level::Stop).count();
            let stops = if stops == 1 { "one finding stops it".into() } else { format!("{stops} findings stop it") };
            format!("The order cannot be built as asked: {stops}; nothing was written.\n{}", findings(all))
        }
        Failure::Refused => String::new(),
        Failure::Unreadable(faults) => faults.human(colour()),
        Failure::Unproven(unproven) => format!("{unproven}\n  mend: {UNPROVEN}\n"),
        Failure::Disk(fault) => format!("{fault}\n  mend: {}\n", fault.mend()),
        Failure::Output(error) => format!("cannot write to standard output: {error}\n"),
    }
}

/// The findings for programs, gravest first.
pub(crate) fn findings_json(findings: &[Finding]) -> Vec<model::Finding> {
    gravest_first(findings).into_iter().map(model::Finding::from).collect()
}

/// The findings for people, gravest first; nothing if there are none.
pub(crate) fn findings(findings: &[Finding]) -> String {
    let mut text = String::new();
    for f in gravest_first(findings) {
        let level = match f.level {
            Level::Stop => "stop",
            Level::Caution => "caution",
            Level::Note => "note",
        };
        let parts: Vec<_> = f.parts.iter().map(ToString::to_string).collect();
        let parts = if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) };
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\n{level}: {}{parts} [{}]", f.what, f.rule);
        if !f.figure.is_empty() {
            let _ = writeln!(text, "  found {}; limit {}", f.figure, f.limit);
        }
        if !f.advice.is_empty() {
            let _ = writeln!(text, "  {}", f.advice);
        }
        if let Some(mend) = &f.mend {
            let plain = |(name, value): &(String, String)| format!("--set \"{name}={}\"", value.trim_matches('"'));
            let typed: Vec<_> = mend.settings.iter().map(plain).collect();
            let _ = writeln!(text, "  mend: {mend}, or {}", typed.join(" "));
        }
    }
    text
}

fn gravest_first(findings: &[Finding]) -> Vec<&Finding> {
    let mut sorted: Vec<_> = findings.iter().collect();
    sorted.sort_by_key(|f| std::cmp::Reverse(f.level));
    sorted
}

/// Colours for a person at a terminal who has not asked for none (no-color.org).
fn colour() -> Colour {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    if io::stderr().is_terminal() && !refused { Colour::With } else { Colour::Without }
}

fn quiet_if_closed(result: io::Result<()>) -> io::Result<()> {
    match result {
        Err(e) if e.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
