//! What fills the rest of a sheet: general notes, the table of parts, and free room for them.

use std::collections::BTreeSet;

use case::{Axis, Case, Form, JointKind, Part, Role};
use measure::Length;

use paper::dimension::figure;
use paper::scene::{At, Layer, Rect};
use paper::table::Table;
use paper::text::{self, Text};

/// Height of notes, and from line to line, mm.
const HEIGHT: f64 = 2.5;
const PITCH: f64 = 5.0;

/// The notes, one sentence each.
pub(super) fn notes(case: &Case) -> Vec<String> {
    let mut out = Vec::new();
    let woods: BTreeSet<&str> =
        case.parts.iter().filter(|p| p.material.form == Form::Solid).map(|p| p.material.name.as_str()).collect();
    let sheets: BTreeSet<String> = case
        .parts
        .iter()
        .filter(|p| p.material.form == Form::Sheet)
        .map(|p| format!("{} of {}", p.name, p.material.name))
        .collect();
    let materials: Vec<String> = woods.into_iter().map(str::to_owned).chain(sheets).collect();
    out.push(format!("Wood: {}.", materials.join("; ")));
    out.extend(door_gaps(case));
    let loose: BTreeSet<_> = case.joints.iter().filter(|j| j.kind == JointKind::Pins).flat_map(|j| &j.parts).collect();
    let loose = case.parts.iter().filter(|p| p.role == Role::Shelf && loose.contains(&p.id)).count();
    if loose > 0 {
        out.push(format!("{loose} loose {}, on pins.", if loose == 1 { "shelf" } else { "shelves" }));
    }
    let glass: BTreeSet<Length> = case.panes.iter().map(|p| p.size[2]).collect();
    if let Some(first) = glass.first() {
        let n = case.panes.len();
        out.push(format!(
            "{n} {} of glass, {} {}.",
            if n == 1 { "pane" } else { "panes" },
            case.order.ruler.read(*first).text,
            case.order.unit
        ));
    }
    out.push("Panels and the top are free to move; do not glue them in.".to_owned());
    out.push("Joints and every cut: see the part sheets.".to_owned());
    out
}

/// The gaps round the doors, if they are one and the same.
fn door_gaps(case: &Case) -> Option<String> {
    let of = |role: Role| case.parts.iter().filter(move |p| p.role == role);
    let stiles: Vec<&Part> = of(Role::Stile).collect();
    let mut gaps = BTreeSet::new();
    let step = |a: &Part, b: &Part, axis: Axis| {
        let gap = b.case_box().along(axis)[0] - a.case_box().along(axis)[1];
        (gap > Length::ZERO).then_some(gap)
    };
    for stile in &stiles {
        // What stands next to it on either side: a post, or the other door.
        let others = || of(Role::Post).chain(stiles.iter().copied().filter(|s| s.assembly != stile.assembly));
        gaps.extend(others().filter_map(|o| step(o, stile, Axis::X)).min());
        gaps.extend(others().filter_map(|o| step(stile, o, Axis::X)).min());
    }
    // Between stiles of one door the gap to the far post is wide; the least on each side tells.
    let least = *gaps.first()?;
    let text = figure(&case.order.ruler, least);
    Some(format!("Doors: gap {text} {} all round.", case.order.unit))
}

/// The size of a block of notes.
pub(super) fn notes_size(notes: &[String]) -> At {
    let wide = notes.iter().map(|n| text::width(n, HEIGHT)).fold(0.0, f64::max);
    [wide + 6.0, PITCH * (notes.len() as f64 + 1.2)]
}

/// The notes in a block.
pub(super) fn draw_notes(notes: &[String], block: &Rect) -> Layer {
    let mut layer = Layer::new("notes", "Notes");
    let [x, top] = [block.min[0], block.max[1]];
    layer.letter(Text::new([x, top - 3.5], 3.5, "NOTES"));
    for (k, note) in notes.iter().enumerate() {
        let y = top - 3.5 - PITCH * (k as f64 + 1.2);
        layer.letter(Text::new([x, y], HEIGHT, format!("{}", k + 1)));
        layer.letter(Text::new([x + 5.0, y], HEIGHT, note));
    }
    layer
}

/// The kinds of parts: number, how many, name.
pub(crate) fn parts(case: &Case) -> Table {
    let mut table = Table::new("", &["PART", "NO.", "NAME"]);
    let rows = case.kinds().into_iter();
    table.rows =
        rows.map(|(first, all)| vec![first.id.to_string(), all.len().to_string(), first.name.clone()]).collect();
    table
}

/// A free rectangle of that size in the space, clear of what is taken: the one nearest to a wished corner.
pub(crate) fn free(space: &Rect, taken: &[Rect], [wide, high]: At, wish: At) -> Option<Rect> {
    const STEP: f64 = 3.0;
    let mut best: Option<(f64, Rect)> = None;
    let (across, up) = (space.width() - wide, space.height() - high);
    let steps = |room: f64| (0..).map(|k| f64::from(k) * STEP).take_while(move |d| *d <= room);
    for x in steps(across) {
        for y in steps(up) {
            let block = Rect::new([space.min[0] + x, space.min[1] + y], wide, high);
            if taken.iter().any(|t| t.overlaps(&block)) {
                continue;
            }
            let far = [0, 1].map(|k| {
                let corner = if wish[k] > space.centre()[k] { block.max[k] } else { block.min[k] };
                (corner - wish[k]).abs()
            });
            let far = far[0] + far[1];
            if best.is_none_or(|(least, _)| far < least) {
                best = Some((far, block));
            }
        }
    }
    best.map(|b| b.1)
}
