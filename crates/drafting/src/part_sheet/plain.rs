//! The sheet of plain parts: beads, pegs, panels and the like, which are sawn to size and no more.

use case::{Case, Part};
use measure::Length;

use super::broken::{Broken, break_line};
use super::{edges, numbers};
use paper::dimension::figure;
use paper::scale::Scale;
use paper::scene::{Layer, Path, Pen, Rect};
use paper::sheet::{Draft, Frame};
use paper::table::{Table, wrapped};

/// Width and height of a figure, mm, where the sheet is wide enough.
const FIGURE: [f64; 2] = [62.0, 13.0];
/// The other columns are no wider than this together, mm.
const COLUMNS: f64 = 136.0;
/// A part is drawn no narrower if a break can help it, mm.
const SEEN: f64 = 4.0;
/// Round a figure in its cell, mm.
const ROUND: f64 = 2.0;
/// Between the face and the end of a part, mm.
const BESIDE: f64 = 6.0;
/// Part numbers are wrapped to this width, mm.
const NUMBERS: f64 = 30.0;

/// One row to a kind, with a small figure: the face, its grain from left to right, and the end.
pub(crate) fn sheets(case: &Case, kinds: &[(&Part, Vec<&Part>)]) -> Vec<Draft> {
    let ruler = &case.order.ruler;
    let frame = Frame::of(case.order.paper.sheet);
    let room = frame.above_block();
    let wide = (room.width() - COLUMNS).clamp(20.0, FIGURE[0]);
    let head = ["FACE AND END", "SCALE", "NUMBERS", "OFF", "PART", "LENGTH × WIDTH × THICK"];
    let mut table = Table::new("Parts that are cut to size and no more; length along the grain", &head);
    table.least_widths = vec![wide + 2.0 * ROUND];
    table.least_height = FIGURE[1] + 2.0 * ROUND;
    let figures: Vec<Small> = kinds.iter().map(|(part, _)| Small::of(part, wide)).collect();
    for ((part, likes), small) in kinds.iter().zip(&figures) {
        let mut what = vec![part.name.clone(), part.material.to_string()];
        what.extend(
            edges::worked(part, |_| String::new())
                .iter()
                .map(|w| format!("{}, {} arrises", edges::profile(w.edges[0], ruler), w.edges.len())),
        );
        table.rows.push(vec![
            String::new(),
            small.scale.to_string(),
            wrapped(&numbers(likes), NUMBERS),
            likes.len().to_string(),
            what.join("\n"),
            part.size.map(|l| figure(ruler, l)).join(" × "),
        ]);
    }
    let mut drafts = Vec::new();
    let (mut rest, mut figures) = ((!table.rows.is_empty()).then_some(table), figures.iter());
    while let Some(table) = rest {
        let (now, later) = table.split(room.height());
        let at = [room.min[0] + ((room.width() - now.size()[0]) / 2.0).max(0.0), room.max[1]];
        let mut layer = Layer::new("plain-parts", "Plain parts");
        now.draw(&mut layer, at);
        // A row without a scale goes on from the sheet before, with more numbers.
        let cells = now.column(at, 0).into_iter().zip(&now.rows).filter(|(_, row)| !row[1].is_empty());
        for ((cell, _), small) in cells.zip(figures.by_ref()) {
            small.draw(&mut layer, &cell);
        }
        rest = later;
        drafts.push(Draft {
            name: format!("parts-plain-{}", drafts.len() + 1),
            title: "Parts cut to size".into(),
            scale: None,
            wide: 0.35,
            layers: vec![layer],
        });
    }
    drafts
}

/// The figure of a plain part.
struct Small {
    scale: Scale,
    along: Broken,
    /// Width and thickness on the sheet.
    end: [f64; 2],
}

impl Small {
    /// Whole if that is not too small to be seen, or else with a break.
    fn of(part: &Part, wide: f64) -> Self {
        let [length, width, thick] = part.size.map(Length::mm);
        let most = Scale { paper: 2, piece: 1 };
        let fits = |s: Scale| width * s.ratio() <= FIGURE[1] && thick * s.ratio() <= wide / 4.0;
        let broken = |s: Scale| {
            Broken::fitted(s.ratio(), &[0.0, length], &[], wide - BESIDE - thick * s.ratio()).filter(|_| fits(s))
        };
        let whole = Scale::largest(most, |s| broken(s).is_some_and(|b| b.breaks().count() == 0));
        let seen = width * whole.ratio() >= SEEN;
        let scale = if seen { whole } else { Scale::largest(most, |s| broken(s).is_some()) };
        let k = scale.ratio();
        let along = broken(scale).unwrap_or(Broken::whole(length, k));
        Self { scale, along, end: [width * k, thick * k] }
    }

    fn draw(&self, layer: &mut Layer, cell: &Rect) {
        let [width, thick] = self.end;
        let whole = self.along.length() + BESIDE + thick;
        let [x, y] = [cell.centre()[0] - whole / 2.0, cell.centre()[1] - width / 2.0];
        for [from, to] in self.along.kept() {
            let (a, b) = (x + self.along.place(*from), x + self.along.place(*to));
            for level in [y, y + width] {
                layer.line(Pen::Outline, [a, level], [b, level]);
            }
        }
        for end in [0.0, self.along.length()] {
            layer.line(Pen::Outline, [x + end, y], [x + end, y + width]);
        }
        for at in self.along.breaks().flatten() {
            layer.draw(Pen::Dimension, break_line(x + at, [y, y + width]));
        }
        let end = Rect::new([x + whole - thick, y], thick, width);
        layer.draw(Pen::Outline, Path::rectangle(&end));
    }
}
