//! What the tests of drawings share: solved designs, and a reader of sheets that knows nothing but what is printed.

use std::sync::Arc;

use case::Case;
use measure::{Length, Ruler, Unit};
use paper::check::collisions;
use paper::scene::{At, Item, Layer, Path, Pen, Rect};
use paper::sheet::{Frame, Sheet};
use paper::text::Text;

pub(crate) const DESIGNS: [&str; 3] = ["glazed-case", "open-shelves", "low-cupboard"];

/// A built-in design with settings of the form `name=value`, in inches or in millimetres.
pub(crate) fn solved(design: &str, unit: &str, settings: &[&str]) -> Case {
    let order = format!("design = \"{design}\"\nunit = \"{unit}\"\n");
    let source = Arc::new(fault::Source::new("order.toml", &order));
    let settings: Vec<String> = settings.iter().map(|s| (*s).to_owned()).collect();
    let job = design::Job::read(&source, &settings, |path| Err(format!("`{path}` is not built in")));
    case::build(&job.unwrap().1)
}

/// A collar and a bit in either unit.
pub(crate) fn guides() -> Vec<case::Guide> {
    let guide = |name: &str, collar, bit| case::Guide { name: name.into(), collar, bit };
    vec![
        guide("5/8 in collar", measure::inches(5, 8), measure::inches(3, 8)),
        guide("17 mm collar", measure::mm(17), measure::mm(10)),
    ]
}

/// Everything drawn lies within the frame and off the title block, and no text is crossed.
#[track_caller]
pub(crate) fn assert_clear(sheets: &[Sheet], frame: &Frame) {
    for sheet in sheets {
        assert_eq!(collisions(sheet), [], "{}", sheet.name);
        assert_eq!(out_of_place(sheet, frame), Vec::<String>::new(), "{}", sheet.name);
    }
}

fn out_of_place(sheet: &Sheet, frame: &Frame) -> Vec<String> {
    let room = frame.edge.grown(-1.0);
    let block = Rect { min: frame.block.min, max: [frame.block.max[0], frame.block.max[1] + 10.0] };
    let own = |layer: &str| ["frame", "title-block", "part"].contains(&layer);
    let mut out = Vec::new();
    for layer in sheet.scene.layers.iter().filter(|l| !own(&l.id)) {
        for item in &layer.items {
            let points: Vec<At> = match item {
                Item::Line { path, .. } => path.flattened(0.1),
                Item::Fill(paths) => paths.iter().flat_map(|p| p.flattened(0.1)).collect(),
                Item::Text(text) => text.corners().to_vec(),
            };
            let inside = |r: &Rect, p: &At| (0..2).all(|i| r.min[i] < p[i] && p[i] < r.max[i]);
            if points.iter().any(|p| !inside(&room, p) || inside(&block, p)) {
                out.push(format!("{} of {}: {item:?}", layer.id, sheet.name));
            }
        }
    }
    out
}

/// A printed figure; nothing if the text is something else.
pub(crate) fn length(text: &str, unit: Unit) -> Option<Length> {
    let text = text.trim();
    let text = text.strip_prefix('~').unwrap_or(text);
    let (sign, text) = text.strip_prefix('-').map_or((1, text), |t| (-1, t));
    if text == "0" {
        return Some(Length::ZERO);
    }
    measure::parse(&format!("{text} {unit}")).ok().map(|l| l * sign)
}

/// What a ruler makes of a length is no further off than this.
pub(crate) fn tolerance(ruler: &Ruler) -> i64 {
    ruler.step.nm() / 2 + 2
}

pub(crate) fn texts(layer: &Layer) -> impl Iterator<Item = &Text> {
    layer.items.iter().filter_map(|i| match i {
        Item::Text(t) => Some(t),
        _ => None,
    })
}

pub(crate) fn paths(layer: &Layer, pen: Pen) -> impl Iterator<Item = &Path> {
    layer.items.iter().filter_map(move |i| match i {
        Item::Line { path, pen: p } if *p == pen => Some(path),
        _ => None,
    })
}

/// A table as it is printed: its title, and each row as cells by their headings.
pub(crate) struct Printed {
    pub(crate) title: String,
    pub(crate) head: Vec<String>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// The tables of a layer. A table is found by its frame, the closed rule; its columns by the upright rules in it.
pub(crate) fn tables(layer: &Layer) -> Vec<Printed> {
    let rules: Vec<&Path> = paths(layer, Pen::Rule).collect();
    let frames = rules.iter().filter(|p| p.closed).map(|p| {
        let corners: Vec<At> = p.vertices.iter().map(|v| v.0).collect();
        Rect { min: corners[0], max: corners[2] }
    });
    frames.map(|frame| table(layer, &rules, &frame)).collect()
}

fn table(layer: &Layer, rules: &[&Path], frame: &Rect) -> Printed {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let lines = rules.iter().filter(|p| !p.closed).map(|p| (p.vertices[0].0, p.vertices[1].0));
    let inside = lines.filter(|(a, b)| {
        let grown = frame.grown(1e-6);
        grown.holds(&Rect { min: *a, max: *a }) && grown.holds(&Rect { min: *b, max: *b })
    });
    let (mut levels, mut columns) = (vec![frame.max[1], frame.min[1]], vec![frame.min[0], frame.max[0]]);
    for (a, b) in inside {
        if near(a[1], b[1]) { levels.push(a[1]) } else { columns.push(a[0]) }
    }
    levels.sort_by(|a, b| b.total_cmp(a));
    columns.sort_by(f64::total_cmp);
    let cell = |row: usize, column: usize| {
        let room = Rect { min: [columns[column], levels[row + 1]], max: [columns[column + 1], levels[row]] };
        let mut lines: Vec<&Text> =
            texts(layer).filter(|t| room.holds(&Rect { min: t.at, max: t.at }) && t.angle == 0.0).collect();
        lines.sort_by(|a, b| b.at[1].total_cmp(&a.at[1]));
        lines.iter().map(|t| t.content.as_str()).collect::<Vec<_>>().join(" ")
    };
    let row = |r: usize| (0..columns.len() - 1).map(|c| cell(r, c)).collect::<Vec<_>>();
    let title = texts(layer)
        .filter(|t| near(t.at[0], frame.min[0]) && t.at[1] > frame.max[1] && t.at[1] < frame.max[1] + 4.0)
        .map(|t| t.content.clone());
    Printed { title: title.collect(), head: row(0), rows: (1..levels.len() - 1).map(row).collect() }
}
