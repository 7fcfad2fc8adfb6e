//! Patterns print true: the outline in the file is the cut's to 0.02 mm, and so are the bars and the figures.

use crate::printed::{DESIGNS, assert_clear, guides, length, paths, solved, texts, tolerance};
use case::{Case, Outline, Purpose, Role};
use drafting::Pattern;
use paper::scene::{At, Item, Pen};
use paper::sheet::{Frame, PaperSize};

pub(crate) const TRUE: f64 = 0.02;

#[test]
fn no_pattern_has_collisions() {
    for design in DESIGNS {
        for unit in ["in", "mm"] {
            let case = solved(design, unit, &[]);
            let mut all = drafting::patterns(&case, &guides());
            all.extend(drafting::jig_patterns(&case, &case::jigs(&case, &guides())));
            for Pattern { sheet, .. } in all {
                let PaperSize { width, height } = sheet.paper;
                let frame = Frame::around(PaperSize { width, height });
                assert_clear(&[sheet], &frame);
            }
        }
    }
}

/// Every hole and opening is on its jig's sheet where the figures say, and every cut that it makes is told.
#[test]
fn a_jig_s_sheet_tells_its_openings_and_its_work() {
    for unit in ["in", "mm"] {
        let case = solved("glazed-case", unit, &[]);
        let jigs = case::jigs(&case, &guides());
        let drawn = drafting::jig_patterns(&case, &jigs);
        assert!(drawn.len() == jigs.all.len() && drawn.len() >= 3);
        for (jig, pattern) in jigs.all.iter().zip(&drawn) {
            let layers = &pattern.sheet.scene.layers;
            let said: Vec<&str> = layers.iter().flat_map(texts).map(|t| t.content.as_str()).collect();
            for cut in &jigs.case.part(jig.part).cuts {
                let [u, v] = cut.outline.bounds();
                let places = match cut.outline.as_circle() {
                    Some((centre, _)) => vec![centre[0], centre[1]],
                    None => [u, v].concat(),
                };
                for place in places {
                    let told = paper::dimension::figure(&case.order.ruler, place);
                    assert!(said.contains(&told.as_str()), "{} does not say {told}", pattern.sheet.name);
                }
            }
            for serves in &jig.serves {
                let first = case.part(serves.part).cut_id(serves.cuts[0]);
                assert!(said.iter().any(|s| s.contains(&first)), "{} does not say {first}", pattern.sheet.name);
            }
        }
    }
}

/// Points to a side of a path: 2.5 mm apart on an arc of 1 m, which they follow to 0.002 mm if its radius is 400 mm.
const STEPS: u32 = 400;

/// Points along the path of an SVG file, y up; the reader knows M, L, A and Z.
pub(crate) fn points(data: &str) -> Vec<At> {
    let spaced: String =
        data.chars().map(|c| if "MLAZ".contains(c) { format!(" {c} ") } else { c.to_string() }).collect();
    let mut words = spaced.split_whitespace();
    let mut out: Vec<At> = Vec::new();
    while let Some(command) = words.next() {
        let mut next = || words.next().unwrap().parse::<f64>().unwrap();
        match command {
            "M" => out.push([next(), -next()]),
            "L" => {
                let (a, b) = (*out.last().unwrap(), [next(), -next()]);
                out.extend((1..=STEPS).map(|k| {
                    let t = f64::from(k) / f64::from(STEPS);
                    [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
                }));
            }
            "A" => {
                let (r, _, _) = (next(), next(), next());
                let (large, sweep) = (next() == 1.0, next() == 1.0);
                let (a, b) = (*out.last().unwrap(), [next(), -next()]);
                out.extend(arc(a, b, r, large, sweep));
            }
            "Z" => {}
            other => panic!("what is `{other}`?"),
        }
    }
    out
}

/// The points of an SVG arc; `sweep` is clockwise with y up.
fn arc(a: At, b: At, r: f64, large: bool, sweep: bool) -> Vec<At> {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let chord = libm::hypot(dx, dy);
    let apothem = (r * r - chord * chord / 4.0).max(0.0).sqrt();
    // Left of the chord for a short counter-clockwise arc.
    let side = if large == sweep { 1.0 } else { -1.0 };
    let centre = [(a[0] + b[0]) / 2.0 - side * apothem * dy / chord, (a[1] + b[1]) / 2.0 + side * apothem * dx / chord];
    let angle = |p: At| libm::atan2(p[1] - centre[1], p[0] - centre[0]);
    let tau = std::f64::consts::TAU;
    let (from, to) = (angle(a), angle(b));
    let turn = if sweep { -((from - to).rem_euclid(tau)) } else { (to - from).rem_euclid(tau) };
    let at = |k: u32| from + turn * f64::from(k) / f64::from(STEPS);
    (1..=STEPS).map(|k| [centre[0] + r * libm::cos(at(k)), centre[1] + r * libm::sin(at(k))]).collect()
}

pub(crate) fn away(p: At, chain: &[At]) -> f64 {
    let to = |w: &[At]| {
        let (d, e) = ([w[1][0] - w[0][0], w[1][1] - w[0][1]], [p[0] - w[0][0], p[1] - w[0][1]]);
        let t = ((e[0] * d[0] + e[1] * d[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12)).clamp(0.0, 1.0);
        libm::hypot(e[0] - t * d[0], e[1] - t * d[1])
    };
    chain.windows(2).map(to).fold(f64::MAX, f64::min)
}

/// The outline but for the side along the blank's edge, which is the longest straight one at its foot or its top.
pub(crate) fn shaped(outline: &Outline) -> Vec<At> {
    let sides: Vec<case::Segment> = outline.segments().collect();
    let [_, [low, high]] = outline.bounds().map(|r| r.map(measure::Length::mm));
    let on_edge = |s: &case::Segment| {
        s.bulge == 0.0 && s.from[1] == s.to[1] && ((s.from[1] - low).abs() < 1e-6 || (s.from[1] - high).abs() < 1e-6)
    };
    let long = |s: &case::Segment| (s.to[0] - s.from[0]).abs();
    let base = (0..sides.len())
        .filter(|i| on_edge(&sides[*i]))
        .max_by(|a, b| long(&sides[*a]).total_cmp(&long(&sides[*b])))
        .unwrap();
    let mut out = vec![sides[base].to];
    for k in 1..sides.len() {
        out.extend(sides[(base + k) % sides.len()].flattened(0.0005));
    }
    out
}

/// The path of the layer `pattern` in the file.
pub(crate) fn pattern_path(svg: &str) -> Vec<At> {
    let xml = roxmltree::Document::parse(svg).unwrap();
    let layer = xml.descendants().find(|n| n.attribute("id") == Some("pattern")).expect("a layer `pattern`");
    let path = layer.descendants().find(|n| n.has_tag_name("path")).unwrap();
    points(path.attribute("d").unwrap())
}

pub(crate) fn shaped_patterns(case: &Case) -> Vec<(Pattern, Outline)> {
    let sheets = drafting::patterns(case, &guides());
    let mut out = Vec::new();
    for (part, _) in case.kinds() {
        for cut in part.cuts.iter().filter(|c| c.purpose == Purpose::Outline) {
            let sheet = sheets.iter().find(|s| s.sheet.name == format!("pattern-{}", part.id)).expect("a pattern");
            out.push((sheet.clone(), cut.outline.clone()));
        }
    }
    out
}

#[test]
fn the_file_holds_the_outline_to_two_hundredths() {
    let curves = ["segmental", "elliptical", "ogee", "stepped"];
    let mut seen = 0;
    for curve in curves {
        let setting = format!("curve={curve}");
        for (Pattern { sheet, .. }, outline) in shaped_patterns(&solved("glazed-case", "in", &[&setting])) {
            let (drawn, cut) = (pattern_path(&paper::svg(&sheet)), shaped(&outline));
            let by = [cut[0][0] - drawn[0][0], cut[0][1] - drawn[0][1]];
            let drawn: Vec<At> = drawn.iter().map(|p| [p[0] + by[0], p[1] + by[1]]).collect();
            for p in &drawn {
                assert!(away(*p, &cut) < TRUE, "{} strays at {p:?}", sheet.name);
            }
            for p in &cut {
                assert!(away(*p, &drawn) < TRUE, "{} misses {p:?}", sheet.name);
            }
            seen += 1;
        }
    }
    assert!(seen >= 8);
}

#[test]
fn bars_and_square_are_true() {
    for Pattern { sheet, .. } in drafting::patterns(&solved("glazed-case", "mm", &[]), &guides()) {
        let tables = sheet.scene.layers.iter().find(|l| l.id == "tables").unwrap();
        let sizes: Vec<[f64; 2]> = [Pen::Fine, Pen::Outline]
            .into_iter()
            .flat_map(|pen| paths(tables, pen).filter(|p| p.closed).collect::<Vec<_>>())
            .map(|p| [p.vertices[2].0[0] - p.vertices[0].0[0], p.vertices[2].0[1] - p.vertices[0].0[1]])
            .collect();
        for (width, height) in [(100.0, 4.0), (101.6, 4.0), (50.0, 50.0)] {
            let found = sizes.iter().any(|s| (s[0] - width).abs() < 1e-9 && (s[1] - height).abs() < 1e-9);
            assert!(found, "{}: {width} × {height} among {sizes:?}", sheet.name);
        }
        // The file's own unit is the millimetre.
        let svg = paper::svg(&sheet);
        let xml = roxmltree::Document::parse(&svg).unwrap();
        let root = xml.root_element();
        let width = root.attribute("width").unwrap().strip_suffix("mm").unwrap();
        assert_eq!(root.attribute("viewBox").unwrap().split(' ').nth(2), Some(width));
    }
}

/// At full size a running figure says how far its line lies from that of the 0.
#[test]
fn running_figures_are_where_they_say() {
    for design in DESIGNS {
        let case = solved(design, "in", &[]);
        for Pattern { sheet, .. } in drafting::patterns(&case, &guides()) {
            for layer in sheet.scene.layers.iter().filter(|l| ["marks", "rod"].contains(&l.id.as_str())) {
                // A figure stands at the lower end of its line.
                let stops: Vec<(measure::Length, f64)> = texts(layer)
                    .filter(|t| t.angle == 90.0)
                    .map(|t| {
                        let l = length(&t.content, case.order.unit).expect("a figure");
                        let foot = [t.at[0] - paper::dimension::FIGURE / 2.0, t.at[1] + 0.8];
                        let line = layer.items.iter().find_map(|i| match i {
                            Item::Line { path, pen: Pen::Dimension } => {
                                let end = path.vertices.last().unwrap().0;
                                let near = libm::hypot(end[0] - foot[0], end[1] - foot[1]) < 1e-6;
                                near.then(|| path.vertices[0].0[0])
                            }
                            _ => None,
                        });
                        (l, line.unwrap_or_else(|| panic!("{} of {} has no line", t.content, sheet.name)))
                    })
                    .collect();
                assert!(stops.len() > 4);
                let zero = stops.iter().find(|s| s.0 == measure::Length::ZERO).unwrap().1;
                for (l, x) in stops {
                    let off = (measure::Length::from_mm(x - zero) - l).nm().abs();
                    assert!(off <= tolerance(&case.order.ruler), "{l:?} of {} is off by {off} nm", sheet.name);
                }
            }
        }
    }
}

#[test]
fn the_same_pattern_as_before() {
    let case = solved("glazed-case", "in", &[]);
    let (Pattern { sheet, .. }, _) = &shaped_patterns(&case)[1];
    insta::assert_binary_snapshot!("pattern.svg", paper::svg(sheet).into_bytes());
}

/// A rod tells where every cut of its post or stile begins and ends along the grain: shoulders, mortises of rails and of
/// the bars between lights, grooves, hinge gains; and the middle of every hole for a pin.
#[test]
fn a_rod_tells_every_place_along_its_part() {
    let mut rods = 0;
    for design in DESIGNS {
        for unit in ["in", "mm"] {
            let case = solved(design, unit, &[]);
            let patterns = drafting::patterns(&case, &guides());
            let kinds = case.kinds().into_iter().map(|(part, _)| part);
            let tall = kinds.filter(|p| matches!(p.role, Role::Post | Role::Stile) && !p.cuts.is_empty());
            for part in tall {
                let rod = patterns.iter().find(|p| p.sheet.name == format!("rod-{}", part.id)).expect("a rod");
                let layer = rod.sheet.scene.layers.iter().find(|l| l.id == "rod").unwrap();
                let figures = texts(layer).filter(|t| t.angle == 90.0);
                let told: Vec<_> = figures.filter_map(|t| length(&t.content, case.order.unit)).collect();
                for (i, cut) in part.cuts.iter().enumerate() {
                    let places = match cut.outline.as_circle() {
                        Some((centre, _)) if cut.from.axis != case::Axis::X => vec![centre[0]],
                        _ => cut.bounds(part.size).along(case::Axis::X).to_vec(),
                    };
                    for place in places {
                        let near = |l: &measure::Length| (*l - place).nm().abs() <= tolerance(&case.order.ruler);
                        assert!(told.iter().any(near), "{} of {design} is not told at {place:?}", part.cut_id(i));
                    }
                }
                rods += 1;
            }
        }
    }
    assert!(rods >= 12, "{rods} rods");
}

/// Four kinds of joint, two pegs in each but the narrow top rail's: seven holes of 1/4 in, the first 3/8 in from its
/// shoulder and 7/8 in over the foot of a 2 in rail (its middle, less half a peg).
#[test]
fn pegs_have_a_pattern_with_their_holes_where_the_cuts_are() {
    let case = solved("glazed-case", "in", &[]);
    let all = drafting::patterns(&case, &[]);
    let sheet = &all.iter().find(|p| p.sheet.name.ends_with("-pegs")).expect("the design is pegged").sheet;
    let items = sheet.scene.layers.iter().filter(|l| l.id == "pattern").flat_map(|l| &l.items);
    let boxes: Vec<[[f64; 2]; 2]> = items
        .filter_map(|i| match i {
            Item::Line { pen, path } if *pen == Pen::Outline || *pen == Pen::Fine => Some(path),
            _ => None,
        })
        .filter(|p| p.closed)
        .map(|p| {
            let corner = |f: fn(f64, f64) -> f64| [0, 1].map(|k| p.vertices.iter().map(|v| v.0[k]).reduce(f).unwrap());
            [corner(f64::min), corner(f64::max)]
        })
        .collect();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let holes: Vec<_> = boxes.iter().filter(|[a, b]| (0..2).all(|k| near(b[k] - a[k], 6.35))).collect();
    assert_eq!(holes.len(), 7);
    let rail = boxes.iter().find(|[a, b]| near(b[1] - a[1], 50.8)).expect("the top rail's layout");
    let hole = holes.iter().find(|h| h[0][0] > rail[0][0] && h[1][0] < rail[1][0]).expect("its hole");
    assert!(near(hole[0][0] - rail[0][0], 9.525) && near(hole[0][1] - rail[0][1], 22.225), "{hole:?} {rail:?}");
    let bare = solved("glazed-case", "in", &["pegs=false"]);
    assert!(!drafting::patterns(&bare, &[]).iter().any(|p| p.sheet.name.ends_with("-pegs")));
}
