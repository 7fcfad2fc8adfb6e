//! The part sheets of the built-in designs: clear of collisions and of the frame, and every cut told in full.

use std::sync::Arc;

use case::{Case, Sheet as Size};
use drafting::check::collisions;
use drafting::scene::{At, Item, Rect};
use drafting::sheet::{Frame, Sheet};

const DESIGNS: [&str; 3] = ["glazed-case", "open-shelves", "low-cupboard"];
const SIZES: [Size; 8] = [Size::A4, Size::A3, Size::A2, Size::A1, Size::A, Size::B, Size::C, Size::D];

/// A built-in design with settings of the form `name=value`, in inches or in millimetres.
fn solved(design: &str, unit: &str, settings: &[&str]) -> Case {
    let order = format!("design = \"{design}\"\nunit = \"{unit}\"\n");
    let source = Arc::new(fault::Source::new("order.toml", &order));
    let settings: Vec<String> = settings.iter().map(|s| (*s).to_owned()).collect();
    let job = design::Job::read(&source, &settings, |path| Err(format!("`{path}` is not built in")));
    case::build(&job.unwrap().1)
}

/// Layers that are the sheet's own.
fn is_own(layer: &str) -> bool {
    ["frame", "title-block", "part"].contains(&layer)
}

/// Everything drawn lies within the frame and off the title block.
fn out_of_place(sheet: &Sheet, frame: &Frame) -> Vec<String> {
    let room = frame.edge.grown(-1.0);
    let block = Rect { min: frame.block.min, max: [frame.block.max[0], frame.block.max[1] + 10.0] };
    let mut out = Vec::new();
    for layer in sheet.scene.layers.iter().filter(|l| !is_own(&l.id)) {
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

#[track_caller]
fn assert_clear(sheets: &[Sheet], frame: &Frame) {
    for sheet in sheets {
        assert_eq!(collisions(sheet), [], "{}", sheet.name);
        assert_eq!(out_of_place(sheet, frame), Vec::<String>::new(), "{}", sheet.name);
    }
}

#[test]
fn no_sheet_has_collisions_on_any_paper() {
    for size in SIZES {
        let mut case = solved("glazed-case", "in", &[]);
        case.order.paper.sheet = size;
        let sheets = drafting::part_sheets(&case);
        assert_clear(&sheets, &Frame::of(size));
    }
}

#[test]
fn no_design_has_collisions_in_either_unit() {
    for design in DESIGNS {
        for unit in ["in", "mm"] {
            let case = solved(design, unit, &[]);
            assert_clear(&drafting::part_sheets(&case), &Frame::of(case.order.paper.sheet));
        }
    }
}
