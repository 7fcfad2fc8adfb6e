//! Blocks packed on sheets: each in the highest free place, and the spare room of a sheet shared out.

use paper::scene::{At, Rect};
use paper::sheet::Frame;

/// Between two blocks, across and up, mm.
const APART: At = [9.0, 7.0];

/// A block on a page: its number, and its upper left corner.
pub(crate) type Put = (usize, At);

/// Blocks of those sizes on pages of a frame, clear of the title block; read from the top down.
pub(crate) fn packed(sizes: &[At], frame: &Frame) -> Vec<Vec<Put>> {
    let mut left: Vec<usize> = (0..sizes.len()).collect();
    let mut pages = Vec::new();
    while !left.is_empty() {
        let mut free = free_rooms(frame);
        let mut page: Vec<(usize, Rect)> = Vec::new();
        // In their order, but what is too large for the rest of this sheet waits for the next.
        left.retain(|&k| {
            let [w, h] = sizes[k];
            let Some(at) = highest(&free, [w, h]) else { return true };
            let block = Rect { min: [at[0], at[1] - h], max: [at[0] + w, at[1]] };
            free = without(
                &free,
                &Rect {
                    min: [block.min[0] - APART[0], block.min[1] - APART[1]],
                    max: [block.max[0] + APART[0], block.max[1] + APART[1]],
                },
            );
            page.push((k, block));
            false
        });
        if page.is_empty() {
            // Larger than the sheet: alone, and as it is.
            let k = left.remove(0);
            let [x, y] = [frame.space.min[0], frame.space.max[1]];
            page.push((k, Rect { min: [x, y - sizes[k][1]], max: [x + sizes[k][0], y] }));
        }
        page.sort_by(|a, b| b.1.max[1].total_cmp(&a.1.max[1]).then(a.1.min[0].total_cmp(&b.1.min[0])));
        pages.push(spread(page, frame).into_iter().map(|(k, b)| (k, [b.min[0], b.max[1]])).collect());
    }
    pages
}

/// The greatest rooms of an empty sheet: above the title block, and beside it.
fn free_rooms(frame: &Frame) -> Vec<Rect> {
    let beside = Rect { min: frame.space.min, max: [frame.block.min[0] - APART[0], frame.space.max[1]] };
    [frame.above_block(), beside].into_iter().filter(|r| r.width() > 0.0 && r.height() > 0.0).collect()
}

/// The upper left corner of the highest place of a size, the left one of two.
fn highest(free: &[Rect], [w, h]: At) -> Option<At> {
    let fits = free.iter().filter(|r| w <= r.width() && h <= r.height());
    let corners = fits.map(|r| [r.min[0], r.max[1]]);
    corners.min_by(|a, b| b[1].total_cmp(&a[1]).then(a[0].total_cmp(&b[0])))
}

/// The greatest rooms that are left when one is taken.
fn without(free: &[Rect], taken: &Rect) -> Vec<Rect> {
    let mut out: Vec<Rect> = Vec::new();
    for r in free {
        if !r.overlaps(taken) {
            out.push(*r);
            continue;
        }
        let parts = [
            Rect { max: [taken.min[0], r.max[1]], ..*r },
            Rect { min: [taken.max[0], r.min[1]], ..*r },
            Rect { max: [r.max[0], taken.min[1]], ..*r },
            Rect { min: [r.min[0], taken.max[1]], ..*r },
        ];
        out.extend(parts.into_iter().filter(|p| p.width() > 1.0 && p.height() > 1.0));
    }
    let held: Vec<bool> = (0..out.len())
        .map(|i| out.iter().enumerate().any(|(j, o)| j != i && o.holds(&out[i]) && (*o != out[i] || j < i)))
        .collect();
    out.into_iter().zip(held).filter(|(_, held)| !held).map(|(r, _)| r).collect()
}

/// Shares a sheet's spare room out: all blocks move from the upper left corner in proportion, as far as they stay on
/// the sheet and off the title block.
fn spread(page: Vec<(usize, Rect)>, frame: &Frame) -> Vec<(usize, Rect)> {
    let corner = [frame.space.min[0], frame.space.max[1]];
    let moved = |by: At| -> Vec<(usize, Rect)> {
        let shift = |b: &Rect| [(b.min[0] - corner[0]) * by[0], (b.max[1] - corner[1]) * by[1]];
        page.iter().map(|(k, b)| (*k, b.moved(shift(b)))).collect()
    };
    let stays = |page: &Vec<(usize, Rect)>| {
        let block = frame.block.grown(APART[1]);
        page.iter().all(|(_, b)| frame.space.grown(0.01).holds(b) && !b.overlaps(&block))
    };
    let steps = || (0..=8).rev().map(|k| f64::from(k) * 0.05);
    let across = steps().find(|x| stays(&moved([*x, 0.0]))).unwrap_or(0.0);
    let spread = steps().map(|y| moved([across, y])).find(stays);
    spread.unwrap_or(page)
}
