//! Blocks packed on sheets clear of the title block: drawings in rows whose tops are in line, tables in columns that are
//! read one after the other. What a sheet has to spare is shared out between them.

use paper::block::Block;
use paper::scene::At;
use paper::sheet::Frame;

/// Between two blocks, across and up, mm.
pub(crate) const APART: At = [9.0, 7.0];
/// Rows are moved apart by no more, mm.
const SPARE: f64 = 16.0;
/// Blocks of a row, and columns, are moved apart by no more, mm.
const WIDEST: f64 = 45.0;

/// A drawing joins a row that is led by a lower one, up to so many times as high: what makes fewest sheets.
const HIGHER: [f64; 3] = [1.4, 1.0, f64::INFINITY];

/// A drawing on a page: its number, and its upper left corner.
pub(crate) type Put = (usize, At);

/// Drawings of those sizes in rows, in their order but for what is much higher than the row or wider than its rest, which
/// waits for the next; read row by row.
pub(crate) fn rows(sizes: &[At], frame: &Frame) -> Vec<Vec<Put>> {
    let ways = HIGHER.into_iter().map(|higher| rows_up_to(higher, sizes, frame));
    ways.min_by_key(Vec::len).unwrap_or_default()
}

fn rows_up_to(higher: f64, sizes: &[At], frame: &Frame) -> Vec<Vec<Put>> {
    let mut left: Vec<usize> = (0..sizes.len()).collect();
    let mut pages = Vec::new();
    while !left.is_empty() {
        let mut page: Vec<Vec<usize>> = Vec::new();
        let mut top = frame.space.max[1];
        while let Some(row) = row(&mut left, sizes, frame, [top, higher], page.is_empty()) {
            top -= high(&row, sizes) + APART[1];
            page.push(row);
        }
        let spare = (top + APART[1] - frame.space.min[1]).max(0.0) / page.len() as f64;
        let steps = (0..=8).rev().map(|k| (spare * 0.125 * f64::from(k)).min(SPARE));
        let spread = steps.map(|gap| placed(&page, sizes, frame, gap)).find(|(_, clear)| *clear);
        // A drawing that is larger than the sheet is clear nowhere.
        pages.push(spread.map_or_else(|| placed(&page, sizes, frame, 0.0).0, |(puts, _)| puts));
    }
    pages
}

/// The next row under a height: led by the first drawing that fits there, no other so many times as high. The first row of a sheet takes a drawing even if
/// it is larger than the sheet.
fn row(left: &mut Vec<usize>, sizes: &[At], frame: &Frame, [top, higher]: [f64; 2], first: bool) -> Option<Vec<usize>> {
    let fits = |row: &[usize]| {
        let foot = top - high(row, sizes);
        let wide = row.iter().map(|k| sizes[*k][0] + APART[0]).sum::<f64>() - APART[0];
        foot >= frame.space.min[1] && wide <= right_end(frame, foot) - frame.space.min[0]
    };
    let lead = left.iter().position(|k| fits(&[*k])).or((first && !left.is_empty()).then_some(0))?;
    let mut row = vec![left.remove(lead)];
    let most = higher * sizes[row[0]][1];
    left.retain(|&k| {
        row.push(k);
        let joins = sizes[k][1] <= most && fits(&row);
        if !joins {
            row.pop();
        }
        !joins
    });
    Some(row)
}

/// Height of a row.
fn high(row: &[usize], sizes: &[At]) -> f64 {
    row.iter().map(|k| sizes[*k][1]).fold(0.0, f64::max)
}

/// Rows with so much more between them, each spread over its width, and whether all keep clear.
fn placed(page: &[Vec<usize>], sizes: &[At], frame: &Frame, gap: f64) -> (Vec<Put>, bool) {
    let (mut top, mut clear) = (frame.space.max[1], true);
    let mut out = Vec::new();
    for row in page {
        let foot = top - high(row, sizes);
        let used: f64 = row.iter().map(|k| sizes[*k][0]).sum();
        let gaps = row.len() as f64 - 1.0;
        let spare = right_end(frame, foot) - frame.space.min[0] - used - gaps * APART[0];
        clear &= foot >= frame.space.min[1] - 1e-6 && spare >= -1e-6;
        // A row that is half empty is not torn apart.
        let between = (APART[0] + spare.max(0.0) / gaps.max(1.0)).min(WIDEST);
        let mut x = frame.space.min[0];
        for k in row {
            out.push((*k, [x, top]));
            x += sizes[*k][0] + between;
        }
        top = foot - APART[1] - gap;
    }
    (out, clear)
}

/// How far to the right there is room for what reaches down to a height.
fn right_end(frame: &Frame, foot: f64) -> f64 {
    if foot >= frame.block.max[1] + APART[1] { frame.space.max[0] } else { frame.block.min[0] - APART[0] }
}

/// How far down there is room for what reaches so far to the right.
fn lower_end(frame: &Frame, right: f64) -> f64 {
    if right <= frame.block.min[0] - APART[0] { frame.space.min[1] } else { frame.block.max[1] + APART[1] }
}

/// A block on a page, and its upper left corner.
pub(crate) type Standing = (Block, At);

/// Blocks in columns, one under the other and in their order. What is higher than the rest of its column starts a new
/// one; a table that is higher even than that goes on in the next.
pub(crate) fn columns(blocks: impl IntoIterator<Item = Block>, frame: &Frame) -> Vec<Vec<Standing>> {
    let (mut pages, mut page) = (Vec::new(), vec![Column::after(&[], frame)]);
    for block in blocks {
        let mut rest = Some(block);
        while let Some(block) = rest.take() {
            let [wide, high] = block.size();
            let first = page.len() == 1;
            let Some(column) = page.last_mut() else { break };
            let fresh = column.blocks.is_empty();
            let room = column.y - lower_end(frame, column.x + wide);
            let stands = column.x + wide <= frame.space.max[0] || first;
            if stands && (high <= room || fresh) {
                let (now, later) = block.split(room);
                column.put(now);
                rest = later;
                continue;
            }
            if !stands {
                pages.push(spread(std::mem::take(&mut page), frame));
            }
            page.push(Column::after(&page, frame));
            rest = Some(block);
        }
    }
    pages.push(spread(page, frame));
    pages
}

/// A column of blocks.
struct Column {
    x: f64,
    wide: f64,
    /// Where the next block begins.
    y: f64,
    blocks: Vec<Standing>,
}

impl Column {
    /// An empty one to the right of the others.
    fn after(others: &[Self], frame: &Frame) -> Self {
        let x = others.last().map_or(frame.space.min[0], |c| c.x + c.wide + APART[0]);
        Self { x, wide: 0.0, y: frame.space.max[1], blocks: Vec::new() }
    }

    fn put(&mut self, block: Block) {
        let [wide, high] = block.size();
        self.blocks.push((block, [self.x, self.y]));
        self.wide = self.wide.max(wide);
        self.y -= high + APART[1];
    }
}

/// Moves columns apart, as far as they stay on the sheet and off the title block.
fn spread(page: Vec<Column>, frame: &Frame) -> Vec<Standing> {
    let end = page.iter().filter(|c| !c.blocks.is_empty()).map(|c| c.x + c.wide).fold(0.0, f64::max);
    let gaps = (page.iter().filter(|c| !c.blocks.is_empty()).count() as f64 - 1.0).max(1.0);
    let spare = ((frame.space.max[0] - end) / gaps).clamp(0.0, WIDEST);
    let stays = |by: f64| {
        page.iter().enumerate().all(|(i, c)| {
            let right = |b: &Block| c.x + by * i as f64 + b.size()[0];
            c.blocks.iter().all(|(b, at)| at[1] - b.size()[1] >= lower_end(frame, right(b)) - 1e-6)
        })
    };
    let by = (0..=8).rev().map(|k| spare * 0.125 * f64::from(k)).find(|by| stays(*by)).unwrap_or(0.0);
    let columns = page.into_iter().enumerate();
    columns.flat_map(|(i, c)| c.blocks.into_iter().map(move |(b, [x, y])| (b, [x + by * i as f64, y]))).collect()
}
