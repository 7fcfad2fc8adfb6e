//! The section of a raised panel's edge, drawn large.

use case::{Edge, Part, Profile};
use measure::{Length, Ruler};

use super::broken::break_line;
use paper::block::Block;
use paper::dimension::{Along, Chain, Ends, Running, Stop, figure};
use paper::hatch::{Hatch, hatch};
use paper::scale::Scale;
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// Width of the section on the sheet, at most, mm.
const WIDE: f64 = 110.0;
/// What is drawn of the field beyond the raise, mm of the part.
const FIELD: f64 = 16.0;

/// The raise of an edge, as its figures tell it.
#[derive(Clone, Copy)]
struct Raise {
    width: Length,
    tongue: Length,
    depth: Length,
    step: Length,
    thickness: Length,
}

impl Raise {
    fn of(part: &Part, edge: &Edge) -> Option<Self> {
        let Profile::Raise { width, tongue, depth, step } = edge.profile else { return None };
        Some(Self { width, tongue, depth, step, thickness: part.size[edge.faces[0].axis.index()] })
    }

    /// From the back of the rim up and over to the field, at full size: x inward from the rim, y from the back.
    fn line(&self) -> [At; 5] {
        let [w, t, d, s, h] = [self.width, self.tongue, self.depth, self.step, self.thickness].map(Length::mm);
        [[0.0, 0.0], [0.0, h - d], [t, h - d], [w, h - s], [w, h]]
    }
}

/// The section through a raised edge, no larger than a scale; nothing for any other profile.
pub(crate) fn section(part: &Part, edge: &Edge, most: Scale, ruler: &Ruler) -> Option<Block> {
    let raise = Raise::of(part, edge)?;
    let reach = raise.width.mm() + FIELD;
    let scale = if most == Scale::FULL { most } else { Scale::largest(most, |s| reach * s.ratio() <= WIDE) };
    let k = scale.ratio();
    let mut layer = Layer::new("pattern", "Section of the raised edge");
    let on = |[x, y]: At| [x * k, y * k];
    let h = raise.thickness.mm();
    let line = raise.line();
    layer.draw(Pen::Outline, Path::chain(line.into_iter().chain([[reach, h]]).map(on)));
    layer.draw(Pen::Outline, Path::chain([[0.0, 0.0], [reach, 0.0]].map(on)));
    let section: Vec<At> = line.into_iter().chain([[reach, h], [reach, 0.0]]).map(on).collect();
    for path in hatch(&[section], Hatch { angle: 45.0, pitch: &[2.5] }) {
        layer.draw(Pen::Hatch, path);
    }
    layer.draw(Pen::Dimension, break_line(reach * k, [0.0, h * k]));
    let [rim, field] = [on(line[2]), on(line[4])];
    let stop = |at: f64, from: f64| Stop { at, from };
    let show = |l: Length| figure(ruler, l);
    let below = Running {
        along: Along::Across,
        line: -8.0,
        stops: vec![
            (stop(0.0, 0.0), show(Length::ZERO)),
            (stop(rim[0], rim[1]), show(raise.tongue)),
            (stop(field[0], field[1]), show(raise.width)),
        ],
    };
    // Depths count from the panel's face.
    let left = Running {
        along: Along::Up,
        line: -9.0,
        stops: vec![
            (stop(0.0, 0.0), show(raise.thickness)),
            (stop(rim[1], 0.0), show(raise.depth)),
            (stop(h * k, field[0]), show(Length::ZERO)),
        ],
    };
    let step = Chain {
        along: Along::Up,
        line: field[0] + 8.0 * k.max(1.0),
        stops: vec![stop(on(line[3])[1], field[0]), stop(h * k, field[0] + 4.0)],
        figures: vec![show(raise.step)],
        ends: Ends::Past,
    };
    below.draw(&mut layer);
    left.draw(&mut layer);
    if raise.step > Length::ZERO {
        step.draw(&mut layer);
    }
    let mut bounds = [below.bounds(), left.bounds()]
        .into_iter()
        .flatten()
        .fold(Rect::new([0.0, 0.0], reach * k + 2.0, h * k + 2.0), |r, b| r.union(&b));
    bounds = bounds.union(&step.bounds());
    let says = format!("Section of the raised edge, {scale}");
    let foot = [bounds.min[0], bounds.max[1] + 3.0];
    bounds = bounds.union(&Rect::new(foot, text::width(&says, 3.5), 3.5));
    layer.letter(Text::new(foot, 3.5, says));
    Some(Block::Detail(layer, bounds))
}
