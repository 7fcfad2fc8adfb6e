//! The set-up sheet of a nest, as plain text: the blank and what lies on it, how to hold it, what to run, and what is left.

use case::PartId;
use measure::Length;

use super::{Bed, Kind};
use crate::route::Program;
use crate::setup::looks;
use crate::sheet::{Page, cautions, clamps, corners, room, run};
use crate::tool::decimal;

pub(super) fn text(bed: &Bed<'_>, name: &str, programs: &[Program]) -> String {
    let (order, machine, unit) = (&bed.case.order, bed.means.machine, bed.means.unit);
    let show = |l: Length| decimal(l, unit);
    let mut s = Page::new();
    s.line(&format!("SET-UP {name}    {}", bed.blank.name));
    s.line(&format!("{}, order {}, for {}; {}", order.title, order.number, order.customer, order.maker));
    s.rule();

    s.head("How it lies");
    let [x, y, z] = bed.setup.size.map(show);
    s.item("Blank", &format!("{x} long x {y} wide x {z} thick, {unit}; {}, {}", bed.blank.material, bed.blank.name));
    s.item("", "a little longer or wider does no harm; a corner of it must be square for zero");
    s.item("Grain", "of the face along X");
    s.item("Thickness", "measure it: sheets are often thinner than their name, and zero is on top");
    let zero = "left front corner of the blank, top of the stock";
    s.item("Zero", &format!("{zero}, in {}; X to the right, Y away, Z up", crate::emit::WORK_OFFSET));
    s.item("Drawing", &format!("sheet {} of the layouts shows it to scale", name.to_lowercase()));

    s.head("What lies on it");
    for laid in &bed.laid {
        let [low, high] = laid.placed.corners();
        let [x, y] = [0, 1].map(|i| format!("{} to {}", show(low[i]), show(high[i])));
        s.item(&laid.part.id.to_string(), &format!("{}: X {x}, Y {y}", laid.part.name));
        let up = looks(&laid.part.placement, laid.placed.setup.up);
        let bridges = laid.tabs.len();
        s.item("", &format!("its {up} side up, {bridges} bridges"));
    }

    s.head("Hold it");
    clamps(&mut s, programs, machine);
    s.item("Flat", "the sheet must lie flat on the spoilboard all over: by vacuum, or by screws and tape in the waste");
    s.item("Screws", "only where no tool comes: in the webs, at least a bit's diameter from any part's outline");
    room(&mut s, programs, &bed.setup);

    s.head("Run");
    run(&mut s, programs, &|ids| {
        let is_notch = |id: &String| {
            let mut kinds = bed.laid.iter().flat_map(|l| l.kinds.iter().enumerate().map(move |(i, k)| (l, i, k)));
            kinds.any(|(l, i, k)| matches!(k, Kind::Notch(_)) && l.part.cut_id(i) == *id)
        };
        let (outlines, cuts): (Vec<String>, Vec<String>) = ids.iter().cloned().partition(|id| id.ends_with(".outline"));
        let (notches, inside) = cuts.into_iter().partition(is_notch);
        let all = [("inside", inside), ("outlines", outlines), ("with their notches", notches)];
        all.into_iter().filter(|(_, ids)| !ids.is_empty()).collect()
    });
    s.line("  Inside cuts first, then the outlines, small parts first.");

    s.head("By hand afterwards");
    corners(&mut s, programs);
    let bridges: usize = bed.laid.iter().map(|l| l.tabs.len()).sum();
    let [long, high] = [crate::profile::LONG, bed.high()].map(|v| decimal(Length::from_mm(v), unit));
    s.item(
        "Bridges",
        &format!("{bridges}, {long} long and {high} {unit} high, at the lower side: saw them through and flush them"),
    );
    for (id, cut) in elsewhere(bed) {
        s.item(&id.to_string(), &format!("{cut}: in a set-up of its own, once the part is out"));
    }
    cautions(&mut s);
    s.bullet("A part that comes loose flies: stop if a bridge breaks, and never reach in for an offcut.");
    s.text()
}

/// Cuts that are not made on the sheet.
fn elsewhere(bed: &Bed<'_>) -> Vec<(PartId, String)> {
    let mut out = Vec::new();
    for laid in &bed.laid {
        let of = laid.kinds.iter().enumerate().filter(|(_, k)| matches!(k, Kind::Elsewhere));
        out.extend(
            of.map(|(i, _)| (laid.part.id, format!("{} {}", laid.part.cuts[i].purpose.name(), laid.part.cut_id(i)))),
        );
    }
    out
}
