//! Labels for the pieces as they are sawn out: number, name, sizes, where it goes, and an arrow along the grain.

use case::Case;
use measure::Ruler;
use paper::dimension::{arrow, figure};
use paper::scene::{Layer, Path, Pen, Rect};
use paper::sheet::Draft;
use paper::text::{Text, width};

use super::{height_for, size};
use crate::{Group, Plan, RoughLine};

/// Least width and height of a label, mm.
const LABEL: [f64; 2] = [62.0, 28.0];

/// A label to a mark, from left to right and down.
pub(super) fn drafts(plan: &Plan, case: &Case, room: &Rect) -> Vec<Draft> {
    let across = (room.width() / LABEL[0]).floor().max(1.0);
    let down = (room.height() / LABEL[1]).floor().max(1.0);
    let (wide, tall) = (room.width() / across, room.height() / down);
    let marks: Vec<(&Group, &RoughLine, &str)> = plan
        .groups
        .iter()
        .flat_map(|g| g.lines().iter().flat_map(move |l| l.sets.iter().flatten().map(move |m| (g, l, m.as_str()))))
        .collect();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few labels to a sheet")]
    let (columns, rows) = (across as usize, down as usize);
    let sheet = |labels: &[(&Group, &RoughLine, &str)]| {
        let mut layer = Layer::new("labels", "Labels");
        for (i, (group, line, mark)) in labels.iter().enumerate() {
            let x = room.min[0] + (i % columns) as f64 * wide;
            let y = room.max[1] - (i / columns + 1) as f64 * tall;
            label(&mut layer, &Rect::new([x, y], wide, tall), group, line, mark, case);
        }
        Draft { name: String::new(), title: "Labels".into(), scale: None, wide: 0.35, layers: vec![layer] }
    };
    marks.chunks(columns * rows).map(sheet).collect()
}

fn label(layer: &mut Layer, cell: &Rect, group: &Group, line: &RoughLine, mark: &str, case: &Case) {
    let ruler = &case.order.ruler;
    layer.draw(Pen::Rule, Path::rectangle(cell));
    let [left, top] = [cell.min[0] + 2.5, cell.max[1]];
    let room = cell.width() - 5.0;
    let number = &case.order.number;
    let beside = width(number, 1.8) + 3.0;
    let mark_height = height_for(mark, &[5.0, 3.5, 2.5], room - beside).unwrap_or(1.8);
    layer.letter(Text::new([left, top - 7.0], mark_height, mark));
    layer.letter(Text::new([left + room - width(number, 1.8), top - 5.0], 1.8, number.clone()));
    let lines = [
        (name(line), [2.5, 2.0, 1.8]),
        (format!("{}, {}", group.material(), group.stock().name(ruler)), [2.0, 1.8, 1.6]),
        (sizes(line, ruler), [2.0, 1.8, 1.6]),
    ];
    for (i, (says, heights)) in lines.into_iter().enumerate() {
        let height = height_for(&says, &heights, room).unwrap_or(1.4);
        layer.letter(Text::new([left, top - 11.6 - 4.3 * i as f64], height, says));
    }
    let y = cell.min[1] + 3.2;
    let tip = left + room;
    let word = width("grain", 1.8) + 2.0;
    layer.letter(Text::new([left, y - 0.9], 1.8, "grain"));
    layer.line(Pen::Dimension, [left + word, y], [tip, y]);
    arrow(layer, [left + word, y], [-1.0, 0.0]);
    arrow(layer, [tip, y], [1.0, 0.0]);
}

/// What it is, and where it goes.
fn name(line: &RoughLine) -> String {
    let assembly = if line.assembly.is_empty() || line.assembly == "case" {
        String::new()
    } else {
        format!(", {}", line.assembly)
    };
    let whole = if line.staves * line.layers > 1 { ", a piece of it" } else { "" };
    format!("{}{assembly}{whole}", line.name)
}

fn sizes(line: &RoughLine, ruler: &Ruler) -> String {
    let rough = size(ruler, line.rough[0], line.rough[1]);
    if line.strip {
        return format!("rough {rough}, to {} × {}", figure(ruler, line.finished[1]), figure(ruler, line.finished[2]));
    }
    let finished = line.finished.map(|l| figure(ruler, l)).join(" × ");
    format!("rough {rough}; finished {finished}")
}
