//! A part studied before it is drawn: its features with their letters, and the faces that show them.

use case::{Axis, Case, Dir, Part};
use measure::Length;

use super::face;
use super::feature::{self, Feature};

/// Letters of features; I and O look like figures.
const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/// What a drawing of a part shows.
pub(crate) struct Study<'a> {
    /// Face by face, and along the grain on each.
    pub(crate) features: Vec<Feature<'a>>,
    /// From the top of the sheet down.
    pub(crate) faces: Vec<Dir>,
}

impl<'a> Study<'a> {
    pub(crate) fn of(case: &Case, part: &'a Part) -> Self {
        let mut features = feature::gathered(case, part);
        let faces = face::drawn(&features, part.size, case.order.paper.projection);
        for f in &mut features {
            // Its own face, else one on which it shows.
            let own = f.faces.iter().find(|d| faces.contains(d));
            let told = own.or_else(|| faces.iter().find(|d| f.shows_on(**d, part.size)));
            f.told = told.copied().unwrap_or(f.told);
        }
        let rank = |f: &Feature<'_>| faces.iter().position(|d| *d == f.told);
        features.sort_by_cached_key(|f| (rank(f), f.places[0].bounds.min[0], f.places[0].bounds.min, f.purpose));
        for (i, f) in features.iter_mut().enumerate() {
            f.letter = letter_of(i);
        }
        Self { features, faces }
    }

    /// The features that are told on a face.
    pub(crate) fn on(&self, face: Dir) -> impl Iterator<Item = &Feature<'a>> {
        self.features.iter().filter(move |f| f.told == face)
    }

    /// The greater side of the smallest cut, mm.
    pub(crate) fn smallest(&self) -> Option<f64> {
        let sides = self.features.iter().map(|f| {
            let (u, v) = f.face().axis.others();
            let size = f.places[0].bounds.size();
            size[u.index()].max(size[v.index()]).mm()
        });
        sides.reduce(f64::min)
    }
}

/// `A`, `B`, … `Z`, `A1`, …
pub(crate) fn letter_of(i: usize) -> String {
    let letter: String = LETTERS.chars().nth(i % LETTERS.len()).into_iter().collect();
    if i < LETTERS.len() { letter } else { format!("{letter}{}", i / LETTERS.len()) }
}

/// A small cut is shorter than this along the grain, mm, and never broken.
const SMALL: f64 = 160.0;

/// How a part's work is spread along the grain; see [`super::layout::Matter`].
pub(crate) struct Spread {
    pub(crate) places: Vec<f64>,
    pub(crate) solid: Vec<[f64; 2]>,
    pub(crate) curves: Vec<[f64; 2]>,
}

pub(crate) fn spread(part: &Part, features: &[Feature<'_>]) -> Spread {
    let (mut places, mut solid, mut curves) = (vec![0.0, part.size[0].mm()], Vec::new(), Vec::new());
    for f in features.iter().filter(|f| f.face().axis != Axis::X) {
        let (row, n) = (f.pitch().is_some(), f.places.len());
        // Of a row, two are drawn at its start and one at its end.
        for place in f.places.iter().enumerate().filter(|(i, _)| !row || *i < 2 || i + 1 == n).map(|(_, p)| p) {
            let [from, to] = place.bounds.along(Axis::X).map(Length::mm);
            places.extend([from, to]);
            if f.is_curved() {
                places.extend(place.outline.0.iter().map(|v| v.u.mm()).chain([(from + to) / 2.0]));
                curves.push([from, to]);
            } else if to - from < SMALL {
                solid.push([from, to]);
            }
        }
    }
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    Spread { places, solid, curves }
}
