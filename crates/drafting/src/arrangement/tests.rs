//! The sheets of the demo, and of it at other sizes, papers and units.

use case::Case;
use proptest::prelude::*;

use super::*;
use crate::fixture;
use paper::check;
use paper::scene::Item;

/// The texts in the layers whose id ends so.
fn texts(sheets: &[Sheet], layer: &str) -> Vec<String> {
    let layers = sheets.iter().flat_map(|s| &s.scene.layers).filter(|l| l.id.ends_with(layer));
    let items = layers.flat_map(|l| &l.items);
    items.filter_map(|i| if let Item::Text(t) = i { Some(t.content.clone()) } else { None }).collect()
}

/// What is wrong with the sheets of a case, in words.
fn faults(case: &Case) -> Vec<String> {
    let sheets = general_arrangement(&Solids::of(case)).sheets;
    let mut out: Vec<String> = sheets
        .iter()
        .flat_map(|s| check::collisions(s).into_iter().map(move |c| format!("{}: {}", s.name, c.what)))
        .collect();
    // Each curve's rise is lettered under it, or, where that has no room, stands in a chain, unless all is too small.
    let small = texts(&sheets, "title-block").iter().any(|t| t == "1:20" || t == "1:50");
    let said = texts(&sheets, "rises");
    let figures = texts(&sheets, "dimensions");
    for which in [Which::Front, Which::RightEnd] {
        for rise in runs::rises(case, which) {
            let says = rise.says(&case.order, which);
            if !small && !said.contains(&says) && !figures.contains(&says.replace("rise ", "")) {
                out.push(format!("`{says}` is missing"));
            }
        }
    }
    let ids: Vec<&str> = sheets.iter().flat_map(|s| &s.scene.layers).map(|l| l.id.as_str()).collect();
    out.extend(
        ["front-P01", "right-end-P16", "section-a-P02", "section-b-P02", "section-marks"]
            .iter()
            .filter(|id| !ids.contains(id))
            .map(|id| format!("no layer `{id}`")),
    );
    out
}

#[test]
fn the_demo_on_every_paper_and_in_both_projections() {
    use case::Sheet::{A, A1, A2, A3, A4, B, C, D};
    for sheet in [A4, A3, A2, A1, A, B, C, D] {
        for projection in [case::Projection::First, case::Projection::Third] {
            let mut case = fixture::demo(&[]);
            case.order.paper = case::Paper { sheet, projection, ..case.order.paper };
            assert_eq!(faults(&case), Vec::<String>::new(), "{sheet:?} {projection:?}");
        }
    }
}

#[test]
fn every_design_as_it_is() {
    for (name, _) in design::builtin::DESIGNS {
        assert_eq!(faults(&fixture::design(name, &[])), Vec::<String>::new(), "{name}");
    }
}

#[test]
fn views_stand_as_the_projection_has_them() {
    let place = |projection| {
        let mut case = fixture::demo(&[]);
        case.order.paper = case::Paper { sheet: case::Sheet::A1, projection, ..case.order.paper };
        let sheets = general_arrangement(&Solids::of(&case)).sheets;
        assert_eq!(sheets.len(), 1);
        let at = |id: &str| {
            let layer = sheets[0].scene.layers.iter().find(|l| l.id == id).unwrap();
            let points = layer.items.iter().find_map(|i| match i {
                Item::Line { path, .. } => Some(path.vertices[0].0),
                _ => None,
            });
            points.unwrap()
        };
        (at("front-P16"), at("right-end-P16"), at("plan-P16"))
    };
    let (front, end, plan) = place(case::Projection::Third);
    assert!(end[0] > front[0] && plan[1] > front[1]);
    let (front, end, plan) = place(case::Projection::First);
    assert!(end[0] < front[0] && plan[1] < front[1]);
}

#[test]
fn figures_are_those_of_the_piece() {
    let sheets = general_arrangement(&Solids::of(&fixture::demo(&[]))).sheets;
    let figures = texts(&sheets, "dimensions");
    // The demo's order: 42 wide, 16 deep, 60 high over all; the rest from the design.
    for figure in ["42", "16", "60", "1 3/4", "7/8", "37", "1/16", "12"] {
        assert!(figures.iter().any(|f| f == figure), "{figure} is missing from {figures:?}");
    }
    assert_eq!(texts(&sheets, "rises"), ["rise 1", "rise 1 1/2", "rise 1"]);
}

#[test]
fn the_same_sheets_as_before() {
    let sheets = general_arrangement(&Solids::of(&fixture::demo(&[]))).sheets;
    assert_eq!(sheets, general_arrangement(&Solids::of(&fixture::demo(&[]))).sheets);
    for sheet in &sheets {
        insta::assert_binary_snapshot!(&format!("{}.svg", sheet.name), paper::svg(sheet).into_bytes());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn random_orders_give_sheets_without_collisions(
        doors in 1..3_u32, width in 14..30_u32, depth in 10..26_u32, height in 40..90_u32,
        rows in 1..5_u32, columns in 1..3_u32, rise in 0..5_u32, paper in 0..8_usize, third in any::<bool>(), metric in any::<bool>(),
    ) {
        use case::Sheet::{A, A1, A2, A3, A4, B, C, D};
        let settings = [
            format!("doors={doors}"),
            format!("width={} in", width * doors),
            format!("depth={depth} in"),
            format!("height={height} in"),
            format!("light_rows={rows}"),
            format!("light_columns={columns}"),
            format!("arch_rise={rise}/2 in"),
        ];
        let mut case = fixture::demo(&settings.each_ref().map(String::as_str));
        let projection = if third { case::Projection::Third } else { case::Projection::First };
        case.order.paper = case::Paper { sheet: [A4, A3, A2, A1, A, B, C, D][paper], projection, ..case.order.paper };
        if metric {
            case.order.unit = measure::Unit::Millimetre;
            case.order.ruler = measure::Ruler { unit: measure::Unit::Millimetre, step: measure::Length::from_nm(500_000), marks: true };
        }
        prop_assert_eq!(faults(&case), Vec::<String>::new());
    }
}
