//! A sheet as SVG: millimetres, y flipped, one group to a layer, lettering as glyph outlines defined once.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use svg::node::Blob;
use svg::node::element::{ClipPath, Definitions, Group, Path as PathElement, Rectangle, Title};
use svg::{Document, Node};

use crate::number::{number, push};
use crate::scene::{Item, Layer, Path, Pen};
use crate::sheet::Sheet;
use crate::text::{self, Text};

/// Decimals of a millimetre in coordinates: a tenth of what full-size patterns promise.
const PLACES: u32 = 3;

/// The sheet as an SVG document.
pub fn svg(sheet: &Sheet) -> String {
    let mut page = Page { height: sheet.paper.height, wide: sheet.wide, used: BTreeSet::new() };
    let (w, h) = (number(sheet.paper.width, PLACES), number(sheet.paper.height, PLACES));
    let mut ink = Group::new()
        .set("fill", "none")
        .set("stroke", "#000")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round");
    for layer in &sheet.scene.layers {
        ink.append(page.layer(layer));
    }
    let document = Document::new()
        .set("width", format!("{w}mm"))
        .set("height", format!("{h}mm"))
        .set("viewBox", format!("0 0 {w} {h}"))
        .add(Title::new(clean(&sheet.title)))
        .add(glyphs(&page.used))
        .add(Rectangle::new().set("width", w).set("height", h).set("fill", "#fff"))
        .add(ink);
    document.to_string() + "\n"
}

struct Page {
    height: f64,
    wide: f64,
    /// The characters that were drawn.
    used: BTreeSet<char>,
}

impl Page {
    fn layer(&mut self, layer: &Layer) -> Group {
        let mut group = Group::new().set("id", identifier(&layer.id)).add(Title::new(clean(&layer.title)));
        if let Some(clip) = &layer.clip {
            let id = format!("clip-{}", identifier(&layer.id));
            group = group.set("clip-path", format!("url(#{id})"));
            let window = PathElement::new().set("d", self.data([&Path::rectangle(clip)]));
            group.append(ClipPath::new().set("id", id).add(window));
        }
        let mut items = layer.items.iter().peekable();
        while let Some(item) = items.next() {
            match item {
                Item::Line { path, pen } => {
                    let mut data = self.data([path]);
                    while let Some(Item::Line { path, .. }) =
                        items.next_if(|next| matches!(next, Item::Line { pen: p, .. } if p == pen))
                    {
                        self.draw(&mut data, path);
                    }
                    group.append(self.stroked(*pen, data));
                }
                Item::Fill(paths) => {
                    group.append(
                        PathElement::new()
                            .set("d", self.data(paths))
                            .set("fill", "#000")
                            .set("fill-rule", "evenodd")
                            .set("stroke", "none"),
                    );
                }
                Item::Text(text) if text.content.is_empty() => {}
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

    /// Appends a place: `x y`.
    fn place(&self, data: &mut String, [x, y]: [f64; 2]) {
        push(data, x, PLACES);
        data.push(' ');
        push(data, self.height - y, PLACES);
    }

    /// Appends a path's data.
    fn draw(&self, data: &mut String, path: &Path) {
        let Some((start, _)) = path.vertices.first() else { return };
        data.push('M');
        self.place(data, *start);
        for segment in path.segments() {
            match segment.arc() {
                None => data.push('L'),
                Some(arc) => {
                    let large = u8::from(arc.sweep.abs() > std::f64::consts::PI);
                    // Counter-clockwise on paper is a negative angle for SVG, whose y runs down.
                    let sweep = u8::from(arc.sweep < 0.0);
                    let r = number(arc.radius, PLACES + 1);
                    // Writing to a string cannot fail.
                    let _ = write!(data, "A{r} {r} 0 {large} {sweep} ");
                }
            }
            self.place(data, segment.to);
        }
        if path.closed {
            data.push('Z');
        }
    }

    fn data<'a>(&self, paths: impl IntoIterator<Item = &'a Path>) -> String {
        let mut data = String::new();
        paths.into_iter().for_each(|path| self.draw(&mut data, path));
        data
    }

    /// A text, written out: as nodes, its letters would be most of the document's tree.
    fn text(&mut self, text: &Text) -> Blob {
        let set = text::set(&text.content, text.height);
        let label = escaped(&clean(&text.content).replace('"', "”"));
        let mut out = format!(r##"<g aria-label="{label}" fill="#000" stroke="none" transform="translate("##);
        self.place(&mut out, text.at);
        out.push(')');
        if text.angle != 0.0 {
            // Writing to a string cannot fail.
            let _ = write!(out, "rotate({})", number(-text.angle, PLACES));
        }
        out.push_str("\">");
        let start = text.shift(set.width);
        let of = |v: f64| number(v, PLACES);
        for run in set.runs {
            let scale = number(run.scale, 6);
            let (x, y) = (of(start + run.at[0]), of(-run.at[1]));
            let _ = write!(out, "\n<g transform=\"translate({x} {y})scale({scale} -{scale})\">");
            for (c, x) in run.glyphs.into_iter().filter(|(c, _)| text::outline(*c).is_some()) {
                let _ = write!(out, "\n<use href=\"#{}\" x=\"{x}\"/>", glyph_id(c));
                self.used.insert(c);
            }
            out.push_str("\n</g>");
        }
        for bar in set.bars {
            let (x, y) = (of(start + bar.min[0]), of(-bar.max[1]));
            let (height, width) = (of(bar.height()), of(bar.width()));
            let _ = write!(
                out,
                r#"
<rect height="{height}" width="{width}" x="{x}" y="{y}"/>"#
            );
        }
        Blob::new(out + "\n</g>")
    }
}

/// The outlines of characters.
fn glyphs(used: &BTreeSet<char>) -> Definitions {
    let mut definitions = Definitions::new();
    for c in used {
        if let Some(outline) = text::outline(*c) {
            definitions.append(PathElement::new().set("id", glyph_id(*c)).set("d", outline));
        }
    }
    definitions
}

fn glyph_id(c: char) -> String {
    format!("glyph-{:x}", u32::from(c))
}

/// Text as an attribute holds it.
fn escaped(text: &str) -> String {
    let signs = [('&', "&amp;"), ('<', "&lt;"), ('>', "&gt;"), ('"', "&quot;"), ('\'', "&apos;")];
    signs.iter().fold(text.to_owned(), |text, (sign, name)| text.replace(*sign, name))
}

/// Text without the control characters that XML refuses.
fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { ' ' } else { c }).collect()
}

fn identifier(id: &str) -> String {
    id.chars().map(|c| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' }).collect()
}
