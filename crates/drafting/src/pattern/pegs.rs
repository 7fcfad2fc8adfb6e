//! The pattern of the pegs: where their holes lie, full size, for each kind of joint that they hold, and the peg itself.
//!
//! A layout is a post's face beside a rail: it is laid on with its left side on the shoulder line and its foot on the
//! rail's lower edge, and the corners of the holes are pricked through.

use std::collections::BTreeMap;

use case::{Axis, Case, Dir, JointKind, Part, PartId};
use measure::{Length, Ruler};

use super::{check_bar, sheet, sheet::Laid};
use paper::block::Block;
use paper::dimension::{Along, Running, Stop, figure};
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// Between two layouts, with room for the figures of the next, mm.
const APART: f64 = 34.0;
/// From a layout down to its figures and to the left, mm.
const BELOW: f64 = 8.0;
/// Height of a caption, mm.
const CAPTION: f64 = 2.5;

/// Where the pegs of a joint lie: along the rail from its shoulder into the post, and up from the rail's lower edge.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Layout {
    /// The post's width and the rail's height.
    size: [Length; 2],
    /// Each hole by its two ranges.
    holes: Vec<[[Length; 2]; 2]>,
    /// What of the tenon lies behind.
    tenon: [[Length; 2]; 2],
}

/// One sheet for each kind of peg.
pub(crate) fn drafts(case: &Case) -> Vec<Laid> {
    let kinds = case.kinds().into_iter().filter(|(p, _)| p.role == case::Role::Peg);
    kinds.map(|(peg, likes)| draft(case, peg, &likes)).collect()
}

/// The layouts of the pegs of a kind, each with the posts and rails that have it.
fn layouts(case: &Case, likes: &[&Part]) -> BTreeMap<Layout, Vec<[PartId; 2]>> {
    let mut pairs: BTreeMap<[PartId; 2], Vec<PartId>> = BTreeMap::new();
    for joint in case.joints.iter().filter(|j| j.kind == JointKind::Peg) {
        if let [post, rail, peg] = joint.parts[..]
            && likes.iter().any(|p| p.id == peg)
        {
            pairs.entry([post, rail]).or_default().push(peg);
        }
    }
    let mut out: BTreeMap<Layout, Vec<[PartId; 2]>> = BTreeMap::new();
    for (pair, pegs) in pairs {
        out.extend(layout(case, pair, &pegs).filter(|l| !out.contains_key(l)).map(|l| (l, Vec::new())));
        if let Some(all) = layout(case, pair, &pegs).and_then(|l| out.get_mut(&l)) {
            all.push(pair);
        }
    }
    out
}

fn layout(case: &Case, [post, rail]: [PartId; 2], pegs: &[PartId]) -> Option<Layout> {
    let joint = case.joints.iter().find(|j| j.kind == JointKind::MortiseAndTenon && j.parts[..] == [post, rail])?;
    let into = joint.insertion?;
    let (post, rail) = (case.part(post), case.part(rail));
    let mortise = post.cuts.iter().find(|c| c.joint == Some(joint.id))?.bounds(post.size);
    let (at, mortise, rail) = (post.case_box(), post.placement.box_to_case(&mortise), rail.case_box());
    let (shoulder, low) = (at.along(into.axis)[usize::from(!into.positive)], rail.along(Axis::Z)[0]);
    let across = |r: [Length; 2]| {
        let [a, b] = r.map(|l| (l - shoulder) * into.sign());
        [a.min(b), a.max(b)]
    };
    let ranges = |b: &case::Box3| [across(b.along(into.axis)), b.along(Axis::Z).map(|z| z - low)];
    let mut holes: Vec<[[Length; 2]; 2]> = pegs.iter().map(|p| ranges(&case.part(*p).case_box())).collect();
    holes.sort_unstable();
    let size = [ranges(&at)[0][1], rail.size()[2]];
    Some(Layout { size, holes, tenon: ranges(&mortise) })
}

fn draft(case: &Case, peg: &Part, likes: &[&Part]) -> Laid {
    let ruler = &case.order.ruler;
    let mut layer = Layer::new("pattern", "Holes of the pegs, and the peg");
    let mut bounds = Rect::new([0.0, 0.0], 0.0, 0.0);
    let mut x = 0.0;
    for (layout, pairs) in layouts(case, likes) {
        let room = draw(&mut layer, &layout, &caption(&pairs), x, ruler);
        x = room.max[0] + APART;
        bounds = bounds.union(&room);
    }
    bounds = bounds.union(&itself(&mut layer, case, peg, x, ruler));
    let side = figure(ruler, peg.size[1]);
    let notes = vec![
        "Lay a pattern on the face that the pegs enter, its left side on the shoulder line, its foot level with the rail's \
         lower edge; for the other hand turn it over. Prick the corners of the holes through."
            .to_owned(),
        format!("Holes {side} square, bored and chopped square from the face, the rail's tenon in place and clamped."),
        "Split pegs from straight grain, or saw them along it; taper the tip that goes in. Drive them in glued.".into(),
    ];
    let matter = sheet::Matter {
        name: format!("pattern-{}-pegs", peg.id),
        title: format!("{}  pegs, full size", peg.id),
        part: peg,
        likes,
        layers: vec![layer],
        other: Vec::new(),
        bounds,
        blocks: vec![check_bar::block(), Block::Notes(notes)],
    };
    sheet::laid_out(matter, ruler)
}

/// `P05, P06 in P01, P03`.
fn caption(pairs: &[[PartId; 2]]) -> String {
    let list = |k: usize| {
        let mut ids: Vec<PartId> = pairs.iter().map(|p| p[k]).collect();
        ids.sort_unstable();
        ids.dedup();
        ids.iter().map(PartId::to_string).collect::<Vec<_>>().join(", ")
    };
    format!("{} in {}", list(1), list(0))
}

/// Draws a layout with the foot of its shoulder at `x`; returns what it covers.
fn draw(layer: &mut Layer, layout: &Layout, caption: &str, x: f64, ruler: &Ruler) -> Rect {
    let rect = |[u, v]: [[Length; 2]; 2]| Rect { min: [x + u[0].mm(), v[0].mm()], max: [x + u[1].mm(), v[1].mm()] };
    let whole = rect(layout.size.map(|l| [Length::ZERO, l]));
    layer.draw(Pen::Fine, Path::rectangle(&whole));
    layer.draw(Pen::Hidden, Path::rectangle(&rect(layout.tenon)));
    for hole in &layout.holes {
        let at = rect(*hole);
        layer.draw(Pen::Outline, Path::rectangle(&at));
        let [a, b, c, d] = at.corners();
        layer.line(Pen::Texture, a, c);
        layer.line(Pen::Texture, b, d);
    }
    let figures = |k: usize| {
        let ends = layout.holes.iter().flat_map(|h| h[k]);
        let mut all: Vec<Length> = ends.chain([Length::ZERO, layout.size[k]]).collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    let across = figures(0).into_iter().map(|l| (Stop { at: x + l.mm(), from: 0.0 }, figure(ruler, l))).collect();
    let up = figures(1).into_iter().map(|l| (Stop { at: l.mm(), from: x }, figure(ruler, l))).collect();
    let runs = [
        Running { along: Along::Across, line: -BELOW, stops: across },
        Running { along: Along::Up, line: x - BELOW, stops: up },
    ];
    runs.iter().for_each(|r| r.draw(layer));
    let mut room = titled(layer, caption, [x, whole.max[1]]).union(&whole);
    for bounds in runs.iter().filter_map(Running::bounds) {
        room = room.union(&bounds);
    }
    room
}

/// A caption over a drawing.
fn titled(layer: &mut Layer, says: &str, [x, top]: At) -> Rect {
    layer.letter(Text::new([x, top + 4.0], CAPTION, says.to_owned()));
    Rect { min: [x, top], max: [x + text::width(says, CAPTION), top + 4.0 + CAPTION] }
}

/// The peg from the side, its end that stands proud to the right.
fn itself(layer: &mut Layer, case: &Case, peg: &Part, x: f64, ruler: &Ruler) -> Rect {
    let [long, side, _] = peg.size;
    let whole = Rect::new([x, 0.0], long.mm(), side.mm());
    layer.draw(Pen::Outline, Path::rectangle(&whole));
    let depth = case.joints.iter().find(|j| j.kind == JointKind::Peg && j.parts.contains(&peg.id)).and_then(|j| {
        let out: Dir = j.insertion?.opposite();
        let face = |p: &Part| p.case_box().along(out.axis)[usize::from(out.positive)];
        Some(long - (face(peg) - face(case.part(j.parts[0]))).abs())
    });
    let mut stops = vec![Length::ZERO, depth.unwrap_or(long), long];
    stops.dedup();
    for at in &stops[1..stops.len() - 1] {
        layer.line(Pen::Fine, [x + at.mm(), 0.0], [x + at.mm(), side.mm()]);
    }
    let stops = stops.into_iter().map(|l| (Stop { at: x + l.mm(), from: 0.0 }, figure(ruler, l))).collect();
    let running = Running { along: Along::Across, line: -BELOW, stops };
    running.draw(layer);
    let says = format!("peg, {} square; beyond the line proud", figure(ruler, side));
    let room = titled(layer, &says, [x, whole.max[1]]).union(&whole);
    running.bounds().map_or(room, |b| room.union(&b))
}
