//! One material and thickness laid out: first on the boards at hand, then, for what is left, on boards to buy.
//!
//! Pieces of one set come from one board, and the best boards are kept for faces that show, as long as that can be; each
//! is given up only where pieces would stay unlaid, and the layout says so.

use measure::Length;
use stock::{Area, Board, Fate, Layout, Limits, Piece, Region, Report, Saw, lay_out};

use crate::allowance::Allowances;
use crate::rack::{Sawing, Stack};
use crate::rough::{Batch, RoughLine};

/// A board or sheet, and how it is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Cutting {
    /// The board; one to buy has no id.
    pub board: Stack,
    /// It is to be bought.
    pub bought: bool,
    /// The cuts, in the order of sawing; pieces are indices of [`Group::pieces`](crate::Group::pieces).
    pub region: Region,
    /// What is laid on it, in the order of sawing.
    pub placed: Vec<Placed>,
}

/// A piece where it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// What is written on it.
    pub mark: String,
    /// Its row of the rough list.
    pub line: usize,
    /// Where it lies on the board.
    pub area: Area,
    /// Its grain lies across the board.
    pub turned: bool,
}

/// Pieces of one size that the layout may exchange, or a set that comes from one board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sawn {
    /// Their row of the rough list.
    pub line: usize,
    /// What is written on them.
    pub marks: Vec<String>,
    /// They come from one board.
    pub together: bool,
}

/// What the boards at hand did not allow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct GivenUp {
    /// The best boards had to serve for faces that do not show.
    pub best: bool,
    /// Pieces of one part had to come from several boards.
    pub together: bool,
}

/// How the boards at hand serve.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Attempt {
    pub(crate) widest: Length,
    /// What is at hand for it.
    pub(crate) stacks: Vec<Stack>,
    pub(crate) lines: Vec<RoughLine>,
    pub(crate) pieces: Vec<Sawn>,
    pub(crate) cuttings: Vec<Cutting>,
    /// Marks for which there is no board at hand, by piece.
    pub(crate) missing: Vec<Vec<String>>,
    /// Marks for which there is none to be had.
    pub(crate) unlaid: Vec<Vec<String>>,
    pub(crate) given_up: GivenUp,
    /// There are boards at hand.
    pub(crate) from_rack: bool,
    /// Of the boards at hand that are used, or of those to buy where there are none.
    pub(crate) cost: i64,
    pub(crate) bound: i64,
}

/// The widest finished staves to try: such as the widest, the middle and the narrowest board at hand allow, or those that
/// are bought.
pub(crate) fn widths(stacks: &[Stack], sawing: &Sawing, allowances: &Allowances) -> Vec<Length> {
    let usable = |width: Length| width - sawing.edge_trim * 2 - allowances.width;
    let mut found: Vec<Length> = stacks.iter().map(|s| usable(s.width).min(allowances.widest_stave)).collect();
    found.retain(|w| *w >= allowances.board_widths[1] / 4);
    found.sort_unstable();
    found.dedup();
    let few = [found.last(), found.get(found.len() / 2), found.first()];
    let mut few: Vec<Length> = few.into_iter().flatten().copied().collect();
    few.dedup();
    if few.is_empty() { allowances.board_widths.map(usable).into() } else { few }
}

/// Lays a batch out with staves no wider than `widest`, giving up what is said, or as little as can be.
pub(crate) fn attempt(
    batch: &Batch,
    stacks: &[Stack],
    sawing: &Sawing,
    (widest, given_up): (Length, Option<GivenUp>),
    allowances: &Allowances,
    limits: &Limits<'_>,
    report: Report<'_>,
) -> Attempt {
    let turns = stacks.iter().any(|s| !s.grain);
    let lines = batch.lines(widest, turns, allowances);
    let pieces = sawn(&lines);
    let saw = sawing.saw(batch.material.form);
    let mut out = Attempt {
        widest,
        stacks: stacks.to_vec(),
        missing: pieces.iter().map(|p| p.marks.clone()).collect(),
        unlaid: vec![Vec::new(); pieces.len()],
        lines,
        pieces,
        cuttings: Vec::new(),
        given_up: GivenUp::default(),
        from_rack: !stacks.is_empty(),
        cost: 0,
        bound: 0,
    };
    if !stacks.is_empty() {
        let costs = costs(stacks);
        let tries = given_up.map_or_else(|| out.tries(stacks), |given_up| vec![given_up]);
        let mut chosen: Option<(i64, GivenUp, Layout)> = None;
        for given_up in tries {
            let boards: Vec<Board> =
                stacks.iter().zip(&costs).map(|(s, price)| board(s, *price, s.best && !given_up.best)).collect();
            let layout = lay_out(&out.wanted(!given_up.together), &boards, &saw, limits, &mut *report);
            let missing = out.missing_area(&layout.missing);
            // Where boards are to be bought in any case, nothing is given up.
            if chosen.is_none() || missing == 0 {
                chosen = Some((missing, given_up, layout));
            }
            if missing == 0 {
                break;
            }
        }
        if let Some((missing, given_up, layout)) = chosen {
            out.given_up = given_up;
            (out.cost, out.bound) = (layout.cost, if missing == 0 { layout.bound } else { layout.cost });
            out.take(layout, |i| Stack { count: 1, ..stacks[i].clone() }, false);
        }
    }
    if out.missing.iter().any(|m| !m.is_empty()) {
        out.buy(batch, &saw, allowances, limits, stacks.is_empty(), report);
    }
    out
}

/// Pieces of one size together, but each set by itself where it is to come from one board.
fn sawn(lines: &[RoughLine]) -> Vec<Sawn> {
    let mut pieces = Vec::new();
    for (line, row) in lines.iter().enumerate() {
        let (sets, single): (Vec<_>, Vec<_>) = row.sets.iter().partition(|set| set.len() > 1);
        let marks: Vec<String> = single.into_iter().flatten().cloned().collect();
        if !marks.is_empty() {
            pieces.push(Sawn { line, marks, together: false });
        }
        pieces.extend(sets.into_iter().map(|set| Sawn { line, marks: set.clone(), together: true }));
    }
    pieces
}

fn board(stack: &Stack, price: i64, best: bool) -> Board {
    Board {
        id: stack.id.clone(),
        length: stack.length,
        width: stack.width,
        count: stack.count,
        price,
        best,
        flaws: stack.flaws.iter().map(|(_, flaw)| flaw.clone()).collect(),
    }
}

/// What each stack costs: its price; without one its volume, at the price of the others; the volume where none has a price.
fn costs(stacks: &[Stack]) -> Vec<i64> {
    let priced: Vec<(i64, i64)> = stacks.iter().filter_map(|s| Some((s.price?, volume(s)))).collect();
    let (money, bulk) = priced.iter().fold((0_i64, 0_i64), |sum, p| (sum.0 + p.0, sum.1 + p.1));
    let reckoned = |s: &Stack| if bulk > 0 && money > 0 { volume(s) * money / bulk } else { volume(s) };
    stacks.iter().map(|s| s.price.filter(|_| money > 0).unwrap_or_else(|| reckoned(s)).max(1)).collect()
}

/// In cubic centimetres.
fn volume(s: &Stack) -> i64 {
    let tenths = |l: Length| i128::from(l.nm() / 100_000);
    i64::try_from(tenths(s.length) * tenths(s.width) * tenths(s.thickness) / 1_000_000).unwrap_or(i64::MAX)
}

impl Attempt {
    /// Fewest unlaid, then least to buy, then the least given up, then the cheapest.
    pub(crate) fn rank(&self) -> (usize, i64, GivenUp, i64) {
        let count = |marks: &[Vec<String>]| marks.iter().map(Vec::len).sum::<usize>();
        let missing: Vec<usize> = self.missing.iter().map(Vec::len).collect();
        let short = if self.from_rack { self.missing_area(&missing) } else { 0 };
        (count(&self.unlaid), short, self.given_up, self.cost)
    }

    /// What to give up, ever more.
    fn tries(&self, stacks: &[Stack]) -> Vec<GivenUp> {
        let best = stacks.iter().any(|s| s.best);
        let mut tries = vec![GivenUp::default()];
        if best {
            tries.push(GivenUp { best, together: false });
        }
        if self.pieces.iter().any(|p| p.together) {
            tries.push(GivenUp { best, together: true });
        }
        tries
    }

    fn missing_area(&self, missing: &[usize]) -> i64 {
        let area = |i: usize| {
            let [length, width] = self.lines[self.pieces[i].line].rough;
            (length.nm() / 100_000) * (width.nm() / 100_000)
        };
        missing.iter().enumerate().map(|(i, n)| area(i) * i64::try_from(*n).unwrap_or(0)).sum()
    }

    /// What is still missing, as the solver takes it.
    fn wanted(&self, together: bool) -> Vec<Piece> {
        let piece = |(sawn, marks): (&Sawn, &Vec<String>)| {
            let line = &self.lines[sawn.line];
            Piece {
                id: marks.first().cloned().unwrap_or_default(),
                length: line.rough[0],
                width: line.rough[1],
                count: marks.len(),
                turns: line.turns,
                shows: line.shows,
                together: together && sawn.together,
            }
        };
        self.pieces.iter().zip(&self.missing).map(piece).collect()
    }

    /// Takes a layout over: its boards, and the marks of the pieces on them.
    fn take(&mut self, layout: Layout, board: impl Fn(usize) -> Stack, bought: bool) {
        for cutting in layout.boards {
            let mut placed = Vec::new();
            cutting.region.walk(&mut |region| {
                if let Fate::Piece { piece, turned } = region.fate {
                    let mark =
                        if self.missing[piece].is_empty() { String::new() } else { self.missing[piece].remove(0) };
                    placed.push(Placed { mark, line: self.pieces[piece].line, area: region.area, turned });
                }
            });
            self.cuttings.push(Cutting { board: board(cutting.board), bought, region: cutting.region, placed });
        }
    }

    /// Lays what is missing on boards or sheets of the size that is bought.
    fn buy(
        &mut self,
        batch: &Batch,
        saw: &Saw,
        allowances: &Allowances,
        limits: &Limits<'_>,
        only: bool,
        report: Report<'_>,
    ) {
        let missing = self.missing.clone();
        let stacks = self.stacks_to_buy(batch, saw, allowances);
        let boards: Vec<Board> = stacks.iter().map(|s| board(s, volume(s), false)).collect();
        // After the boards at hand this is an example of what to buy, which needs no long search.
        let quick = Limits { seed: limits.seed, ..crate::limits() };
        let limits = if only { limits } else { &quick };
        let layout = lay_out(&self.wanted(true), &boards, saw, limits, report);
        if only {
            (self.cost, self.bound) = (layout.cost, layout.bound);
        }
        self.take(layout, |i| Stack { count: 1, ..stacks[i].clone() }, true);
        // What is missing is missing at hand, whether or not a board can be bought for it.
        self.unlaid = std::mem::replace(&mut self.missing, missing);
    }

    /// The boards or sheets that may be bought for what is missing; sets are to come from one.
    fn stacks_to_buy(&self, batch: &Batch, saw: &Saw, allowances: &Allowances) -> Vec<Stack> {
        let usual = allowances.board_widths[1] - saw.edge_trim * 2;
        let (mut longest, mut widest) = (Length::ZERO, Length::ZERO);
        for (sawn, marks) in self.pieces.iter().zip(&self.missing).filter(|(_, marks)| !marks.is_empty()) {
            let [length, width] = self.lines[sawn.line].rough;
            let across = ((usual + saw.kerf).nm() / (width + saw.kerf).nm()).max(1);
            let n = if sawn.together { i64::try_from(marks.len()).unwrap_or(i64::MAX) } else { 1 };
            let along = (n + across - 1) / across;
            longest = longest.max(length * along + saw.kerf * (along - 1));
            widest = widest.max(width);
        }
        let sizes = match batch.material.form {
            case::Form::Solid => allowances.boards_to_buy(longest + saw.end_trim * 2, widest + saw.edge_trim * 2),
            case::Form::Sheet => vec![allowances.whole_sheet],
        };
        let stack = |[length, width]: [Length; 2]| Stack {
            id: String::new(),
            material: batch.material.name.clone(),
            kind: batch.material.form,
            sawn: batch.material.sawn,
            thickness: batch.stock.thickness(),
            length,
            width,
            count: 999,
            price: None,
            planed: false,
            best: false,
            grain: true,
            flaws: Vec::new(),
        };
        sizes.into_iter().map(stack).collect()
    }
}
