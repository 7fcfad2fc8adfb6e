//! `START-HERE.html`: a picture, the main sizes, what the inspection says, what is in the packet, and the cautions.

use std::collections::{BTreeMap, BTreeSet};

use case::{Case, Finding, Level};
use maud::{Markup, PreEscaped, html};

use routing::ByHand;

use crate::{File, Kind, Packet};

/// Headings of the table of contents, in the order in which a shop takes the files up.
const SHELVES: [(&str, &[Kind]); 7] = [
    ("To print", &[Kind::Print]),
    ("Drawings", &[Kind::Drawing]),
    ("Lists", &[Kind::List, Kind::Table]),
    ("Stock layouts and labels", &[Kind::Layout]),
    ("Patterns, full size", &[Kind::Pattern]),
    ("Jigs, full size; each is cut by the programs of its name", &[Kind::Jig]),
    ("For other programs, and to order it again", &[Kind::Model, Kind::ProgramIndex, Kind::Order]),
];

/// What is many and seldom asked for, shown when it is opened.
const DRAWERS: [(&str, Kind); 2] = [
    ("Patterns and jigs on small sheets, one by one", Kind::Tile),
    ("Outlines of parts and patterns for those who cut elsewhere (DXF)", Kind::Dxf),
];

/// Usual cautions of the trade; local codes and licensed practice come first.
pub(crate) const CAUTIONS: [(&str, &str); 7] = [
    (
        "Machines",
        "Guards on, push sticks and feather boards at hand, no gloves or loose sleeves near a cutter, and nobody in the \
         reach of a running router. Short and narrow pieces are cut from longer stock. Each program is first run in the \
         air, then in scrap, with a hand at the stop.",
    ),
    (
        "Dust and noise",
        "Wood dust harms the lungs and some of it causes cancer: draw it off where it is made, and wear a mask, eye and \
         ear protection.",
    ),
    (
        "Glass",
        "Cut edges are sharp. Near walkways, near the floor and where children are, safety glass may be required: ask \
         the glazier and the local code.",
    ),
    (
        "Tipping",
        "Fix tall pieces to the wall before they are filled, into a stud or solid masonry, and put heavy things low. An \
         open door moves the weight forward.",
    ),
    (
        "Oily rags",
        "Rags wet with drying oil can catch fire by themselves: soak them in water or spread them out flat, out of doors, \
         and keep waste in a closed metal can that is emptied daily.",
    ),
    ("Paper", "Before a printed pattern is traced, measure its check bar; paper also moves with the weather."),
    (
        "Wood",
        "Measure what you have before you cut: posts as planed, sheet as delivered, fittings in hand. Where they differ \
         from the order, change the order and make a new packet.",
    ),
];

/// The page, for a packet that holds everything else. `picture` is an SVG element of the front.
pub(crate) fn start(packet: &Packet, case: &Case, by_hand: &[ByHand], picture: &str) -> String {
    let order = &case.order;
    let [width, depth, height] = case.size.map(|size| order.ruler.show(size));
    let body = html! {
        div.picture { (PreEscaped(picture)) }
        p {
            "Over all " (width) " wide, " (depth) " deep, " (height) " high: "
            (count(case.parts.len(), "part")) " of wood, " (count(case.panes.len(), "pane")) " of glass, "
            (count(case.fittings.len(), "fitting")) "; " (count(packet.of_kind(Kind::Program).count(), "program"))
            " for the router, " (count(packet.of_kind(Kind::Pattern).count(), "pattern")) " and "
            (count(packet.of_kind(Kind::Jig).count(), "jig")) " to print."
        }
        (findings(&case.findings))
        h2 { "Cautions" }
        div.caution {
            @for (matter, text) in CAUTIONS { p { strong { (matter) ". " } (text) } }
            p {
                "This packet is no substitute for a craftsman's judgement. Local codes and licensed practice come before "
                "anything that it says."
            }
        }
        h2 { "What is in the packet" }
        @for (heading, kinds) in SHELVES {
            @let files: Vec<_> = kinds.iter().flat_map(|kind| counted(packet, *kind)).collect();
            @if !files.is_empty() {
                h3 { (heading) }
                (links(files))
            }
        }
        @for (heading, kind) in DRAWERS {
            @let files = counted(packet, kind);
            @if !files.is_empty() { details { summary { (heading) } (links(files)) } }
        }
        (router(packet, by_hand))
        h2 { "The order as it was understood" }
        table { tbody {
            @for (name, value) in &order.parameters { tr { td { (name) } td { (value) } } }
        } }
    };
    let [revision, date] = order.issue();
    let particulars = [
        ("Order", order.number.as_str()),
        ("Design", &order.design),
        ("For", &order.customer),
        ("By", &order.maker),
        ("Revision", revision),
        ("Date", date),
    ];
    page::page(&order.title, &particulars, &body)
}

fn links<'a>(files: impl IntoIterator<Item = (&'a str, &'a File)>) -> Markup {
    html! { ul.files { @for (path, file) in files { li { a href=(path) { (file.title) } } } } }
}

fn findings(findings: &[Finding]) -> Markup {
    html! {
        h2 { "What the inspection says" }
        @if findings.is_empty() { p { "Nothing to remark." } }
        @else {
            table {
                thead { tr { th { "" } th { "Finding" } th { "Found" } th { "Limit" } th { "What to do" } } }
                tbody { @for f in findings { tr {
                    td { strong { (level(f.level)) } }
                    td {
                        (f.what)
                        @if !f.parts.is_empty() {
                            " (" @for (i, part) in f.parts.iter().enumerate() { @if i > 0 { ", " } (part) } ")"
                        }
                    }
                    td { (f.figure) }
                    td { (f.limit) }
                    td { (f.advice) }
                } } }
            }
        }
    }
}

/// The files of a kind as people count: `P13` before `P114`.
fn counted(packet: &Packet, kind: Kind) -> Vec<(&str, &File)> {
    let mut files: Vec<_> = packet.of_kind(kind).collect();
    // With its figures padded a name sorts by its numbers.
    let padded = |path: &str| {
        let figures =
            |run: &str| if run.starts_with(|c: char| c.is_ascii_digit()) { format!("{run:0>9}") } else { run.into() };
        let split = |a: char, b: char| a.is_ascii_digit() != b.is_ascii_digit();
        let runs = path.as_bytes().chunk_by(|a, b| !split(char::from(*a), char::from(*b)));
        runs.map(|run| figures(&String::from_utf8_lossy(run))).collect::<String>()
    };
    files.sort_by_key(|(path, _)| padded(path));
    files
}

/// The set-ups with their programs, and what the router leaves.
fn router(packet: &Packet, by_hand: &[ByHand]) -> Markup {
    let mut left: BTreeMap<&str, (BTreeSet<&str>, BTreeSet<&str>)> = BTreeMap::new();
    for task in by_hand {
        let (parts, reasons) = left.entry(&task.what).or_default();
        parts.insert(&task.part);
        reasons.insert(&task.why);
    }
    html! {
        @if packet.of_kind(Kind::SetUpSheet).next().is_some() {
            h3 { "Router" }
            table {
                thead { tr { th { "Set-up sheet" } th { "Part" } th { "Programs" } } }
                tbody { @for (sheet, file) in counted(packet, Kind::SetUpSheet) {
                    // The programs of a set-up are called after it.
                    @let stem = sheet.trim_end_matches(".txt");
                    @let of_this = |path: &str| path.strip_prefix(stem).is_some_and(|rest| rest.starts_with(['-', '.']));
                    tr {
                        td { a href=(sheet) { (stem.trim_start_matches("routing/")) } }
                        td { (file.title) }
                        td { @for (path, program) in packet.of_kind(Kind::Program).filter(|(path, _)| of_this(path)) {
                            a href=(path) { (program.title) } " "
                        } }
                    }
                } }
            }
        }
        @if !left.is_empty() {
            h3 { "Left to hand and to other machines" }
            ul { @for (what, (parts, reasons)) in &left { li {
                (what) ": " (parts.iter().copied().collect::<Vec<_>>().join(", "))
                @if let (Some(reason), 1) = (reasons.first(), reasons.len()) { "; " (reason) }
            } } }
        }
    }
}

const fn level(level: Level) -> &'static str {
    match level {
        Level::Note => "Note",
        Level::Caution => "Caution",
        Level::Stop => "Stop",
    }
}

fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}
