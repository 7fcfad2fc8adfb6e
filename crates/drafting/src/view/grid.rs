//! Which faces lie over a place: a grid over the picture, each cell with its faces from the nearest back.

use paper::scene::{At, Rect};

/// Cells across the longer side of the picture.
const CELLS: f64 = 64.0;

/// The grid; faces are told by their numbers.
#[derive(Debug)]
pub(super) struct Grid {
    from: At,
    per_mm: f64,
    columns: usize,
    rows: usize,
    /// Where each cell starts in `items`; one more than there are cells.
    starts: Vec<usize>,
    items: Vec<usize>,
}

impl Grid {
    /// Of faces with these outlines; `nearest_first` orders any two of them.
    pub(super) fn new(outlines: &[Rect], nearest_first: impl Fn(&usize, &usize) -> std::cmp::Ordering) -> Self {
        let whole =
            outlines.iter().copied().reduce(|a, b| a.union(&b)).unwrap_or(Rect { min: [0.0; 2], max: [1.0; 2] });
        let per_mm = CELLS / whole.width().max(whole.height()).max(1e-3);
        let mut grid = Self { from: whole.min, per_mm, columns: 1, rows: 1, starts: vec![0], items: Vec::new() };
        grid.columns = grid.index(whole.max[0], 0, usize::MAX) + 1;
        grid.rows = grid.index(whole.max[1], 1, usize::MAX) + 1;
        let mut order: Vec<usize> = (0..outlines.len()).collect();
        order.sort_by(nearest_first);
        let mut cells: Vec<Vec<usize>> = vec![Vec::new(); grid.columns * grid.rows];
        for i in order {
            let [low, high] = [outlines[i].min, outlines[i].max];
            for row in grid.index(low[1], 1, grid.rows)..=grid.index(high[1], 1, grid.rows) {
                for column in grid.index(low[0], 0, grid.columns)..=grid.index(high[0], 0, grid.columns) {
                    cells[row * grid.columns + column].push(i);
                }
            }
        }
        for cell in cells {
            grid.items.extend(cell);
            grid.starts.push(grid.items.len());
        }
        grid
    }

    /// The faces whose outlines may hold a place, nearest first.
    pub(super) fn over(&self, p: At) -> &[usize] {
        let cell = self.index(p[1], 1, self.rows) * self.columns + self.index(p[0], 0, self.columns);
        &self.items[self.starts[cell]..self.starts[cell + 1]]
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative, and held below `count`")]
    fn index(&self, v: f64, axis: usize, count: usize) -> usize {
        let at = (v - self.from[axis]) * self.per_mm;
        (at.max(0.0) as usize).min(count - 1)
    }
}
