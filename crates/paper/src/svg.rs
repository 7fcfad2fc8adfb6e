//! A sheet as SVG: millimetres, y flipped, one group to a layer, lettering as glyph outlines defined once.

use std::collections::BTreeSet;

use svg::node::element::{ClipPath, Definitions, Group, Path as PathElement, Rectangle, Title, Use};
use svg::{Document, Node};

use crate::number::number;
use crate::scene::{Item, Layer, Path, Pen};
use crate::sheet::Sheet;
use crate::text::{self, Text};

/// Decimals of a millimetre in coordinates: a tenth of what full-size patterns promise.
const PLACES: u32 = 3;

/// The sheet as an SVG document.
pub fn svg(sheet: &Sheet) -> String {
    let page = Page { height: sheet.paper.height, wide: sheet.wide };
    let (w, h) = (number(sheet.paper.width, PLACES), number(sheet.paper.height, PLACES));
    let mut document = Document::new()
        .set("width", format!("{w}mm"))
        .set("height", format!("{h}mm"))
        .set("viewBox", format!("0 0 {w} {h}"))
        .add(Title::new(clean(&sheet.title)))
        .add(glyphs(sheet))
        .add(Rectangle::new().set("width", w).set("height", h).set("fill", "#fff"));
    let mut ink = Group::new()
        .set("fill", "none")
        .set("stroke", "#000")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round");
    for layer in &sheet.scene.layers {
        ink.append(page.layer(layer));
    }
    document.append(ink);
    document.to_string() + "\n"
}

struct Page {
    height: f64,
    wide: f64,
}

impl Page {
    fn layer(&self, layer: &Layer) -> Group {
        let mut group = Group::new().set("id", identifier(&layer.id)).add(Title::new(clean(&layer.title)));
        if let Some(clip) = &layer.clip {
            let id = format!("clip-{}", identifier(&layer.id));
            group = group.set("clip-path", format!("url(#{id})"));
            let window = PathElement::new().set("d", self.path_data(&Path::rectangle(clip)));
            group.append(ClipPath::new().set("id", id).add(window));
        }
        let mut items = layer.items.iter().peekable();
        while let Some(item) = items.next() {
            match item {
                Item::Line { path, pen } => {
                    let mut data = self.path_data(path);
                    while let Some(Item::Line { path, .. }) =
                        items.next_if(|next| matches!(next, Item::Line { pen: p, .. } if p == pen))
                    {
                        data.push_str(&self.path_data(path));
                    }
                    group.append(self.stroked(*pen, data));
                }
                Item::Fill(paths) => {
                    let data: String = paths.iter().map(|p| self.path_data(p)).collect();
                    group.append(
                        PathElement::new()
                            .set("d", data)
                            .set("fill", "#000")
                            .set("fill-rule", "evenodd")
                            .set("stroke", "none"),
                    );
                }
                Item::Text(text) => group.append(self.text(text)),
            }
        }
        group
    }

    fn stroked(&self, pen: Pen, data: String) -> PathElement {
        let path = PathElement::new().set("d", data).set("stroke-width", number(pen.width(self.wide), PLACES));
        let dashes: Vec<String> = pen.dashes(self.wide).iter().map(|d| number(*d, PLACES)).collect();
        if dashes.is_empty() {
            return path;
        }
        // Round caps would eat the gaps.
        path.set("stroke-dasharray", dashes.join(" ")).set("stroke-linecap", "butt")
    }

    fn point(&self, [x, y]: [f64; 2]) -> String {
        format!("{} {}", number(x, PLACES), number(self.height - y, PLACES))
    }

    fn path_data(&self, path: &Path) -> String {
        let Some((start, _)) = path.vertices.first() else { return String::new() };
        let mut data = format!("M{}", self.point(*start));
        for segment in path.segments() {
            match segment.arc() {
                None => data.push_str(&format!("L{}", self.point(segment.to))),
                Some(arc) => {
                    let large = u8::from(arc.sweep.abs() > std::f64::consts::PI);
                    // Counter-clockwise on paper is a negative angle for SVG, whose y runs down.
                    let sweep = u8::from(arc.sweep < 0.0);
                    let r = number(arc.radius, PLACES + 1);
                    data.push_str(&format!("A{r} {r} 0 {large} {sweep} {}", self.point(segment.to)));
                }
            }
        }
        if path.closed {
            data.push('Z');
        }
        data
    }

    fn text(&self, text: &Text) -> Group {
        let set = text::set(&text.content, text.height);
        let mut place = format!("translate({})", self.point(text.at));
        if text.angle != 0.0 {
            place.push_str(&format!("rotate({})", number(-text.angle, PLACES)));
        }
        let mut group = Group::new()
            .set("aria-label", clean(&text.content).replace('"', "”"))
            .set("fill", "#000")
            .set("stroke", "none")
            .set("transform", place);
        let start = text.shift(set.width);
        for run in set.runs {
            let scale = number(run.scale, 6);
            let at = format!("{} {}", number(start + run.at[0], PLACES), number(-run.at[1], PLACES));
            let mut letters = Group::new().set("transform", format!("translate({at})scale({scale} -{scale})"));
            for (c, x) in run.glyphs.into_iter().filter(|(c, _)| text::outline(*c).is_some()) {
                letters.append(Use::new().set("href", format!("#{}", glyph_id(c))).set("x", x));
            }
            group.append(letters);
        }
        for bar in set.bars {
            group.append(
                Rectangle::new()
                    .set("x", number(start + bar.min[0], PLACES))
                    .set("y", number(-bar.max[1], PLACES))
                    .set("width", number(bar.width(), PLACES))
                    .set("height", number(bar.height(), PLACES)),
            );
        }
        group
    }
}

/// The outlines of the characters that the sheet uses.
fn glyphs(sheet: &Sheet) -> Definitions {
    let texts = sheet.scene.layers.iter().flat_map(|l| &l.items).filter_map(|item| match item {
        Item::Text(text) => Some(text),
        _ => None,
    });
    let used: BTreeSet<char> =
        texts.flat_map(|t| text::set(&t.content, t.height).runs).flat_map(|run| run.glyphs).map(|(c, _)| c).collect();
    let mut definitions = Definitions::new();
    for c in used {
        if let Some(outline) = text::outline(c) {
            definitions.append(PathElement::new().set("id", glyph_id(c)).set("d", outline));
        }
    }
    definitions
}

fn glyph_id(c: char) -> String {
    format!("glyph-{:x}", u32::from(c))
}

/// Text without the control characters that XML refuses.
fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { ' ' } else { c }).collect()
}

fn identifier(id: &str) -> String {
    id.chars().map(|c| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' }).collect()
}
