//! `casewright packet`: the whole packet of an order, in one folder.

use std::fmt::Write as _;
use std::path::Path;

use case::{Case, Level};
use packet::{Kind, Packet};
use serde_json::json;

use crate::args::{OrderArgs, StockArgs};
use crate::outcome::Failure;
use crate::{input, report, search};

/// Writes the packet to `out` and says what is in it.
pub(crate) fn run(order: &OrderArgs, out: &Path, stock: &StockArgs, as_json: bool) -> Result<(), Failure> {
    let input = input::read_with(order, stock.file.as_deref())?;
    let mut case = case::solve(&input.job, &input.resolved, &dryfit::check);
    if case.findings.iter().any(|f| f.level == Level::Stop) {
        return Err(Failure::Unbuildable(case.findings));
    }
    let plan = search::plan(&case, &input, stock);
    case.findings.extend(plan.findings(&case));
    let (packet, manifest) =
        packet::assemble(&case, &plan, &input.machine, &input.tools, &input.texts, env!("CARGO_PKG_VERSION"))?;
    packet.write(&manifest, out)?;
    report::print(&if as_json { as_object(&packet, &case, out) } else { in_words(&packet, &case, out) })?;
    Ok(())
}

fn as_object(packet: &Packet, case: &Case, out: &Path) -> String {
    let packet = json!({
        "folder": out.display().to_string(),
        "files": packet.files().count() + 1,
        "bytes": packet.files().map(|(_, file)| file.bytes.len()).sum::<usize>(),
    });
    report::json(0, json!({ "packet": packet, "findings": report::findings_json(&case.findings) }))
}

fn in_words(packet: &Packet, case: &Case, out: &Path) -> String {
    let [width, depth, height] = case.size.map(|size| case.order.ruler.show(size));
    let count = |kind| packet.of_kind(kind).count();
    let mut text = format!("{}: {width} × {depth} × {height}\n", case.order.title);
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{} parts, {} panes, {} fittings; {} drawings, {} patterns, {} programs with their set-up sheets",
        case.parts.len(),
        case.panes.len(),
        case.fittings.len(),
        count(Kind::Drawing),
        count(Kind::Pattern),
        count(Kind::Program)
    );
    let _ = writeln!(text, "Written to {}; begin with {}", out.display(), out.join("START-HERE.html").display());
    text + &report::findings(&case.findings)
}
