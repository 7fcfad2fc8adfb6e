//! The tables of a part's cuts: one row to a feature, and the corners of what is neither square nor round.

use case::{Axis, Dir, Part};
use measure::{Length, Ruler};

use super::feature::{Feature, Place, Shape};
use super::wording;
use paper::dimension::figure;
use paper::table::{Table, wrapped};

/// Lists in one cell are wrapped to these widths, mm: places along, places across, numbers of parts and cuts. The narrow
/// ones are for sheets that have no room for the others.
const WIDE: [f64; 3] = [34.0, f64::INFINITY, 22.0];
const NARROW: [[f64; 3]; 2] = [[24.0, 16.0, 14.0], [12.0, 8.0, 8.0]];

/// Every cut of the part: one row to a feature. Distances are from the datum, along the grain and across it; a hole is
/// told by its middle. Where the sheet is no wider than `width`, the cuts' numbers stand under their names.
pub(crate) fn cuts(
    part: &Part,
    features: &[Feature<'_>],
    face_name: &dyn Fn(Dir) -> String,
    ruler: &Ruler,
    width: f64,
) -> Table {
    let made = |lists: [f64; 3]| {
        let head = ["", "CUT", "OFF", "FROM", "ALONG", "LENGTH", "ACROSS", "WIDTH", "DEPTH", "MEETS", "NO."];
        let mut table = Table::new(format!("Cuts of {}, along and across from the datum", part.id), &head);
        table.rows = features.iter().map(|f| row(part, f, face_name, ruler, lists)).collect();
        table
    };
    let stacked = |mut table: Table| {
        table.head.pop();
        table.head[1] = "CUT, NO.".into();
        for row in &mut table.rows {
            let numbers = row.pop().unwrap_or_default();
            row[1] = format!("{}\n{numbers}", row[1]);
        }
        table
    };
    let mut table = made(WIDE);
    for lists in [WIDE].into_iter().chain(NARROW) {
        if table.size()[0] > width {
            table = stacked(made(lists));
        }
    }
    table
}

fn row(
    part: &Part,
    f: &Feature<'_>,
    face_name: &dyn Fn(Dir) -> String,
    ruler: &Ruler,
    [places, across_them, ids]: [f64; 3],
) -> Vec<String> {
    let (u, v) = f.told.axis.others();
    let show = |l: Length| figure(ruler, l);
    let first = &f.places[0];
    // A box that is told from another face than it is cut from is a single row; its own places will do.
    let starts: Vec<String> = f.places.iter().step_by(f.across).map(|p| show(p.start(u, f.shape))).collect();
    let across: Vec<String> = f.places.iter().take(f.across).map(|p| show(p.start(v, f.shape))).collect();
    let along = match f.pitch() {
        Some(pitch) => format!("{} to {}\nat {}", starts[0], starts[starts.len() - 1], show(pitch)),
        None => wrapped(&starts.join(", "), places),
    };
    let extent = |axis: Axis| show(first.bounds.size()[axis.index()]);
    let (length, width) = match f.shape {
        Shape::Hole(d) => (format!("⌀ {}", show(d)), String::new()),
        Shape::Box | Shape::Free => (extent(u), extent(v)),
    };
    let deep = f.told_depth();
    let depth = if deep >= part.size[f.told.axis.index()] { "through".into() } else { show(deep) };
    let from = if f.faces.len() > 1 {
        f.faces.iter().map(|d| face_name(*d)).collect::<Vec<_>>().join(",\n")
    } else {
        face_name(f.told)
    };
    let mut numbers: Vec<usize> = f.places.iter().flat_map(|p| &p.cuts).map(|i| i + 1).collect();
    numbers.sort_unstable();
    let count = numbers.len();
    vec![
        f.letter.clone(),
        wording::words(f.purpose),
        count.to_string(),
        from,
        along,
        length,
        wrapped(&across.join(", "), across_them),
        width,
        depth,
        wrapped(&super::ids(f.partners.iter().copied()), ids),
        wrapped(&ranges(&numbers), ids),
    ]
}

/// `1, 3–42`.
fn ranges(numbers: &[usize]) -> String {
    let mut out: Vec<String> = Vec::new();
    for run in numbers.chunk_by(|a, b| a + 1 == *b) {
        match run {
            [one] => out.push(one.to_string()),
            [a, b] => out.extend([a.to_string(), b.to_string()]),
            _ => out.push(format!("{}–{}", run[0], run[run.len() - 1])),
        }
    }
    out.join(", ")
}

/// The corners of the features that are neither square nor round, in order round each, with the arcs between; on more
/// rows than one where `width` asks for it.
pub(crate) fn corners(features: &[Feature<'_>], ruler: &Ruler, width: f64) -> Option<Table> {
    let free: Vec<(&str, Vec<String>)> = features
        .iter()
        .filter(|f| f.shape == Shape::Free)
        .map(|f| (f.letter.as_str(), corner_cells(&f.places[0], ruler)))
        .collect();
    let most = free.iter().map(|(_, cells)| cells.len()).max()?;
    let made = |columns: usize| {
        let mut table = Table::new("Corners: along, across, and the arc to the next", &[""]);
        table.head.extend((1..=columns).map(|i| if columns < most { String::new() } else { i.to_string() }));
        for (letter, cells) in &free {
            for (i, chunk) in cells.chunks(columns).enumerate() {
                let first = i * columns + 1;
                let name = if cells.len() <= columns {
                    (*letter).to_owned()
                } else {
                    format!("{letter} {first}–{}", first + chunk.len() - 1)
                };
                let mut row: Vec<String> = std::iter::once(name).chain(chunk.iter().cloned()).collect();
                row.resize(columns + 1, String::new());
                table.rows.push(row);
            }
        }
        table
    };
    (1..=most).rev().map(made).find(|t| t.size()[0] <= width).or_else(|| Some(made(1)))
}

fn corner_cells(place: &Place<'_>, ruler: &Ruler) -> Vec<String> {
    let cells = place.outline.0.iter().zip(place.outline.segments()).map(|(v, side)| {
        let at = format!("{}, {}", figure(ruler, v.u), figure(ruler, v.v));
        match side.arc() {
            None => at,
            Some(arc) => {
                let way = if arc.sweep > 0.0 { "hollow" } else { "round" };
                format!("{at}\n{way} R {}", figure(ruler, Length::from_mm(arc.radius)))
            }
        }
    });
    cells.collect()
}
