//! The drawing of a jig: its blank and openings at full size, what it makes of the work, where the work's edge comes,
//! and in words how it is set and used.

use case::{Case, Cut, Jig, JigKind, Jigs, Part, Serves};
use measure::{Length, Ruler};

use super::sheet::Laid;
use super::{check_bar, sheet};
use crate::part_sheet::{self, face};
use paper::block::Block;
use paper::callout;
use paper::dimension::{Along, FIGURE, Running, Stop, figure};
use paper::scene::{At, Layer, Path, Pen, Rect};
use paper::table::{self, Table};
use paper::text::{self, Text};

/// From the jig's sides to its figures, mm.
const BESIDE: f64 = 10.0;
/// How far the centre line passes what it halves, so that it is marked on the jig beyond the opening, mm.
const OVER: f64 = 12.0;
/// Width of a column of cut numbers, mm.
const IDS: f64 = 60.0;

/// The draft of a jig, on a paper of its own size.
pub(super) fn draft(case: &Case, jigs: &Jigs, jig: &Jig) -> Laid {
    let ruler = &case.order.ruler;
    let part = jigs.case.part(jig.part);
    let [long, wide] = [part.size[0].mm(), part.size[1].mm()];
    let mut edges = Layer::new("pattern", "The jig");
    let blank = Rect::new([0.0, 0.0], long, wide);
    edges.draw(Pen::Outline, Path::rectangle(&blank));
    for cut in &part.cuts {
        edges.draw(Pen::Outline, opening(cut));
    }
    let mut marks = Layer::new("marks", "Edge and marks of the work, figures");
    let mut lines = marked(&mut marks, jig, long);
    lines.extend(part.cuts.iter().flat_map(|c| chords(&opening(c))));
    let figures = [running(jig, part, Along::Across, ruler), running(jig, part, Along::Up, ruler)];
    for running in &figures {
        running.draw(&mut marks);
    }
    words(&mut marks, jig, part, &lines);
    let bounds = figures.iter().filter_map(Running::bounds).fold(blank, |a, b| a.union(&b));
    let name = part.name.as_str();
    let matter = sheet::Matter {
        name: format!("jig-{}", part.id),
        title: format!("{}  {name}, full size", part.id),
        part,
        likes: &[part],
        layers: vec![edges, marks],
        other: Vec::new(),
        bounds,
        blocks: vec![check_bar::block(), Block::Table(work(case, jig, ruler)), Block::Notes(notes(case, jig, ruler))],
    };
    sheet::laid_out(matter, ruler)
}

fn opening(cut: &Cut) -> Path {
    Path { vertices: cut.outline.0.iter().map(|v| ([v.u.mm(), v.v.mm()], v.bulge)).collect(), closed: true }
}

fn chords(path: &Path) -> Vec<[At; 2]> {
    let mut points = path.flattened(0.2);
    points.extend(points.first().copied());
    points.windows(2).map(|w| [w[0], w[1]]).collect()
}

/// The work's edge, and what is made of it; the lines that are drawn.
fn marked(layer: &mut Layer, jig: &Jig, long: f64) -> Vec<[At; 2]> {
    let mut paths: Vec<(Pen, Path)> = Vec::new();
    if jig.fence > Length::ZERO {
        let fence = jig.fence.mm();
        paths.push((Pen::Phantom, Path::line([0.0, fence], [long, fence])));
    }
    for [[x0, x1], [y0, y1]] in jig.makes.iter().map(|m| m.map(|range| range.map(Length::mm))) {
        let middle = [f64::midpoint(x0, x1), f64::midpoint(y0, y1)];
        if jig.kind == JigKind::PinRow {
            paths.push((Pen::Fine, Path::line([x0 - 1.0, middle[1]], [x1 + 1.0, middle[1]])));
            paths.push((Pen::Fine, Path::line([middle[0], y0 - 1.0], [middle[0], y1 + 1.0])));
        } else {
            paths.push((Pen::Hidden, Path::rectangle(&Rect { min: [x0, y0], max: [x1, y1] })));
            paths.push((Pen::Centre, Path::line([middle[0], y0 - OVER], [middle[0], y1 + OVER])));
        }
    }
    let lines = paths.iter().flat_map(|(_, path)| chords(path)).collect();
    for (pen, path) in paths {
        layer.draw(pen, path);
    }
    lines
}

/// Distances from the jig's left end, or from its lower side.
fn running(jig: &Jig, part: &Part, along: Along, ruler: &Ruler) -> Running {
    let axis = usize::from(along == Along::Up);
    let mut at = vec![Length::ZERO, part.size[axis]];
    let middle = |[a, b]: [Length; 2]| a + (b - a).half();
    if jig.kind == JigKind::PinRow {
        at.extend(jig.makes.iter().map(|m| middle(m[axis])));
    } else {
        at.extend(part.cuts.iter().flat_map(|c| c.outline.bounds_of_vertices()[axis]));
        at.extend(jig.makes.iter().flat_map(|m| m[axis]));
        if axis == 0 {
            at.extend(jig.makes.iter().map(|m| middle(m[axis])));
        } else {
            at.push(jig.fence);
        }
    }
    at.sort_unstable();
    at.dedup();
    let stops = at.into_iter().map(|l| (Stop { at: l.mm(), from: 0.0 }, figure(ruler, l))).collect();
    Running { along, line: -BESIDE, stops }
}

/// The jig's name and where its fence goes, on the wood.
fn words(layer: &mut Layer, jig: &Jig, part: &Part, lines: &[[At; 2]]) {
    let [long, wide] = [part.size[0].mm(), part.size[1].mm()];
    let blank = Rect::new([0.0, 0.0], long, wide).grown(-1.0);
    let mut lines = lines.to_vec();
    let mut put = |height: f64, says: String, region: &Rect| {
        let size = [text::width(&says, height) + 2.0, height + 2.0];
        if let Some([x, y]) = callout::clear(size, region, &lines) {
            layer.letter(Text::new([x + 1.0, y + 1.0], height, says));
            lines.extend(chords(&Path::rectangle(&Rect::new([x, y], size[0], size[1]))));
        }
    };
    let fence = jig.fence.mm();
    if fence > 0.0 {
        put(FIGURE, "fence under here, up to this line".into(), &Rect { min: blank.min, max: [blank.max[0], fence] });
    } else {
        put(FIGURE, "this side and the left end flush with the work".into(), &blank);
    }
    put(3.5, format!("{}  {}", part.id, part.name), &Rect { min: [1.0, fence + 1.0], max: blank.max });
}

/// The cuts that it serves, and how it is set for each.
fn work(case: &Case, jig: &Jig, ruler: &Ruler) -> Table {
    let head = if jig.kind == JigKind::PinRow {
        ["PARTS", "CUTS", "LOWER SIDE AT", "LEFT END AT", "DEPTH"]
    } else {
        ["PARTS", "CUTS", "FENCE AT", "FROM ITS LEFT END", "DEPTH"]
    };
    let mut table = Table::new("What it makes; lengths as on the parts' sheets", &head);
    let kinds = case.kinds();
    for serves in &jig.serves {
        let part = case.part(serves.part);
        let likes = kinds.iter().find(|(first, _)| first.id == part.id).map(|(_, likes)| likes.as_slice());
        let likes = likes.unwrap_or_default();
        let named = |dir| face::title(part, face::name(case, likes, dir), dir);
        let made = |f: &dyn Fn(&Cut) -> Length| figures(part, serves, ruler, f);
        let starts = || made(&|c| c.bounds(part.size).along(case::Axis::X)[0]);
        table.rows.push(vec![
            table::wrapped(&part_sheet::numbers(likes), IDS),
            table::wrapped(&ids(part, serves), IDS),
            named(serves.edge),
            serves.end.map_or_else(starts, named),
            made(&|c| c.depth),
        ]);
    }
    table
}

/// Figures of the cuts, each once.
fn figures(part: &Part, serves: &Serves, ruler: &Ruler, of: &dyn Fn(&Cut) -> Length) -> String {
    let mut all: Vec<Length> = serves.cuts.iter().map(|i| of(&part.cuts[*i])).collect();
    all.sort_unstable();
    all.dedup();
    let all: Vec<String> = all.into_iter().map(|l| figure(ruler, l)).collect();
    table::wrapped(&all.join(", "), IDS)
}

/// `P01.3 to P01.42`, or one by one.
fn ids(part: &Part, serves: &Serves) -> String {
    let runs = serves.cuts.chunk_by(|a, b| a + 1 == *b);
    let run = |run: &[usize]| match run {
        [first, .., last] => format!("{} to {}", part.cut_id(*first), part.cut_id(*last)),
        one => one.iter().map(|i| part.cut_id(*i)).collect(),
    };
    runs.map(run).collect::<Vec<_>>().join(", ")
}

/// How it is made, set and used, and the cautions.
fn notes(case: &Case, jig: &Jig, ruler: &Ruler) -> Vec<String> {
    let show = |l: Length| figure(ruler, l);
    let mut out =
        vec!["Heavy lines: the jig, of flat sheet, cut through. It lies on the work, this side up.".to_owned()];
    let mirrored = jig.serves.iter().any(|s| {
        let of_kind = |p: &&Part| p.same_as.is_some_and(|l| l.part == s.part && l.mirrored);
        case.parts.iter().any(|p| of_kind(&p))
    });
    match (&jig.guide, jig.kind) {
        (Some(guide), _) => {
            let (what, corners) = match jig.kind {
                JigKind::ButtonPocket => ("pocket", "Leave the pocket's round corners, or square them for the tongue."),
                _ => ("gain", "Square the gain's corners with a chisel, to the leaf in hand."),
            };
            out.push(format!(
                "For the {}, ⌀ {}, with a bit ⌀ {}: the opening is {} larger than the {what} on each side. Measure \
                 rim and bit first; with others it does not fit.",
                guide.name,
                show(guide.collar),
                show(guide.bit),
                show(guide.within())
            ));
            out.push(format!(
                "Dashes: the {what}. Long dash and two dots: the work's edge. Screw a straight fence under the jig, up to \
                 this line, for the edge to bear on, its screws clear of the opening."
            ));
            let open = jig.makes.iter().any(|m| m[1][0] == jig.fence);
            if open {
                out.push(
                    "The gain is open at the edge: the bit runs out into the fence, which keeps the arris whole."
                        .into(),
                );
            }
            out.push(format!(
                "Knife the {what}'s ends on the work. Set the opening's ends {} beyond them, its centre line over their \
                 middle; the fence bears on the edge that the table names. Clamp jig and work. It serves both hands.",
                show(guide.within())
            ));
            out.push(format!(
                "Set the depth in the table from the underside of the jig. Rout clockwise round the opening, the collar \
                 against it, then clear the middle. {corners}"
            ));
            out.push("The sheet has to be thicker than the collar's rim stands down.".into());
        }
        (None, _) => {
            out.push(
                "Its lower side and its left end are flush with the work's edge and end that the table names; glue a \
                 fence to each, or clamp it flush."
                    .into(),
            );
            if mirrored || jig.serves.len() > 1 {
                out.push("For the other hand turn it over: the same end, the same edge.".into());
            }
            out.push(format!(
                "Bore with a drill ⌀ {}, square to the face, with a stop: the depth in the table and the jig's \
                 thickness. A worn hole wants a new jig.",
                jig.makes.first().map(|[[a, b], _]| show(*b - *a)).unwrap_or_default()
            ));
        }
    }
    out.push(
        "Try it in scrap first. Jig and work clamped, both hands on the machine, cord out before the bit is changed; eyes, \
         ears and lungs protected. The machine's manual comes before this sheet."
            .into(),
    );
    out
}
