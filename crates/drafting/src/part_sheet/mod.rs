//! Part sheets: one for each distinct part, with every cut dimensioned from one datum, so that each can be made from
//! its sheet alone.
//!
//! The datum is the part's own origin: the left end, and the edge or face from which its y and z are counted. Cuts are
//! gathered into features (`feature`), faces are chosen so that each feature is seen on one (`face`), a view of each
//! gets its dimensions and labels (`row`), and views and tables are put on sheets (`layout`). Every figure is read off
//! a cut; what a view cannot show, its label and the table of cuts say.

mod broken;
mod cut_table;
mod edges;
pub(crate) mod face;
pub(crate) mod feature;
mod hidden;
mod layout;
mod notes;
mod plain;
pub(crate) mod raise;
mod row;
mod study;
pub(crate) mod wording;

use case::{Axis, Case, Dir, HiddenLines, Part, PartId, Profile, Projection};
use measure::Ruler;
use rayon::prelude::*;

use crate::solid::Blank;
pub(crate) use face::Face;
use layout::{Matter, Room};
use paper::block::Block;
use paper::scale::Scale;
use paper::scene::{Layer, Rect};
use paper::sheet::{self, Document, Draft, Frame, Sheet};
use row::View;
use study::Spread;
pub(crate) use study::Study;

/// Height of the strip of the part's own particulars on the title block, mm.
pub(crate) const STRIP: f64 = 10.0;
/// Sections of raised edges are drawn no larger.
const TWICE: Scale = Scale { paper: 2, piece: 1 };
/// The end of a part with worked edges is drawn up to this size, or at a pinch to the other, mm.
const END: [f64; 2] = [60.0, 34.0];
/// Arcs of a part are flattened to within this before they are looked at, mm; they are drawn true.
const CHORD: f64 = 0.05;
/// The sheets of all parts in the order of their numbers, those without cuts together on the last.
pub fn part_sheets(case: &Case) -> Vec<Sheet> {
    let (plain, worked): (Vec<_>, Vec<_>) = case.kinds().into_iter().partition(|(part, _)| is_plain(part));
    let mut drafts: Vec<Draft> =
        worked.par_iter().flat_map_iter(|(part, likes)| sheets_of(case, part, likes)).collect();
    drafts.extend(plain::sheets(case, &plain));
    sheet::bind(&case.order, Document { code: "P", kind: "Part drawing", caution: sheet::BY_FIGURES }, drafts)
}

/// Nothing but a squared blank.
fn is_plain(part: &Part) -> bool {
    part.cuts.is_empty() && !part.edges.iter().any(|e| matches!(e.profile, Profile::Raise { .. }))
}

fn sheets_of(case: &Case, part: &Part, likes: &[&Part]) -> Vec<Draft> {
    let ruler = &case.order.ruler;
    let frame = Frame::of(case.order.paper.sheet);
    let width = frame.space.width();
    let study = Study::of(case, part);
    let features = &study.features;
    let plain = |dir: Dir| face::name(case, likes, dir);
    let name = |dir: Dir| face::title(part, plain(dir), dir);
    let solid = Blank::of(part, CHORD, |_| true).solid();
    let worked = edges::worked(part, |i| study::letter_of(features.len() + i));
    let dashed = if case.order.paper.hidden_lines == HiddenLines::Dashed { features.as_slice() } else { &[] };
    let view = |dir: Dir, first: [bool; 2]| {
        let (strokes, hidden) = hidden::looked(part, &solid, Face::of(dir), dashed);
        View {
            remarks: if dir == Dir::PZ { raised(part, &worked) } else { Vec::new() },
            face: Face::of(dir),
            title: name(dir),
            features: study.on(dir).collect(),
            overall: first,
            strokes,
            hidden,
        }
    };
    let mut views = Vec::new();
    let mut across: Vec<Axis> = Vec::new();
    for dir in study.faces.iter().copied() {
        let up = Face::of(dir).up.axis;
        let main = dir.axis == Axis::Z && !across.contains(&Axis::Y);
        views.push(view(dir, [main, dir.axis != Axis::X && !across.contains(&up)]));
        across.push(up);
    }
    let Spread { places, solid: whole, curves } = study::spread(part, features);
    let (mut blocks, mut ends) = (Vec::new(), Vec::new());
    if !features.is_empty() {
        blocks.push(Block::Table(cut_table::cuts(part, features, &name, ruler, width)));
        blocks.extend(cut_table::corners(features, ruler, width).map(Block::Table));
    }
    if !worked.is_empty() {
        blocks.push(Block::Table(edges::table(part, &worked, &plain, ruler)));
        blocks.extend(worked.iter().filter_map(|w| raise::section(part, w.edges[0], TWICE, ruler)));
        // Third angle looks at the right end, first angle at the left end.
        let end = if case.order.paper.projection == Projection::Third { Dir::PX } else { Dir::NX };
        let face = Face::of(end);
        let (strokes, title) = (hidden::looked(part, &solid, face, &[]).0, name(end));
        ends.extend(END.into_iter().filter_map(|most| edges::end(part, &worked, face, &strokes, &title, most)));
    }
    let notes = notes::notes(part, likes, &plain, ruler);
    if !notes.is_empty() {
        blocks.push(Block::Notes(notes));
    }
    let smallest = study.smallest().unwrap_or(f64::MAX);
    let mut matter = Matter { part, faces: views, blocks, places, solid: whole, curves, smallest };
    let room = Room::of(&frame, STRIP);
    let (mut pages, mut scale) = layout::laid_out(&matter, &room, ruler);
    // The end is a help, and not worth a sheet.
    for end in ends {
        matter.blocks.push(end);
        let with_end = layout::laid_out(&matter, &room, ruler);
        if with_end.0.len() <= pages.len() {
            (pages, scale) = with_end;
            break;
        }
        matter.blocks.pop();
    }
    let of = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(i, page)| {
            let mut layers = vec![strip(part, likes, &frame, ruler)];
            layers.extend(page);
            let number = if of > 1 { format!("-{}", i + 1) } else { String::new() };
            let title = if of > 1 { format!(" ({} of {of})", i + 1) } else { String::new() };
            Draft {
                name: format!("part-{}{number}", part.id),
                title: format!("{}  {}{title}", part.id, part.name),
                scale: Some(scale),
                wide: 0.5,
                layers,
            }
        })
        .collect()
}

/// Labels on the slopes of a raised panel.
fn raised(part: &Part, worked: &[edges::Worked<'_>]) -> Vec<([f64; 2], String)> {
    let slope = |w: &edges::Worked<'_>| {
        let Profile::Raise { width, tongue, .. } = w.edges[0].profile else { return None };
        let inward = (width + tongue).half().mm();
        let around = if w.edges.len() == 4 { ", all round" } else { "" };
        Some(([part.size[0].mm() / 3.0, part.size[1].mm() - inward], format!("{}  raised{around}", w.letter)))
    };
    worked.iter().filter_map(slope).collect()
}

/// The part's own particulars, on top of the title block.
pub(crate) fn strip(part: &Part, likes: &[&Part], frame: &Frame, ruler: &Ruler) -> Layer {
    let mut layer = Layer::new("part", "The part");
    let mut x = frame.block.min[0];
    let mut cell = |width: f64| {
        let cell = Rect::new([x, frame.block.max[1]], width, STRIP);
        x += width;
        cell
    };
    let size: Vec<String> = part.size.iter().map(|l| paper::dimension::figure(ruler, *l)).collect();
    let fields = [
        (44.0, "PART", part.name.clone()),
        (43.0, "NUMBERS", numbers(likes)),
        (41.0, "MATERIAL", part.material.to_string()),
        (38.0, "FINISHED SIZE", size.join(" × ")),
        (14.0, "QUANTITY", likes.len().to_string()),
    ];
    for (width, name, says) in fields {
        sheet::field(&mut layer, &cell(width), name, &says, 2.5);
    }
    layer
}

/// `P01; mirror image P03`.
pub(crate) fn numbers(likes: &[&Part]) -> String {
    let list =
        |mirrored: bool| ids(likes.iter().filter(|p| p.same_as.is_some_and(|s| s.mirrored) == mirrored).map(|p| p.id));
    let (plain, mirrored) = (list(false), list(true));
    if mirrored.is_empty() { plain } else { format!("{plain}; mirror image {mirrored}") }
}

/// `P16, P115–P118`.
fn ids(ids: impl Iterator<Item = PartId>) -> String {
    let ids: Vec<u32> = ids.map(|id| id.0).collect();
    let runs = ids.chunk_by(|a, b| a + 1 == *b).flat_map(|run| match run {
        [_, _] | [_] => run.iter().map(|id| PartId(*id).to_string()).collect(),
        _ => vec![format!("{}–{}", PartId(run[0]), PartId(run[run.len() - 1]))],
    });
    runs.collect::<Vec<String>>().join(", ")
}
