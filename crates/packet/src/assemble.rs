//! From a solved case and what it was read from to a packet in memory: the one place that names the packet's files.

use case::model::{Model, by_line};
use case::{Case, Guide, Jigs, PartId};

use paper::{Chapter, Sheet};
use routing::nest::Nested;
use routing::{ByHand, Collar, Machine, Program, ToolTable, programs};
use yard::{Buying, Plan};

use crate::proof::{self, Unproven};
use crate::shop::Shop;
use crate::{Kind, Manifest, OrderEntry, Packet, ProgramEntry, drawn, nest, sha256, start};

/// What a packet is made from, as it was read; kept with it.
#[derive(Clone, Debug)]
pub struct Texts {
    /// The order.
    pub order: String,
    /// The design.
    pub design: String,
    /// The shop's own woods, if the order names any.
    pub woods: Option<String>,
    /// The machine.
    pub machine: String,
    /// The tool table.
    pub tools: String,
    /// The stock file, if there is one.
    pub stock: Option<String>,
    /// Settings of the command line, as `name=value`.
    pub settings: Vec<String>,
}

/// The whole packet and its manifest. The same input gives the same bytes.
///
/// # Errors
/// If a program does not do what it claims: the fault is this program's, and nothing may leave.
pub fn assemble(
    case: &Case,
    plan: &Plan,
    machine: &Machine,
    tools: &ToolTable,
    texts: &Texts,
    version: &str,
) -> Result<(Packet, Manifest), Unproven> {
    let mut packet = Packet::new();
    packet.add("model.json", Kind::Model, "The solved model (JSON)", Model::from(case).text());
    let guide = |c: &Collar| Guide { name: c.name.clone(), collar: c.diameter, bit: c.bit };
    let guides: Vec<Guide> = tools.collars.iter().map(guide).collect();
    let jigs = case::jigs(case, &guides);
    let nested = nest::nested(case, plan, machine, tools);
    // These know nothing of one another.
    let (drawn, (routed, (listed, laid_out))) = rayon::join(
        || drawn::drawings(case, &jigs, &guides),
        || {
            let of_stock = || rayon::join(|| lists(case, plan), || layouts(case, plan, &nested));
            rayon::join(|| routing(case, &nested, &jigs, machine, tools), of_stock)
        },
    );
    let (drawn, picture) = drawn;
    let (programs, by_hand) = routed?;
    for (path, kind, title, bytes) in drawn.into_iter().chain(programs).chain(listed).chain(laid_out) {
        packet.add(path, kind, title, bytes);
    }
    let read = [
        ("order", Some(&texts.order)),
        ("design", Some(&texts.design)),
        ("woods", texts.woods.as_ref()),
        ("machine", Some(&texts.machine)),
        ("tools", Some(&texts.tools)),
        ("stock", texts.stock.as_ref()),
    ];
    for (name, text) in read.into_iter().filter_map(|(name, text)| Some((name, text?))) {
        packet.add(format!("order/{name}.toml"), Kind::Order, format!("The {name} file"), text.as_str());
    }
    let first = start::start(&packet, case, &by_hand, &picture);
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

/// Path, kind, title and contents of files to come.
pub(crate) type Files = Vec<(String, Kind, String, Vec<u8>)>;

/// Programs, set-up sheets and their index, for what is cut out of sheets, for the parts and for the jigs, every program
/// proven; and what is left to hand.
fn routing(
    case: &Case,
    nested: &Nested,
    jigs: &Jigs,
    machine: &Machine,
    tools: &ToolTable,
) -> Result<(Files, Vec<ByHand>), Unproven> {
    let shop = Shop { machine, tools };
    let mut routing = nest::routed(case, nested, machine, tools);
    let mut proof = proof::of_all(case, shop, &routing.programs)?;
    let of_jigs = routing::route(&jigs.case, machine, tools);
    proof.append(&mut proof::of_all(&jigs.case, shop, &of_jigs.programs)?);
    routing.programs.extend(of_jigs.programs);
    routing.sheets.extend(of_jigs.sheets);
    routing.by_hand.extend(of_jigs.by_hand);
    routing.by_hand.extend(jigs.refused.iter().map(|no| ByHand {
        part: "no jig".into(),
        cut: None,
        what: no.kind.name().into(),
        why: no.why.clone(),
    }));
    let index = programs::index(&routing.programs, &routing.by_hand, |program| proof.get(&program.file));
    let index = (
        "routing/programs.json".into(),
        Kind::ProgramIndex,
        "What each program is (JSON)".into(),
        by_line(&index).into_bytes(),
    );
    let sheet = |sheet: routing::Sheet| {
        let of_this = || routing.programs.iter().filter(|program| program.sheet == sheet.file);
        let proof = proof::lines(of_this().filter_map(|p| Some((p.file.as_str(), proof.get(&p.file)?))));
        let parts = case.parts.iter().chain(&jigs.case.parts);
        let named = |id: &PartId| parts.clone().filter(|p| p.id == *id).map(|p| p.name.clone()).collect::<String>();
        let is_nest = of_this().any(|p| !p.placed.is_empty());
        let shown = if is_nest { sheet.parts.len() } else { 1 };
        let name = sheet.parts.iter().take(shown).map(named).collect::<Vec<_>>().join(", ");
        (format!("routing/{}", sheet.file), Kind::SetUpSheet, name, (sheet.text + &proof).into_bytes())
    };
    let mut files: Files = routing.sheets.into_iter().map(sheet).chain([index]).collect();
    let program = |p: Program| (format!("routing/{}", p.file), Kind::Program, p.file, p.text.into_bytes());
    files.extend(routing.programs.into_iter().map(program));
    Ok((files, routing.by_hand))
}

/// Every board with its cuts, what a router cuts out of sheets, and the labels: each sheet by itself, and all in one.
fn layouts(case: &Case, plan: &Plan, nested: &Nested) -> Files {
    let (layouts, labels) = (yard::layout_sheets(plan, case), yard::label_sheets(plan, case));
    let title = format!("{} {}, stock layouts", case.order.title, case.order.number);
    let nests = nested.drawings(&case.order);
    let chapters = [
        Chapter { title: "Stock layouts", sheets: &layouts },
        Chapter { title: "Cut out by router", sheets: &nests },
        Chapter { title: "Labels", sheets: &labels },
    ];
    let chapters: Vec<Chapter> = chapters.into_iter().filter(|chapter| !chapter.sheets.is_empty()).collect();
    let all = paper::pdf(&title, &chapters);
    let sheet = |sheet: &Sheet| {
        (format!("layouts/{}.svg", sheet.name), Kind::Layout, sheet.title.clone(), paper::svg(sheet).into_bytes())
    };
    let print = ("layouts/layouts.pdf".into(), Kind::Print, "Stock layouts and labels, to print".into(), all);
    layouts.iter().chain(&nests).chain(&labels).map(sheet).chain([print]).collect()
}

fn lists(case: &Case, plan: &Plan) -> Files {
    let takeoff = takeoff::take_off(case);
    let buying = Buying::of(plan, case);
    let page = |path, title, text| (path, Kind::List, title, text);
    let pages = [
        page("cut-list.html", "Cut list, glass and fittings, to print", takeoff::page(&takeoff, case)),
        page(
            "what-the-wood-will-do.html",
            "What the wood will do: seasons, shelves, weight, glass",
            forecast::page(case),
        ),
        page("rough-list.html", "Rough list, to print", yard::rough_page(plan, case)),
        page("buying-list.html", "Buying list, to print", yard::buying_page(plan, &buying, &takeoff, case)),
    ];
    let table = |path, title, text| (path, Kind::Table, title, text);
    let tables = [
        table("cut-list.csv", "Cut list (CSV)", takeoff::cut_list(&takeoff, &case.order)),
        table("rough-list.csv", "Rough list (CSV)", yard::rough_list(plan, &case.order)),
        table("buying-list.csv", "Wood and sheet to buy (CSV)", yard::buying_list(&buying, &case.order)),
        table("glass.csv", "Glass (CSV)", takeoff::glass(&takeoff, &case.order)),
        table("fittings.csv", "Fittings (CSV)", takeoff::fittings(&takeoff)),
    ];
    // Open shelves have no glass, and a table without rows would have no header either.
    let filled = pages.into_iter().chain(tables).filter(|(_, _, _, text)| !text.is_empty());
    filled.map(|(path, kind, title, text)| (format!("lists/{path}"), kind, title.into(), text.into_bytes())).collect()
}
