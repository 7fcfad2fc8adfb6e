//! A sheet with one of everything: it is valid XML, true to size, free of collisions, and the same every time.

mod sample;

use case::{Projection, Sheet as Size};

use sample::one_of_everything;

const SIZES: [Size; 8] = [Size::A4, Size::A3, Size::A2, Size::A1, Size::A, Size::B, Size::C, Size::D];

#[test]
fn every_paper_gives_a_sound_sheet() {
    for size in SIZES {
        for projection in [Projection::First, Projection::Third] {
            let sheet = one_of_everything(size, projection);
            assert_eq!(paper::check::collisions(&sheet), [], "{size:?}");
            let svg = paper::svg(&sheet);
            let xml = roxmltree::Document::parse(&svg).unwrap();
            let root = xml.root_element();
            let [width, height] = ["width", "height"].map(|a| root.attribute(a).unwrap().trim_end_matches("mm"));
            assert_eq!(root.attribute("viewBox").unwrap(), format!("0 0 {width} {height}"));
            let mut ids: Vec<_> = xml.descendants().filter_map(|n| n.attribute("id")).collect();
            let count = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), count, "ids are unique");
            let mut links = xml.descendants().filter_map(|n| n.attribute("href"));
            assert!(links.all(|l| ids.contains(&&l[1..])), "every glyph that is used is defined");
            assert_eq!(svg, paper::svg(&one_of_everything(size, projection)));
        }
    }
}

#[test]
fn the_same_sheet_as_before() {
    insta::assert_binary_snapshot!(
        "sample.svg",
        paper::svg(&one_of_everything(Size::A3, Projection::Third)).into_bytes()
    );
}
