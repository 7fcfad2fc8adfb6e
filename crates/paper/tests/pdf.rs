//! The PDF of some sheets, read back by a library that did not write it.

mod sample;

use case::{Projection, Sheet as Size};
use hayro_syntax::Pdf;
use hayro_syntax::content::ops::TypedInstruction as Op;
use hayro_syntax::object::{Dict, Name, Stream};
use paper::scene::{Layer, Path, Pen, Rect};
use paper::text::Text;
use paper::{Chapter, Sheet};

/// Points to a millimetre (ISO 32000-1, 8.3.2.3: a unit is 1/72 in).
const POINTS: f64 = 72.0 / 25.4;

fn read(chapters: &[Chapter<'_>]) -> Pdf {
    Pdf::new(paper::pdf("Glazed case 0412", chapters)).unwrap_or_else(|e| panic!("not a PDF: {e:?}"))
}

fn sheets() -> Vec<Sheet> {
    [Size::A4, Size::A3, Size::B].map(|size| sample::one_of_everything(size, Projection::Third)).into()
}

/// A sheet with nothing on it but what is given.
fn bare(layer: Layer) -> Sheet {
    let mut sheet = sheets().remove(1);
    sheet.scene.layers = vec![layer];
    sheet
}

/// The corners and the curves' ends and handles of the first page's paths, in points.
fn points(pdf: &Pdf) -> Vec<[f64; 2]> {
    let page = &pdf.pages()[0];
    let (mut scale, mut out) = (0.0, Vec::new());
    let mut ops = page.typed_operations();
    while let Some(op) = ops.next() {
        let mut at = |x: &hayro_syntax::object::Number, y: &hayro_syntax::object::Number| {
            out.push([x.as_f64() * scale, y.as_f64() * scale]);
        };
        match op {
            Op::Transform(t) => scale = t.0.as_f64(),
            Op::MoveTo(p) => at(&p.0, &p.1),
            Op::LineTo(p) => at(&p.0, &p.1),
            Op::CubicTo(c) => {
                at(&c.0, &c.1);
                at(&c.2, &c.3);
                at(&c.4, &c.5);
            }
            _ => {}
        }
    }
    out
}

#[test]
fn every_page_has_the_size_of_its_sheet() {
    let sheets = sheets();
    let pdf = read(&[Chapter { title: "Parts", sheets: &sheets }]);
    assert_eq!(pdf.pages().len(), sheets.len());
    for (page, sheet) in pdf.pages().iter().zip(&sheets) {
        let size = page.media_box();
        assert!((size.width() / POINTS - sheet.paper.width).abs() < 1e-4, "{size:?}");
        assert!((size.height() / POINTS - sheet.paper.height).abs() < 1e-4, "{size:?}");
    }
}

#[test]
fn a_length_is_true_in_the_files_own_units() {
    let mut layer = Layer::new("bar", "A bar");
    layer.draw(Pen::Fine, Path::rectangle(&Rect::new([31.7, 40.0], 100.0, 4.0)));
    let sheet = bare(layer);
    let at = points(&read(&[Chapter { title: "Patterns", sheets: std::slice::from_ref(&sheet) }]));
    assert_eq!(at.len(), 4);
    // 100 mm are 283.4646 points.
    assert!((at[1][0] - at[0][0] - 283.464_567).abs() < 1e-4, "{at:?}");
}

/// Curves stray from their arcs by no more than a hundredth of a millimetre, whatever the radius.
#[test]
fn arcs_are_round() {
    for radius in [0.5, 40.0, 900.0, 8000.0] {
        let mut layer = Layer::new("arc", "An arc");
        layer.draw(Pen::Fine, Path::circle([radius + 100.0, 300.0], radius));
        let sheet = bare(layer);
        let at = points(&read(&[Chapter { title: "Patterns", sheets: std::slice::from_ref(&sheet) }]));
        assert!(at.len() >= 13 && (at.len() - 1).is_multiple_of(3));
        let mut worst = 0.0_f64;
        for k in (0..at.len() - 1).step_by(3) {
            for t in [0.0, 0.1, 0.25, 0.5, 0.8, 1.0_f64] {
                let s = 1.0 - t;
                let weight = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
                let [x, y] = [0, 1].map(|i| (0..4).map(|j| weight[j] * at[k + j][i]).sum::<f64>() / POINTS);
                worst = worst.max((libm::hypot(x - radius - 100.0, y - 300.0) - radius).abs());
            }
        }
        assert!(worst < 0.01, "radius {radius}: {worst}");
    }
}

#[test]
fn the_font_is_in_the_file_and_maps_to_unicode() {
    let sheets = sheets();
    let pdf = read(&[Chapter { title: "Parts", sheets: &sheets }]);
    for page in pdf.pages().iter() {
        let font = page.resources().get_font(&Name::new(b"L").unwrap()).expect("the font");
        let unicode = font.get::<Stream<'_>>("ToUnicode").unwrap().decoded().unwrap();
        let unicode = String::from_utf8_lossy(&unicode).into_owned();
        assert!(unicode.contains("beginbfchar") && unicode.contains("<0041>"), "{unicode}");
        let descendants = font.get::<hayro_syntax::object::Array<'_>>("DescendantFonts").unwrap();
        let cid: Dict<'_> = descendants.iter().next().unwrap();
        let file: Stream<'_> = cid.get::<Dict<'_>>("FontDescriptor").unwrap().get("FontFile2").unwrap();
        let file = file.decoded().unwrap();
        let face = ttf_parser::Face::parse(&file, 0).expect("a whole font");
        assert!(face.glyph_index('A').is_some());
    }
}

/// What a reader copies is the text as it was written, stacked fractions too.
#[test]
fn lettering_reads_as_it_was_written() {
    let mut layer = Layer::new("words", "Words");
    for (k, says) in ["Rail", "41 7/8", "⌀ 1/4, 15/32 deep"].into_iter().enumerate() {
        layer.letter(Text::new([50.0, 50.0 + 10.0 * k as f64], 3.5, says).turned(90.0 * k as f64));
    }
    let sheet = bare(layer);
    let pdf = read(&[Chapter { title: "Parts", sheets: std::slice::from_ref(&sheet) }]);
    let page = &pdf.pages()[0];
    let mut ops = page.typed_operations();
    let (mut spans, mut plain) = (Vec::new(), Vec::new());
    let mut open = false;
    while let Some(op) = ops.next() {
        match op {
            Op::BeginMarkedContentWithProperties(mark) => {
                open = true;
                let properties = mark.1.clone().into_dict().expect("properties");
                let text = properties.get::<hayro_syntax::object::String<'_>>("ActualText").unwrap();
                spans.push(decoded(text.as_bytes()));
            }
            Op::EndMarkedContent(_) => open = false,
            Op::ShowText(show) if !open => plain.push(show.0.as_bytes().to_vec()),
            _ => {}
        }
    }
    assert_eq!(spans, ["41 7/8", "⌀ 1/4, 15/32 deep"]);
    let face = ttf_parser::Face::parse(include_bytes!("../fonts/routed-gothic.ttf"), 0).unwrap();
    let glyphs: Vec<u8> = "Rail".chars().flat_map(|c| face.glyph_index(c).unwrap().0.to_be_bytes()).collect();
    assert_eq!(plain, [glyphs]);
}

/// A text string: UTF-16 with a byte order mark, or plain ASCII (ISO 32000-1, 7.9.2.2).
fn decoded(bytes: &[u8]) -> String {
    match bytes.strip_prefix(&[0xfe, 0xff]) {
        None => String::from_utf8(bytes.to_vec()).unwrap(),
        Some(rest) => {
            let units: Vec<u16> = rest.chunks(2).map(|c| u16::from_be_bytes([c[0], c[1]])).collect();
            String::from_utf16(&units).unwrap()
        }
    }
}

#[test]
fn bookmarks_name_every_chapter_and_sheet() {
    let sheets = sheets();
    let pdf = read(&[
        Chapter { title: "General arrangement", sheets: &sheets[..1] },
        Chapter { title: "None of these", sheets: &[] },
        Chapter { title: "Parts", sheets: &sheets[1..] },
    ]);
    let root: Dict<'_> = pdf.xref().get(pdf.xref().root_id()).unwrap();
    let mut found = Vec::new();
    collect(&root.get::<Dict<'_>>("Outlines").unwrap(), 0, &mut found);
    let title = &sheets[0].title;
    let expected: Vec<(usize, String)> = [(1, "General arrangement"), (2, title), (1, "Parts"), (2, title), (2, title)]
        .map(|(depth, t)| (depth, t.to_owned()))
        .into();
    assert_eq!(found, expected);
    assert_eq!(
        root.get::<Dict<'_>>("ViewerPreferences").unwrap().get::<Name<'_>>("PrintScaling").unwrap().as_ref(),
        b"None"
    );
}

fn collect(item: &Dict<'_>, depth: usize, found: &mut Vec<(usize, String)>) {
    if let Some(title) = item.get::<hayro_syntax::object::String<'_>>("Title") {
        assert!(item.contains_key("Dest"));
        found.push((depth, decoded(title.as_bytes())));
    }
    let mut child = item.get::<Dict<'_>>("First");
    while let Some(next) = child {
        collect(&next, depth + 1, found);
        child = next.get("Next");
    }
}

#[test]
fn the_same_sheets_give_the_same_bytes_and_no_date() {
    let sheets = sheets();
    let made = || paper::pdf("Glazed case 0412", &[Chapter { title: "Parts", sheets: &sheets }]);
    assert_eq!(made(), made());
    let pdf = Pdf::new(made()).unwrap();
    assert!(pdf.metadata().creation_date.is_none() && pdf.metadata().modification_date.is_none());
}
