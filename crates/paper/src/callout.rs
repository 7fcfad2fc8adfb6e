//! Labels with leaders: in a row over a view, or within it where no line is met.

use crate::dimension::{self, FIGURE};
use crate::scene::{At, Layer, Path, Pen, Rect};
use crate::text::{self, Text};

/// A text with a leader to its feature.
#[derive(Clone, Debug)]
pub struct Label {
    /// Where the leader ends, on the sheet from the foot of the view's left side.
    pub tip: At,
    /// The tip lies within an area, and not on an edge.
    pub dotted: bool,
    /// From the fullest wording to the shortest.
    pub words: [String; 3],
}

/// Left between two labels, mm.
pub const APART: f64 = 4.0;
/// From the view up to its labels, mm.
pub const RISE: f64 = 6.0;

/// A label in its place, from the foot of the view's left side.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Its wording, in its place.
    pub text: Text,
    /// Room that neither another's wording nor its leader may enter.
    covers: Rect,
    leader: Path,
    tip: At,
    /// The arrowhead's direction; none for a dot.
    arrow: Option<At>,
}

/// Labels over a view, its top at `top` and their foot at `line`, all right of `from` and, if they fit so, left of `to`:
/// in the fullest wording for which there is room up to `most`.
pub fn over(mut labels: Vec<Label>, [top, line]: [f64; 2], from: f64, to: f64, most: f64) -> Vec<Placed> {
    labels.sort_by(|a, b| a.tip[0].total_cmp(&b.tip[0]));
    let wide = |k: usize| labels.iter().map(|l| text::width(&l.words[k], FIGURE) + APART).collect::<Vec<f64>>();
    let sum = |k: usize| wide(k).iter().sum::<f64>() - APART;
    let k = (0..2).find(|k| from + sum(*k) <= to.max(most)).unwrap_or(2);
    let room = (to - from).max(sum(k));
    let middles: Vec<f64> = labels.iter().map(|l| l.tip[0] - from).collect();
    let lefts = placed(&middles, &wide(k), room);
    let each = labels.into_iter().zip(lefts).map(|(label, left)| {
        let says = &label.words[k];
        let (width, left) = (text::width(says, FIGURE), from + left);
        let inset = 1.0_f64.min(width / 2.0);
        // Not `clamp`: for the shortest words both bounds are the middle, apart by the last digit.
        let end = [label.tip[0].min(left + width - inset).max(left + inset), line - 1.2];
        let bend = [label.tip[0], top + 1.5];
        let straight = (end[0] - label.tip[0]).abs() < 1e-6;
        let text = Text::new([left, line], FIGURE, says.clone());
        Placed {
            covers: dimension::bounds(&text),
            text,
            leader: if straight { Path::line(label.tip, end) } else { Path::chain([label.tip, bend, end]) },
            tip: label.tip,
            arrow: (!label.dotted).then_some([0.0, -1.0]),
        }
    });
    each.collect()
}

/// A label within a view, near its feature, where its text meets none of the lines and its leader none of the breaks;
/// nothing if there is no such place within `view`.
pub fn inside(label: &Label, view: &Rect, lines: &[[At; 2]], breaks: &[[f64; 2]], others: &[Placed]) -> Option<Placed> {
    let says = &label.words[0];
    let (width, ink) = text::extent(says, FIGURE);
    let ways = [5.0, 9.0, 14.0, 20.0, 28.0]
        .into_iter()
        .flat_map(|far| [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]].map(|[x, y]| [far * x, far * 0.8 * y]));
    ways.into_iter().find_map(|[dx, dy]| {
        let elbow = [label.tip[0] + dx, label.tip[1] + dy];
        let side = dx.signum();
        let start = elbow[0] + side * 2.8 - if side < 0.0 { width } else { 0.0 };
        let foot = elbow[1] - FIGURE / 2.0;
        let text = Rect { min: [start, foot + ink[0]], max: [start + width, foot + ink[1]] }.grown(1.0);
        let reach = [label.tip[0].min(start), label.tip[0].max(start + width)];
        let leader = Path::chain([label.tip, elbow, [elbow[0] + side * 2.0, elbow[1]]]);
        let clear = view.grown(-0.5).holds(&text)
            && breaks.iter().all(|b| b[1] <= reach[0] || reach[1] <= b[0])
            && lines.iter().all(|l| !crosses(l, &text))
            && others.iter().all(|o| {
                !o.covers.overlaps(&text) && !path_crosses(&o.leader, &text) && !path_crosses(&leader, &o.covers)
            });
        clear.then(|| {
            let text = Text::new([start, foot], FIGURE, says.clone());
            let arrow = (!label.dotted).then_some([-dx, -dy]);
            Placed { covers: dimension::bounds(&text), text, leader, tip: label.tip, arrow }
        })
    })
}

fn path_crosses(path: &Path, r: &Rect) -> bool {
    path.segments().any(|s| crosses(&[s.from, s.to], r))
}

/// A line enters a rectangle.
fn crosses([a, b]: &[At; 2], r: &Rect) -> bool {
    // The line's parameter from where it has entered by each axis to where it has left by one.
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for i in 0..2 {
        let d = b[i] - a[i];
        if d.abs() < 1e-12 {
            if a[i] <= r.min[i] || a[i] >= r.max[i] {
                return false;
            }
            continue;
        }
        let (s, e) = ((r.min[i] - a[i]) / d, (r.max[i] - a[i]) / d);
        t0 = t0.max(s.min(e));
        t1 = t1.min(s.max(e));
    }
    t0 < t1
}

impl Placed {
    /// Nothing to be drawn, but room that labels keep clear of.
    pub fn blocking(room: &Rect) -> Self {
        Self {
            text: Text::new(room.min, FIGURE, ""),
            covers: *room,
            leader: Path::chain([]),
            tip: room.min,
            arrow: None,
        }
    }

    /// Draws it, the foot of the view's left side at `at`.
    pub fn draw(&self, layer: &mut Layer, at: At) {
        let moved = |p: At| [p[0] + at[0], p[1] + at[1]];
        layer.draw(Pen::Dimension, self.leader.mapped(false, moved));
        match self.arrow {
            Some(direction) => dimension::arrow(layer, moved(self.tip), direction),
            None => dimension::dot(layer, moved(self.tip)),
        }
        layer.letter(Text { at: moved(self.text.at), ..self.text.clone() });
    }

    /// Right end of its text.
    pub fn right(&self) -> f64 {
        self.text.at[0] + text::width(&self.text.content, FIGURE)
    }
}

/// Room of a size within a region that no line enters: its lower left corner, as near to the region's middle as may be.
pub fn clear(size: [f64; 2], region: &Rect, lines: &[[At; 2]]) -> Option<At> {
    let spare = [region.width() - size[0], region.height() - size[1]];
    if spare[0] < 0.0 || spare[1] < 0.0 {
        return None;
    }
    // Shares of the spare room, the middle first.
    let shares: Vec<f64> = (0..=10).flat_map(|k| [0.5 + 0.05 * f64::from(k), 0.5 - 0.05 * f64::from(k)]).collect();
    let spots = shares.iter().flat_map(|y| shares.iter().map(move |x| [*x, *y]));
    let corner = |share: At| [0, 1].map(|i| region.min[i] + share[i] * spare[i]);
    spots.map(corner).find(|at| {
        let room = Rect::new(*at, size[0], size[1]).grown(1.0);
        lines.iter().all(|l| !crosses(l, &room))
    })
}

/// Left sides of boxes in a row, each as near to its middle as the others let it be, all between 0 and `room` if they
/// fit there.
pub fn placed(middles: &[f64], widths: &[f64], room: f64) -> Vec<f64> {
    // Without the widths of those before it, each box is a point, and points must only keep their order: runs that
    // would not are merged at their mean.
    let mut runs: Vec<(usize, f64)> = Vec::new();
    let mut before = 0.0;
    let mut offsets = Vec::new();
    for (middle, width) in middles.iter().zip(widths) {
        let mut run = (1, middle - (width - APART) / 2.0 - before);
        while let Some(last) = runs.pop_if(|last| last.1 > run.1) {
            let n = (last.0 + run.0) as f64;
            run = (last.0 + run.0, (last.1 * last.0 as f64 + run.1 * run.0 as f64) / n);
        }
        runs.push(run);
        offsets.push(before);
        before += width;
    }
    let most = (room + APART - before).max(0.0);
    let points = runs.iter().flat_map(|&(n, p)| std::iter::repeat_n(p.clamp(0.0, most), n));
    points.zip(offsets).map(|(p, o)| p + o).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leader_keeps_out_of_a_blocked_room() {
        let label = Label { tip: [50.0, 50.0], dotted: true, words: [(); 3].map(|()| "springing".to_owned()) };
        let view = Rect::new([0.0, 0.0], 100.0, 100.0);
        let free = inside(&label, &view, &[], &[], &[]).unwrap();
        // All of the way to its words, but not the words themselves.
        let room = Rect { min: [50.5, 50.5], max: [free.text.at[0] - 1.5, 60.0] };
        let moved = inside(&label, &view, &[], &[], &[Placed::blocking(&room)]).unwrap();
        assert!(!path_crosses(&moved.leader, &room), "{moved:?}");
        assert_ne!(moved.text, free.text);
    }

    #[test]
    fn labels_stand_over_their_tips_or_make_way() {
        assert_eq!(placed(&[50.0, 150.0], &[24.0, 24.0], 200.0), [40.0, 140.0]);
        let crowded = placed(&[50.0, 52.0, 54.0], &[24.0, 24.0, 24.0], 200.0);
        assert!(crowded.windows(2).all(|w| w[1] - w[0] >= 24.0 - 1e-9), "{crowded:?}");
        assert_eq!(placed(&[0.0, 200.0], &[24.0, 24.0], 200.0), [0.0, 180.0]);
    }
}
