//! Dimensions: chains, running dimensions from a datum, radii, leaders and balloons (ISO 129-1, from memory).
//!
//! All places are sheet millimetres; the figures come in as text that was read off the case. Text stands above its
//! line and reads from the bottom or from the right.

use measure::{Length, Ruler};

use crate::scene::{At, Layer, Path, Pen, Rect};
use crate::text::{self, Text};

/// Height of figures, mm.
pub const FIGURE: f64 = 2.5;
/// From an outline to the first dimension line (ASME Y14.5: at least 10), mm.
pub const FIRST: f64 = 10.0;
/// From one dimension line to the next, with room for a stacked fraction, mm.
pub const NEXT: f64 = 8.0;
/// Left between an outline and its extension line, mm.
const GAP: f64 = 1.0;
/// How far an extension line passes the dimension line, mm.
const OVERSHOOT: f64 = 1.5;
/// Length of an arrowhead, and half its width: 3 to 1.
const ARROW: [f64; 2] = [2.4, 0.4];
/// From the dimension line up to the lowest ink of its figure, mm.
const LIFT: f64 = 0.7;
/// Least room between two figures in a row, mm.
const BETWEEN: f64 = 1.2;
/// From the dimension line outward to a figure that does not fit over it, mm.
const RAISE: f64 = 3.2;

/// A length as it is printed on a drawing: rounded figures are marked.
pub fn figure(ruler: &Ruler, length: Length) -> String {
    ruler.figure(length)
}

/// Which way a dimension runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// From left to right; its figures read from the bottom.
    Across,
    /// From bottom to top; its figures read from the right.
    Up,
}

impl Along {
    /// The sheet point at `v` along the dimension and `w` square to it.
    pub const fn point(self, v: f64, w: f64) -> At {
        match self {
            Self::Across => [v, w],
            Self::Up => [w, v],
        }
    }

    /// Angle of a text along the dimension.
    const fn angle(self) -> f64 {
        match self {
            Self::Across => 0.0,
            Self::Up => 90.0,
        }
    }

    /// The sign of the direction in which "above the line" lies: up, or to the left.
    const fn above(self) -> f64 {
        match self {
            Self::Across => 1.0,
            Self::Up => -1.0,
        }
    }
}

/// One end of a dimension: its place along it, and where the outline ends that its extension line starts from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Along the dimension.
    pub at: f64,
    /// Square to it.
    pub from: f64,
}

/// Dimensions in a row: `figures[i]` stands between `stops[i]` and `stops[i + 1]`; an empty one is left out. One figure
/// makes a plain dimension.
#[derive(Clone, Debug)]
pub struct Chain {
    /// Its direction.
    pub along: Along,
    /// Where the dimension line lies, square to its direction.
    pub line: f64,
    /// In growing order.
    pub stops: Vec<Stop>,
    /// One fewer than the stops.
    pub figures: Vec<String>,
    /// Where the first and the last figure stand when they do not fit between their stops.
    pub ends: Ends,
}

/// Where a figure stands that does not fit into the space at the end of its chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// Past the end, on the dimension line drawn on.
    Past,
    /// Outward of the chain, like those between; for corners where the next chain ends.
    Raised,
}

impl Chain {
    /// `+1` or `-1`: the way out from the drawing, square to the chain.
    fn outward(&self) -> f64 {
        let mean = self.stops.iter().map(|s| s.from).sum::<f64>() / self.stops.len().max(1) as f64;
        if self.line >= mean { 1.0 } else { -1.0 }
    }

    /// Draws it.
    pub fn draw(&self, layer: &mut Layer) {
        let out = self.outward();
        for stop in &self.stops {
            extension(layer, self.along, stop, self.line);
        }
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else { return };
        let point = |v| self.along.point(v, self.line);
        let spans: Vec<[f64; 2]> = self.stops.windows(2).map(|w| [w[0].at, w[1].at]).collect();
        let tight = |span: &[f64; 2]| span[1] - span[0] < 2.6 * ARROW[0];
        layer.line(Pen::Dimension, point(first.at), point(last.at));
        for (i, span) in spans.iter().enumerate() {
            if !tight(span) {
                arrow(layer, point(span[0]), self.along.point(-1.0, 0.0));
                arrow(layer, point(span[1]), self.along.point(1.0, 0.0));
                continue;
            }
            // Too short for its arrowheads: they come from outside at the chain's ends, and are dots between.
            if i == 0 {
                arrow(layer, point(span[0]), self.along.point(1.0, 0.0));
                layer.line(Pen::Dimension, point(span[0]), point(span[0] - 2.0 * ARROW[0]));
            } else if tight(&spans[i - 1]) {
                dot(layer, point(span[0]));
            }
            if i + 1 == spans.len() {
                arrow(layer, point(span[1]), self.along.point(-1.0, 0.0));
                layer.line(Pen::Dimension, point(span[1]), point(span[1] + 2.0 * ARROW[0]));
            }
        }
        for lettered in self.letters(out) {
            if let Some([from, to]) = lettered.leader {
                layer.line(Pen::Dimension, from, to);
            }
            layer.letter(lettered.text);
        }
    }

    /// What it covers on the sheet, extension lines left out.
    pub fn bounds(&self) -> Rect {
        let point = |v| self.along.point(v, self.line);
        let (first, last) = (self.stops.first().map_or(0.0, |s| s.at), self.stops.last().map_or(0.0, |s| s.at));
        let line = Rect { min: point(first), max: point(last) }.grown(OVERSHOOT);
        self.letters(self.outward()).iter().fold(line, |r, l| r.union(&bounds(&l.text)))
    }

    /// Its figures have room between its ends, or past them where that is allowed.
    pub fn has_room(&self) -> bool {
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else { return true };
        let raised = self.raised();
        let wide: f64 = raised.iter().map(|(f, _)| text::width(f, FIGURE) + BETWEEN).sum();
        raised.is_empty() || wide <= last.at - first.at
    }

    /// The figures that stand neither between their stops nor past the ends, each with the middle of its span.
    fn raised(&self) -> Vec<(&str, f64)> {
        let fitted: Vec<bool> = (0..self.figures.len()).map(|i| self.fits(i)).collect();
        let mut raised: Vec<bool> = (0..fitted.len()).map(|i| !fitted[i] && !self.is_past(i)).collect();
        // Figures between their stops stand above the line. Where leaders go there too, those in their way are raised.
        let in_the_way = |raised: &[bool]| {
            let leaders = self.picked(raised);
            let crossed = |i: &usize| fitted[*i] && !raised[*i] && self.is_crossed(*i, &leaders);
            (0..fitted.len()).find(crossed).filter(|_| self.outward() == self.along.above())
        };
        while let Some(i) = in_the_way(&raised) {
            raised[i] = true;
        }
        self.picked(&raised)
    }

    /// The figure has room between its stops.
    fn fits(&self, i: usize) -> bool {
        let wide = self.figures.get(i).map_or(0.0, |f| text::width(f, FIGURE));
        self.stops.get(i..i + 2).is_some_and(|s| wide + BETWEEN <= s[1].at - s[0].at)
    }

    /// The figure goes past an end if it does not fit.
    fn is_past(&self, i: usize) -> bool {
        self.ends == Ends::Past && (i == 0 || i + 1 == self.figures.len())
    }

    /// Those figures, each with the middle of its span.
    fn picked(&self, which: &[bool]) -> Vec<(&str, f64)> {
        let spans = self.figures.iter().zip(self.stops.windows(2)).zip(which);
        spans
            .filter(|((figure, _), picked)| **picked && !figure.is_empty())
            .map(|((figure, span), _)| (figure.as_str(), f64::midpoint(span[0].at, span[1].at)))
            .collect()
    }

    /// Where raised figures stand along the chain.
    fn spread(&self, raised: &[(&str, f64)]) -> Vec<f64> {
        let widths: Vec<f64> = raised.iter().map(|(f, _)| text::width(f, FIGURE) + BETWEEN).collect();
        let places: Vec<f64> = raised.iter().map(|(_, v)| *v).collect();
        let within = [self.stops.first(), self.stops.last()].map(|s| s.map_or(0.0, |s| s.at));
        spread_within(&places, &widths, within)
    }

    /// A leader of raised figures would run through a figure between its stops.
    fn is_crossed(&self, i: usize, raised: &[(&str, f64)]) -> bool {
        let (Some(figure), Some([a, b])) = (self.figures.get(i), self.stops.get(i..i + 2)) else { return false };
        let (middle, half) = (f64::midpoint(a.at, b.at), text::width(figure, FIGURE) / 2.0);
        let mut leaders = raised.iter().zip(self.spread(raised));
        !figure.is_empty()
            && leaders.any(|((_, from), to)| {
                // From the foot of the figure up to the leader's end.
                let foot = from + (to - from) * LIFT / (RAISE - 0.5);
                foot.min(to) < middle + half && middle - half < foot.max(to)
            })
    }

    /// The sheet's rectangles that are taken by figures past the ends, with the line drawn on to them.
    pub fn past_ends(&self) -> Vec<Rect> {
        let (first, last) = (self.stops.first().map_or(0.0, |s| s.at), self.stops.last().map_or(0.0, |s| s.at));
        let k = if self.along == Along::Across { 0 } else { 1 };
        let letters = self.letters(self.outward());
        let past = letters.iter().filter(|l| l.text.at[k] < first || l.text.at[k] > last);
        past.map(|l| {
            let corner = |p: At| Rect { min: p, max: p };
            l.leader.iter().flatten().fold(bounds(&l.text), |r, p| r.union(&corner(*p))).grown(0.5)
        })
        .collect()
    }

    /// Figures in their places: above the line where they fit; past the end for a short span at an end; else raised
    /// outward in a row, each with a leader.
    fn letters(&self, out: f64) -> Vec<Lettered> {
        let count = self.figures.len();
        let raised = self.raised();
        let mut letters = Vec::new();
        let place = |figure: &str, v: f64, w: f64| {
            Text::new(self.along.point(v, w), FIGURE, figure).turned(self.along.angle()).centred()
        };
        for (i, figure) in self.figures.iter().enumerate().filter(|(_, f)| !f.is_empty()) {
            let Some([a, b]) = self.stops.get(i..i + 2).map(|s| [s[0].at, s[1].at]) else { break };
            let wide = text::width(figure, FIGURE);
            let lift = self.along.above() * (LIFT - text::extent(figure, FIGURE).1[0]);
            let middle = f64::midpoint(a, b);
            if self.fits(i) && !raised.contains(&(figure.as_str(), middle)) {
                letters.push(Lettered { text: place(figure, middle, self.line + lift), leader: None });
            } else if self.is_past(i) && !self.fits(i) {
                // Past the end, over the tail of the outer arrowhead.
                let tail = 1.0 + if b - a < 2.6 * ARROW[0] { ARROW[0] } else { 0.0 };
                let before = i == 0 && count > 1;
                let (from, v, end) = if before {
                    (a, a - tail - wide / 2.0, a - tail - wide)
                } else {
                    (b, b + tail + wide / 2.0, b + tail + wide)
                };
                let leader = [from, end].map(|v| self.along.point(v, self.line));
                letters.push(Lettered { text: place(figure, v, self.line + lift), leader: Some(leader) });
            }
        }
        let places = self.spread(&raised);
        for ((figure, middle), v) in raised.into_iter().zip(places) {
            let ink = text::extent(figure, FIGURE).1;
            // Above the line is outward on one side of the drawing and inward on the other.
            let base = if out == self.along.above() { RAISE - ink[0] } else { RAISE + ink[1] };
            let leader = [(middle, 0.0), (v, RAISE - 0.5)].map(|(v, w)| self.along.point(v, self.line + out * w));
            letters.push(Lettered { text: place(figure, v, self.line + out * base), leader: Some(leader) });
        }
        letters
    }
}

struct Lettered {
    text: Text,
    leader: Option<[At; 2]>,
}

/// Running dimensions from one datum: each figure is the distance from the datum and stands at the end of its own
/// extension line, spread where they would crowd.
#[derive(Clone, Debug)]
pub struct Running {
    /// The direction in which distances run.
    pub along: Along,
    /// Where the figures start, square to that direction.
    pub line: f64,
    /// The stops with their figures, in growing order; the datum is among them, as a rule with the figure 0.
    pub stops: Vec<(Stop, String)>,
}

/// Least distance between two running figures, mm: a stacked fraction is about two heights high.
const PITCH: f64 = 5.6;
/// Length of the slanted part of a spread extension line, mm.
const SLANT: f64 = 5.0;

impl Running {
    /// Draws it.
    pub fn draw(&self, layer: &mut Layer) {
        let places: Vec<f64> = self.stops.iter().map(|(s, _)| s.at).collect();
        for ((stop, figure), v) in self.stops.iter().zip(spread(&places, PITCH)) {
            let out = if self.line >= stop.from { 1.0 } else { -1.0 };
            let point = |v, w| self.along.point(v, w);
            let bend = self.line - out * (SLANT + 1.0);
            let path = if (v - stop.at).abs() < 1e-6 {
                vec![point(stop.at, stop.from + out * GAP), point(v, self.line)]
            } else {
                let back = self.line - out;
                vec![point(stop.at, stop.from + out * GAP), point(stop.at, bend), point(v, back), point(v, self.line)]
            };
            layer.draw(Pen::Dimension, Path::chain(path));
            layer.letter(self.text(figure, v, out));
        }
    }

    /// What its figures cover on the sheet.
    pub fn bounds(&self) -> Option<Rect> {
        let places: Vec<f64> = self.stops.iter().map(|(s, _)| s.at).collect();
        let boxes =
            self.stops.iter().zip(spread(&places, PITCH)).map(|((stop, figure), v)| {
                bounds(&self.text(figure, v, if self.line >= stop.from { 1.0 } else { -1.0 }))
            });
        boxes.reduce(|a, b| a.union(&b))
    }

    /// A figure stands square to the direction of the distances, beyond the line.
    fn text(&self, figure: &str, v: f64, out: f64) -> Text {
        let away = self.line + out * 0.8;
        let text = match self.along {
            Along::Across => Text::new([v + FIGURE / 2.0, away], FIGURE, figure).turned(90.0),
            Along::Up => Text::new([away, v - FIGURE / 2.0], FIGURE, figure),
        };
        if out > 0.0 { text } else { text.ending() }
    }
}

/// Places moved apart until each is `pitch` from the next, each run of crowded ones kept centred over its own; in
/// growing order, as they come.
pub fn spread(places: &[f64], pitch: f64) -> Vec<f64> {
    spread_within(places, &vec![pitch; places.len()], [f64::NEG_INFINITY, f64::INFINITY])
}

/// Places of things of those widths moved apart until none overlap, each run of crowded ones kept centred over its own,
/// and moved into the range as far as all of them fit there; in growing order, as they come.
pub fn spread_within(places: &[f64], widths: &[f64], [low, high]: [f64; 2]) -> Vec<f64> {
    // How far each stands from the first when all touch: less that, the places need only not decrease.
    let mut offsets = vec![0.0];
    offsets.extend(widths.windows(2).scan(0.0, |sum, w| {
        *sum += f64::midpoint(w[0], w[1]);
        Some(*sum)
    }));
    let (Some(first), Some(last), Some(reach)) = (widths.first(), widths.last(), offsets.last()) else {
        return Vec::new();
    };
    // Runs of crowded places: how many, and the mean of what they would have.
    let mut runs: Vec<(usize, f64)> = Vec::new();
    for (place, offset) in places.iter().zip(&offsets) {
        runs.push((1, place - offset));
        while let [.., (n, before), (m, after)] = runs[..] {
            if before <= after {
                break;
            }
            runs.truncate(runs.len() - 2);
            runs.push((n + m, (before * n as f64 + after * m as f64) / (n + m) as f64));
        }
    }
    let (low, high) = (low + first / 2.0, high - last / 2.0 - reach);
    let kept = |v: f64| if low <= high { v.clamp(low, high) } else { f64::midpoint(low, high) };
    let starts = runs.iter().flat_map(|&(n, start)| std::iter::repeat_n(kept(start), n));
    starts.zip(offsets).map(|(start, offset)| start + offset).collect()
}

/// A leader from `tip` (with an arrowhead) to `elbow`, then level to the text, which starts there; to the left if the
/// elbow lies left of the tip.
pub fn leader(layer: &mut Layer, tip: At, elbow: At, says: &str) {
    let side = if elbow[0] >= tip[0] { 1.0 } else { -1.0 };
    let shelf = [elbow[0] + side * 2.0, elbow[1]];
    layer.draw(Pen::Dimension, Path::chain([tip, elbow, shelf]));
    arrow(layer, tip, [tip[0] - elbow[0], tip[1] - elbow[1]]);
    let text = Text::new([shelf[0] + side * 0.8, elbow[1] - FIGURE / 2.0], FIGURE, says);
    layer.letter(if side > 0.0 { text } else { text.ending() });
}

/// A radius: an arrow from the centre's side out to the arc at `on`, its text on a shelf at `elbow`.
pub fn radius(layer: &mut Layer, on: At, elbow: At, says: &str) {
    leader(layer, on, elbow, &format!("R {says}"));
}

/// Radius of a part number's balloon, mm.
pub const BALLOON: f64 = 4.2;

/// A part number in a circle at `centre`, its leader ending in a dot at `tip` on the part.
pub fn balloon(layer: &mut Layer, centre: At, tip: At, says: &str) {
    let (dx, dy) = (tip[0] - centre[0], tip[1] - centre[1]);
    let far = libm::hypot(dx, dy);
    if far > BALLOON {
        let edge = [centre[0] + dx / far * BALLOON, centre[1] + dy / far * BALLOON];
        layer.line(Pen::Dimension, edge, tip);
        dot(layer, tip);
    }
    layer.draw(Pen::Dimension, Path::circle(centre, BALLOON));
    let height = if says.len() > 3 { 1.8 } else { 2.2 };
    layer.letter(Text::new([centre[0], centre[1] - height / 2.0], height, says).centred());
}

/// An extension line from a stop past the dimension line.
fn extension(layer: &mut Layer, along: Along, stop: &Stop, line: f64) {
    let out = if line >= stop.from { 1.0 } else { -1.0 };
    if (line - stop.from).abs() > GAP {
        layer.line(
            Pen::Dimension,
            along.point(stop.at, stop.from + out * GAP),
            along.point(stop.at, line + out * OVERSHOOT),
        );
    }
}

/// A filled arrowhead at `tip`, pointing along `direction` (any length).
pub fn arrow(layer: &mut Layer, tip: At, direction: At) {
    let length = libm::hypot(direction[0], direction[1]);
    if length == 0.0 {
        return;
    }
    let (ux, uy) = (direction[0] / length, direction[1] / length);
    let back = [tip[0] - ux * ARROW[0], tip[1] - uy * ARROW[0]];
    let (sx, sy) = (-uy * ARROW[1], ux * ARROW[1]);
    layer.fill(Path::polygon([tip, [back[0] + sx, back[1] + sy], [back[0] - sx, back[1] - sy]]));
}

/// A dot where a leader ends on a face, or two short dimensions meet.
pub fn dot(layer: &mut Layer, at: At) {
    layer.fill(Path::circle(at, 0.45));
}

/// The upright rectangle round a text's ink.
pub fn bounds(text: &Text) -> Rect {
    let c = text.corners();
    c.iter().fold(Rect { min: c[0], max: c[0] }, |r, p| r.union(&Rect { min: *p, max: *p }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_places_spread_about_their_middle() {
        assert_eq!(spread(&[0.0, 10.0, 11.0, 40.0], 5.0), [0.0, 8.0, 13.0, 40.0]);
        let s = spread(&[1.0, 2.0, 3.0, 4.0, 20.0], 6.0);
        assert!(s.windows(2).all(|w| w[1] - w[0] >= 6.0 - 1e-9), "{s:?}");
        assert_eq!(spread_within(&[1.0, 5.0], &[4.0, 2.0], [0.0, 20.0]), [2.0, 5.0]);
        assert_eq!(spread_within(&[1.0], &[4.0], [0.0, 3.0]), [1.5]);
    }
}
