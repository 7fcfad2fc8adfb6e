//! Layout rods: posts and stiles at full size along the grain, a strip to each face that is cut, so that every
//! shoulder, mortise, groove and hole is pricked off at once.

use std::collections::BTreeSet;

use case::{Case, Dir, Part, Role};
use measure::{Length, Ruler};

use super::{check_bar, sheet, sheet::Laid};
use crate::part_sheet::feature::{Feature, Place, Shape};
use crate::part_sheet::{Study, face, wording};
use paper::block::Block;
use paper::callout;
use paper::dimension::{Along, FIGURE, Running, Stop, figure};
use paper::scene::{Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// Height of a strip, of the room for words in it, and of the marks, mm.
const STRIP: [f64; 3] = [22.0, 7.0, 12.0];
/// Left of the rod, for the names of the strips, mm.
const NAMES: f64 = 30.0;
/// From the rod down to its figures, mm.
const BELOW: f64 = 8.0;

/// A rod for each kind of post and of stile.
pub(crate) fn drafts(case: &Case) -> Vec<Laid> {
    let kinds = case.kinds().into_iter().filter(|(p, _)| matches!(p.role, Role::Post | Role::Stile));
    kinds.filter(|(p, _)| !p.cuts.is_empty()).map(|(part, likes)| draft(case, part, &likes)).collect()
}

fn draft(case: &Case, part: &Part, likes: &[&Part]) -> Laid {
    let ruler = &case.order.ruler;
    let study = Study::of(case, part);
    let length = part.size[0].mm();
    let mut rod = Layer::new("rod", "The rod");
    let mut stops = BTreeSet::from([Length::ZERO, part.size[0]]);
    let faces: Vec<Dir> = study.faces.iter().copied().filter(|d| study.on(*d).next().is_some()).collect();
    for (i, dir) in faces.iter().rev().enumerate() {
        let foot = STRIP[0] * i as f64;
        let name = face::title(part, face::name(case, likes, *dir), *dir);
        rod.letter(Text::new([-NAMES, foot + STRIP[0] / 2.0 - 1.75], 3.5, name));
        strip(&mut rod, &study, *dir, foot, length, ruler);
        for feature in study.on(*dir) {
            for place in &feature.places {
                for at in marks(feature, place) {
                    stops.insert(at);
                    // Down through the marks of the strips below, past their words.
                    for below in 0..i {
                        let foot = STRIP[0] * below as f64;
                        let [x, top] = [at.mm(), foot + 1.5 + STRIP[2]];
                        rod.line(Pen::Dimension, [x, foot], [x, top]);
                    }
                }
            }
        }
    }
    let tall = STRIP[0] * faces.len() as f64;
    rod.draw(Pen::Outline, Path::rectangle(&Rect::new([0.0, 0.0], length, tall)));
    let stops = stops.into_iter().map(|l| (Stop { at: l.mm(), from: 0.0 }, figure(ruler, l))).collect();
    let running = Running { along: Along::Across, line: -BELOW, stops };
    running.draw(&mut rod);
    let low = running.bounds().map_or(-BELOW, |b| b.min[1]);
    let mirrored = likes.iter().any(|p| p.same_as.is_some_and(|s| s.mirrored));
    let mut notes = vec!["The left end is the datum: the foot of the part as it stands.".to_owned()];
    if mirrored {
        notes.push("For the mirror image lay the rod on from the other end.".into());
    }
    notes.push("Prick through on the rod's edge; widths across the grain are on the part's sheet.".into());
    let matter = sheet::Matter {
        name: format!("rod-{}", part.id),
        title: format!("{}  layout rod, full size", part.id),
        part,
        likes,
        layers: vec![rod],
        other: Vec::new(),
        bounds: Rect { min: [-NAMES, low], max: [length, tall] },
        blocks: vec![check_bar::block(), Block::Notes(notes)],
    };
    sheet::laid_out(matter, ruler)
}

/// Where a place is marked along the grain.
fn marks(feature: &Feature<'_>, place: &Place<'_>) -> Vec<Length> {
    match feature.shape {
        Shape::Hole(_) => vec![place.start(case::Axis::X, feature.shape)],
        Shape::Box | Shape::Free => place.bounds.along(case::Axis::X).to_vec(),
    }
}

/// One face: its cuts as boxes and circles, with words over them.
fn strip(layer: &mut Layer, study: &Study<'_>, face: Dir, foot: f64, length: f64, ruler: &Ruler) {
    layer.line(Pen::Fine, [0.0, foot], [length, foot]);
    let (low, middle) = (foot + 1.5, foot + 1.5 + STRIP[2] / 2.0);
    let mut words: Vec<(f64, String)> = Vec::new();
    for feature in study.on(face) {
        for (i, place) in feature.places.iter().enumerate() {
            let ends = place.bounds.along(case::Axis::X).map(Length::mm);
            match feature.shape {
                Shape::Hole(diameter) => {
                    let x = place.start(case::Axis::X, feature.shape).mm();
                    let r = diameter.mm() / 2.0;
                    layer.draw(Pen::Fine, Path::circle([x, middle], r));
                    layer.line(Pen::Fine, [x, low], [x, low + STRIP[2]]);
                    layer.line(Pen::Fine, [x - r, middle], [x + r, middle]);
                }
                Shape::Box | Shape::Free => {
                    let long = ends[1] - ends[0] > length / 2.0;
                    let inset = if long { STRIP[2] / 3.0 } else { 0.0 };
                    let at = Rect { min: [ends[0], low + inset], max: [ends[1], low + STRIP[2] - inset] };
                    layer.draw(Pen::Outline, Path::rectangle(&at));
                    if !long {
                        // A cross is what is cut away.
                        let [a, b, c, d] = at.corners();
                        layer.line(Pen::Texture, a, c);
                        layer.line(Pen::Texture, b, d);
                    }
                }
            }
            let mid = (ends[0] + ends[1]) / 2.0;
            if i == 0 {
                words.push((mid, says(feature, ruler)));
            } else if feature.pitch().is_none() {
                words.push((mid, feature.letter.clone()));
            }
        }
    }
    words.sort_by(|a, b| a.0.total_cmp(&b.0));
    let middles: Vec<f64> = words.iter().map(|w| w.0).collect();
    let widths: Vec<f64> = words.iter().map(|w| text::width(&w.1, FIGURE) + callout::APART).collect();
    for ((_, says), x) in words.iter().zip(callout::placed(&middles, &widths, length)) {
        layer.letter(Text::new([x, foot + STRIP[0] - STRIP[1] + 2.4], FIGURE, says.clone()));
    }
}

/// `C  mortise, 1 5/16 deep, for P05`.
fn says(feature: &Feature<'_>, ruler: &Ruler) -> String {
    let mut out = format!("{}  {}", feature.letter, wording::words(feature.purpose));
    if let Shape::Hole(diameter) = feature.shape {
        out.push_str(&format!(" ⌀ {}", figure(ruler, diameter)));
    }
    if !feature.through {
        out.push_str(&format!(", {} deep", figure(ruler, feature.told_depth())));
    }
    if let Some(partner) = feature.partners.first() {
        out.push_str(&format!(", for {partner}"));
    }
    out
}
