//! One face of a part on the sheet: what is seen of it, running dimensions from the datum below and beside it, and
//! labels above.

mod figures;
mod labels;
mod lines;

use case::{Axis, Part};
use measure::{Length, Ruler};

use super::broken::Broken;
use super::face::Face;
use super::feature::{Feature, Place};
use super::hidden::Hidden;
use crate::view::Stroke;
use paper::callout::{self, Placed};
use paper::dimension::{Along, Running, Stop};
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// What a row shows, before its scale is known.
#[derive(Clone, Debug)]
pub(crate) struct View<'a> {
    pub(crate) face: Face,
    pub(crate) title: String,
    /// The features that are dimensioned here; each in one view of the part only.
    pub(crate) features: Vec<&'a Feature<'a>>,
    /// More that is labelled here: where, in mm of the part on the two axes, and what is written.
    pub(crate) remarks: Vec<(At, String)>,
    /// The part's size to the right and up the sheet is dimensioned here.
    pub(crate) overall: [bool; 2],
    /// What is seen of the face.
    pub(crate) strokes: Vec<Stroke>,
    /// What else helps.
    pub(crate) hidden: Vec<Hidden>,
}

/// A view at a scale.
#[derive(Clone, Debug)]
pub(crate) struct Row<'a> {
    view: &'a View<'a>,
    part: &'a Part,
    scale: Broken,
    /// Of the face on the sheet.
    size: [f64; 2],
    /// Below, to the left and to the right, from the foot of the face's left side.
    running: Vec<Running>,
    labels: Vec<Placed>,
    /// Height of the labels' and the title's foot.
    line: f64,
    /// All that it covers, from the foot of the face's left side.
    pub(crate) bounds: Rect,
}

/// Dashed lines are no nearer to one another than this on the sheet, mm: more than ISO 128-2 asks for, which is 0.7.
const DASHED: f64 = 1.5;
/// How far a centre line passes its hole, mm.
const CENTRE_OVER: f64 = 2.0;
/// Ink is on a line if it is so near, mm of the part.
const INK: f64 = 1e-3;
/// Height of a view's title, mm.
const TITLE: f64 = 3.5;
/// From the datum's corner out to its mark's rim, mm.
const DATUM: f64 = 1.0;

impl<'a> Row<'a> {
    pub(crate) fn new(view: &'a View<'a>, part: &'a Part, scale: &Broken, ruler: &Ruler) -> Self {
        let face = view.face;
        let mut scale = scale.clone();
        if face.right.axis != Axis::X {
            scale = Broken::whole(part.size[face.right.axis.index()].mm(), scale.ratio);
        }
        let size = [scale.length(), part.size[face.up.axis.index()].mm() * scale.ratio];
        let mut row = Self {
            view,
            part,
            scale,
            size,
            running: Vec::new(),
            labels: Vec::new(),
            line: 0.0,
            bounds: Rect::new([0.0, 0.0], size[0], size[1]),
        };
        row.dimension(ruler);
        row.bounds = row.running.iter().filter_map(Running::bounds).fold(row.bounds, |r, b| r.union(&b));
        row.line = (size[1] + callout::RISE).max(row.bounds.max[1] + 2.0);
        row.label(ruler);
        row.bounds.max[1] = row.line + TITLE;
        let right = row.labels.iter().map(Placed::right).fold(row.bounds.min[0] + row.title_width(), f64::max);
        row.bounds.max[0] = row.bounds.max[0].max(right);
        row
    }

    /// A name for its layers.
    fn id(&self) -> String {
        let dir = self.view.face.dir;
        let axis = ["x", "y", "z"][dir.axis.index()];
        format!("{axis}-{}", if dir.positive { "high" } else { "low" })
    }

    /// A place of the part to the right and up the sheet.
    fn right(&self, u: Length) -> f64 {
        let right = self.view.face.right;
        if right.positive { self.scale.place(u.mm()) } else { self.size[0] - u.mm() * self.scale.ratio }
    }

    fn up(&self, v: Length) -> f64 {
        self.view.face.height(v.mm(), self.part.size) * self.scale.ratio
    }

    fn title_width(&self) -> f64 {
        text::width(&self.view.title, TITLE)
    }

    /// The rectangle round a feature's place on the sheet.
    fn rect(&self, place: &Place<'_>) -> Rect {
        let [u, v] = [self.view.face.right, self.view.face.up].map(|d| place.bounds.along(d.axis));
        let (x, y) = (u.map(|u| self.right(u)), v.map(|v| self.up(v)));
        Rect { min: [x[0].min(x[1]), y[0].min(y[1])], max: [x[0].max(x[1]), y[0].max(y[1])] }
    }

    /// Draws it with the foot of the face's left side at `at`: the view on one layer, the dimensions on another.
    pub(crate) fn draw(&self, at: At) -> [Layer; 2] {
        let id = self.id();
        let mut view = Layer::new(format!("{id}-view"), self.view.title.clone());
        let mut dims = Layer::new(format!("{id}-dimensions"), format!("Dimensions of {}", self.view.title));
        for stroke in self.dashed() {
            for path in self.on_sheet(&stroke.path, at) {
                view.draw(Pen::Hidden, path);
            }
        }
        for stroke in &self.view.strokes {
            for path in self.on_sheet(&stroke.path, at) {
                view.draw(Pen::Outline, path);
            }
        }
        for path in self.blank() {
            for path in self.on_sheet(&path, at) {
                view.draw(Pen::Phantom, path);
            }
        }
        self.draw_breaks(&mut view, at);
        for line in self.centres() {
            let [a, b] = line.map(|p| [p[0] + at[0], p[1] + at[1]]);
            view.line(Pen::Centre, a, b);
        }
        let face = self.view.face;
        let corner = [self.right(Length::ZERO), self.up(Length::ZERO)];
        if face.right.axis == Axis::X {
            dims.draw(Pen::Dimension, Path::circle([at[0] + corner[0], at[1] + corner[1]], DATUM));
        }
        for running in &self.running {
            moved(running, at).draw(&mut dims);
        }
        for label in &self.labels {
            label.draw(&mut dims, at);
        }
        let title = [at[0] + self.bounds.min[0], at[1] + self.line];
        dims.letter(Text::new(title, TITLE, self.view.title.clone()));
        [view, dims]
    }
}

fn moved(running: &Running, at: At) -> Running {
    let (along, square) = match running.along {
        Along::Across => (at[0], at[1]),
        Along::Up => (at[1], at[0]),
    };
    let stops =
        running.stops.iter().map(|(s, f)| (Stop { at: s.at + along, from: s.from + square }, f.clone())).collect();
    Running { along: running.along, line: running.line + square, stops }
}
