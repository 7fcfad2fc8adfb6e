//! Patterns on small sheets: joined by their crosses they give the outline again, and each sheet can be checked.

use case::Outline;
use drafting::Pattern;
use hayro_syntax::Pdf;
use hayro_syntax::content::ops::TypedInstruction as Op;
use paper::check::collisions;
use paper::scene::{At, Rect};
use paper::{Chapter, Sheet};

use crate::patterns::{TRUE, away, pattern_path, shaped, shaped_patterns};
use crate::printed::{DESIGNS, guides, solved};

/// What is read of one small sheet, mm: the pattern's outline with what lies beyond the window, and the crosses' middles.
struct Read {
    outline: Vec<At>,
    crosses: Vec<At>,
    window: Rect,
}

#[test]
fn small_sheets_are_clear_and_of_the_printers_size() {
    for design in DESIGNS {
        for (unit, size) in [("in", [215.9, 279.4]), ("mm", [210.0, 297.0])] {
            for pattern in drafting::patterns(&solved(design, unit, &[]), &guides()) {
                assert!(pattern.tiles.len() >= 2, "a plan and at least one sheet of {}", pattern.sheet.name);
                for sheet in &pattern.tiles {
                    assert_eq!(collisions(sheet), [], "{}", sheet.name);
                    let mut sides = [sheet.paper.width, sheet.paper.height];
                    sides.sort_by(f64::total_cmp);
                    assert_eq!(sides, size, "{}", sheet.name);
                }
            }
        }
    }
}

#[test]
fn joined_sheets_give_the_outline_to_two_hundredths() {
    let mut joined = 0;
    for curve in ["segmental", "elliptical", "ogee", "stepped"] {
        for unit in ["in", "mm"] {
            let case = solved("glazed-case", unit, &[&format!("curve={curve}")]);
            for (Pattern { tiles, .. }, outline) in shaped_patterns(&case) {
                let tiles = &tiles[1..];
                joined += usize::from(tiles.len() > 1);
                check(tiles, &outline, tiles.iter().map(|t| from_svg(&paper::svg(t))).collect());
                let pdf = paper::pdf("Patterns", &[Chapter { title: "One", sheets: tiles }]);
                let pdf = Pdf::new(pdf).unwrap_or_else(|e| panic!("not a PDF: {e:?}"));
                let read = (0..tiles.len()).map(|page| from_pdf(&pdf, page, &tiles[page]));
                check(tiles, &outline, read.collect());
            }
        }
    }
    assert!(joined >= 8, "{joined} patterns on several sheets");
}

/// Lays the sheets cross on cross and compares what is seen with the cut.
fn check(tiles: &[Sheet], outline: &Outline, read: Vec<Read>) {
    let cut = shaped(outline);
    let mut seen: Vec<At> = Vec::new();
    let mut shift: Option<At> = None;
    for (sheet, read) in tiles.iter().zip(read) {
        let name = sheet.name.rsplit('-').next().unwrap();
        let row = f64::from(u32::from(name.chars().next().unwrap()) - u32::from('A'));
        let column = name[1..].parse::<f64>().unwrap() - 1.0;
        assert_eq!(read.crosses.len(), 4, "{}", sheet.name);
        let least = |i: usize| read.crosses.iter().map(|c| c[i]).fold(f64::MAX, f64::min);
        let most = |i: usize| read.crosses.iter().map(|c| c[i]).fold(f64::MIN, f64::max);
        let (low, high) = ([least(0), least(1)], [most(0), most(1)]);
        // A sheet's left crosses lie on the right ones of the sheet before, its upper ones on the lower of the one above.
        let by = [column * (high[0] - low[0]) - low[0], -row * (high[1] - low[1]) - high[1]];
        let to_cut = [0, 1].map(|i| cut[0][i] - read.outline[0][i] - by[i]);
        let shift = *shift.get_or_insert(to_cut);
        assert!((0..2).all(|i| (to_cut[i] - shift[i]).abs() < 0.005), "{} is off: {to_cut:?} {shift:?}", sheet.name);
        let inside = |p: &At| (0..2).all(|i| read.window.min[i] <= p[i] && p[i] <= read.window.max[i]);
        seen.extend(read.outline.iter().filter(|p| inside(p)).map(|p| [0, 1].map(|i| p[i] + by[i] + shift[i])));
    }
    for p in &seen {
        assert!(away(*p, &cut) < TRUE, "strays at {p:?}");
    }
    // Nothing of the outline is missing between the sheets: points of it are seen all along, no further apart than read.
    let covered = |p: &At| seen.iter().any(|s| libm::hypot(s[0] - p[0], s[1] - p[1]) < 3.0);
    assert!(cut.iter().all(covered), "a part of the outline is on no sheet");
}

fn from_svg(svg: &str) -> Read {
    let xml = roxmltree::Document::parse(svg).unwrap();
    let layer = |id: &str| xml.descendants().find(|n| n.attribute("id") == Some(id)).unwrap();
    let numbers = |d: &str| -> Vec<f64> {
        d.split(|c: char| !(c.is_ascii_digit() || ".-".contains(c))).filter_map(|n| n.parse().ok()).collect()
    };
    let clip = layer("clip-pattern").descendants().find(|n| n.has_tag_name("path")).unwrap();
    let clip = numbers(clip.attribute("d").unwrap());
    let joins = layer("joins").descendants().find(|n| n.has_tag_name("path")).unwrap();
    // A circle is a subpath of two arcs: M x y A r r 0 l s x y A …
    let circles = joins.attribute("d").unwrap().split('M').filter(|s| s.contains('A')).map(numbers);
    Read {
        outline: without_clip(svg),
        crosses: circles.map(|n| [(n[0] + n[7]) / 2.0, -n[1]]).collect(),
        window: Rect { min: [clip[0], -clip[1]], max: [clip[4], -clip[5]] },
    }
}

/// The outline of the file, the path of its window left out.
fn without_clip(svg: &str) -> Vec<At> {
    let from = svg.find("<clipPath id=\"clip-pattern\"").unwrap();
    let to = svg[from..].find("</clipPath>").unwrap() + from + "</clipPath>".len();
    pattern_path(&format!("{}{}", &svg[..from], &svg[to..]))
}

/// One path of a page, mm: its points, and whether there are curves among them.
type Traced = (Vec<At>, bool);

fn traced(pdf: &Pdf, page: usize) -> Vec<Traced> {
    let mut out: Vec<Traced> = Vec::new();
    let mut scale = 0.0;
    let mut ops = pdf.pages()[page].typed_operations();
    // From points, 1/72 in, to millimetres.
    let mm = |v: f64, scale: f64| v * scale * 25.4 / 72.0;
    while let Some(op) = ops.next() {
        match op {
            Op::Transform(t) => scale = t.0.as_f64(),
            Op::MoveTo(p) => out.push((vec![[mm(p.0.as_f64(), scale), mm(p.1.as_f64(), scale)]], false)),
            Op::LineTo(p) => {
                let path = out.last_mut().unwrap();
                let (a, b) = (*path.0.last().unwrap(), [mm(p.0.as_f64(), scale), mm(p.1.as_f64(), scale)]);
                path.0.extend((1..=40).map(|k| [0, 1].map(|i| a[i] + (b[i] - a[i]) * f64::from(k) / 40.0)));
            }
            Op::CubicTo(c) => {
                let path = out.last_mut().unwrap();
                let ends = [[&c.0, &c.1], [&c.2, &c.3], [&c.4, &c.5]].map(|p| p.map(|v| mm(v.as_f64(), scale)));
                let a = *path.0.last().unwrap();
                path.0.extend((1..=200).map(|k| {
                    let t = f64::from(k) / 200.0;
                    let s = 1.0 - t;
                    let w = [3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
                    [0, 1].map(|i| s * s * s * a[i] + (0..3).map(|j| w[j] * ends[j][i]).sum::<f64>())
                }));
                path.1 = true;
            }
            _ => {}
        }
    }
    out
}

fn from_pdf(pdf: &Pdf, page: usize, sheet: &Sheet) -> Read {
    let paths = traced(pdf, page);
    let size = |p: &Traced| {
        let x = p.0.iter().map(|p| p[0]);
        x.clone().fold(f64::MIN, f64::max) - x.fold(f64::MAX, f64::min)
    };
    let circles = paths.iter().filter(|p| p.1 && (size(p) - 4.0).abs() < 0.01);
    // The shaped edge is drawn before the line of the routing pattern, which is about as long; all others are short.
    let long = paths.iter().filter(|p| p.1).map(size).fold(0.0, f64::max) * 0.7;
    let outline = paths.iter().find(|p| p.1 && size(p) > long).unwrap();
    let window = sheet.scene.layers.iter().find_map(|l| l.clip).unwrap();
    let middle = |p: &Traced| {
        let n = p.0.len() as f64;
        [p.0[0][0] + 2.0, p.0.iter().map(|p| p[1]).sum::<f64>() / n]
    };
    Read { outline: outline.0.clone(), crosses: circles.map(middle).collect(), window }
}

#[test]
fn bars_and_square_are_true_on_every_page_in_the_files_own_units() {
    for unit in ["in", "mm"] {
        let patterns = drafting::patterns(&solved("glazed-case", unit, &[]), &guides());
        let sheets: Vec<Sheet> = patterns.iter().map(|p| p.sheet.clone()).collect();
        let small: Vec<Sheet> = patterns.into_iter().flat_map(|p| p.tiles).collect();
        for (sheets, square) in [(sheets, 50.0), (small, 20.0)] {
            let pdf = paper::pdf("Patterns", &[Chapter { title: "All", sheets: &sheets }]);
            let pdf = Pdf::new(pdf).unwrap_or_else(|e| panic!("not a PDF: {e:?}"));
            assert_eq!(pdf.pages().len(), sheets.len());
            for (page, sheet) in sheets.iter().enumerate() {
                let boxes: Vec<At> = traced(&pdf, page).iter().filter_map(rectangle).collect();
                for (width, height) in [(100.0, 4.0), (101.6, 4.0), (square, square)] {
                    let true_to_size = |b: &At| (b[0] - width).abs() < 0.005 && (b[1] - height).abs() < 0.005;
                    assert!(boxes.iter().any(true_to_size), "{}: no {width} × {height}", sheet.name);
                }
            }
        }
    }
}

/// Width and height of a path that is a rectangle.
fn rectangle(path: &Traced) -> Option<At> {
    let corners: Vec<At> = path.0.iter().step_by(40).copied().collect();
    let [a, b, c, d] = corners.try_into().ok()?;
    let same = |v: f64, w: f64| (v - w).abs() < 1e-3;
    let square = same(a[1], b[1]) && same(b[0], c[0]) && same(c[1], d[1]) && same(d[0], a[0]);
    (square && !path.1).then(|| [b[0] - a[0], c[1] - b[1]])
}
