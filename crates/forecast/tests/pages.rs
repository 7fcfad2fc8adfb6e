//! The page and its drawing for the standard designs: complete, and without one text over another.

use case::Case;
use design::{Job, builtin};
use fault::Source;

fn build(text: &str) -> Case {
    let read = Job::read(&Source::new("order.toml", text), &[], |_| Err("there is none".into()));
    case::build(&read.unwrap_or_else(|f| panic!("{f}")).1)
}

#[test]
fn nothing_in_the_drawing_runs_into_anything() {
    for (design, _) in builtin::DESIGNS {
        for (unit, raised) in [("in", "flat"), ("mm", "raised")] {
            let text = format!("design = \"{design}\"\nunit = \"{unit}\"\n[parameters]\nend_panels = \"{raised}\"\n");
            let sheet = forecast::drawing(&build(&text)).expect("something moves");
            let met = paper::check::collisions(&sheet);
            assert!(met.is_empty(), "{design}: {met:?}");
            let rows = if design == "open-shelves" { 2 } else { 3 };
            assert_eq!(sheet.scene.layers.len(), rows, "{design}");
        }
    }
}

#[test]
fn the_page_tells_of_every_place_shelf_part_and_pane() {
    let case = build("design = \"glazed-case\"\nunit = \"mm\"\n");
    let page = forecast::page(&case);
    for (part, _) in case.kinds() {
        assert!(page.contains(&format!("<td>{}</td>", part.id)), "{}", part.id);
    }
    let told = ["8.5 %", "6.2 %", "10.9 %", "end panel, in its grooves", "doors, the gap between them", "Longest"];
    for words in
        told.into_iter().chain(["Centre of mass", "Every door opened", "Safety glass", "table 13-5", "birch plywood"])
    {
        assert!(page.contains(words), "{words}");
    }
    // The end panel of 12 1/2 in between its grooves' bottoms, in mm: workshop, and what it moves by in the page's own words.
    let panel = case.parts.iter().find(|p| p.name == "left end panel").expect("a panel");
    let [here, dry, wet] =
        case.seasons.widths(&panel.material, panel.size[1]).map(|l| format!("<td class=\"n\">{:.1}</td>", l.mm()));
    assert!(page.contains(&(here + &dry + &wet)));
}

#[test]
fn what_a_customer_types_is_escaped() {
    let page = forecast::page(&build(
        "design = \"open-shelves\"\ncustomer = \"<b>Rose</b>\"\n[parameters]\nwood = \"<i>oak</i>\"\n",
    ));
    assert!(!page.contains("<b>Rose") && !page.contains("<i>oak"));
}
