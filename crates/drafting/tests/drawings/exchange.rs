//! DXF files, read back by a library that did not write them: every cut of every part and every shaped edge is there, to
//! a nanometre or so, arcs as arcs, in the unit that the file names.

use std::collections::BTreeSet;

use case::{Case, Cut, Dir, Part};
use dxf::Drawing;
use dxf::entities::EntityType;
use dxf::enums::Units;
use paper::scene::At;

use crate::patterns::{away, shaped, shaped_patterns};
use crate::printed::{DESIGNS, solved};

/// As far as a figure of the file may lie from the model's, mm; and a bulge from its own.
const NEAR: f64 = 1e-5;

/// A closed outline of the file: its layer, and its corners with their bulges, mm.
#[derive(Clone, Debug)]
struct Shape {
    layer: String,
    corners: Vec<(At, f64)>,
}

fn load(text: &str, inch: bool) -> Drawing {
    let drawing = Drawing::load(&mut text.as_bytes()).expect("a DXF file");
    let unit = if inch { Units::Inches } else { Units::Millimeters };
    assert_eq!(drawing.header.default_drawing_units, unit);
    drawing
}

/// The outlines of a drawing; a circle as two half circles.
fn shapes(drawing: &Drawing, inch: bool) -> Vec<Shape> {
    let mm = |v: f64| if inch { v * 25.4 } else { v };
    let named: BTreeSet<&str> = drawing.layers().map(|l| l.name.as_str()).collect();
    let mut out = Vec::new();
    for entity in drawing.entities() {
        let layer = entity.common.layer.clone();
        assert!(named.contains(layer.as_str()), "layer {layer} is not in the table");
        match &entity.specific {
            EntityType::LwPolyline(line) => {
                let corners = line.vertices.iter().map(|v| ([mm(v.x), mm(v.y)], v.bulge)).collect();
                out.push(Shape { layer, corners });
            }
            EntityType::Circle(circle) => {
                let ([x, y], r) = ([mm(circle.center.x), mm(circle.center.y)], mm(circle.radius));
                out.push(Shape { layer, corners: vec![([x - r, y], 1.0), ([x + r, y], 1.0)] });
            }
            EntityType::Arc(arc) => {
                let (r, sweep) = (mm(arc.radius), (arc.end_angle - arc.start_angle).rem_euclid(360.0).to_radians());
                let at = |degrees: f64| {
                    let a = degrees.to_radians();
                    [mm(arc.center.x) + r * libm::cos(a), mm(arc.center.y) + r * libm::sin(a)]
                };
                let bulge = libm::tan(sweep / 4.0);
                out.push(Shape { layer, corners: vec![(at(arc.start_angle), bulge), (at(arc.end_angle), 0.0)] });
            }
            _ => {}
        }
    }
    out
}

/// A face of a part as its outside is seen: the directions to the right and up. The grain runs to the right; an end has
/// the part's y up.
fn looking(dir: Dir) -> [Dir; 2] {
    let turns = |right: Dir, up: Dir| case::frame::cross(right, up) == dir;
    match dir.axis {
        case::Axis::X => [[Dir::PZ, Dir::PY], [Dir::NZ, Dir::PY]].into_iter().find(|[r, u]| turns(*r, *u)),
        case::Axis::Y => [[Dir::PX, Dir::PZ], [Dir::PX, Dir::NZ]].into_iter().find(|[r, u]| turns(*r, *u)),
        case::Axis::Z => [[Dir::PX, Dir::PY], [Dir::PX, Dir::NY]].into_iter().find(|[r, u]| turns(*r, *u)),
    }
    .unwrap()
}

/// The cut's outline on its face, from the face's lower left corner.
fn on_face(part: &Part, cut: &Cut) -> Vec<(At, f64)> {
    let [right, up] = looking(cut.from);
    let (first, _) = cut.from.axis.others();
    let along = |d: Dir, u: f64, v: f64| {
        let at = if d.axis == first { u } else { v };
        if d.positive { at } else { part.size[d.axis.index()].mm() - at }
    };
    // A mirror turns arcs about.
    let corner = |u: f64, v: f64| [along(right, u, v), along(up, u, v)];
    let [o, a, b] = [corner(0.0, 0.0), corner(1.0, 0.0), corner(0.0, 1.0)];
    let turn = (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    cut.outline.0.iter().map(|v| (corner(v.u.mm(), v.v.mm()), v.bulge * turn)).collect()
}

/// The same closed outline, from whatever corner and either way round.
fn same(a: &[(At, f64)], b: &[(At, f64)]) -> bool {
    let n = a.len();
    let turned: Vec<(At, f64)> = (0..n).rev().map(|i| (a[i].0, -a[(i + n - 1) % n].1)).collect();
    let near = |p: &(At, f64), q: &(At, f64)| {
        (p.0[0] - q.0[0]).abs() < NEAR && (p.0[1] - q.0[1]).abs() < NEAR && (p.1 - q.1).abs() < 1e-8
    };
    n == b.len() && [a.to_vec(), turned].iter().any(|a| (0..n).any(|k| (0..n).all(|i| near(&a[(i + k) % n], &b[i]))))
}

#[test]
fn every_cut_comes_back_from_its_part_s_file() {
    let (mut cuts, mut arcs) = (0, 0);
    for design in DESIGNS {
        for inch in [true, false] {
            let case = solved(design, if inch { "in" } else { "mm" }, &[]);
            let files = drafting::part_outlines(&case);
            for (part, _) in case.kinds() {
                let file = files.iter().find(|f| f.name == part.id.to_string());
                let Some(file) = file else {
                    assert!(part.cuts.is_empty() && part.edges.is_empty(), "{} has no file", part.id);
                    continue;
                };
                let shapes = shapes(&load(&file.text, inch), inch);
                check(part, &shapes);
                cuts += part.cuts.len();
                arcs += part.cuts.iter().flat_map(|c| &c.outline.0).filter(|v| v.bulge != 0.0).count();
            }
        }
    }
    assert!(cuts > 500 && arcs > 100, "{cuts} cuts, {arcs} arcs");
}

fn check(part: &Part, shapes: &[Shape]) {
    let id = part.id;
    let faces: BTreeSet<&str> = shapes.iter().map(|s| s.layer.split('_').next().unwrap()).collect();
    let dirs: BTreeSet<Dir> = part.cuts.iter().map(|c| c.from).collect();
    let mut found = 0;
    for dir in dirs {
        let cuts: Vec<&Cut> = part.cuts.iter().filter(|c| c.from == dir).collect();
        // The face whose layers hold all of these cuts and no others.
        let fits = |face: &&&str| {
            let of: Vec<&Shape> = shapes.iter().filter(|s| s.layer.split('_').next() == Some(**face)).collect();
            let blank = of.iter().find(|s| s.layer.ends_with("_BLANK")).expect("a blank");
            let foot = blank.corners[0].0;
            let [right, up] = looking(dir).map(|d| part.size[d.axis.index()].mm());
            let size = [blank.corners[2].0[0] - foot[0], blank.corners[2].0[1] - foot[1]];
            let there = |cut: &&Cut| {
                let expected: Vec<(At, f64)> =
                    on_face(part, cut).into_iter().map(|(p, b)| ([p[0] + foot[0], p[1] + foot[1]], b)).collect();
                let purpose = cut.purpose.name().to_uppercase();
                of.iter().any(|s| s.layer.split('_').nth(1) == Some(purpose.as_str()) && same(&s.corners, &expected))
            };
            (size[0] - right).abs() < NEAR
                && (size[1] - up).abs() < NEAR
                && of.len() == cuts.len() + 1
                && cuts.iter().all(there)
        };
        assert!(faces.iter().any(|f| fits(&f)), "{id}: the cuts of {} are not all there", dir.name());
        found += cuts.len();
    }
    assert_eq!(found, part.cuts.len());
    for cut in part.cuts.iter().filter(|c| part.is_through(c)) {
        let layer = format!("_{}_THROUGH", cut.purpose.name().to_uppercase());
        assert!(shapes.iter().any(|s| s.layer.ends_with(&layer)), "{id}: no layer {layer}");
    }
}

#[test]
fn the_shaped_edge_comes_back_from_its_pattern_s_file() {
    for curve in ["segmental", "elliptical", "ogee", "stepped"] {
        for inch in [true, false] {
            let case: Case = solved("glazed-case", if inch { "in" } else { "mm" }, &[&format!("curve={curve}")]);
            for (pattern, outline) in shaped_patterns(&case) {
                let shapes = shapes(&load(&pattern.dxf, inch), inch);
                let drawn = shapes.iter().find(|s| s.layer == "PATTERN").expect("the layer PATTERN");
                let sides = drawn.corners.windows(2).map(|w| case::Segment { from: w[0].0, to: w[1].0, bulge: w[0].1 });
                let mut points = vec![drawn.corners[0].0];
                points.extend(sides.flat_map(|s| s.flattened(0.0005)));
                let cut = shaped(&outline);
                let by = [cut[0][0] - points[0][0], cut[0][1] - points[0][1]];
                let points: Vec<At> = points.iter().map(|p| [p[0] + by[0], p[1] + by[1]]).collect();
                let worst = points.iter().map(|p| away(*p, &cut)).chain(cut.iter().map(|p| away(*p, &points)));
                assert!(worst.fold(0.0, f64::max) < 0.001, "{}", pattern.sheet.name);
            }
        }
    }
}
