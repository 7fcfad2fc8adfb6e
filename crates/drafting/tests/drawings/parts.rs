//! The part sheets of the built-in designs: clear of collisions and of the frame, and every cut told in full.

use std::collections::BTreeMap;

use crate::printed::{DESIGNS, Printed, assert_clear, length, solved, tables, texts, tolerance};
use case::{Axis, Case, Cut, Dir, HiddenLines, Part, Sheet as Size};
use drafting::Solids;
use measure::Length;
use paper::scene::{Item, Path, Pen};
use paper::sheet::{Frame, Sheet};

#[test]
fn no_sheet_has_collisions_on_any_paper() {
    for size in [Size::A4, Size::A2, Size::A, Size::B] {
        let mut case = solved("glazed-case", "in", &[]);
        case.order.paper.sheet = size;
        assert_clear(&drafting::part_sheets(&case), &Frame::of(size));
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

#[test]
fn every_part_has_a_sheet_and_every_sheet_a_name_of_its_own() {
    let case = solved("glazed-case", "in", &[]);
    let sheets = drafting::part_sheets(&case);
    let mut names: Vec<&str> = sheets.iter().map(|s| s.name.as_str()).collect();
    names.sort_unstable();
    assert!(names.windows(2).all(|w| w[0] != w[1]), "{names:?}");
    let plain: String = sheets.iter().filter(|s| s.name.starts_with("parts-plain")).map(words).collect();
    for (part, _) in case.kinds() {
        let own = sheets.iter().any(|s| s.name.starts_with(&format!("part-{}", part.id)));
        assert!(own || plain.contains(&part.id.to_string()), "{} {} is on no sheet", part.id, part.name);
    }
}

fn words(sheet: &Sheet) -> String {
    sheet.scene.layers.iter().flat_map(texts).map(|t| format!("{} ", t.content)).collect()
}

/// The bottom board's rabbet is cut into the top edge of the front bottom rail, 3/4 in deep: seen from the front it is one
/// line, from shoulder to shoulder.
#[test]
fn hidden_edges_are_dashed_or_left_out_by_choice() {
    let mut case = solved("glazed-case", "in", &[]);
    let dashed = |case: &Case| -> Vec<Path> {
        let sheets = drafting::part_sheets(case).into_iter().filter(|s| s.name == "part-P05");
        let items = sheets.flat_map(|s| s.scene.layers).filter(|l| l.id == "z-high-view").flat_map(|l| l.items);
        let hidden =
            items.filter_map(|i| if let Item::Line { pen: Pen::Hidden, path } = i { Some(path) } else { None });
        hidden.collect()
    };
    let lines = dashed(&case);
    // In three pieces: the view is broken twice.
    assert_eq!(lines.len(), 3, "{lines:?}");
    assert!(lines.iter().flat_map(|p| &p.vertices).all(|(p, _)| (p[1] - lines[0].vertices[0].0[1]).abs() < 1e-6));
    case.order.paper.hidden_lines = HiddenLines::None;
    assert_eq!(dashed(&case), []);
    let all = [drafting::part_sheets(&case), drafting::general_arrangement(&Solids::of(&case)).sheets].concat();
    let items = all.iter().flat_map(|s| &s.scene.layers).flat_map(|l| &l.items);
    assert!(!items.into_iter().any(|i| matches!(i, Item::Line { pen: Pen::Hidden, .. })));
}

/// A view as it is printed: its figures along the foot and beside it, and its labels.
struct View {
    dir: Dir,
    along: Vec<Length>,
    beside: Vec<Length>,
    labels: Vec<String>,
}

/// All that is printed of one part.
struct Printout {
    views: Vec<View>,
    /// View titles and the faces that they stand over.
    faces: Vec<(String, Dir)>,
    cuts: Vec<BTreeMap<String, String>>,
    corners: BTreeMap<String, Vec<String>>,
}

fn read(case: &Case, part: &Part, sheets: &[Sheet]) -> Printout {
    let unit = case.order.unit;
    let own = |s: &&Sheet| {
        let rest = s.name.strip_prefix(&format!("part-{}", part.id));
        rest.is_some_and(|r| r.is_empty() || r.starts_with('-'))
    };
    let mut out = Printout { views: Vec::new(), faces: Vec::new(), cuts: Vec::new(), corners: BTreeMap::new() };
    for layer in sheets.iter().filter(own).flat_map(|s| &s.scene.layers) {
        if let Some(id) = layer.id.strip_suffix("-dimensions") {
            let axis = [Axis::X, Axis::Y, Axis::Z][["x", "y", "z"].iter().position(|a| id.starts_with(a)).unwrap()];
            let dir = Dir { axis, positive: id.ends_with("high") };
            let turned = |upright: bool| texts(layer).filter(move |t| (t.angle != 0.0) == upright);
            out.views.push(View {
                dir,
                along: turned(true).map(|t| length(&t.content, unit).expect("a figure")).collect(),
                beside: turned(false).filter_map(|t| length(&t.content, unit)).collect(),
                labels: turned(false).map(|t| t.content.clone()).collect(),
            });
            out.faces.push((layer.title.trim_start_matches("Dimensions of ").to_owned(), dir));
        }
        for Printed { title, head, rows } in tables(layer) {
            if title.starts_with("Cuts of") {
                out.cuts.extend(rows.iter().map(|r| head.iter().cloned().zip(r.iter().cloned()).collect()));
            } else if title.starts_with("Corners") {
                for row in rows {
                    let letter = row[0].split(' ').next().unwrap().to_owned();
                    let cells = row[1..].iter().filter(|c| !c.is_empty()).cloned();
                    out.corners.entry(letter).or_default().extend(cells);
                }
            }
        }
    }
    out
}

/// The numbers of a row's cuts, counted from 0: `1, 3–42`.
fn numbers(row: &BTreeMap<String, String>) -> Vec<usize> {
    let list = row.get("NO.").cloned().unwrap_or_else(|| {
        let cell = &row["CUT, NO."];
        cell[cell.find(|c: char| c.is_ascii_digit()).unwrap()..].to_owned()
    });
    let mut out = Vec::new();
    for entry in list.split(',').map(str::trim) {
        let (from, to) = entry.split_once('–').unwrap_or((entry, entry));
        let parsed = |s: &str| s.trim().parse::<usize>().unwrap();
        out.extend((parsed(from)..=parsed(to)).map(|n| n - 1));
    }
    out
}

/// Every cut of every part is rebuilt from the figures printed on its sheets: start, length, place across, width and
/// depth, each to half a division of the ruler; and the view on which it is labelled prints the same places.
#[test]
fn every_cut_can_be_made_from_its_sheet_alone() {
    for design in DESIGNS {
        for unit in ["in", "mm"] {
            let case = solved(design, unit, &[]);
            let sheets = drafting::part_sheets(&case);
            let mut rebuilt = 0;
            for (part, _) in case.kinds() {
                let printout = read(&case, part, &sheets);
                let mut seen: Vec<usize> = Vec::new();
                for row in &printout.cuts {
                    let numbers = numbers(row);
                    rebuild(&case, part, &printout, row, &numbers);
                    seen.extend(numbers);
                }
                seen.sort_unstable();
                assert_eq!(seen, (0..part.cuts.len()).collect::<Vec<_>>(), "{} {}: each cut once", part.id, part.name);
                rebuilt += seen.len();
            }
            assert!(rebuilt > 50, "{design} has cuts");
        }
    }
}

#[track_caller]
fn rebuild(case: &Case, part: &Part, printout: &Printout, row: &BTreeMap<String, String>, numbers: &[usize]) {
    let unit = case.order.unit;
    let near = |a: Length, b: Length| (a - b).nm().abs() <= tolerance(&case.order.ruler);
    let figure = |key: &str| length(&row[key], unit).unwrap_or_else(|| panic!("{key} of {row:?}"));
    let context = || format!("{} {}, {row:?}", part.id, part.name);
    let cuts: Vec<&Cut> = numbers.iter().map(|n| &part.cuts[*n]).collect();
    // The face that it is told on: of the name given, the one of a view that has its label.
    let letter = &row[""];
    let view = printout
        .views
        .iter()
        .find(|v| v.labels.iter().any(|l| l == letter || l.starts_with(&format!("{letter}  "))))
        .unwrap_or_else(|| panic!("no view labels {}", context()));
    assert!(printout.faces.iter().any(|(name, dir)| *dir == view.dir && row["FROM"].contains(name)), "{}", context());
    let (u, v) = view.dir.axis.others();
    let along = starts(&row["ALONG"], numbers.len(), row, unit);
    let across: Vec<Length> = row["ACROSS"].split(", ").map(|t| length(t, unit).expect(t)).collect();
    let through = row["DEPTH"] == "through";
    let size = part.size[view.dir.axis.index()];
    let depth = if through { size } else { figure("DEPTH") };
    let label = view.labels.iter().find(|l| l.starts_with(&format!("{letter}  ")));
    if let Some(label) = label {
        let says = if through { "through".to_owned() } else { format!("{} deep", row["DEPTH"]) };
        assert!(label.contains(&says), "{label} does not say {says}");
    }
    let round = row["LENGTH"].starts_with('⌀');
    let mut fresh: Vec<&Cut> = cuts.clone();
    for x in &along {
        for y in &across {
            // The cuts here: one, or two from opposite faces.
            let (here, rest): (Vec<&Cut>, Vec<&Cut>) = fresh.into_iter().partition(|c| {
                let b = c.bounds(part.size);
                let mid = |a: Axis| (b.along(a)[0] + b.along(a)[1]).half();
                if round {
                    near(mid(u), *x) && near(mid(v), *y)
                } else {
                    near(b.along(u)[0], *x) && near(b.along(v)[0], *y)
                }
            });
            assert!(!here.is_empty(), "nothing is cut at {x:?}, {y:?}: {}", context());
            for cut in here {
                let b = cut.bounds(part.size);
                assert!(near(b.size()[view.dir.axis.index()], depth), "depth of {}", context());
                if round {
                    let d = length(row["LENGTH"].trim_start_matches('⌀'), unit).unwrap();
                    assert!(near(b.size()[u.index()], d) && cut.outline.as_circle().is_some(), "{}", context());
                } else {
                    assert!(near(b.size()[u.index()], figure("LENGTH")), "length of {}", context());
                    assert!(near(b.size()[v.index()], figure("WIDTH")), "width of {}", context());
                }
                if !round && cut.outline.as_rectangle().is_none() {
                    corners(cut, &printout.corners[letter], case);
                }
                on_view(part, view, cut, round, along.len() > 2, &near);
            }
            fresh = rest;
        }
    }
    assert!(fresh.is_empty(), "{} cuts are told by no figure: {}", fresh.len(), context());
}

/// The starts of a row: a list, or `12 to 51 at 1`.
fn starts(cell: &str, count: usize, row: &BTreeMap<String, String>, unit: measure::Unit) -> Vec<Length> {
    let Some((ends, pitch)) = cell.split_once(" at ") else {
        return cell.split(", ").map(|t| length(t, unit).expect(t)).collect();
    };
    let (from, to) = ends.split_once(" to ").unwrap();
    let [from, to, pitch] = [from, to, pitch].map(|t| length(t, unit).expect(t));
    let across = row["ACROSS"].split(", ").count();
    let steps = i64::try_from(count / across).unwrap() - 1;
    assert!(((to - from) / steps - pitch).abs() <= Length::from_mm(0.5), "the pitch agrees with the ends");
    (0..=steps).map(|k| from + (to - from) * k / steps).collect()
}

/// The corners printed are those of the outline, and the arcs' radii and ways.
fn corners(cut: &Cut, cells: &[String], case: &Case) {
    let near = |a: Length, b: Length| (a - b).nm().abs() <= tolerance(&case.order.ruler);
    assert_eq!(cells.len(), cut.outline.0.len());
    for ((cell, vertex), side) in cells.iter().zip(&cut.outline.0).zip(cut.outline.segments()) {
        let (at, arc) = match cell.find(['h', 'r']) {
            Some(i) => (cell[..i].trim(), Some(&cell[i..])),
            None => (cell.as_str(), None),
        };
        let (u, v) = at.split_once(", ").unwrap();
        let printed = [u, v].map(|t| length(t, case.order.unit).expect(t));
        assert!(near(printed[0], vertex.u) && near(printed[1], vertex.v), "{cell}");
        match (arc, side.arc()) {
            (None, None) => {}
            (Some(says), Some(arc)) => {
                let radius = length(says.split_once(" R ").unwrap().1, case.order.unit).unwrap();
                assert!(near(radius, Length::from_mm(arc.radius)), "{cell}");
                assert_eq!(says.starts_with("hollow"), arc.sweep > 0.0, "{cell}");
            }
            other => panic!("{cell}: {other:?}"),
        }
    }
}

/// The view prints the places of a cut; of a row only its ends need be there, and a place at the part's own end or
/// edge goes without a figure.
fn on_view(part: &Part, view: &View, cut: &Cut, round: bool, row: bool, near: &dyn Fn(Length, Length) -> bool) {
    let b = cut.bounds(part.size);
    let (u, v) = view.dir.axis.others();
    let curved = !round && cut.outline.0.iter().any(|v| v.bulge != 0.0);
    for (axis, figures) in [(u, &view.along), (v, &view.beside)] {
        let [low, high] = b.along(axis);
        let places = if round { vec![(low + high).half()] } else { vec![low, high] };
        if (axis == u && row) || (axis == v && curved) {
            continue;
        }
        for place in places.into_iter().filter(|p| *p > Length::ZERO && *p < part.size[axis.index()]) {
            assert!(
                figures.iter().any(|f| near(*f, place)),
                "{} {}: {place:?} of {:?} is not printed on the view {:?}",
                part.id,
                part.name,
                cut.purpose,
                view.dir
            );
        }
    }
}

#[test]
fn the_same_sheets_as_before() {
    let case = solved("glazed-case", "in", &[]);
    let sheets = drafting::part_sheets(&case);
    for name in ["part-P18", "parts-plain-1"] {
        let sheet = sheets.iter().find(|s| s.name == name).unwrap();
        insta::assert_binary_snapshot!(&format!("{name}.svg"), paper::svg(sheet).into_bytes());
    }
}
