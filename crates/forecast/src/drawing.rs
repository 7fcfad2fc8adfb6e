//! The piece through the seasons, drawn full size: a panel in its groove, the gap at the doors, the top on its buttons.
//!
//! Sheet mm, y up. Each detail is a row, each season a cell of it.

use case::{Axis, Case, Cut, Dir, JointKind, Part, Play, Profile, Purpose, Role};
use measure::Length;
use paper::Sheet;
use paper::hatch::{Hatch, hatch};
use paper::scene::{At, Layer, Path, Pen, Scene};
use paper::sheet::PaperSize;
use paper::text::Text;

use crate::show::fine;

/// Width of the drawing: what both A4 and Letter have within the page's margins.
const WIDTH: f64 = 178.0;
/// Room round a cell's picture.
const EDGE: f64 = 2.0;
/// Height of lettering, of a row's heading and of a line.
const SMALL: f64 = 2.2;
const HEAD: f64 = 2.8;
const LINE: f64 = 4.4;
/// How much of a frame or of a leaf is shown beside a groove or a gap, mm.
const SHOWN: f64 = 22.0;
/// How much of a rail is shown below a button's pocket, mm.
const BELOW: f64 = 10.0;

const RISING: Hatch = Hatch { angle: 45.0, pitch: &[2.4] };
const FALLING: Hatch = Hatch { angle: 135.0, pitch: &[2.4] };

/// Draws one season's picture from its lower left corner, in a cell of a width.
type Picture<'a> = Box<dyn Fn(&mut Layer, At, f64, usize) + 'a>;

/// A row: its heading, its cells' width, the height of the pictures, and what draws one season's with its words.
struct Row<'a> {
    id: &'static str,
    heading: String,
    seasons: &'static [usize],
    height: f64,
    picture: Picture<'a>,
    says: Box<dyn Fn(usize) -> String + 'a>,
}

const SEASONS: [&str; 3] = ["workshop", "dry season", "wet season"];

/// The drawing, if the piece has anything that moves.
pub fn drawing(case: &Case) -> Option<Sheet> {
    let rows: Vec<Row<'_>> = [panel(case), gap(case), top(case)].into_iter().flatten().collect();
    let row_height = |row: &Row<'_>| HEAD + LINE * 3.0 + row.height + EDGE * 2.0;
    let height = rows.iter().map(row_height).sum::<f64>();
    let mut layers = Vec::new();
    let mut y = height;
    for row in &rows {
        let mut layer = Layer::new(row.id, row.heading.clone());
        y -= HEAD + EDGE;
        layer.letter(Text::new([EDGE, y], HEAD, row.heading.clone()));
        let cell = WIDTH / row.seasons.len() as f64;
        let foot = y - LINE - EDGE - row.height;
        for (i, &season) in row.seasons.iter().enumerate() {
            let x = cell * i as f64;
            let moisture = case.seasons.moistures()[season];
            let title = format!("{}, wood at {moisture:.1} %", SEASONS[season]);
            layer.letter(Text::new([x + EDGE, y - LINE], SMALL, title));
            (row.picture)(&mut layer, [x + EDGE, foot], cell - EDGE * 2.0, season);
            layer.letter(Text::new([x + EDGE, foot - LINE], SMALL, (row.says)(season)));
        }
        y = foot - LINE * 2.0 - EDGE + HEAD / 2.0;
        layers.push(layer);
    }
    (!rows.is_empty()).then(|| Sheet {
        name: "seasons".into(),
        title: "The piece through the seasons, full size".into(),
        paper: PaperSize { width: WIDTH, height },
        wide: 0.35,
        scene: Scene { layers },
    })
}

/// A cut face: hatched, and outlined by the chain of its edges that are seen; the rest is broken off.
fn face(layer: &mut Layer, ring: Vec<At>, edges: impl IntoIterator<Item = At>, style: Hatch) {
    for line in hatch(&[ring], style) {
        layer.draw(Pen::Hatch, line);
    }
    layer.draw(Pen::Outline, Path::chain(edges));
}

/// A part's interval along an axis of the case, in mm.
fn along(part: &Part, axis: Axis) -> [f64; 2] {
    part.case_box().along(axis).map(Length::mm)
}

fn in_case(part: &Part, cut: &Cut, axis: Axis) -> [f64; 2] {
    part.placement.box_to_case(&cut.bounds(part.size)).along(axis).map(Length::mm)
}

/// An end panel in the groove of the front post, in plan, the outer face down; the panel in the middle of its room.
fn panel(case: &Case) -> Option<Row<'_>> {
    let panel = case.parts.iter().find(|p| p.role == Role::Panel && p.assembly == "case")?;
    let play = case.plays.iter().find(|p| p.parts.first() == Some(&panel.id))?;
    let joint = case
        .joints
        .iter()
        .find(|j| j.kind == JointKind::Groove && j.parts[1] == panel.id && j.insertion == Some(Dir::NY))?;
    let frame = case.part(joint.parts[0]);
    let groove = frame.cuts.iter().find(|c| c.joint == Some(joint.id) && c.purpose == Purpose::Groove)?;
    let [bottom, mouth] = in_case(frame, groove, Axis::Y);
    let depth = mouth - bottom;
    // Through the thickness, from the outer face inward.
    let outer = panel.placement.dir_to_case(Dir::PZ);
    let inward = |of: [f64; 2]| {
        let [low, high] = along(frame, outer.axis);
        if outer.positive { [high - of[1], high - of[0]] } else { [of[0] - low, of[1] - low] }
    };
    let walls = inward(in_case(frame, groove, outer.axis));
    let board = inward(along(panel, outer.axis));
    let side = inward(along(frame, outer.axis))[1];
    let raise = panel.edges.iter().find_map(|e| match e.profile {
        Profile::Raise { width, tongue, depth, .. } => Some([width, tongue, depth].map(Length::mm)),
        _ => None,
    });
    let picture = move |layer: &mut Layer, at: At, width: f64, season: usize| {
        let to = |x: f64, y: f64| [at[0] + x, at[1] + y];
        let m = SHOWN;
        let post = [
            [0.0, 0.0],
            [m, 0.0],
            [m, walls[0]],
            [m - depth, walls[0]],
            [m - depth, walls[1]],
            [m, walls[1]],
            [m, side],
            [0.0, side],
        ]
        .map(|p| to(p[0], p[1]));
        face(layer, post.to_vec(), post, RISING);
        let edge = m - depth + play.room[season].mm() / 2.0;
        let outside = match raise {
            Some([bevel, tongue, deep]) => vec![
                [edge, board[0] + deep],
                [edge + tongue, board[0] + deep],
                [(edge + bevel).min(width), board[0]],
                [width, board[0]],
            ],
            None => vec![[edge, board[0]], [width, board[0]]],
        };
        let chain = outside.into_iter().rev().chain([[edge, board[1]], [width, board[1]]]);
        let chain: Vec<At> = chain.map(|p| to(p[0], p[1])).collect();
        face(layer, chain.clone(), chain, FALLING);
    };
    let held = move |season: usize| Length::from_mm(depth) - play.room[season].half();
    Some(Row {
        id: "panel",
        heading: format!("{} in the groove of the {}, full size", capital(&panel.name), frame.name),
        seasons: &[0, 1, 2],
        height: side,
        picture: Box::new(picture),
        says: Box::new(move |season| {
            format!("free {}, held {}", fine(case, play.room[season].half()), fine(case, held(season)))
        }),
    })
}

/// The gap between two doors, or between a door and the post that it closes against, in plan.
fn gap(case: &Case) -> Option<Row<'_>> {
    let play: &Play = case.plays.iter().find(|p| p.place.starts_with("door") && p.place.contains(" gap "))?;
    let stile = case.part(*play.parts.first()?);
    let thick = stile.size[2].mm();
    let picture = move |layer: &mut Layer, at: At, width: f64, season: usize| {
        let (middle, half) = (at[0] + width / 2.0, play.room[season].mm() / 2.0);
        for (sign, style) in [(-1.0, RISING), (1.0, FALLING)] {
            let (near, far) = (middle + sign * half, middle + sign * (half + SHOWN));
            let ends = [[far, at[1]], [near, at[1]], [near, at[1] + thick], [far, at[1] + thick]];
            face(layer, ends.to_vec(), ends, style);
        }
    };
    Some(Row {
        id: "gap",
        heading: format!("{}, full size", capital(&play.place)),
        seasons: &[0, 1, 2],
        height: thick,
        picture: Box::new(picture),
        says: Box::new(move |season| format!("gap {}", fine(case, play.room[season]))),
    })
}

/// The top on a button of the front rail, in section from front to back.
fn top(case: &Case) -> Option<Row<'_>> {
    let top = case.parts.iter().find(|p| p.role == Role::Top)?;
    let joint = case.joints.iter().find(|j| j.kind == JointKind::Button && j.insertion == Some(Dir::NY))?;
    let (rail, button) = (case.part(joint.parts[0]), case.part(*joint.parts.last()?));
    let play = case.plays.iter().find(|p| p.parts == [top.id, rail.id])?;
    let cut = |part: &Part, purpose| {
        let cut = part.cuts.iter().find(|c| c.joint == Some(joint.id) && c.purpose == purpose)?;
        Some([Axis::Y, Axis::Z].map(|axis| in_case(part, cut, axis)))
    };
    let [pocket_y, pocket_z] = cut(rail, Purpose::ButtonPocket)?;
    let [tongue_y, tongue_z] = cut(button, Purpose::ButtonTongue)?;
    let [front, _] = along(top, Axis::Y);
    let [under, over] = along(top, Axis::Z);
    let rail_y = along(rail, Axis::Y);
    let [button_y, button_z] = [Axis::Y, Axis::Z].map(|axis| along(button, axis));
    let foot = pocket_z[0] - BELOW;
    let moved = move |season: usize| (play.room[0] - play.room[season]).mm();
    // So that the top has room to come forward in its cell.
    let ahead = [1, 2].map(moved).into_iter().fold(0.0, f64::max);
    let wanted = button_y[1] + 8.0 - front + ahead;
    let cell = WIDTH / 2.0 - EDGE * 2.0;
    let scale = if wanted <= cell { 1.0 } else { 0.5 };
    let picture = move |layer: &mut Layer, at: At, width: f64, season: usize| {
        let x = |y: f64| at[0] + ((y - front + ahead) * scale).min(width);
        let z = |z: f64| at[1] + (z - foot) * scale;
        let shift = moved(season);
        let on = |y: f64, h: f64| [x(y), z(h)];
        let body = [
            on(rail_y[0], foot),
            on(rail_y[0], under),
            on(rail_y[1], under),
            on(rail_y[1], pocket_z[1]),
            on(pocket_y[0], pocket_z[1]),
            on(pocket_y[0], pocket_z[0]),
            on(rail_y[1], pocket_z[0]),
            on(rail_y[1], foot),
        ];
        face(layer, body.to_vec(), body, RISING);
        let end = button_y[1] + 8.0;
        let slab = [on(end, under), on(front - shift, under), on(front - shift, over), on(end, over)];
        face(layer, slab.to_vec(), slab, FALLING);
        let tip = button_y[0] - shift;
        let shoulder = tongue_y[1] - shift;
        let wood = [
            on(tip, button_z[0]),
            on(button_y[1] - shift, button_z[0]),
            on(button_y[1] - shift, button_z[1]),
            on(shoulder, button_z[1]),
            on(shoulder, tongue_z[0]),
            on(tip, tongue_z[0]),
        ];
        face(layer, wood.to_vec(), wood.into_iter().chain([wood[0]]), FALLING);
    };
    let size = if scale < 1.0 { "half size" } else { "full size" };
    let hold = play.hold?;
    Some(Row {
        id: "top",
        heading: format!("The top on a button of the front rail, {size}; it is set home at the back"),
        seasons: &[1, 2],
        height: (over - foot) * scale,
        picture: Box::new(picture),
        says: Box::new(move |season| {
            format!(
                "room before the tongue {}, tongue held {}",
                fine(case, play.room[season]),
                fine(case, hold[season])
            )
        }),
    })
}

fn capital(phrase: &str) -> String {
    let mut chars = phrase.chars();
    chars.next().map(|c| c.to_uppercase().collect::<String>() + chars.as_str()).unwrap_or_default()
}
