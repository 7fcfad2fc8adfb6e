//! Worked edges: the table of them, and the end of the part drawn large with its arrises lettered.

use case::{Axis, Dir, Edge, Part, Profile};
use measure::{Length, Ruler};

use super::face::Face;
use crate::view::Stroke;
use paper::block::Block;
use paper::dimension::{self, figure};
use paper::scale::Scale;
use paper::scene::{Layer, Pen, Rect};
use paper::table::{Table, wrapped};
use paper::text::{self, Text};

/// Arrises in one cell are wrapped to this width, mm.
const ARRISES: f64 = 60.0;

/// Edges of one profile, with their letter.
pub(crate) struct Worked<'a> {
    pub(crate) letter: String,
    pub(crate) edges: Vec<&'a Edge>,
}

/// The worked edges of a part by profile, lettered by `letter`, which counts from 0.
pub(crate) fn worked(part: &Part, letter: impl Fn(usize) -> String) -> Vec<Worked<'_>> {
    let mut out: Vec<Worked<'_>> = Vec::new();
    for edge in &part.edges {
        match out.iter_mut().find(|w| w.edges[0].profile == edge.profile) {
            Some(w) => w.edges.push(edge),
            None => out.push(Worked { letter: letter(out.len()), edges: vec![edge] }),
        }
    }
    out
}

/// The table of worked edges; an arris goes by the names of the faces that meet there.
pub(crate) fn table(part: &Part, worked: &[Worked<'_>], name: &dyn Fn(Dir) -> &'static str, ruler: &Ruler) -> Table {
    let mut table = Table::new("Worked edges", &["", "PROFILE", "ARRISES, BY THE FACES THAT MEET"]);
    for w in worked {
        let arrises: Vec<String> = match all_round(part, w) {
            Some(face) => vec![format!("all round the {}", name(face))],
            None => w.edges.iter().map(|e| arris(part, e, name, ruler)).collect(),
        };
        table.rows.push(vec![w.letter.clone(), profile(w.edges[0], ruler), wrapped(&arrises.join(", "), ARRISES)]);
    }
    table
}

/// The face all four arrises of which are worked from end to end, and nothing else.
fn all_round(part: &Part, worked: &Worked<'_>) -> Option<Dir> {
    let whole = |e: &&Edge| e.from == Length::ZERO && axis(e).is_some_and(|a| e.to >= part.size[a.index()]);
    let face = Dir::ALL.into_iter().find(|d| worked.edges.iter().all(|e| e.faces.contains(d)))?;
    (worked.edges.len() == 4 && worked.edges.iter().all(whole)).then_some(face)
}

fn arris(part: &Part, edge: &Edge, name: &dyn Fn(Dir) -> &'static str, ruler: &Ruler) -> String {
    let faces = edge.faces.map(name).join("–");
    let whole = axis(edge).map_or(Length::ZERO, |a| part.size[a.index()]);
    if edge.from == Length::ZERO && edge.to >= whole {
        return faces;
    }
    format!("{faces} from {} to {}", figure(ruler, edge.from), figure(ruler, edge.to))
}

/// The axis along which an arris runs.
fn axis(edge: &Edge) -> Option<Axis> {
    Axis::ALL.into_iter().find(|a| edge.faces.iter().all(|f| f.axis != *a))
}

/// `round, R 1/16`.
pub(crate) fn profile(edge: &Edge, ruler: &Ruler) -> String {
    let show = |l: Length| figure(ruler, l);
    match edge.profile {
        Profile::Round { radius } => format!("round, R {}", show(radius)),
        Profile::Chamfer { width } => format!("chamfer, {} at 45°", show(width)),
        Profile::Raise { .. } => "raised, see the section".into(),
    }
}

/// The end of a part of small section, no larger than `most` mm, with its worked arrises lettered; nothing if none runs
/// along the grain.
pub(crate) fn end(
    part: &Part,
    worked: &[Worked<'_>],
    face: Face,
    strokes: &[Stroke],
    title: &str,
    most: f64,
) -> Option<Block> {
    let size = [face.right, face.up].map(|d| part.size[d.axis.index()].mm());
    let round = |e: &Edge| axis(e) == Some(Axis::X) && !matches!(e.profile, Profile::Raise { .. });
    if !worked.iter().flat_map(|w| &w.edges).any(|e| round(e)) {
        return None;
    }
    let scale = Scale::largest(Scale { paper: 5, piece: 1 }, |s| size[0].max(size[1]) * s.ratio() <= most);
    if scale.ratio() < 0.5 {
        return None;
    }
    let k = scale.ratio();
    let mut layer = Layer::new("end", title);
    let low = [face.right, face.up].map(|d| if d.positive { 0.0 } else { part.size[d.axis.index()].mm() });
    for s in strokes {
        layer.draw(Pen::Outline, s.path.mapped(false, |p| [(p[0] + low[0]) * k, (p[1] + low[1]) * k]));
    }
    let [w, h] = size.map(|v| v * k);
    let mut bounds = Rect::new([0.0, 0.0], w, h);
    for group in worked {
        for edge in group.edges.iter().filter(|e| round(e)) {
            // Which side of the end each of the two faces makes.
            let side = |d: Dir| edge.faces.contains(&d);
            let (x, right) = if side(face.right) { (w, 1.0) } else { (0.0, -1.0) };
            let (y, up) = if side(face.up) { (h, 1.0) } else { (0.0, -1.0) };
            let inward = match edge.profile {
                Profile::Round { radius } => radius.mm() * k * (1.0 - std::f64::consts::FRAC_1_SQRT_2),
                Profile::Chamfer { width } | Profile::Raise { width, .. } => width.mm() * k / 2.0,
            };
            let tip = [x - right * inward, y - up * inward];
            dimension::leader(&mut layer, tip, [x + right * 5.0, y + up * 4.0], &group.letter);
            let reach = 8.5 + text::width(&group.letter, dimension::FIGURE);
            let far = [x + right * reach, y + up * 6.0];
            bounds = bounds.union(&Rect { min: far, max: far });
        }
    }
    let says = format!("{title}, {scale}");
    let left = (w - text::width(&says, 3.5)) / 2.0;
    let foot = bounds.max[1] + 2.0;
    layer.letter(Text::new([left, foot], 3.5, says.clone()));
    let title = Rect::new([left, foot], text::width(&says, 3.5), 3.5);
    Some(Block::Detail(layer, bounds.union(&title)))
}
