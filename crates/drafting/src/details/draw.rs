//! A detail drawn: its section with hatching and figures, the joint open beside it, part numbers, and what it is.

use case::{Axis, Box3};
use measure::Length;

use super::arranged::{self, All};
use super::plan::{Opened, Plan, Section};
use super::words::{NOTE, TITLE, titled, words};
use crate::balloons::Paper;
use crate::hatching;
use crate::margins::{Outline, Place};
use crate::solid::{Bounds, Solid};
use crate::solids::{Solids, Thing};
use crate::tips::tips;
use crate::view::{Body, Camera, Picture, look};
use paper::check;
use paper::dimension::{self, BALLOON, FIRST};
use paper::hatch::hatch;
use paper::scale::Scale;
use paper::scene::{At, Item, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// Facets keep this near to their arc, mm of the piece.
const CHORD: f64 = 0.02;
/// From line to line under a title, mm.
const PITCH: f64 = 5.4;
/// Notes are broken at this width at the least, mm.
const WIDE: f64 = 88.0;
/// Between a section and the joint drawn open beside it, mm.
const BETWEEN: f64 = 8.0;
/// Room for balloons round what is drawn, mm.
const BALLOONS: f64 = 2.0 * BALLOON + 5.0;
/// A break line passes the part by so much, and its zigzag is so high and wide, mm.
const PAST: f64 = 1.5;
const ZIGZAG: [f64; 2] = [2.4, 1.4];

/// A detail on paper, about an origin of its own.
#[derive(Clone, Debug)]
pub(super) struct Drawn {
    pub(super) layer: Layer,
    pub(super) bounds: Rect,
    pub(super) scale: Scale,
    /// Where its title starts.
    title: At,
}

/// Scales that details are drawn to, and those that are tried where figures are crowded.
const LARGEST: Scale = Scale { paper: 2, piece: 1 };
const LARGER: [Scale; 3] = [HALF, Scale::FULL, LARGEST];
/// A section at half size may be so many times as large as others: it is worth more than a leap down to 1:5.
const OVER: f64 = 1.4;
const HALF: Scale = Scale { paper: 1, piece: 2 };

/// What stands round a section, about so much, mm.
const ABOUT: At = [70.0, 85.0];

/// Draws a detail without its title: the section no larger than `most` mm, and the joint open no larger than `open`, as
/// near to that as a standard scale brings them; in a room so large one beside the other, else one under the other.
pub(super) fn drawn(solids: &Solids<'_>, plan: &Plan, [most, open]: [f64; 2], room: At) -> Drawn {
    let size = plan.section.axes().map(|a| extent(&plan.section.window, a));
    let most = |s: Scale| if s == HALF { most * OVER } else { most };
    let wished = Scale::largest(LARGEST, |s| size[0].max(size[1]) * s.ratio() <= most(s));
    // Figures that have no room at the scale that one would choose have it at a larger one.
    let fits = |s: &Scale| (0..2).all(|k| size[k] * s.ratio() + ABOUT[k] <= room[k]);
    let larger = LARGER.into_iter().filter(|s| s.ratio() > wished.ratio() && fits(s));
    let clashes = |shot: &(Layer, Rect)| check::clashes(std::slice::from_ref(&shot.0)).len();
    let (mut scale, mut shot) = (wished, section(solids, &plan.section, wished, All::OfThem));
    let mut least = clashes(&shot);
    for larger in larger {
        if least == 0 {
            break;
        }
        let again = section(solids, &plan.section, larger, All::OfThem);
        let n = clashes(&again);
        if n < least {
            (least, scale, shot) = (n, larger, again);
        }
    }
    if least > 0 {
        shot = section(solids, &plan.section, scale, All::ThatHaveRoom);
    }
    let mut shots = vec![shot];
    let opening = plan.opened.as_ref().filter(|_| open > 0.0);
    let open_scale = Scale::largest(scale, |s| {
        opening.is_some_and(|o| {
            let b = open_bounds(solids, o);
            b.width().max(b.height()) * s.ratio() <= open
        })
    });
    if let Some(o) = opening {
        shots.push(opened(solids, o, open_scale));
    }
    let mut layer = Layer::new("", plan.title.clone());
    let mut whole: Option<Rect> = None;
    let high = shots.iter().map(|s| s.1.height()).fold(0.0, f64::max);
    let beside = shots.iter().map(|s| s.1.width() + BETWEEN).sum::<f64>() - BETWEEN <= room[0];
    for (drawn, bounds) in shots {
        let by = match whole {
            Some(w) if !beside => [w.min[0] - bounds.min[0], w.min[1] - BETWEEN - bounds.max[1]],
            w => [w.map_or(0.0, |w| w.max[0] + BETWEEN) - bounds.min[0], -high / 2.0 - bounds.centre()[1]],
        };
        layer.items.extend(drawn.moved(by).items);
        let bounds = bounds.moved(by);
        whole = Some(whole.map_or(bounds, |w| w.union(&bounds)));
    }
    let body = whole.unwrap_or(Rect::new([0.0; 2], 0.0, 0.0));
    let lines = words(solids.case, plan, scale, opening.map(|_| open_scale), body.width().max(WIDE));
    let mut y = body.max[1] + 3.0 + PITCH * lines.len() as f64;
    let mut wide = text::width(&titled(99, &plan.title), TITLE);
    let title = [body.min[0], y];
    let top = y + TITLE + 1.0;
    for line in lines {
        y -= PITCH;
        wide = wide.max(text::width(&line, NOTE));
        layer.letter(Text::new([body.min[0], y], NOTE, line));
    }
    let bounds = Rect { min: body.min, max: [body.max[0].max(body.min[0] + wide), top] };
    Drawn { layer, bounds, scale, title }
}

impl Drawn {
    /// The detail moved over the sheet, with its number.
    pub(super) fn numbered(&self, number: usize, by: At) -> Layer {
        let mut layer = self.layer.moved(by);
        layer.id = format!("detail-{number}");
        let at = [self.title[0] + by[0], self.title[1] + by[1]];
        layer.letter(Text::new(at, TITLE, titled(number, &self.layer.title)));
        layer
    }
}

fn extent(b: &Box3, axis: Axis) -> f64 {
    let [low, high] = b.along(axis);
    (high - low).mm()
}

/// A window in a thing's own frame, mm.
fn own_window(thing: &Thing<'_>, window: &Box3) -> Bounds {
    let b = thing.placement().box_to_part(window);
    Bounds { min: b.min.map(Length::mm), max: b.max.map(Length::mm) }
}

fn section(solids: &Solids<'_>, s: &Section, scale: Scale, all: All) -> (Layer, Rect) {
    let axes = s.axes();
    let along = s.toward.axis;
    let hair = Length::from_nm(1000);
    let window = s.window.with(along, [s.at - hair, s.at + hair]);
    let whole = s.window.with(along, solids.case_range(along));
    let cut = |thing: &Thing<'_>| {
        let placement = thing.placement();
        let side = placement.dir_to_part(s.toward);
        let mut on_plane = placement.origin;
        on_plane[along.index()] = s.at;
        let at = placement.to_part(on_plane)[side.axis.index()];
        thing.blank(CHORD, |_| true).beyond(side, at.mm()).filter(|b| b.cut.is_some())
    };
    let near = solids.built.iter().map(|b| b.thing).filter(|t| t.case_box().intersection(&window).is_some());
    let met: Vec<(Thing<'_>, Solid)> = near
        .filter_map(|t| Some((t, cut(&t)?.within(&own_window(&t, &whole))?.section())))
        .filter(|(_, solid)| !solid.faces.is_empty())
        .collect();
    let bodies: Vec<Body<'_>> = met.iter().map(|(t, solid)| Body::new(solid, t.placement())).collect();
    let camera = match along {
        Axis::X => Camera::right_end(),
        Axis::Y => Camera::front(),
        Axis::Z => Camera::plan(),
    };
    let picture = look(&camera, &bodies, |_| false);
    let place = Place { at: [0.0, 0.0], ratio: scale.ratio() };
    let [u, v] = axes.map(|a| s.window.along(a).map(Length::mm));
    let rect = place.rect(&Rect { min: [u[0], v[0]], max: [u[1], v[1]] });
    let things: Vec<Thing<'_>> = met.iter().map(|m| m.0).collect();
    let mut layer = outlines(&picture, &things, place);
    let outline = Outline { rect, first: FIRST, thinned: false };
    let chains = arranged::chains(&solids.case.order.ruler, &s.runs, outline, place, &layer, all);
    let mut bounds = rect;
    for chain in &chains {
        chain.draw(&mut layer);
        bounds = bounds.union(&chain.bounds());
    }
    let wishes: Vec<(String, Vec<At>)> = things
        .iter()
        .enumerate()
        .map(|(i, t)| {
            let rings = picture.cuts.iter().filter(|c| c.body == i).flat_map(|c| &c.rings);
            let rings: Vec<Vec<At>> = rings.map(|r| r.iter().map(|p| place.map(*p)).collect()).collect();
            (t.id(), within(&rings))
        })
        .collect();
    let (balloons, inside) = number(&layer, wishes, bounds.grown(BALLOONS), &[rect.grown(1.0)]);
    bounds = bounds.union(&ink_bounds(&balloons, bounds));
    let hatching = hatched(&picture, &things, axes, place, &inside);
    layer.items.extend(hatching.items);
    layer.items.extend(balloons.items);
    (layer, bounds)
}

/// Outlines and break lines of what a section has cut.
fn outlines(picture: &Picture, things: &[Thing<'_>], place: Place) -> Layer {
    let mut layer = Layer::new("", "");
    let mut broken: Vec<Path> = Vec::new();
    for stroke in &picture.strokes {
        let path = stroke.path.mapped(false, |p| place.map(p));
        if stroke.broken {
            broken.push(path);
        } else {
            let pane = matches!(things[stroke.body], Thing::Pane(_));
            layer.draw(if pane { Pen::Fine } else { Pen::Outline }, path);
        }
    }
    for [a, b] in break_lines(&broken) {
        layer.draw(Pen::Fine, zigzag(a, b));
    }
    layer
}

/// The hatching of what a section has cut, round the balloons that stand on it.
fn hatched(picture: &Picture, things: &[Thing<'_>], axes: [Axis; 2], place: Place, balloons: &[At]) -> Layer {
    let mut layer = Layer::new("", "");
    let mut turn = 0;
    for face in &picture.cuts {
        let mut rings: Vec<Vec<At>> = face.rings.iter().map(|r| r.iter().map(|p| place.map(*p)).collect()).collect();
        let style = match things[face.body] {
            Thing::Part(part) => {
                turn += 1;
                hatching::of(part, axes, turn, place.ratio)
            }
            Thing::Pane(_) => hatching::GLASS,
        };
        let own = balloons.iter().filter(|b| holds(&rings, **b)).copied().collect::<Vec<At>>();
        rings.extend(own.iter().map(|b| Path::circle(*b, BALLOON).flattened(0.05)));
        for line in hatch(&rings, style) {
            layer.draw(Pen::Hatch, line);
        }
    }
    layer
}

/// The point lies within the rings (even-odd).
fn holds(rings: &[Vec<At>], p: At) -> bool {
    let sides = rings.iter().flat_map(|r| (0..r.len()).map(move |i| [r[i], r[(i + 1) % r.len()]]));
    let crossed = sides
        .filter(|[a, b]| (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
    crossed.count() % 2 == 1
}

/// Broken ends that lie in one line and touch, as one each.
fn break_lines(paths: &[Path]) -> Vec<[At; 2]> {
    let mut out: Vec<[At; 2]> = Vec::new();
    for s in paths.iter().flat_map(Path::segments) {
        let k = usize::from((s.to[0] - s.from[0]).abs() < (s.to[1] - s.from[1]).abs());
        let mut now = if s.from[k] <= s.to[k] { [s.from, s.to] } else { [s.to, s.from] };
        while let Some(i) = out.iter().position(|o| {
            let same = usize::from((o[1][0] - o[0][0]).abs() < (o[1][1] - o[0][1]).abs()) == k;
            same && (o[0][1 - k] - now[0][1 - k]).abs() < 0.01
                && o[0][k] <= now[1][k] + 0.4
                && now[0][k] <= o[1][k] + 0.4
        }) {
            let o = out.swap_remove(i);
            if o[0][k] < now[0][k] {
                now[0] = o[0];
            }
            if o[1][k] > now[1][k] {
                now[1] = o[1];
            }
        }
        out.push(now);
    }
    out
}

/// A break line: straight, with a zigzag in its middle if it is long enough.
fn zigzag(a: At, b: At) -> Path {
    let length = libm::hypot(b[0] - a[0], b[1] - a[1]).max(1e-9);
    let d = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    let point = |along: f64, aside: f64| [a[0] + d[0] * along - d[1] * aside, a[1] + d[1] * along + d[0] * aside];
    let (m, [high, wide]) = (length / 2.0, ZIGZAG);
    if length < 3.0 * wide {
        return Path::line(point(-PAST / 2.0, 0.0), point(length + PAST / 2.0, 0.0));
    }
    Path::chain([
        point(-PAST, 0.0),
        point(m - wide / 2.0, 0.0),
        point(m - wide / 4.0, high / 2.0),
        point(m + wide / 4.0, -high / 2.0),
        point(m + wide / 2.0, 0.0),
        point(length + PAST, 0.0),
    ])
}

/// Points within a face, those farthest from its rims first.
fn within(rings: &[Vec<At>]) -> Vec<At> {
    let points = || rings.iter().flatten();
    let low = [0, 1].map(|k| points().map(|p| p[k]).fold(f64::INFINITY, f64::min));
    let high = [0, 1].map(|k| points().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max));
    let sides = || rings.iter().flat_map(|r| (0..r.len()).map(move |i| [r[i], r[(i + 1) % r.len()]]));
    let mut found: Vec<(f64, At)> = Vec::new();
    for i in 0..9 {
        for j in 0..9 {
            let share = |k: usize, n: i32| low[k] + (high[k] - low[k]) * (f64::from(n) + 0.5) / 9.0;
            let p = [share(0, i), share(1, j)];
            if holds(rings, p) {
                let off = sides().map(|[a, b]| distance(p, a, b)).fold(f64::INFINITY, f64::min);
                found.push((off, p));
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let most = found.first().map_or(0.0, |f| f.0);
    found.into_iter().filter(|f| f.0 >= most.min(1.2)).map(|f| f.1).take(24).step_by(3).collect()
}

fn distance(p: At, a: At, b: At) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let length2 = (d[0] * d[0] + d[1] * d[1]).max(1e-12);
    let t = (((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / length2).clamp(0.0, 1.0);
    libm::hypot(a[0] + t * d[0] - p[0], a[1] + t * d[1] - p[1])
}

/// Balloons for things, each with points on it; and the centres of those that stand on their own thing.
fn number(drawn: &Layer, wishes: Vec<(String, Vec<At>)>, room: Rect, taken: &[Rect]) -> (Layer, Vec<At>) {
    let mut paper = Paper::of([drawn], room, taken);
    let (mut layer, mut inside) = (Layer::new("", ""), Vec::new());
    for (says, tips) in wishes {
        if let Some((centre, tip)) = paper.place(&tips) {
            paper.add_balloon(centre, tip);
            if centre == tip {
                inside.push(centre);
            }
            dimension::balloon(&mut layer, centre, tip, &says);
        }
    }
    (layer, inside)
}

fn ink_bounds(layer: &Layer, start: Rect) -> Rect {
    let corner = |p: At| Rect { min: p, max: p };
    layer.items.iter().fold(start, |r, item| match item {
        Item::Line { path, .. } => path.flattened(0.5).into_iter().fold(r, |r, p| r.union(&corner(p))),
        Item::Fill(paths) => paths.iter().flat_map(|p| p.flattened(0.5)).fold(r, |r, p| r.union(&corner(p))),
        Item::Text(text) => r.union(&dimension::bounds(text)),
    })
}

/// Looks at the pieces of a joint drawn open.
fn open_picture<'a>(solids: &Solids<'a>, o: &Opened) -> (Picture, Vec<Thing<'a>>) {
    let mut met: Vec<(Thing<'a>, Solid, [f64; 3])> = Vec::new();
    for (id, shift) in &o.pieces {
        let thing = Thing::Part(solids.case.part(*id));
        if let Some(blank) = thing.blank(CHORD, |_| true).within(&own_window(&thing, &o.window)) {
            met.push((thing, blank.solid(), shift.map(Length::mm)));
        }
    }
    let bodies: Vec<Body<'_>> = met.iter().map(|(t, solid, by)| Body::new(solid, t.placement()).moved(*by)).collect();
    let picture = look(&Camera::oblique(o.from[0], o.from[1]), &bodies, |_| false);
    (picture, met.iter().map(|m| m.0).collect())
}

fn open_bounds(solids: &Solids<'_>, o: &Opened) -> Rect {
    let (picture, _) = open_picture(solids, o);
    picture.bounds().unwrap_or(Rect::new([0.0; 2], 1.0, 1.0))
}

fn opened(solids: &Solids<'_>, o: &Opened, scale: Scale) -> (Layer, Rect) {
    let (picture, things) = open_picture(solids, o);
    let place = Place { at: [0.0, 0.0], ratio: scale.ratio() };
    let mut layer = Layer::new("", "");
    for stroke in picture.strokes.iter().filter(|s| !s.hidden) {
        layer.draw(if stroke.broken { Pen::Fine } else { Pen::Outline }, stroke.path.mapped(false, |p| place.map(p)));
    }
    let camera = Camera::oblique(o.from[0], o.from[1]);
    for trace in &o.traces {
        let [a, b] = trace.map(|p| place.map(camera.see(p.map(Length::mm))));
        layer.line(Pen::Centre, a, b);
    }
    let bounds = place.rect(&picture.bounds().unwrap_or(Rect::new([0.0; 2], 1.0, 1.0)));
    let tips = tips(&picture, things.len(), scale.ratio());
    let on_sheet = |tips: Vec<At>| tips.into_iter().map(|p| place.map(p)).collect();
    let wishes = things.iter().zip(tips).map(|(t, (_, tips))| (t.id(), on_sheet(tips))).collect();
    let (balloons, _) = number(&layer, wishes, bounds.grown(BALLOONS), &[]);
    let bounds = ink_bounds(&balloons, bounds);
    layer.items.extend(balloons.items);
    (layer, bounds)
}
