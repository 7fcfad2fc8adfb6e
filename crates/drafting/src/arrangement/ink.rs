//! A placed view as layers: each part's lines with their pens, cut faces hatched, glass, dimensions, caption.

use case::OrderInfo;

use super::layout::{CAPTION, Drawn, caption_at, chains, inked};
use super::views::View;
use crate::hatching;
use crate::margins::Place;
use crate::solids::Thing;
use crate::view::{CutFace, Stroke};
use paper::hatch::hatch;
use paper::scene::{At, Layer, Path, Pen};
use paper::text::Text;

/// Faces that differ by less than this in depth are flush, mm of the piece: the line between them is fine.
const FLUSH: f64 = 3.0;
/// How far beside a line its two sides are looked at, and how often along it, mm of the piece.
const BESIDE: f64 = 0.3;
const SAMPLE: f64 = 20.0;
/// The layers of a view.
pub(super) fn layers(order: &OrderInfo, drawn: &Drawn<'_>, place: Place) -> Vec<Layer> {
    let view = &drawn.view;
    let which = view.which;
    let mut out = Vec::new();
    for body in 0..view.things.len() {
        let strokes: Vec<&Stroke> = view.picture.strokes.iter().filter(|s| s.body == body).collect();
        let cuts: Vec<&CutFace> = view.picture.cuts.iter().filter(|c| c.body == body).collect();
        let mut layer = match view.things[body] {
            Thing::Part(p) => Layer::new(format!("{}-{}", which.id(), p.id), format!("{} {}", p.id, p.name)),
            Thing::Pane(p) => Layer::new(format!("{}-{}", which.id(), p.id), format!("{} glass, {}", p.id, p.name)),
        };
        for stroke in strokes.into_iter().filter(|s| !s.hidden || is_on_rim(view, s)) {
            for (pen, path) in penned(view, stroke) {
                layer.draw(pen, path.mapped(false, |p| place.map(p)));
            }
        }
        for face in cuts {
            cut_face(&mut layer, view, face, place);
        }
        if matches!(view.things[body], Thing::Pane(_)) && !which.is_section() {
            glass(&mut layer, view, body, place);
        }
        if !layer.items.is_empty() {
            out.push(layer);
        }
    }
    let mut dimensions = Layer::new(format!("{}-dimensions", which.id()), format!("Dimensions, {}", which.caption()));
    for chain in chains(order, drawn, place) {
        chain.draw(&mut dimensions);
    }
    let at = caption_at(&place.rect(&view.bounds), &inked(order, drawn, place));
    dimensions.letter(Text::new(at, CAPTION, which.caption()).centred());
    out.push(dimensions);
    out
}

/// A hidden part is shown by its outline alone.
fn is_on_rim(view: &View<'_>, stroke: &Stroke) -> bool {
    let Thing::Part(part) = view.things[stroke.body] else { return false };
    let b = part.case_box();
    view.which.axes().into_iter().enumerate().any(|(k, axis)| {
        b.along(axis).iter().any(|rim| stroke.path.vertices.iter().all(|(p, _)| (p[k] - rim.mm()).abs() < 1e-2))
    })
}

/// A stroke with its pens: by whether it is seen, whether it is beyond a section, and by the step in depth that it
/// marks, which may change along it where other parts adjoin.
fn penned(view: &View<'_>, stroke: &Stroke) -> Vec<(Pen, Path)> {
    let whole = |pen| vec![(pen, stroke.path.clone())];
    if stroke.hidden {
        return whole(Pen::Hidden);
    }
    if view.which.is_section() {
        return whole(Pen::Fine);
    }
    let Some(side) = stroke.path.segments().next() else { return Vec::new() };
    if side.bulge != 0.0 {
        return whole(if [0.2, 0.5, 0.8].iter().any(|t| step(view, &side, *t)) { Pen::Outline } else { Pen::Fine });
    }
    let length = libm::hypot(side.to[0] - side.from[0], side.to[1] - side.from[1]);
    let count = (length / SAMPLE).ceil().clamp(3.0, 400.0);
    let at = |k: f64| (k + 0.5) / count;
    let mut out = Vec::new();
    let (mut from, mut last, mut k) = (0.0, step(view, &side, at(0.0)), 1.0);
    let mut push = |from: f64, to: f64, step: bool| {
        out.push((if step { Pen::Outline } else { Pen::Fine }, Path::line(side.at(from), side.at(to))));
    };
    while k < count {
        let now = step(view, &side, at(k));
        if now != last {
            // Halve the stretch in which it changes until a hair is left.
            let (mut low, mut high) = (at(k - 1.0), at(k));
            while (high - low) * length > 0.05 {
                let middle = f64::midpoint(low, high);
                if step(view, &side, middle) == last { low = middle } else { high = middle }
            }
            push(from, high, last);
            (from, last) = (high, now);
        }
        k += 1.0;
    }
    push(from, 1.0, last);
    out
}

/// What lies on the two sides of a stroke at `t` differs in depth by more than a flush joint does.
fn step(view: &View<'_>, side: &case::Segment, t: f64) -> bool {
    let (before, at, after) = (side.at(t - 0.001), side.at(t), side.at(t + 0.001));
    let (dx, dy) = (after[0] - before[0], after[1] - before[1]);
    let length = libm::hypot(dx, dy).max(1e-9);
    let beside = |w: f64| {
        let p = [at[0] - w * dy / length, at[1] + w * dx / length];
        view.picture.front.at(p).map(|(_, depth)| depth)
    };
    match (beside(BESIDE), beside(-BESIDE)) {
        (Some(a), Some(b)) => (a - b).abs() >= FLUSH,
        (None, None) => false,
        _ => true,
    }
}

/// A cut face: its rim wide, hatched by its material and the way its grain runs.
fn cut_face(layer: &mut Layer, view: &View<'_>, face: &CutFace, place: Place) {
    let rings: Vec<Vec<At>> = face.rings.iter().map(|r| r.iter().map(|p| place.map(*p)).collect()).collect();
    if let Thing::Part(part) = view.things[face.body] {
        let style = hatching::of(part, view.which.axes(), part.id.0 as usize % 2, 0.1);
        for line in hatch(&rings, style) {
            layer.draw(Pen::Hatch, line);
        }
    }
    let pen = if matches!(view.things[face.body], Thing::Pane(_)) { Pen::Fine } else { Pen::Outline };
    for ring in rings {
        layer.draw(pen, Path::polygon(ring));
    }
}

/// Three short strokes across the middle of a pane, where it is seen.
fn glass(layer: &mut Layer, view: &View<'_>, body: usize, place: Place) {
    let Thing::Pane(pane) = view.things[body] else { return };
    let far = pane.placement.to_case(pane.size);
    let [u, v] = view.which.axes().map(case::Axis::index);
    let near = pane.placement.origin;
    let middle = [(near[u].mm() + far[u].mm()) / 2.0, (near[v].mm() + far[v].mm()) / 2.0];
    let reach = (far[u].mm() - near[u].mm()).abs().min((far[v].mm() - near[v].mm()).abs()) * 0.22;
    for (shift, length) in [(-0.5, 0.6), (0.0, 1.0), (0.5, 0.6)] {
        let centre = [middle[0] + shift * reach, middle[1] - shift * reach];
        let ends = [-1.0, 1.0].map(|k| [centre[0] + k * length * reach * 0.6, centre[1] + k * length * reach * 0.6]);
        let seen = ends.iter().all(|p| view.picture.front.at(*p).is_some_and(|(b, _)| b == body));
        if seen {
            layer.line(Pen::Texture, place.map(ends[0]), place.map(ends[1]));
        }
    }
}
