//! Parts cut out of a sheet: proven by the other crate, held, in their order, and refused where they cannot be made so.

use std::collections::BTreeSet;

use case::{Case, Dir, Material, Outline, Part, PartId, Purpose, Role, Vertex};
use measure::{Length, Unit, inches, mm};
use routing::nest::{Blank, Lying, Nested, around, fits, nest};
use routing::{Controller, Machine, Nest, ToolTable, route, route_rest};

use crate::fixture::{case, cut, part, rectangle};
use crate::{figures, proven};

const THICK: Length = mm(18);

fn plywood() -> Material {
    Material::sheet("birch plywood")
}

/// A shelf with notched corners.
fn shelf() -> Part {
    let z = Length::ZERO;
    let [l, w, t] = [mm(800), mm(300), THICK];
    let n = mm(30);
    let corners = [([z, n], [z, n]), ([l - n, l], [z, n]), ([z, n], [w - n, w]), ([l - n, l], [w - n, w])];
    let cuts = corners.map(|(u, v)| cut(Purpose::Notch, Dir::PZ, rectangle(u, v), t)).to_vec();
    Part { material: plywood(), ..part(1, "shelf", Role::Shelf, [l, w, t], Dir::PX, Dir::PZ, cuts) }
}

/// A divider: a row of holes, one large hole, a groove that runs out of the ends, a stopped one, and an
/// arch in one edge.
fn divider() -> Part {
    let [l, w, t] = [mm(500), mm(260), THICK];
    let at = |u, bulge| Vertex { u: mm(u), v: Length::ZERO, bulge };
    let arch = Outline(vec![at(150, 0.0), at(350, libm::tan(libm::atan(40.0 / 100.0)))]);
    let mut cuts = vec![
        cut(Purpose::Outline, Dir::PZ, arch, t),
        cut(Purpose::Groove, Dir::PZ, rectangle([Length::ZERO, l], [mm(180), mm(186)]), mm(6)),
        cut(Purpose::Groove, Dir::PZ, rectangle([mm(60), mm(440)], [mm(220), mm(220) + inches(3, 8)]), mm(8)),
        cut(Purpose::KnobHole, Dir::PZ, Outline::circle([mm(250), mm(130)], mm(40)), t),
    ];
    for i in 0..4 {
        cuts.push(cut(Purpose::PinHole, Dir::PZ, Outline::circle([mm(60) + mm(32) * i, mm(100)], mm(5)), mm(10)));
    }
    Part { material: plywood(), ..part(2, "divider", Role::Panel, [l, w, t], Dir::PX, Dir::PZ, cuts) }
}

/// A narrow piece with a groove in one edge.
fn kicker() -> Part {
    let [l, w] = [mm(400), mm(90)];
    let groove = cut(Purpose::Groove, Dir::PY, rectangle([Length::ZERO, l], [mm(6), mm(12)]), mm(8));
    Part { material: plywood(), ..part(3, "kicker", Role::Panel, [l, w, THICK], Dir::PX, Dir::PZ, vec![groove]) }
}

fn parts(unit: Unit) -> Case {
    case(unit, vec![shelf(), divider(), kicker()])
}

fn lying(part: u32, at: [i64; 2], turned: bool) -> Lying {
    Lying { part: PartId(part), at: at.map(mm), turned }
}

/// Three parts, one of them turned.
fn blank() -> Blank {
    let parts = vec![lying(1, [20, 20], false), lying(2, [850, 20], true), lying(3, [20, 360], false)];
    Blank { name: "the whole of sheet 1".into(), material: plywood(), size: [mm(1220), mm(610), THICK], parts }
}

fn nested(case: &Case, machine: &Machine) -> Nested {
    nest(case, &[blank()], machine, &ToolTable::default())
}

fn changer() -> Machine {
    let plain = Machine::default();
    Machine { controller: Controller { tool_change: true, length_offset: true, ..plain.controller }, ..plain }
}

#[test]
fn parts_are_cut_out_whole_and_stay_held() {
    for unit in [Unit::Inch, Unit::Millimetre] {
        let plain = Machine::default();
        let against = Machine { nest: Nest { climb: false, ..plain.nest }, ..plain.clone() };
        for machine in [plain, changer(), against] {
            let made = nested(&parts(unit), &machine);
            proven(&made.routing);
            let outlines: Vec<&str> = made
                .routing
                .programs
                .iter()
                .flat_map(|p| &p.cuts)
                .map(String::as_str)
                .filter(|c| c.ends_with("outline"))
                .collect();
            // Small parts first.
            assert_eq!(outlines, ["P03.outline", "P02.outline", "P01.outline"]);
            // The groove in the edge is no work for a sheet; all else is done.
            let done: Vec<usize> = made.made.values().map(BTreeSet::len).collect();
            assert_eq!(done, [4, 8, 0]);
        }
    }
}

#[test]
fn what_is_inside_is_cut_before_what_is_cut_free() {
    let made = nested(&parts(Unit::Millimetre), &Machine::default());
    let files: Vec<(&str, bool)> = made
        .routing
        .programs
        .iter()
        .map(|p| (p.file.as_str(), p.cuts.iter().any(|c| c.ends_with("outline"))))
        .collect();
    assert!(files.len() > 2, "{files:?}");
    assert!(files.iter().rev().skip(1).all(|(_, outlines)| !outlines), "{files:?}");
    assert!(files[files.len() - 1].1);
    assert_eq!(nested(&parts(Unit::Millimetre), &changer()).routing.programs.len(), 1);
}

#[test]
fn no_bridge_stands_on_an_edge_that_shows_or_is_worked_where_others_will_do() {
    let made = nested(&parts(Unit::Millimetre), &Machine::default());
    let last = made.routing.programs.last().unwrap();
    // Upside down, the shelf's front edge is at Y320, the kicker's grooved edge at Y360.
    let middles: Vec<[f64; 2]> = last
        .claim
        .tabs
        .iter()
        .map(|t| {
            let n = t.outline.len() as f64;
            [0, 1].map(|i| t.outline.iter().map(|v| v[i]).sum::<f64>() / n)
        })
        .collect();
    assert!(middles.len() >= 8, "{middles:?}");
    assert!(!middles.iter().any(|m| (320.0..360.0).contains(&m[1]) && m[0] < 820.0), "{middles:?}");
}

#[test]
fn a_part_s_own_set_ups_leave_out_what_the_sheet_s_program_cuts() {
    let case = parts(Unit::Millimetre);
    let machine = Machine::default();
    let made = nested(&case, &machine);
    let whole = route(&case, &machine, &ToolTable::default());
    let rest = route_rest(&case, &machine, &ToolTable::default(), &made.made);
    assert!(whole.programs.iter().any(|p| p.cuts.contains(&"P01.1".to_owned())));
    let left: Vec<&String> = rest.programs.iter().flat_map(|p| &p.cuts).collect();
    assert_eq!(left, ["P03.1"], "the groove in the kicker's edge");
    proven(&rest);
}

#[test]
fn a_fault_of_depth_or_place_is_found() {
    let made = nested(&parts(Unit::Millimetre), &Machine::default());
    let last = made.routing.programs.last().unwrap();
    let bottom = format!("Z-{}", 18.3);
    assert!(last.text.contains(&bottom), "into the spoilboard by 0.3 mm");
    let tried = [(bottom.as_str(), "Z-18.4", "spoilboard"), (bottom.as_str(), "Z-17.9", "left")];
    for (from, to, says) in tried {
        let text = last.text.replace(from, to);
        let mut wrong = last.clone();
        wrong.text = text;
        let found = figures(&wrong).refused.join("\n");
        assert!(found.contains(says), "{to}: {found}");
    }
}

#[test]
fn a_blank_that_the_machine_does_not_hold_is_refused_with_a_mend() {
    let small = Machine { travel: [mm(900), mm(600), mm(250)], ..Machine::default() };
    assert!(!fits(&small, [mm(1220), mm(610)]) && fits(&small, [mm(900), mm(600)]));
    let made = nested(&parts(Unit::Millimetre), &small);
    assert!(made.routing.programs.is_empty() && made.made.is_empty());
    let why = &made.routing.by_hand[0].why;
    assert_eq!(why, "a blank of 1220 mm x 610 mm is more than the machine's travel of 900 mm x 600 mm: saw it out");
    assert_eq!(made.routing.by_hand.len(), 3);
}

#[test]
fn the_layout_keeps_room_for_the_kerf_and_half_the_web() {
    let (machine, tools) = (Machine::default(), ToolTable::default());
    // A bit of 6 mm or of 1/4 in, 0.3 mm for roughing, half of 10 mm.
    assert_eq!(around(&machine, &tools, Unit::Millimetre, THICK), Some(mm(6) + Length::from_nm(300_000) + mm(5)));
    assert_eq!(around(&machine, &tools, Unit::Inch, THICK), Some(inches(1, 4) + Length::from_nm(300_000) + mm(5)));
    let sawn = Machine { nest: Nest { sheets: false, ..machine.nest }, ..machine.clone() };
    assert_eq!(around(&sawn, &tools, Unit::Inch, THICK), None);
    assert_eq!(around(&machine, &tools, Unit::Inch, mm(60)), None, "no bit is so long");
}

#[test]
fn the_set_up_sheet_says_how_it_lies_and_what_to_mind() {
    let made = nested(&parts(Unit::Inch), &changer());
    insta::assert_snapshot!(made.routing.sheets[0].text);
}
