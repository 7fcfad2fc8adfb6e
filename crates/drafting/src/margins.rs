//! Chains of dimensions round a view: what is figured on which side, and the lines on which it stands.

use case::Axis;
use measure::{Length, Ruler};

use paper::dimension::{self, Along, Chain, Ends, Stop};
use paper::scene::{At, Rect};

/// Side of a view on which a dimension stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Margin {
    Left,
    Right,
    Below,
    Above,
}

impl Margin {
    /// Its dimensions run up the sheet.
    pub(crate) const fn is_upright(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }
}

/// A chain of dimensions: places along the view's axis, in the case frame, in growing order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) margin: Margin,
    pub(crate) stops: Vec<Length>,
    /// Where its extension lines start, on the other axis; at the view's outline if that is not said.
    pub(crate) from: Option<Length>,
}

impl Run {
    pub(crate) fn new(margin: Margin, stops: impl IntoIterator<Item = Length>) -> Self {
        Self { margin, stops: stops.into_iter().collect(), from: None }
    }
}

/// Runs that say something, each once.
pub(crate) fn distinct(runs: Vec<Run>) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    for run in runs {
        if run.stops.len() > 1 && !out.iter().any(|r| r.stops == run.stops) {
            out.push(run);
        }
    }
    out
}

/// Where a picture's origin stands on the sheet, its scale, and which way its axes run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub(crate) at: At,
    pub(crate) ratio: f64,
}

impl Place {
    pub(crate) fn map(&self, p: At) -> At {
        [self.at[0] + p[0] * self.ratio, self.at[1] + p[1] * self.ratio]
    }

    pub(crate) fn rect(&self, r: &Rect) -> Rect {
        Rect { min: self.map(r.min), max: self.map(r.max) }
    }
}

/// What a view's dimensions stand round.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Outline {
    /// The view's outline on the sheet.
    pub(crate) rect: Rect,
    /// From it to the first dimension line, mm.
    pub(crate) first: f64,
    /// A chain that has no room for its figures is left out, unless it is the outermost: other sheets have them.
    pub(crate) thinned: bool,
}

/// The chains of a view in their places, on each side from the inside out.
pub(crate) fn chains(ruler: &Ruler, runs: &[Run], outline: Outline, place: Place) -> Vec<Chain> {
    let mut out: Vec<Chain> = Vec::new();
    for margin in [Margin::Left, Margin::Right, Margin::Below, Margin::Above] {
        let (along, from, way) = match margin {
            Margin::Left => (Along::Up, outline.rect.min[0], -1.0),
            Margin::Right => (Along::Up, outline.rect.max[0], 1.0),
            Margin::Below => (Along::Across, outline.rect.min[1], -1.0),
            Margin::Above => (Along::Across, outline.rect.max[1], 1.0),
        };
        let mut line = from + way * outline.first;
        let runs: Vec<&Run> = runs.iter().filter(|r| r.margin == margin).collect();
        for (i, run) in runs.iter().enumerate() {
            let across = if along == Along::Across { 1 } else { 0 };
            let start = run.from.map_or(from, |l| place.at[across] + l.mm() * place.ratio);
            let mut chain = chain(ruler, run, place, along, start, line);
            // Extension lines of the chains outside must not run through a figure past this one's end.
            let k = if along == Along::Across { 0 } else { 1 };
            let outer = || runs[i + 1..].iter().flat_map(|r| &r.stops).map(|l| place.at[k] + l.mm() * place.ratio);
            if chain.past_ends().iter().any(|p| outer().any(|v| p.min[k] < v && v < p.max[k])) {
                chain.ends = Ends::Raised;
            }
            if outline.thinned && i + 1 < runs.len() && !chain.has_room() {
                continue;
            }
            // Raised figures of the chain before reach outward, this one's own figures may reach inward.
            if let Some(last) = out.last().filter(|_| line != from + way * outline.first) {
                let short = reach(last, along, way) * way + 1.0 - reach(&chain, along, -way) * way;
                line += way * short.max(0.0);
                chain.line = line;
            }
            line += way * dimension::NEXT;
            out.push(chain);
        }
    }
    clear_corners(&mut out);
    out
}

/// Where figures past the ends of two chains would meet in a corner, those of the upright chain are raised; of both, if
/// that will not do.
fn clear_corners(chains: &mut [Chain]) {
    for along in [Along::Up, Along::Across] {
        for i in 0..chains.len() {
            let meets = |other: &Chain| {
                let mine = chains[i].past_ends();
                other.along != along && other.past_ends().iter().any(|o| mine.iter().any(|m| m.overlaps(o)))
            };
            if chains[i].along == along && chains.iter().any(meets) {
                chains[i].ends = Ends::Raised;
            }
        }
    }
}

/// How far a chain reaches in a direction square to it.
fn reach(chain: &Chain, along: Along, way: f64) -> f64 {
    let b = chain.bounds();
    let k = if along == Along::Across { 1 } else { 0 };
    if way > 0.0 { b.max[k] } else { b.min[k] }
}

fn chain(ruler: &Ruler, run: &Run, place: Place, along: Along, from: f64, line: f64) -> Chain {
    let k = if along == Along::Across { 0 } else { 1 };
    let stops = run.stops.iter().map(|l: &Length| Stop { at: place.at[k] + l.mm() * place.ratio, from }).collect();
    let mut figures: Vec<String> = run.stops.windows(2).map(|w| dimension::figure(ruler, w[1] - w[0])).collect();
    thin_out(&mut figures, &run.stops, place.ratio);
    Chain { along, line, stops, figures, ends: Ends::Past }
}

/// Of equal short lengths, such as the bars between lights, only the first is figured.
fn thin_out(figures: &mut [String], stops: &[Length], ratio: f64) {
    for i in 1..figures.len() {
        let short = (stops[i + 1] - stops[i]).mm() * ratio < paper::text::width(&figures[i], dimension::FIGURE);
        if short && figures[..i].contains(&figures[i]) {
            figures[i].clear();
        }
    }
}

/// The two axes of a picture square to one: to the right and up.
pub(crate) const fn picture_axes(square_to: Axis) -> [Axis; 2] {
    match square_to {
        Axis::Y => [Axis::X, Axis::Z],
        Axis::X => [Axis::Y, Axis::Z],
        Axis::Z => [Axis::X, Axis::Y],
    }
}
