//! From the cut list to the rough list: what each part is sawn from, in how many pieces, and which pieces belong together.
//!
//! A wide part is glued up from staves; a panel that is thin enough is sawn out of a thicker board, as leaves that open
//! like a book; a part thicker than any board is glued up in layers. Running stock is made in strips. The pieces of a part
//! come from one board, so that grain and colour match.

use std::collections::BTreeMap;

use case::{Case, Form, Material, Part, PartId, Point, Role};
use measure::{Length, Ruler};
use stock::Limits;
use stock::linear::{Kind, bars};
use takeoff::{Line, Strip, Takeoff};

use crate::allowance::{Allowances, Rung};
use crate::rack::{Rack, Stack};
use crate::{Around, shows};

/// What pieces are sawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    /// A board of a thickness that the yard sells.
    Board(&'static Rung),
    /// A sheet of a thickness.
    Sheet(Length),
}

/// A row of the rough list: parts that are alike, or strips of one section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoughLine {
    /// The parts that come of it.
    pub parts: Vec<PartId>,
    /// What they are.
    pub name: String,
    /// The sub-assembly, where they all belong to one.
    pub assembly: String,
    /// The finished blank; the strip's length and section for running stock.
    pub finished: Point,
    /// Rough length and width of one piece as it is sawn out.
    pub rough: [Length; 2],
    /// Pieces side by side in a part.
    pub staves: usize,
    /// Pieces upon one another in a part.
    pub layers: usize,
    /// Each piece is sawn in two leaves, which are the staves.
    pub book: bool,
    /// It is running stock.
    pub strip: bool,
    /// All its faces show.
    pub shows: bool,
    /// Its length may lie across the grain of a sheet.
    pub turns: bool,
    /// What is written on the pieces; those of one set come from one board.
    pub sets: Vec<Vec<String>>,
}

impl Stock {
    /// In the rough.
    pub const fn thickness(self) -> Length {
        match self {
            Self::Board(rung) => rung.nominal,
            Self::Sheet(thickness) => thickness,
        }
    }

    /// As the lists call it: `5/4`, `34 mm`, `1/4 in sheet`.
    pub fn name(self, ruler: &Ruler) -> String {
        match self {
            Self::Board(rung) => rung.name.into(),
            Self::Sheet(thickness) => format!("{} sheet", ruler.show(thickness)),
        }
    }
}

impl RoughLine {
    /// Pieces to saw out.
    pub fn pieces(&self) -> usize {
        self.sets.iter().map(Vec::len).sum()
    }
}

/// The parts of one material that are sawn from boards of one thickness.
#[derive(Clone, Debug)]
pub(crate) struct Batch {
    pub(crate) material: Material,
    pub(crate) stock: Stock,
    /// What a board must leave when it is planed.
    pub(crate) needs: Length,
    wants: Vec<Want>,
}

#[derive(Clone, Debug)]
struct Want {
    line: Line,
    how: How,
    shows: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Layers(usize),
    Book,
    /// So many strips of a section; the section's number is written on them.
    Strips {
        section: usize,
        count: usize,
    },
    /// With so much free about the finished part for a router's bit, if a router cuts it out.
    Sheet(Option<Length>),
}

/// A board may be half as thick again as the one that would do; a thicker one is too good to plane away.
const THICKEST: (i64, i64) = (3, 2);

/// How far a sheet's thickness may be from the part's: a 64th of an inch.
const SHEET_SLACK: Length = measure::inches(1, 64);

impl Batch {
    /// Whether a router cuts its parts out.
    pub(crate) fn is_nested(&self) -> bool {
        self.wants.iter().any(|want| matches!(want.how, How::Sheet(Some(_))))
    }

    /// Whether a stack is thick enough, and not too thick.
    pub(crate) fn suits(&self, stack: &Stack, allowances: &Allowances) -> bool {
        stack.is_of(&self.material) && suits(stack, self.stock, self.needs, allowances)
    }
}

fn suits(stack: &Stack, stock: Stock, needs: Length, allowances: &Allowances) -> bool {
    match stock {
        Stock::Sheet(thickness) => (stack.thickness - thickness).abs() <= SHEET_SLACK,
        Stock::Board(rung) => {
            stack.planed_to(allowances) >= needs && stack.thickness * THICKEST.1 <= rung.nominal * THICKEST.0
        }
    }
}

/// Sorts all that is to be sawn by material and thickness, solid wood first.
pub(crate) fn batches(
    case: &Case,
    takeoff: &Takeoff,
    rack: Option<&Rack>,
    around: Around<'_>,
    allowances: &Allowances,
) -> Vec<Batch> {
    let mut sorted: BTreeMap<(Form, Material, Length), Batch> = BTreeMap::new();
    let mut put = |material: &Material, stock: Stock, needs: Length, want: Want| {
        let key = (material.form, material.clone(), stock.thickness());
        let batch =
            sorted.entry(key).or_insert_with(|| Batch { material: material.clone(), stock, needs, wants: Vec::new() });
        batch.needs = batch.needs.max(needs);
        batch.wants.push(want);
    };
    for group in &takeoff.groups {
        for line in &group.lines {
            let Some(first) = line.parts.first().map(|id| case.part(*id)) else { continue };
            let shows = line.parts.iter().any(|id| shows::on_all_faces(case.part(*id)));
            let (stock, needs, how) = match group.material.form {
                Form::Sheet => (Stock::Sheet(first.size[2]), first.size[2], How::Sheet(around(first.size[2]))),
                Form::Solid => solid(first, line, rack, allowances),
            };
            put(&group.material, stock, needs, Want { line: line.clone(), how, shows });
        }
    }
    for (i, strip) in takeoff.strips.iter().enumerate() {
        let (length, count) = strips(strip, allowances);
        let parts: Vec<PartId> = strip.lines.iter().flat_map(|l| l.parts.iter().copied()).collect();
        let shows = parts.iter().any(|id| shows::on_all_faces(case.part(*id)));
        let [width, thickness] = strip.section;
        let line = Line {
            parts,
            name: format!("strip for {}s", strip.name),
            assembly: String::new(),
            mirrored: 0,
            finished: [length, width, thickness],
        };
        let rung = allowances.board_for(thickness).unwrap_or_else(|| allowances.thickest());
        let how = How::Strips { section: i + 1, count };
        put(&strip.material, Stock::Board(rung), thickness, Want { line, how, shows });
    }
    sorted.into_values().collect()
}

/// How a solid part is made: from one board if the yard has one so thick, in layers if not; a panel as leaves of a thicker
/// board, where that takes less wood and such a board is at hand or nothing is.
fn solid(first: &Part, line: &Line, rack: Option<&Rack>, allowances: &Allowances) -> (Stock, Length, How) {
    let [_, width, thickness] = first.size;
    let Some(single) = allowances.board_for(thickness) else {
        let most = allowances.planed(allowances.thickest().nominal).nm();
        let layers = (thickness.nm() + most - 1) / most;
        let needs = Length::from_nm((thickness.nm() + layers - 1) / layers);
        let rung = allowances.board_for(needs).unwrap_or_else(|| allowances.thickest());
        return (Stock::Board(rung), needs, How::Layers(usize::try_from(layers).unwrap_or(1)));
    };
    let plain = (Stock::Board(single), thickness, How::Layers(1));
    let leaves = line.count() * allowances.staves(width, allowances.widest_stave);
    let needs = allowances.two_leaves(thickness);
    let Some(thick) = allowances.board_for(needs).filter(|thick| thick.nominal < single.nominal * 2) else {
        return plain;
    };
    let at_hand = |rung, needs| {
        rack.is_none_or(|rack| {
            let mut of_wood = rack.stacks.iter().filter(|stack| stack.is_of(&first.material));
            of_wood.any(|stack| suits(stack, Stock::Board(rung), needs, allowances))
        })
    };
    let book = first.role == Role::Panel && leaves > 1 && (at_hand(thick, needs) || !at_hand(single, thickness));
    if book { (Stock::Board(thick), needs, How::Book) } else { plain }
}

/// How long the strips of a section are, and how many hold all its pieces: as few as can be, and then as short.
fn strips(strip: &Strip, allowances: &Allowances) -> (Length, usize) {
    let pieces: Vec<_> = strip.lines.iter().map(|l| (l.finished[0] + allowances.strip_end, l.count())).collect();
    let longest = pieces.iter().map(|p| p.0).max().unwrap_or_default();
    let all: Length = pieces.iter().map(|&(l, n)| l * i64::try_from(n).unwrap_or(i64::MAX)).sum();
    // In tenths of the step, rounded up: finer than any saw, and few enough to lay out at once.
    let unit = allowances.step.nm() / 10;
    let kinds: Vec<Kind> =
        pieces.iter().map(|&(l, count)| Kind { length: ((l.nm() + unit - 1) / unit).max(1), count }).collect();
    let count = |most: Length| {
        let laid = bars((most.nm() + unit - 1) / unit, &kinds, &Limits::work(500_000), &mut |_| {});
        laid.map_or(usize::MAX, |laid| laid.bars.len())
    };
    let most = longest.max(allowances.strip);
    let least = count(most);
    let even = all / i64::try_from(least).unwrap_or(1).max(1);
    let mut length = allowances.up(even.max(longest));
    while length < most && count(length) > least {
        length += allowances.step * 4;
    }
    (length.min(most), least)
}

impl Batch {
    /// The rough list, if no stave may be wider than this in the finished part. `turns`: sheet parts may lie across.
    pub(crate) fn lines(&self, widest: Length, turns: bool, allowances: &Allowances) -> Vec<RoughLine> {
        self.wants.iter().map(|want| want.line(widest, turns, allowances)).collect()
    }
}

impl Want {
    fn line(&self, widest: Length, turns: bool, allowances: &Allowances) -> RoughLine {
        let line = &self.line;
        let [length, width, _] = line.finished;
        let mut out = RoughLine {
            parts: line.parts.clone(),
            name: line.name.clone(),
            assembly: line.assembly.clone(),
            finished: line.finished,
            rough: [Length::ZERO; 2],
            staves: 1,
            layers: 1,
            book: false,
            strip: false,
            shows: self.shows,
            turns: false,
            sets: Vec::new(),
        };
        match self.how {
            How::Sheet(around) => {
                out.rough = allowances.rough_sheet(length, width, around);
                out.turns = turns;
                out.sets = line.parts.iter().map(|id| vec![id.to_string()]).collect();
            }
            How::Layers(layers) => {
                out.staves = allowances.staves(width, widest);
                out.layers = layers;
                out.rough = allowances.rough_solid(length, width, out.staves);
                out.sets = line.parts.iter().map(|id| lettered(&id.to_string(), out.staves * layers)).collect();
            }
            How::Book => {
                out.staves = allowances.staves(width, widest);
                out.book = true;
                out.rough = allowances.rough_solid(length, width, out.staves);
                // Leaves that open within a panel, or else from panel to panel.
                out.sets = if out.staves.is_multiple_of(2) {
                    line.parts.iter().map(|id| lettered(&id.to_string(), out.staves / 2)).collect()
                } else {
                    let pair = |ids: &[PartId]| ids.iter().map(ToString::to_string).collect::<Vec<_>>().join("+");
                    line.parts.chunks(2).map(|ids| lettered(&pair(ids), out.staves)).collect()
                };
            }
            How::Strips { section, count } => {
                out.strip = true;
                out.rough = [allowances.up(length), allowances.up(width + allowances.width)];
                out.sets = lettered(&format!("S{section}"), count).into_iter().map(|mark| vec![mark]).collect();
            }
        }
        out
    }
}

/// `P13a`, `P13b`, … for several, `P13` for one; after `z` comes `a2`.
fn lettered(name: &str, n: usize) -> Vec<String> {
    if n == 1 {
        return vec![name.to_owned()];
    }
    let letter = |i: usize| char::from(b'a' + u8::try_from(i % 26).unwrap_or(0));
    let round = |i: usize| if i < 26 { String::new() } else { (i / 26 + 1).to_string() };
    (0..n).map(|i| format!("{name}{}{}", letter(i), round(i))).collect()
}
