//! A placed view as layers: each part's lines with their pens, cut faces hatched, glass, dimensions, caption.

use case::OrderInfo;

use super::layout::{CAPTION, Drawn, caption_at, chains, inked};
use super::views::View;
use crate::hatching;
use crate::margins::Place;
use crate::pens::penned;
use crate::solids::Thing;
use crate::view::{CutFace, Stroke};
use paper::hatch::hatch;
use paper::scene::{At, Layer, Path, Pen};
use paper::text::Text;

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
            // What lies beyond a section is drawn fine.
            let beyond = which.is_section() && !stroke.hidden;
            let pieces = if beyond { vec![(Pen::Fine, stroke.path.clone())] } else { penned(&view.picture, stroke) };
            for (pen, path) in pieces {
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
