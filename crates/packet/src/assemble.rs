//! From a solved case and what it was read from to a packet in memory: the one place that names the packet's files.

use case::Case;
use case::model::{Model, by_line};

use routing::{ByHand, Machine, ToolTable, programs};

use crate::proof::{self, Unproven};
use crate::{Kind, Manifest, OrderEntry, Packet, ProgramEntry, sha256, start};

/// What a packet is made from, as it was read; kept with it.
#[derive(Clone, Debug)]
pub struct Texts {
    /// The order.
    pub order: String,
    /// The design.
    pub design: String,
    /// The machine.
    pub machine: String,
    /// The tool table.
    pub tools: String,
    /// Settings of the command line, as `name=value`.
    pub settings: Vec<String>,
}

/// The whole packet and its manifest. The same input gives the same bytes.
///
/// # Errors
/// If a program does not do what it claims: the fault is this program's, and nothing may leave.
pub fn assemble(
    case: &Case,
    machine: &Machine,
    tools: &ToolTable,
    texts: &Texts,
    version: &str,
) -> Result<(Packet, Manifest), Unproven> {
    let mut packet = Packet::new();
    packet.add("model.json", Kind::Model, "The solved model (JSON)", Model::from(case).text());
    let by_hand = routing(&mut packet, case, machine, tools)?;
    lists(&mut packet, case);
    for (name, text) in
        [("order", &texts.order), ("design", &texts.design), ("machine", &texts.machine), ("tools", &texts.tools)]
    {
        packet.add(format!("order/{name}.toml"), Kind::Order, format!("The {name} file"), text.as_str());
    }
    let first = start::start(&packet, case, &by_hand, "");
    packet.add("START-HERE.html", Kind::Start, "Start here", first);
    let program = ProgramEntry { name: "casewright".into(), version: version.into() };
    let order = OrderEntry {
        design: case.order.design.clone(),
        number: case.order.number.clone(),
        sha256: sha256(texts.order.as_bytes()),
        settings: texts.settings.clone(),
    };
    let manifest = Manifest::of(&packet, program, order);
    Ok((packet, manifest))
}

/// Programs, set-up sheets and their index, every program proven; what is left to hand.
fn routing(packet: &mut Packet, case: &Case, machine: &Machine, tools: &ToolTable) -> Result<Vec<ByHand>, Unproven> {
    let routing = routing::route(case, machine, tools);
    let proof = proof::of_all(&routing.programs)?;
    let index = programs::index(&routing.programs, &routing.by_hand, |program| proof.get(&program.file));
    packet.add("routing/programs.json", Kind::ProgramIndex, "What each program is (JSON)", by_line(&index));
    for sheet in routing.sheets {
        let name = sheet.parts.first().map_or("", |id| case.part(*id).name.as_str());
        let of_this = routing.programs.iter().filter(|program| program.sheet == sheet.file);
        let text = sheet.text + &proof::lines(of_this.filter_map(|p| Some((p.file.as_str(), proof.get(&p.file)?))));
        packet.add(format!("routing/{}", sheet.file), Kind::SetUpSheet, name, text);
    }
    for program in routing.programs {
        packet.add(format!("routing/{}", program.file), Kind::Program, program.file, program.text);
    }
    Ok(routing.by_hand)
}

fn lists(packet: &mut Packet, case: &Case) {
    let takeoff = takeoff::take_off(case);
    packet.add(
        "lists/cut-list.html",
        Kind::List,
        "Cut list, glass and fittings, to print",
        takeoff::page(&takeoff, case),
    );
    let tables = [
        ("lists/cut-list.csv", "Cut list", takeoff::cut_list(&takeoff, &case.order)),
        ("lists/timber.csv", "Wood and sheet to buy", takeoff::timber(&takeoff, &case.order)),
        ("lists/glass.csv", "Glass", takeoff::glass(&takeoff, &case.order)),
        ("lists/fittings.csv", "Fittings", takeoff::fittings(&takeoff)),
    ];
    // Open shelves have no glass, and a table without rows would have no header either.
    for (path, title, text) in tables.into_iter().filter(|(_, _, text)| !text.is_empty()) {
        packet.add(path, Kind::Table, format!("{title} (CSV)"), text);
    }
}
