//! Recounts a layout without any of the code that made it: on the blank, off its blemishes, apart from one another, the
//! right numbers, and cut by guillotine cuts. A layout that fails here must not reach the saw.

use crate::flat::{Blank, Blemish, Part, Placed};

/// What is wrong with a layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wrong {
    /// The part at this index of its blank has another size than its kind, or is turned though it may not be.
    Size(usize),
    /// The part at this index reaches over an edge of the blank.
    Outside(usize),
    /// The part at this index touches a blemish.
    Blemished(usize),
    /// No sequence of edge-to-edge cuts sets the parts free (so it is where two overlap).
    Locked,
    /// More of this kind than there are.
    TooMany(usize),
}

/// The layout of one blank.
///
/// # Errors
/// The first thing that is [`Wrong`].
pub fn blank(blank: &Blank, parts: &[Part], placed: &[Placed]) -> Result<(), Wrong> {
    let mut counts = vec![0; parts.len()];
    for (i, p) in placed.iter().enumerate() {
        let part = parts.get(p.kind).ok_or(Wrong::Size(i))?;
        let size = if p.turned { (part.h, part.w) } else { (part.w, part.h) };
        if size != (p.w, p.h) || (p.turned && !part.turns) {
            return Err(Wrong::Size(i));
        }
        if p.x < 0 || p.y < 0 || p.x + p.w > blank.w || p.y + p.h > blank.h {
            return Err(Wrong::Outside(i));
        }
        let bars = |b: &Blemish| {
            let off = p.x >= b.x1 || p.x + p.w <= b.x0 || p.y >= b.y1 || p.y + p.h <= b.y0;
            !off && (part.shows || !b.hidden_use)
        };
        if blank.blemishes.iter().any(bars) {
            return Err(Wrong::Blemished(i));
        }
        counts[p.kind] += 1;
    }
    if let Some(kind) = (0..parts.len()).find(|&k| counts[k] > parts[k].count) {
        return Err(Wrong::TooMany(kind));
    }
    if guillotine(placed.iter().map(|p| [p.x, p.y, p.x + p.w, p.y + p.h]).collect()) {
        Ok(())
    } else {
        Err(Wrong::Locked)
    }
}

/// Whether rectangles (left, lower, right, upper) come apart by cuts that run from edge to edge.
#[must_use]
pub fn guillotine(mut rectangles: Vec<[i64; 4]>) -> bool {
    if rectangles.len() < 2 {
        return true;
    }
    for axis in 0..2 {
        rectangles.sort_by_key(|r| r[axis]);
        let mut reach = rectangles[0][axis + 2];
        for i in 1..rectangles.len() {
            if rectangles[i][axis] >= reach {
                // Any cut will do: what can be cut apart at all can still be after it.
                let rest = rectangles.split_off(i);
                return guillotine(rectangles) && guillotine(rest);
            }
            reach = reach.max(rectangles[i][axis + 2]);
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::guillotine;

    #[test]
    fn a_pinwheel_is_locked() {
        assert!(!guillotine(vec![[0, 0, 2, 1], [2, 0, 3, 2], [1, 2, 3, 3], [0, 1, 1, 3]]));
        assert!(guillotine(vec![[0, 0, 2, 1], [2, 0, 3, 2], [0, 2, 3, 3], [0, 1, 1, 2]]));
    }

    #[test]
    fn parts_that_overlap_are_locked() {
        assert!(!guillotine(vec![[0, 0, 2, 2], [1, 1, 3, 3]]));
    }
}
