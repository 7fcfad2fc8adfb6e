//! Cuts gathered into what a drawing speaks of: a row of holes, a pair of cheeks, four like mortises.

use case::{Axis, Box3, Case, Cut, Dir, Outline, Part, PartId, Purpose, Role};
use measure::Length;

/// The form of a cut's outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// A rectangle.
    Box,
    /// A round hole of that diameter.
    Hole(Length),
    /// Anything else: told by its corners and radii.
    Free,
}

/// One place of a feature.
#[derive(Clone, Debug)]
pub(crate) struct Place<'a> {
    /// Index of the cut in its part; of both, where two opposite faces are cut alike.
    pub(crate) cuts: Vec<usize>,
    /// What it takes away, in the part's frame; of the first cut.
    pub(crate) bounds: Box3,
    /// Its outline.
    pub(crate) outline: &'a Outline,
}

impl Place<'_> {
    /// Where it begins along an axis, or where its middle lies if it is round.
    pub(crate) fn start(&self, axis: Axis, shape: Shape) -> Length {
        let [low, high] = self.bounds.along(axis);
        if matches!(shape, Shape::Hole(_)) { low + (high - low).half() } else { low }
    }
}

/// Cuts of one purpose and size from the same face, in line along the grain.
#[derive(Clone, Debug)]
pub(crate) struct Feature<'a> {
    /// Its letter on the drawing.
    pub(crate) letter: String,
    pub(crate) purpose: Purpose,
    pub(crate) shape: Shape,
    /// The face that it enters; two where both are cut alike.
    pub(crate) faces: Vec<Dir>,
    /// The face that it is drawn and told on: one of those, or another that it is open to.
    pub(crate) told: Dir,
    pub(crate) depth: Length,
    pub(crate) through: bool,
    /// In order along the grain, and across it at each place along: a grid.
    pub(crate) places: Vec<Place<'a>>,
    /// How many stand across the grain at each place along it.
    pub(crate) across: usize,
    /// The parts that it receives or enters.
    pub(crate) partners: Vec<PartId>,
}

impl Feature<'_> {
    /// The face that it is cut from.
    pub(crate) fn face(&self) -> Dir {
        self.faces[0]
    }

    /// An even row of so many is told by its ends and its pitch.
    fn many(&self) -> usize {
        if matches!(self.shape, Shape::Hole(_)) { 3 } else { 5 }
    }

    /// The distance between its places, if they are evenly spaced and so many that nobody would want each dimensioned.
    pub(crate) fn pitch(&self) -> Option<Length> {
        let at = self.along();
        if at.len() < self.many() {
            return None;
        }
        let steps: Vec<i64> = at.windows(2).map(|w| (w[1] - w[0]).nm()).collect();
        let (least, most) = (steps.iter().min()?, steps.iter().max()?);
        // Shared lengths differ by a nanometre.
        let count = i64::try_from(steps.len()).ok()?;
        (most - least <= 1).then(|| (at[at.len() - 1] - at[0]) / count)
    }

    /// An arch or another curve, which has a rise and radii.
    pub(crate) fn is_curved(&self) -> bool {
        self.shape == Shape::Free && self.places.iter().any(|p| p.outline.0.iter().any(|v| v.bulge != 0.0))
    }

    /// How deep it goes from the face that it is told on.
    pub(crate) fn told_depth(&self) -> Length {
        let axis = self.told.axis;
        if self.face().axis == axis { self.depth } else { self.places[0].bounds.size()[axis.index()] }
    }

    /// Where it starts, or where its middle lies if it is round: along the grain, each place once.
    pub(crate) fn along(&self) -> Vec<Length> {
        let axis = self.face().axis.others().0;
        self.places.iter().step_by(self.across).map(|p| p.start(axis, self.shape)).collect()
    }

    /// The places that are dimensioned one by one: all, or the ends of an evenly spaced row.
    pub(crate) fn told(&self) -> Vec<&Place<'_>> {
        let n = self.places.len();
        match self.pitch() {
            Some(_) => self.places[..self.across].iter().chain(&self.places[n - self.across..]).collect(),
            None => self.places.iter().collect(),
        }
    }

    /// It can be seen and measured on a view of that face.
    pub(crate) fn shows_on(&self, face: Dir, size: [Length; 3]) -> bool {
        let from = self.faces.contains(&face) || self.through && self.face().axis == face.axis;
        // A lone box open to another face can be told from there as well.
        from || self.shape == Shape::Box && self.faces.len() == 1 && self.across == 1 && {
            let [low, high] = self.places[0].bounds.along(face.axis);
            if face.positive { high == size[face.axis.index()] } else { low == Length::ZERO }
        }
    }
}

/// The features of a part, in the order of its cuts.
pub(crate) fn gathered<'a>(case: &Case, part: &'a Part) -> Vec<Feature<'a>> {
    let mut features: Vec<Feature<'a>> = Vec::new();
    let mut taken = vec![false; part.cuts.len()];
    for (i, cut) in part.cuts.iter().enumerate() {
        if std::mem::replace(&mut taken[i], true) {
            continue;
        }
        let twin = (i + 1..part.cuts.len()).find(|&j| !taken[j] && !part.is_through(cut) && twins(cut, &part.cuts[j]));
        let mut place = Place { cuts: vec![i], bounds: cut.bounds(part.size), outline: &cut.outline };
        let mut faces = vec![cut.from];
        if let Some(j) = twin {
            taken[j] = true;
            place.cuts.push(j);
            faces.push(part.cuts[j].from);
        }
        let feature = Feature {
            letter: String::new(),
            purpose: cut.purpose,
            told: cut.from,
            shape: shape(&cut.outline),
            faces,
            depth: cut.depth,
            through: part.is_through(cut),
            partners: partners(case, part, cut),
            places: vec![place],
            across: 1,
        };
        match features.iter_mut().find(|f| alike(f, &feature) && in_line(f, &feature)) {
            None => features.push(feature),
            Some(f) => f.join(feature),
        }
    }
    // Rows that stand side by side.
    let mut grids: Vec<Feature<'a>> = Vec::new();
    for f in features.into_iter().flat_map(rows) {
        match grids.iter_mut().find(|g| alike(g, &f) && g.along() == f.along()) {
            None => grids.push(f),
            Some(g) => {
                g.across += 1;
                g.join(f);
                let (u, v) = g.face().axis.others();
                g.places.sort_by_key(|p| (p.bounds.along(u), p.bounds.along(v)));
            }
        }
    }
    for f in &mut grids {
        f.partners.sort_unstable();
        f.partners.dedup();
    }
    grids
}

/// A feature taken apart into evenly spaced rows, and what is left over.
fn rows(mut f: Feature<'_>) -> Vec<Feature<'_>> {
    let axis = f.face().axis.others().0;
    f.places.sort_by_key(|p| p.bounds.along(axis));
    if f.places.len() < f.many() || f.pitch().is_some() {
        return vec![f];
    }
    let at = f.along();
    let even = |i: usize| ((at[i + 1] - at[i]) - (at[i] - at[i - 1])).nm().abs() <= 1;
    let (mut out, mut left, mut from) = (Vec::new(), Vec::new(), 0);
    while from < at.len() {
        let mut to = from + 1;
        while to < at.len() && (to == from + 1 || even(to - 1)) {
            to += 1;
        }
        let run = &f.places[from..to];
        if run.len() >= f.many() {
            out.push(Feature { places: run.to_vec(), ..f.clone() });
            from = to;
        } else {
            left.push(f.places[from].clone());
            from += 1;
        }
    }
    if !left.is_empty() {
        f.places = left;
        out.push(f);
    }
    out
}

impl<'a> Feature<'a> {
    fn join(&mut self, other: Feature<'a>) {
        self.places.extend(other.places);
        self.partners.extend(other.partners);
    }
}

fn shape(outline: &Outline) -> Shape {
    match (outline.as_circle(), outline.as_rectangle()) {
        (Some((_, diameter)), _) => Shape::Hole(diameter),
        (None, Some(_)) => Shape::Box,
        (None, None) => Shape::Free,
    }
}

/// Cut alike from two opposite faces.
fn twins(a: &Cut, b: &Cut) -> bool {
    a.purpose == b.purpose && a.from == b.from.opposite() && a.depth == b.depth && a.outline == b.outline
}

/// In one line along the grain.
fn in_line(a: &Feature<'_>, b: &Feature<'_>) -> bool {
    let v = a.face().axis.others().1;
    a.places[0].bounds.along(v) == b.places[0].bounds.along(v)
}

/// The same cut in another place.
fn alike(a: &Feature<'_>, b: &Feature<'_>) -> bool {
    let same = a.purpose == b.purpose
        && a.shape == b.shape
        && a.shape != Shape::Free
        && a.faces == b.faces
        && a.depth == b.depth
        && a.through == b.through;
    same && { a.places[0].bounds.size() == b.places[0].bounds.size() }
}

/// The other parts of the cut's joint; pegs go without saying.
fn partners(case: &Case, part: &Part, cut: &Cut) -> Vec<PartId> {
    let joint = cut.joint.and_then(|id| case.joints.iter().find(|j| j.id == id));
    let others = joint.into_iter().flat_map(|j| &j.parts).copied();
    others.filter(|p| *p != part.id && case.part(*p).role != Role::Peg).collect()
}
