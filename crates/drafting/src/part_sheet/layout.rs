//! Puts rows and blocks on sheets: the scale, the breaks, and where everything stands.

use std::ops::Range;

use case::Part;
use measure::Ruler;

use super::broken::Broken;
use super::row::{Row, View};
use paper::block::{Block, Free};
use paper::scale::Scale;
use paper::scene::{Layer, Rect};
use paper::sheet::Frame;

/// What goes on a part's sheets.
pub(crate) struct Matter<'a> {
    pub(crate) part: &'a Part,
    /// The faces from the top of the sheet down.
    pub(crate) faces: Vec<View<'a>>,
    /// Tables, notes and details.
    pub(crate) blocks: Vec<Block>,
    /// Places along the grain where something begins or ends, both ends of the part among them; in order.
    pub(crate) places: Vec<f64>,
    /// Stretches of small cuts, which are never broken.
    pub(crate) solid: Vec<[f64; 2]>,
    /// Stretches of curves, which are broken only where nothing else will do.
    pub(crate) curves: Vec<[f64; 2]>,
    /// The greater side of the smallest cut, mm.
    pub(crate) smallest: f64,
}

/// One sheet: its layers.
pub(crate) type Page = Vec<Layer>;

/// Room between two rows, mm: no less, and no more where there is plenty.
const BETWEEN: [f64; 2] = [4.0, 22.0];
/// Room round a block, mm.
const ROUND: f64 = 6.0;
/// The foot of the rows is moved by so much until all fits, mm.
const STEP: f64 = 3.0;
/// A part with more breaks than this is not read with pleasure.
const BREAKS: usize = 6;

/// How well a scale can be read, from well to just: the smallest cut is at least so large on the sheet, mm, and each
/// face with work on it so high. A small sheet may have to do with anything.
const LEGIBLE: [[f64; 2]; 3] = [[2.0, 8.0], [2.0, 4.0], [0.0, 0.0]];

/// The room of a sheet.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Room {
    space: Rect,
    /// Title block and what stands on it.
    block: Rect,
}

impl Room {
    pub(crate) fn of(frame: &Frame, strip: f64) -> Self {
        let mut block = frame.block;
        block.max[1] += strip;
        Self { space: frame.space, block }
    }

    /// Above the title block.
    fn above(&self) -> Rect {
        Rect { min: [self.space.min[0], self.block.max[1] + ROUND], max: self.space.max }
    }

    /// Above the title block, and no further left.
    fn over(&self) -> Rect {
        let above = self.above();
        Rect { min: [self.block.min[0].max(self.space.min[0]), above.min[1]], max: above.max }
    }

    /// Where rows of a width stand by themselves: beside the title block if they are narrow enough, else above it.
    fn rows(&self, width: f64) -> Rect {
        if width <= self.beside().width() { self.beside() } else { self.above() }
    }

    /// Left of the title block.
    fn beside(&self) -> Rect {
        Rect { min: self.space.min, max: [self.block.min[0] - ROUND, self.space.max[1]] }
    }
}

/// The rows at one scale.
struct Rows<'a> {
    rows: Vec<Row<'a>>,
    scale: Scale,
    /// From the datum to the left, and in all.
    left: f64,
    width: f64,
}

impl<'a> Rows<'a> {
    fn at(matter: &'a Matter<'a>, scale: Scale, along: &Broken, ruler: &Ruler) -> Self {
        let rows: Vec<Row<'a>> = matter.faces.iter().map(|v| Row::new(v, matter.part, along, ruler)).collect();
        let left = rows.iter().map(|r| -r.bounds.min[0]).fold(0.0, f64::max);
        let right = rows.iter().map(|r| r.bounds.max[0]).fold(0.0, f64::max);
        Self { rows, scale, left, width: left + right }
    }

    fn height(&self, which: Range<usize>) -> f64 {
        which.map(|i| self.rows[i].bounds.height() + BETWEEN[0]).sum::<f64>() - BETWEEN[0]
    }

    /// None is higher than a sheet.
    fn stand(&self, room: &Room) -> bool {
        let most = room.rows(self.width).height();
        self.rows.iter().all(|r| r.bounds.height() <= most)
    }

    /// Draws some rows in a room, spread over it.
    fn draw(&self, which: Range<usize>, room: &Rect, page: &mut Page) {
        let spare = room.height() - self.height(which.clone());
        let gap = (spare / (which.len() + 1) as f64).clamp(0.0, BETWEEN[1] - BETWEEN[0]);
        let rest = spare - gap * (which.len() as f64 - 1.0);
        let mut y = room.max[1] - rest / 2.0;
        let x = room.min[0] + (room.width() - self.width) / 2.0 + self.left;
        for row in &self.rows[which] {
            y -= row.bounds.max[1];
            page.extend(row.draw([x, y]));
            y += row.bounds.min[1] - BETWEEN[0] - gap;
        }
    }
}

/// The sheets of a part, and the scale that they are drawn to.
pub(crate) fn laid_out<'a>(matter: &'a Matter<'a>, room: &Room, ruler: &Ruler) -> (Vec<Page>, Scale) {
    let width = room.space.width();
    let sizes: Vec<[f64; 2]> = matter.blocks.iter().map(Block::size).collect();
    let mut tried: Vec<Rows<'a>> = Vec::new();
    for legible in LEGIBLE {
        if legible == LEGIBLE[2] && tried.iter().any(|rows| rows.stand(room)) {
            break;
        }
        for way in ways(matter, width, legible, ruler) {
            let Some(rows) = way.rows(matter, width, ruler) else { continue };
            if let Some(page) = single(&rows, &matter.blocks, &sizes, room) {
                return (vec![page], rows.scale);
            }
            let stands = rows.stand(room);
            tried.push(rows);
            // Where anything has to do, a larger scale is worth more sheets.
            if stands && legible == LEGIBLE[2] {
                break;
            }
        }
    }
    let pages = tried.iter().map(|rows| (several(rows, &matter.blocks, room), rows));
    // The first of those with fewest sheets: they come best first.
    let best = pages.min_by_key(|(pages, rows)| (!rows.stand(room), pages.len()));
    best.map_or((Vec::new(), Scale::FULL), |(pages, rows)| (pages, rows.scale))
}

/// A scale with the breaks that go with it.
struct Way {
    scale: Scale,
    along: Broken,
    /// Stretches that were kept whole when it was broken.
    solid: Vec<[f64; 2]>,
}

impl Way {
    /// The rows, if they fit a width. Crowded figures reach further than those of the whole part, so that the breaks
    /// may have to save a little more.
    fn rows<'a>(self, matter: &'a Matter<'a>, width: f64, ruler: &Ruler) -> Option<Rows<'a>> {
        let Self { scale, mut along, solid } = self;
        for _ in 0..3 {
            let rows = Rows::at(matter, scale, &along, ruler);
            let excess = rows.width - width;
            if excess <= 1e-6 {
                return Some(rows);
            }
            along = Broken::fitted(scale.ratio(), &matter.places, &solid, along.length() - excess - 0.5)?;
        }
        None
    }
}

/// The largest scale for a part so long.
fn most(length: f64) -> Scale {
    match length {
        l if l <= 45.0 => Scale { paper: 5, piece: 1 },
        l if l <= 90.0 => Scale { paper: 2, piece: 1 },
        _ => Scale::FULL,
    }
}

/// The scales at which a part can be read, with the breaks that fit it to the width: first whole, then with breaks,
/// last with breaks in curves; each from the largest scale down. Where anything has to do, the largest scale goes first.
fn ways(matter: &Matter<'_>, width: f64, legible: [f64; 2], ruler: &Ruler) -> Vec<Way> {
    let length = matter.part.size[0].mm();
    let worked = matter.faces.iter().filter(|v| !v.features.is_empty());
    let lowest = worked.map(|v| matter.part.size[v.face.up.axis.index()].mm()).fold(f64::MAX, f64::min);
    let read = |s: Scale| matter.smallest * s.ratio() >= legible[0] && lowest * s.ratio() >= legible[1];
    let mut scales = vec![Scale::largest(most(length), |_| true)];
    while let Some(last) = scales.last().filter(|s| s.smaller() != **s && read(s.smaller())) {
        scales.push(last.smaller());
    }
    let mut out = Vec::new();
    // What is left of the width beside what stands on both sides of the views.
    let mut rooms: Vec<(Scale, f64)> = Vec::new();
    for scale in scales {
        let whole = Broken::whole(length, scale.ratio());
        let rows = Rows::at(matter, scale, &whole, ruler);
        rooms.push((scale, width - (rows.width - whole.length())));
        if rows.width <= width {
            out.push(Way { scale, along: whole, solid: Vec::new() });
        }
    }
    for solid in [[matter.solid.as_slice(), matter.curves.as_slice()].concat(), matter.solid.clone()] {
        let broken = rooms.iter().filter_map(|(scale, room)| {
            let along = Broken::fitted(scale.ratio(), &matter.places, &solid, *room)?;
            Some(Way { scale: *scale, along, solid: solid.clone() })
        });
        let mut broken: Vec<Way> = broken.filter(|w| (1..=BREAKS).contains(&w.along.breaks().count())).collect();
        // One break more for a larger scale is well spent, three are not.
        broken.sort_by_key(|w| w.along.breaks().count().max(2));
        out.extend(broken);
        if !out.is_empty() {
            break;
        }
    }
    if legible == LEGIBLE[2] {
        out.sort_by(|a, b| b.scale.ratio().total_cmp(&a.scale.ratio()));
    }
    out
}

/// All on one sheet, if it fits: the blocks to the right of the rows, or below them.
fn single(rows: &Rows<'_>, blocks: &[Block], sizes: &[[f64; 2]], room: &Room) -> Option<Page> {
    let all = 0..rows.rows.len();
    let least = rows.height(all.clone());
    let (space, above, beside) = (room.space, room.above(), room.beside());
    let mut ways: Vec<(Rect, Vec<Rect>)> = Vec::new();
    // To the right, over the title block and as wide as that if need be; the rows have the rest.
    let widest = sizes.iter().map(|s| s[0]).fold(room.block.width(), f64::max);
    let split = space.max[0] - widest;
    let foot = if split - ROUND > beside.max[0] { above.min[1] } else { space.min[1] };
    let left = Rect { min: [space.min[0], foot], max: [split - ROUND, space.max[1]] };
    ways.push((left, vec![Rect { min: [split, above.min[1]], max: space.max }]));
    // Below, as low as they go: left of the title block down to the frame and over the title block, or over both.
    let mut line = space.min[1];
    while space.max[1] - line - ROUND >= least {
        let under = |r: Rect| Rect { min: r.min, max: [r.max[0], line.max(r.min[1])] };
        let upper = Rect { min: [space.min[0], (line + ROUND).max(above.min[1])], max: space.max };
        ways.push((upper, vec![under(beside), under(room.over())]));
        ways.push((upper, vec![under(above), Rect { min: beside.min, max: [beside.max[0], room.block.max[1]] }]));
        line += STEP;
    }
    let fits = |r: &Rect| rows.width <= r.width() + 1e-6 && least <= r.height();
    let (upper, at) = ways
        .into_iter()
        .filter(|(upper, _)| fits(upper))
        .find_map(|(upper, free)| Some((upper, Free::new(free, ROUND).take_all(sizes)?)))?;
    let mut page = Page::new();
    rows.draw(all, &upper, &mut page);
    let mut layer = Layer::new("tables", "Tables and details");
    for (block, at) in blocks.iter().zip(at) {
        block.draw(&mut layer, at);
    }
    page.push(layer);
    Some(page)
}

/// Rows and blocks over as many sheets as they need.
fn several(rows: &Rows<'_>, blocks: &[Block], room: &Room) -> Vec<Page> {
    let mut pages = Vec::new();
    let mut free: Vec<Free> = Vec::new();
    let (above, beside) = (room.above(), room.beside());
    let region = room.rows(rows.width);
    let narrow = region == beside;
    let mut next = 0;
    while next < rows.rows.len() {
        let mut end = next + 1;
        while end < rows.rows.len() && rows.height(next..end + 1) <= region.height() {
            end += 1;
        }
        let mut upper = region;
        if end == rows.rows.len() {
            // What is left below the last rows is for the blocks.
            upper.min[1] = region.max[1] - rows.height(next..end).min(region.height());
        }
        let under = |r: Rect| Rect { min: r.min, max: [r.max[0], (upper.min[1] - ROUND).max(r.min[1])] };
        let over = room.over();
        free.push(Free::new(if narrow { vec![over, under(beside)] } else { vec![under(beside), under(over)] }, ROUND));
        let mut page = Page::new();
        rows.draw(next..end, &upper, &mut page);
        pages.push(page);
        next = end;
    }
    for block in blocks {
        let mut rest = Some(block.clone());
        while let Some(block) = rest {
            let size = block.size();
            let found = free.iter_mut().enumerate().find_map(|(page, f)| Some((page, f.take(size)?)));
            let (now, later, (page, at)) = match found {
                Some(place) => (block, None, place),
                None => {
                    // A sheet of its own; a table that is too long even for that goes on on the next.
                    let mut fresh = Free::new(vec![above], ROUND);
                    let (now, later) = block.split(fresh.highest(size[0].min(above.width())));
                    let [w, h] = now.size();
                    let taken = [w.min(above.width()), h.min(above.height())];
                    let at = fresh.take(taken).unwrap_or([above.min[0], above.max[1]]);
                    free.push(fresh);
                    pages.push(Page::new());
                    (now, later, (pages.len() - 1, at))
                }
            };
            let mut layer = Layer::new(format!("block-{}", pages[page].len()), "Table or detail");
            now.draw(&mut layer, at);
            pages[page].push(layer);
            rest = later;
        }
    }
    pages
}
