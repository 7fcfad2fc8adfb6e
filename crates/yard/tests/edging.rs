//! Edging of plywood shelves on the lists: cut by the length, and bought so.

use case::Case;
use design::{Job, builtin};
use fault::Source;
use measure::{Length, inches};

/// Open shelves, their shelves of plywood, with an edging so thick.
fn shelves(edging: &str) -> Case {
    let text = builtin::DESIGNS.iter().find(|(name, _)| *name == "open-shelves").unwrap().1;
    let own = text.replace("[shelves]\n", "[shelves]\nwood = \"birch plywood\"\n");
    let order = Source::new("order.toml", "design = \"own.toml\"\n");
    let settings = [format!("shelf_edging={edging}")];
    let read = Job::read(&order, &settings, |_| Ok(Source::new("own.toml", own.clone())));
    let (_, resolved) = read.unwrap_or_else(|faults| panic!("{faults}"));
    case::build(&resolved)
}

#[test]
fn edging_is_cut_by_the_length_and_bought_so() {
    let edged = shelves("3/4 in");
    let takeoff = takeoff::take_off(&edged);
    let strip = takeoff.strips.iter().find(|s| s.name == "edging").unwrap();
    assert_eq!(strip.section, [inches(3, 4), inches(3, 4)]);
    let listed: usize = strip.lines.iter().map(takeoff::Line::count).sum();
    assert_eq!(listed, edged.edgings().count());
    assert!(takeoff::cut_list(&takeoff, &edged.order).contains("edging"));
    let plan = yard::plan(&edged, None, yard::SAWN_OUT, &yard::limits());
    let page = yard::buying_page(&plan, &yard::Buying::of(&plan, &edged), &takeoff, &edged);
    let long: Length = edged.edgings().map(|(_, e)| edged.part(e).size[0]).sum();
    let row = page.split("Running stock").nth(1).unwrap().split("</table>").next().unwrap().to_owned();
    let figure = edged.order.ruler.figure(long);
    assert!(row.contains("Edging") && row.contains("cherry"), "{row}");
    assert!(!figure.is_empty() && row.contains(&figure), "{figure}: {row}");
}
