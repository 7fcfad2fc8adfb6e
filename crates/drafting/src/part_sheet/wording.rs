//! What is written at a feature: its letter, what it is, and what the view itself cannot show.

use case::{Axis, Purpose};
use measure::{Length, Ruler};

use super::feature::{Feature, Shape};
use paper::dimension::figure;

/// A purpose in words: `tenon cheek`.
pub(crate) fn words(purpose: Purpose) -> String {
    match purpose {
        Purpose::Outline => "shaped edge".into(),
        _ => purpose.name().replace('-', " "),
    }
}

/// How deep a feature goes from the face that it is told on.
pub(crate) fn depth(feature: &Feature<'_>, size: [Length; 3], ruler: &Ruler) -> String {
    let deep = feature.told_depth();
    if deep >= size[feature.told.axis.index()] { "through".into() } else { format!("{} deep", figure(ruler, deep)) }
}

/// The rise of a curve, and its radius if it is one arc.
fn curve(feature: &Feature<'_>, ruler: &Ruler) -> String {
    let place = &feature.places[0];
    let rise = place.bounds.size()[feature.face().axis.others().1.index()];
    let mut arcs = place.outline.segments().filter_map(|s| s.arc());
    let rise = format!("rise {}", figure(ruler, rise));
    match (arcs.next(), arcs.next()) {
        (Some(arc), None) => format!("{rise}, R {}", figure(ruler, Length::from_mm(arc.radius))),
        _ => rise,
    }
}

/// The wordings of a feature's label; `first` is false for another place of it.
pub(crate) fn wordings(feature: &Feature<'_>, deep: &str, first: bool, ruler: &Ruler) -> [String; 3] {
    let letter = feature.letter.clone();
    if !first {
        return [letter.clone(), letter.clone(), letter];
    }
    let mut full = format!("{letter}  {}", words(feature.purpose));
    let mut short = format!("{letter}  ");
    if let Shape::Hole(diameter) = feature.shape {
        full.push_str(&format!(" ⌀ {}", figure(ruler, diameter)));
        short.push_str(&format!("⌀ {}, ", figure(ruler, diameter)));
    }
    if feature.is_curved() {
        let curve = curve(feature, ruler);
        full.push_str(&format!(", {curve}"));
        short.push_str(&format!("{curve}, "));
    }
    full.push_str(&format!(", {deep}"));
    short.push_str(deep);
    let mut add = |says: &str| {
        full.push_str(says);
        short.push_str(says);
    };
    if feature.faces.len() > 1 {
        add(if feature.face().axis == Axis::Y { ", both edges" } else { ", both faces" });
    }
    if let Some(pitch) = feature.pitch() {
        add(&format!(", {} at {}", feature.along().len(), figure(ruler, pitch)));
    }
    if feature.across > 1 {
        add(&format!(", {} off", feature.places.len()));
    }
    [full, short, letter]
}
