//! The labels of a view, and where their leaders point.

use measure::{Length, Ruler};

use super::super::feature::{Feature, Place};
use super::super::wording;
use super::Row;
use paper::callout::{self, Label, Placed};
use paper::dimension::{Along, Running};
use paper::scene::{At, Rect};

/// A feature whose leader would run so far through the view is labelled within it, mm.
const DEEP: f64 = 20.0;
/// Labels may spread so far to the right of a small view, mm.
const SPREAD: f64 = 110.0;

impl Row<'_> {
    pub(super) fn label(&mut self, ruler: &Ruler) {
        let mut labels: Vec<Label> = Vec::new();
        for f in &self.view.features {
            let deep = wording::depth(f, self.part.size, ruler);
            let shown = if f.pitch().is_some() { 1 } else { f.places.len() };
            // Of several across the grain, the uppermost.
            let skip = if self.view.face.up.positive { f.across - 1 } else { 0 };
            for (k, place) in f.places.iter().skip(skip).step_by(f.across).take(shown).enumerate() {
                let (tip, dotted) = self.tip(f, place, &labels);
                labels.push(Label { tip, dotted, words: wording::wordings(f, &deep, k == 0, ruler) });
            }
        }
        for ([u, v], says) in &self.view.remarks {
            let tip = [self.right(Length::from_mm(*u)), self.up(Length::from_mm(*v))];
            labels.push(Label { tip, dotted: true, words: [says.clone(), says.clone(), says.clone()] });
        }
        // What lies deep in a view is labelled there, if there is a place clear of all lines, and of the leaders to the
        // labels above.
        let (mut deep, mut high): (Vec<_>, Vec<_>) = labels.into_iter().partition(|l| self.size[1] - l.tip[1] > DEEP);
        let lines = if deep.is_empty() { Vec::new() } else { self.lines() };
        let view = Rect::new([0.0, 0.0], self.size[0], self.size[1]);
        let breaks: Vec<[f64; 2]> = self.breaks().collect();
        let inside = loop {
            let leaders = high.iter().map(|l| [l.tip, [l.tip[0], self.size[1]]]);
            let lines: Vec<[At; 2]> = lines.iter().copied().chain(leaders).collect();
            let mut placed: Vec<Placed> = Vec::new();
            let failed = deep.iter().position(|l| {
                let found = callout::inside(l, &view, &lines, &breaks, &placed);
                placed.extend(found.clone());
                found.is_none()
            });
            match failed {
                Some(at) => high.push(deep.remove(at)),
                None => break placed,
            }
        };
        let from = (self.bounds.min[0] + self.title_width() + 4.0).max(0.0);
        let to = self.bounds.max[0].max(self.size[0]);
        self.labels = inside;
        self.labels.extend(callout::over(high, [self.size[1], self.line], from, to, SPREAD));
    }

    /// All lines that a text within the view must keep clear of.
    fn lines(&self) -> Vec<[At; 2]> {
        let strokes = self.view.strokes.iter().chain(self.dashed()).flat_map(|s| self.on_sheet(&s.path, [0.0, 0.0]));
        let mut lines: Vec<[At; 2]> =
            strokes.flat_map(|p| p.flattened(0.5).windows(2).map(|w| [w[0], w[1]]).collect::<Vec<_>>()).collect();
        for r in &self.running {
            lines.extend(r.stops.iter().map(|(s, _)| [r.along.point(s.at, s.from), r.along.point(s.at, r.line)]));
        }
        for [a, b] in self.scale.breaks() {
            lines.extend([a - 1.0, a + 1.0, b - 1.0, b + 1.0].map(|x| [[x, 0.0], [x, self.size[1]]]));
        }
        lines.extend(self.centres());
        lines
    }

    /// Where a leader from above best meets a feature: a dot where nothing else is cut, or an arrow on the upper edge
    /// of what is too small for a dot, and of holes and curves.
    fn tip(&self, f: &Feature<'_>, place: &Place<'_>, taken: &[Label]) -> (At, bool) {
        let rect = self.rect(place);
        if f.is_curved() || rect.height().min(rect.width()) < 2.4 {
            return ([rect.centre()[0], rect.max[1]], false);
        }
        let others: Vec<Rect> = self
            .view
            .features
            .iter()
            .filter(|o| o.letter != f.letter)
            .flat_map(|o| o.places.iter().map(|p| self.rect(p)))
            .filter(|o| !o.holds(&rect))
            .collect();
        let free = |p: &At| {
            let dot = Rect { min: *p, max: *p }.grown(0.8);
            let level =
                |r: &Running| r.along == Along::Across || r.stops.iter().all(|(s, _)| (s.at - p[1]).abs() > 0.8);
            others.iter().all(|o| !o.overlaps(&dot))
                && self.running.iter().all(level)
                && self.breaks().all(|b| p[0] < b[0] || b[1] < p[0])
                && taken.iter().all(|l| (l.tip[0] - p[0]).abs() > 1.5)
        };
        let spots = [0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95].into_iter().flat_map(|x| {
            [0.5, 0.7, 0.85, 0.3, 0.15].map(|y| [rect.min[0] + x * rect.width(), rect.min[1] + y * rect.height()])
        });
        (spots.clone().find(free).unwrap_or(rect.centre()), true)
    }

    /// The breaks of this view, with a little room.
    pub(super) fn breaks(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.scale.breaks().map(|[a, b]| [a - 2.0, b + 2.0])
    }
}
