//! The cover: the piece in a picture, its main sizes, what sheets there are, tables of all that it is made of, cautions.

use std::collections::{BTreeMap, BTreeSet};

use case::{Axis, Case, Part};
use measure::Length;

use crate::packed::{APART, columns};
use paper::block::Block;
use paper::dimension::figure;
use paper::scene::{At, Item, Layer, Path, Rect};
use paper::sheet::{self, Document, Draft, Frame, Sheet};
use paper::table::Table;
use paper::text::{self, Text};

/// Width of the wide line, mm.
const WIDE: f64 = 0.35;
/// Height of the piece's name, mm.
const NAME: f64 = 7.0;
/// Columns of running text are so wide, mm.
const COLUMN: f64 = 118.0;
/// Heights of headings and text, and from line to line, mm.
const HEADING: f64 = 3.5;
const BODY: f64 = 2.5;
const PITCH: f64 = 5.0;

/// What a cover says that the case does not know.
#[derive(Clone, Copy, Debug)]
pub struct Front<'a> {
    /// The picture of the piece.
    pub picture: Option<&'a Sheet>,
    /// The sheets of the drawings, by document: its name, and the titles of its sheets.
    pub contents: &'a [(&'a str, Vec<String>)],
    /// Heading and text of each caution.
    pub cautions: &'a [(&'a str, &'a str)],
}

/// The cover, on as many sheets as its tables need.
pub fn cover(case: &Case, front: &Front<'_>) -> Vec<Sheet> {
    let frame = Frame::of(case.order.paper.sheet);
    let table = |table: Table| (!table.rows.is_empty()).then_some(Block::Table(table));
    let revisions = revisions(case);
    // The revisions stand under the picture, beside the title block where there is room.
    let under = frame.space.height() - revisions.size()[1] - 2.0 * APART[1];
    let high = frame.above_block().height().min(under);
    let blocks = [
        Some(piece(case, front.picture, [frame.space.width(), high])),
        table(revisions),
        table(contents(front.contents)),
        Some(cautions(front.cautions)),
        table(fittings(case)),
        table(glass(case)),
        table(parts(case)),
    ];
    let pages = columns(blocks.into_iter().flatten(), &frame);
    let of = pages.len();
    let drafts = pages.into_iter().enumerate().map(|(i, page)| {
        let mut layer = Layer::new("cover", "Cover");
        for (block, at) in page {
            block.draw(&mut layer, at);
        }
        let title = if of > 1 { format!("Cover ({} of {of})", i + 1) } else { "Cover".into() };
        Draft { name: format!("cover-{}", i + 1), title, scale: None, wide: WIDE, layers: vec![layer] }
    });
    let document = Document { code: "C", kind: "Cover", caution: sheet::BY_FIGURES };
    let drafts: Vec<Draft> = drafts.collect();
    sheet::bind(&case.order, document, drafts)
}

/// The name of the piece, its main sizes, and the picture under them, in at most half of the room.
fn piece(case: &Case, picture: Option<&Sheet>, room: At) -> Block {
    let order = &case.order;
    let mut layer = Layer::new("piece", "The piece");
    layer.letter(Text::new([0.0, 0.0], NAME, order.title.clone()));
    let mut y = 0.0;
    for line in main_sizes(case) {
        y -= if y == 0.0 { PITCH + 2.0 } else { PITCH };
        layer.letter(Text::new([0.0, y], BODY, line));
    }
    let words = layer.items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None });
    let wide = words.map(|t| text::width(&t.content, t.height)).fold(0.0, f64::max);
    let mut bounds = Rect { min: [0.0, y - 2.0], max: [wide, NAME + 1.0] };
    if let Some(picture) = picture {
        let [w, h] = [picture.paper.width, picture.paper.height];
        let scale = (room[0] * 0.34 / w).min((room[1] + y - NAME - 8.0) / h).min(1.2);
        let foot = y - 6.0 - h * scale;
        let map = |p: At| [p[0] * scale, foot + p[1] * scale];
        let path = |p: &Path| p.mapped(false, map);
        for item in picture.scene.layers.iter().flat_map(|l| &l.items) {
            layer.items.push(match item {
                Item::Line { path: p, pen } => Item::Line { path: path(p), pen: *pen },
                Item::Fill(paths) => Item::Fill(paths.iter().map(path).collect()),
                Item::Text(t) => Item::Text(Text { at: map(t.at), height: t.height * scale, ..t.clone() }),
            });
        }
        bounds = bounds.union(&Rect { min: [0.0, foot], max: [w * scale, foot] });
    }
    Block::Detail(layer, bounds)
}

fn main_sizes(case: &Case) -> Vec<String> {
    let order = &case.order;
    let show = |l: Length| figure(&order.ruler, l);
    let [width, depth, height] = case.size.map(show);
    let mut out = vec![
        format!("Over all: {width} wide, {depth} deep, {height} high ({})", order.unit),
        format!("For {}, by {}", order.customer, order.maker),
    ];
    let woods: BTreeSet<&str> = case.parts.iter().map(|p| p.material.name.as_str()).collect();
    out.push(format!("{} parts, of {}", case.parts.len(), woods.into_iter().collect::<Vec<_>>().join(" and ")));
    out
}

fn contents(contents: &[(&str, Vec<String>)]) -> Table {
    let mut table = Table::new("Contents", &["DOCUMENT", "SHEET", "TITLE"]);
    for (document, titles) in contents {
        for (i, (sheets, title)) in entries(titles).into_iter().enumerate() {
            let name = if i == 0 { (*document).to_owned() } else { String::new() };
            table.rows.push(vec![name, sheets, title]);
        }
    }
    table
}

/// Sheets and title of each entry: sheets of one thing, `P01  post (1 of 2)`, make one, and so do those that number
/// through what they show, `Details 1 to 4`.
fn entries(titles: &[String]) -> Vec<(String, String)> {
    let mut next = 1;
    let runs = titles.chunk_by(|a, b| stem(a) == stem(b)).map(|run| {
        let [first, last] = [&run[0], &run[run.len() - 1]].map(|t| without_count(t));
        let title = match (numbered(first), last.rsplit_once(' ')) {
            (Some((word, rest)), Some((_, to))) if run.len() > 1 => {
                let from = rest.split(' ').next().unwrap_or_default();
                format!("{} {from} to {to}", if word.ends_with('s') { word.to_owned() } else { format!("{word}s") })
            }
            _ => first.to_owned(),
        };
        let from = next;
        next += run.len();
        (if run.len() == 1 { from.to_string() } else { format!("{from}–{}", next - 1) }, title)
    });
    runs.collect()
}

/// What the titles of sheets that belong together have in common.
fn stem(title: &str) -> &str {
    let title = without_count(title);
    numbered(title).map_or(title, |(word, _)| word.trim_end_matches('s'))
}

/// A title without ` (1 of 2)`.
fn without_count(title: &str) -> &str {
    match title.rsplit_once(" (") {
        Some((stem, count)) if count.ends_with(')') && count.contains(" of ") => stem,
        _ => title,
    }
}

/// Word and numbers of a title such as `Details 1 to 4`.
fn numbered(title: &str) -> Option<(&str, &str)> {
    let parts = title.split_once(' ');
    parts.filter(|(word, rest)| word.chars().all(char::is_alphabetic) && rest.starts_with(|c: char| c.is_ascii_digit()))
}

fn parts(case: &Case) -> Table {
    let mut table = Table::new("Parts", &["PART", "NO.", "NAME", "MATERIAL", "LENGTH", "WIDTH", "THICK"]);
    let row = |(first, all): (&Part, Vec<&Part>)| {
        let mut row =
            vec![first.id.to_string(), all.len().to_string(), first.name.clone(), first.material.name.clone()];
        row.extend(first.size.map(|l| figure(&case.order.ruler, l)));
        row
    };
    table.rows = case.kinds().into_iter().map(row).collect();
    table
}

/// Panes of one size together.
fn glass(case: &Case) -> Table {
    let mut sizes: BTreeMap<case::Point, Vec<&str>> = BTreeMap::new();
    for pane in &case.panes {
        sizes.entry(pane.size).or_default().push(&pane.id);
    }
    let mut table = Table::new("Glass", &["PANES", "NO.", "WIDTH", "HEIGHT", "THICK"]);
    for (size, ids) in sizes {
        let numbers = match ids[..] {
            [first, .., last] => format!("{first} to {last}"),
            _ => ids.join(""),
        };
        let mut row = vec![numbers, ids.len().to_string()];
        row.extend(Axis::ALL.map(|a| figure(&case.order.ruler, size[a.index()])));
        table.rows.push(row);
    }
    table
}

fn fittings(case: &Case) -> Table {
    let mut kinds: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for f in &case.fittings {
        *kinds.entry((f.kind, &f.spec)).or_default() += 1;
    }
    let mut table = Table::new("Fittings", &["FITTING", "NO.", "WHAT TO ASK FOR"]);
    table.rows =
        kinds.into_iter().map(|((kind, spec), n)| vec![kind.to_owned(), n.to_string(), spec.to_owned()]).collect();
    table
}

/// The first issue, what was changed since, and room for what is changed by hand.
fn revisions(case: &Case) -> Table {
    const CHANGED: f64 = 62.0;
    let order = &case.order;
    let mut table = Table::new("Revisions", &["REVISION", "WHAT WAS CHANGED", "DATE", "SIGNED"]);
    let row = |number: &str, change: &str, date: &str| {
        let change = text::folded(change, " ", BODY, CHANGED - 3.0).join("\n");
        vec![number.to_owned(), change, date.to_owned(), String::new()]
    };
    table.rows = vec![row("-", "first issue", &order.date)];
    table.rows.extend(order.revisions.iter().map(|r| row(&r.number, &r.change, &r.date)));
    table.rows.push(vec![String::new(); 4]);
    table.least_widths = vec![14.0, CHANGED, 24.0, 22.0];
    table.least_height = 6.0;
    table
}

fn cautions(cautions: &[(&str, &str)]) -> Block {
    let mut layer = Layer::new("cautions", "Cautions");
    layer.letter(Text::new([0.0, -HEADING], HEADING, "CAUTIONS"));
    let mut y = -HEADING - 1.0;
    for (heading, says) in cautions {
        for line in text::folded(&format!("{heading}: {says}"), " ", BODY, COLUMN) {
            y -= PITCH - 0.6;
            layer.letter(Text::new([0.0, y], BODY, line));
        }
        y -= 1.2;
    }
    Block::Detail(layer, Rect { min: [0.0, y - 1.0], max: [COLUMN, 0.0] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{fixture, general_arrangement, solids::Solids};
    use paper::check;

    #[test]
    fn sheets_of_one_thing_make_one_entry() {
        let titles = ["Plan, section B-B", "P01  post (1 of 2)", "P01  post (2 of 2)", "P02  post"];
        let told = |titles: &[&str]| entries(&titles.iter().map(|t| (*t).to_owned()).collect::<Vec<_>>());
        let entry = |sheets: &str, title: &str| (sheets.to_owned(), title.to_owned());
        let expected = [entry("1", "Plan, section B-B"), entry("2–3", "P01  post"), entry("4", "P02  post")];
        assert_eq!(told(&titles), expected);
        assert_eq!(told(&["Details 1 to 4 (1 of 2)", "Detail 5 (2 of 2)"]), [entry("1–2", "Details 1 to 5")]);
        assert_eq!(told(&["Detail 1"]), [entry("1", "Detail 1")]);
    }

    #[test]
    fn covers_of_every_design_are_clear_on_every_paper() {
        use case::Sheet::{A, A1, A2, A3, A4, B, C, D};
        let says =
            [("Glass", "Cut edges are sharp; near the floor and where children are, safety glass may be required.")];
        for (name, _) in design::builtin::DESIGNS {
            for sheet in [A, A1, A2, A3, A4, B, C, D] {
                let mut case = fixture::design(name, &[]);
                case.order.paper.sheet = sheet;
                let changed = "a top that overhangs at the back too, and the shelves housed instead of on pins";
                let revision = |n: u32| case::Revision {
                    number: n.to_string(),
                    date: format!("2026-11-{:02}", n + 9),
                    change: changed.into(),
                };
                case.order.revisions = (2..5).map(revision).collect();
                let arrangement = general_arrangement(&Solids::of(&case));
                let titles: Vec<String> = arrangement.sheets.iter().map(|s| s.title.clone()).collect();
                let contents = [("General arrangement", titles)];
                let front = Front { picture: arrangement.picture.as_ref(), contents: &contents, cautions: &says };
                let sheets = cover(&case, &front);
                let faults: Vec<_> = sheets.iter().flat_map(check::collisions).collect();
                assert_eq!(faults, [], "{name} {sheet:?}");
                let texts: Vec<&str> = sheets
                    .iter()
                    .flat_map(|s| &s.scene.layers)
                    .flat_map(|l| &l.items)
                    .filter_map(|i| if let Item::Text(t) = i { Some(t.content.as_str()) } else { None })
                    .collect();
                assert!(texts.contains(&"2026-11-13"), "{name}: the last revision is not on the cover");
                assert!(texts.iter().filter(|t| **t == "4").count() > sheets.len(), "{name}: nor in each title block");
                for part in case.kinds().iter().map(|k| k.0.id.to_string()) {
                    assert!(texts.contains(&part.as_str()), "{name}: {part} is not on the cover");
                }
            }
        }
    }
}
