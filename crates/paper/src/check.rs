//! Finds what no draughtsman would let pass: lettering over lettering, lines through lettering, ink off the sheet.

use crate::dimension;
use crate::scene::{At, Item, Layer, Path, Rect};
use crate::sheet::Sheet;
use crate::text::Text;

/// What a fault of a sheet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Lettering over lettering.
    TextOverText,
    /// A line through lettering.
    LineThroughText,
    /// Ink beyond the paper.
    OffTheSheet,
}

/// One fault of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Collision {
    /// Its kind.
    pub kind: Kind,
    /// What meets what.
    pub what: String,
    /// Where, sheet mm.
    pub at: At,
}

/// Ink may come this near to a text's own ink before it counts, mm.
const TOUCH: f64 = 0.1;

/// All faults of a sheet: what runs off it, then what meets.
pub fn collisions(sheet: &Sheet) -> Vec<Collision> {
    let paper = Rect::new([0.0, 0.0], sheet.paper.width, sheet.paper.height);
    let layers = &sheet.scene.layers;
    let mut out = Vec::new();
    for (layer, item) in items(layers) {
        for path in paths(item) {
            let mut points = path.flattened(0.05).into_iter();
            let off = |p: &At| !paper.holds(&Rect { min: *p, max: *p });
            let at = match layer.clip {
                None => points.find(off),
                Some(clip) => points.next().filter(|_| !paper.holds(&clip)),
            };
            out.extend(at.map(|at| {
                let what = format!("a line of `{}` runs off the sheet", layer.id);
                Collision { kind: Kind::OffTheSheet, what, at }
            }));
        }
    }
    let texts = texts(layers).into_iter().filter(|t| !paper.holds(&t.bounds));
    out.extend(texts.map(|t| t.meets(Kind::OffTheSheet, "runs off the sheet")));
    out.extend(clashes(layers));
    out
}

/// What meets a text that it should not, wherever it stands: in the order of the texts, then of the lines.
pub fn clashes(layers: &[Layer]) -> Vec<Collision> {
    let texts = texts(layers);
    let mut out = Vec::new();
    for (i, text) in texts.iter().enumerate() {
        for other in &texts[i + 1..] {
            if text.bounds.overlaps(&other.bounds) && apart(&text.corners, &other.corners).is_none() {
                out.push(text.meets(Kind::TextOverText, &format!("overlaps {}", other.name())));
            }
        }
    }
    for (layer, item) in items(layers) {
        for path in paths(item) {
            let points = path.flattened(0.05);
            let Some(first) = points.first() else { continue };
            let bounds =
                points.iter().fold(Rect { min: *first, max: *first }, |r, p| r.union(&Rect { min: *p, max: *p }));
            let window = layer.clip.unwrap_or(bounds);
            let near = |t: &&Lettering<'_>| [bounds, window].iter().all(|r| t.bounds.overlaps(&r.grown(1e-6)));
            for text in texts.iter().filter(near) {
                if points.windows(2).any(|w| apart(&text.corners, w).is_none()) {
                    out.push(text.meets(Kind::LineThroughText, &format!("is crossed by a line of `{}`", layer.id)));
                }
            }
        }
    }
    out
}

/// The lettering of some layers.
fn texts(layers: &[Layer]) -> Vec<Lettering<'_>> {
    let texts = items(layers).filter_map(|(layer, item)| match item {
        Item::Text(text) if !text.content.trim().is_empty() => {
            Some(Lettering::of(&layer.id, text)).filter(|t| whole(layer, t))
        }
        _ => None,
    });
    texts.collect()
}

/// The lines of an item.
fn paths(item: &Item) -> &[Path] {
    match item {
        Item::Line { path, .. } => std::slice::from_ref(path),
        Item::Fill(paths) => paths,
        Item::Text(_) => &[],
    }
}

/// No line and no lettering of these layers touches the text.
pub fn is_clear(text: &Text, layers: &[Layer]) -> bool {
    let text = Lettering::of("", text);
    layers.iter().flat_map(|l| &l.items).all(|item| match item {
        Item::Line { path, .. } => misses(&text, path),
        Item::Fill(paths) => paths.iter().all(|p| misses(&text, p)),
        Item::Text(other) => apart(&text.corners, &other.corners()).is_some(),
    })
}

/// The path touches no lettering of these layers.
pub fn keeps_off_texts(path: &Path, layers: &[Layer]) -> bool {
    layers.iter().flat_map(|l| &l.items).all(|item| match item {
        Item::Text(text) => misses(&Lettering::of("", text), path),
        _ => true,
    })
}

fn misses(text: &Lettering<'_>, path: &Path) -> bool {
    path.flattened(0.05).windows(2).all(|w| apart(&text.corners, w).is_some())
}

fn items(layers: &[Layer]) -> impl Iterator<Item = (&Layer, &Item)> {
    layers.iter().flat_map(|l| l.items.iter().map(move |i| (l, i)))
}

/// The layer's edge does not cut the text; what it cuts is read on another sheet.
fn whole(layer: &Layer, text: &Lettering<'_>) -> bool {
    layer.clip.is_none_or(|clip| clip.holds(&text.bounds))
}

struct Lettering<'a> {
    layer: &'a str,
    text: &'a Text,
    corners: [At; 4],
    bounds: Rect,
}

impl<'a> Lettering<'a> {
    fn of(layer: &'a str, text: &'a Text) -> Self {
        let corners = text.corners();
        let middle = [0, 1].map(|i| (corners[0][i] + corners[2][i]) / 2.0);
        // Each corner drawn in towards the middle by the tolerance.
        let corners = corners.map(|c| [0, 1].map(|i| c[i] + (middle[i] - c[i]).clamp(-TOUCH, TOUCH)));
        Self { layer, text, corners, bounds: dimension::bounds(text) }
    }

    fn name(&self) -> String {
        format!("`{}` of `{}`", self.text.content, self.layer)
    }

    fn meets(&self, kind: Kind, what: &str) -> Collision {
        Collision { kind, what: format!("{} {what}", self.name()), at: self.text.at }
    }
}

/// The direction of a side of either convex polygon across which the two lie apart; none if they overlap. A polygon
/// of two points is a line.
fn apart(a: &[At], b: &[At]) -> Option<At> {
    let normals = |p: &[At]| -> Vec<At> {
        (0..p.len()).map(|i| (p[i], p[(i + 1) % p.len()])).map(|(s, e)| [s[1] - e[1], e[0] - s[0]]).collect()
    };
    let range = |p: &[At], n: At| {
        p.iter()
            .map(|q| q[0] * n[0] + q[1] * n[1])
            .fold([f64::INFINITY, f64::NEG_INFINITY], |r, v| [r[0].min(v), r[1].max(v)])
    };
    normals(a).into_iter().chain(normals(b)).find(|n| {
        let (ra, rb) = (range(a, *n), range(b, *n));
        ra[1] <= rb[0] || rb[1] <= ra[0]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::{Layer, Pen, Scene};
    use crate::sheet::PaperSize;

    fn sheet(draw: impl FnOnce(&mut Layer)) -> Sheet {
        let mut layer = Layer::new("l", "l");
        draw(&mut layer);
        Sheet {
            name: "s".into(),
            title: "s".into(),
            paper: PaperSize { width: 100.0, height: 100.0 },
            wide: 0.5,
            scene: Scene { layers: vec![layer] },
        }
    }

    #[test]
    fn finds_lines_and_texts_that_cross_a_text_and_no_others() {
        let text = || Text::new([50.0, 50.0], 3.5, "41 7/8").turned(90.0);
        let crossed = sheet(|l| {
            l.letter(text());
            l.line(Pen::Outline, [40.0, 52.0], [60.0, 52.0]);
        });
        assert_eq!(collisions(&crossed).len(), 1);
        let over = sheet(|l| {
            l.letter(text());
            l.letter(Text::new([45.0, 52.0], 3.5, "12345"));
        });
        assert_eq!(collisions(&over).len(), 1);
        let clear = sheet(|l| {
            l.letter(text());
            l.line(Pen::Outline, [55.0, 40.0], [55.0, 70.0]);
            l.letter(Text::new([60.0, 50.0], 3.5, "12345"));
        });
        assert_eq!(collisions(&clear), []);
    }

    #[test]
    fn finds_what_runs_off_the_sheet() {
        let off = sheet(|l| l.line(Pen::Fine, [-1.0, 5.0], [5.0, 5.0]));
        assert_eq!(collisions(&off).len(), 1);
    }
}
