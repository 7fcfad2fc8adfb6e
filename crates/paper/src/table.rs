//! Tables: columns as wide as their widest cell, rows as high as their lines, rules between.

use crate::scene::{At, Layer, Path, Pen, Rect};
use crate::text::{self, Text};

/// Height of the figures in a table, mm.
const BODY: f64 = 2.5;
/// Height of the headings, mm.
const HEAD: f64 = 1.8;
/// Height of the heading's row, mm.
const HEAD_ROW: f64 = 5.0;
/// Height of the table's title, its room included, mm.
const TITLE_ROW: f64 = 6.0;
/// Left and right of a cell's text, mm.
const SIDE: f64 = 1.5;
/// Above and below the ink of a row together, mm.
const LEADING: f64 = 1.7;

/// A table; every row has as many cells as there are headings, and a cell may have several lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Stands over it; empty for none.
    pub title: String,
    /// The columns' headings.
    pub head: Vec<String>,
    /// The cells, row by row.
    pub rows: Vec<Vec<String>>,
    /// No column is narrower, mm; missing ones count as 0.
    pub least_widths: Vec<f64>,
    /// No row is lower, mm.
    pub least_height: f64,
}

impl Table {
    /// An empty table.
    pub fn new(title: impl Into<String>, head: &[&str]) -> Self {
        Self {
            title: title.into(),
            head: head.iter().map(|h| (*h).to_owned()).collect(),
            rows: Vec::new(),
            least_widths: Vec::new(),
            least_height: 0.0,
        }
    }

    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        let heights: f64 = self.rows.iter().map(|r| self.row_height(r)).sum();
        [self.widths().iter().sum(), self.top() + heights]
    }

    /// Title and heading; a heading without a word takes no room.
    fn top(&self) -> f64 {
        self.head_row() + if self.title.is_empty() { 0.0 } else { TITLE_ROW }
    }

    fn head_row(&self) -> f64 {
        if self.head.iter().all(String::is_empty) { 0.0 } else { HEAD_ROW }
    }

    fn widths(&self) -> Vec<f64> {
        let column = |k: usize| {
            let cells = self.rows.iter().filter_map(|r| r.get(k)).flat_map(|c| c.lines());
            let own = cells.map(|l| text::width(l, BODY)).fold(text::width(&self.head[k], HEAD), f64::max) + 2.0 * SIDE;
            own.max(self.least_widths.get(k).copied().unwrap_or(0.0))
        };
        let mut widths: Vec<f64> = (0..self.head.len()).map(column).collect();
        // A title that is wider than its table widens the last column.
        let short = text::width(&self.title, BODY) - widths.iter().sum::<f64>();
        if let Some(last) = widths.last_mut() {
            *last += short.max(0.0);
        }
        widths
    }

    /// As many rows as fit the height, and the rest. The first table has one row at least; of a row that is higher than
    /// that by itself as many lines as fit, and what is left of its cells leads the rest.
    pub fn split(mut self, height: f64) -> (Self, Option<Self>) {
        let mut used = self.top();
        let fits = self.rows.iter().take_while(|r| {
            used += self.row_height(r);
            used <= height
        });
        let count = fits.count().max(1);
        let room = height - self.top();
        if let Some(first) = self.rows.first_mut() {
            let later: Vec<String> = first.iter_mut().map(|cell| cut_off(cell, room)).collect();
            if later.iter().any(|cell| !cell.is_empty()) {
                self.rows.insert(1, later);
            }
        }
        if count >= self.rows.len() {
            return (self, None);
        }
        let rest = Self { rows: self.rows.split_off(count), ..self.clone() };
        (self, Some(rest))
    }

    fn row_height(&self, row: &[String]) -> f64 {
        row.iter().map(|c| cell_height(c, BODY)).fold((BODY + LEADING).max(self.least_height), f64::max)
    }

    /// The cells of a column, the table's upper left corner at `at`.
    pub fn column(&self, at: At, column: usize) -> Vec<Rect> {
        let widths = self.widths();
        let left = at[0] + widths.iter().take(column).sum::<f64>();
        let mut y = at[1] - self.top();
        let cell = |row: &Vec<String>| {
            let height = self.row_height(row);
            y -= height;
            Rect::new([left, y], widths.get(column).copied().unwrap_or(0.0), height)
        };
        self.rows.iter().map(cell).collect()
    }

    /// Draws it with its upper left corner at `at`.
    pub fn draw(&self, layer: &mut Layer, at: At) {
        let widths = self.widths();
        let [width, height] = self.size();
        let [left, mut y] = at;
        if !self.title.is_empty() {
            layer.letter(Text::new([left, y - TITLE_ROW + 1.8], BODY, self.title.clone()));
            y -= TITLE_ROW;
        }
        let top = y;
        let mut letter = |cells: &[String], size: f64, y: f64, row: f64| {
            let mut x = left;
            for (cell, width) in cells.iter().zip(&widths) {
                let mut line = y - (row - cell_height(cell, size)) / 2.0;
                for says in cell.lines() {
                    let ink = line_ink(says, size);
                    line -= LEADING / 2.0;
                    layer.letter(Text::new([x + SIDE, line - ink[1]], size, says));
                    line -= ink[1] - ink[0] + LEADING / 2.0;
                }
                x += width;
            }
        };
        if self.head_row() > 0.0 {
            letter(&self.head, HEAD, y, HEAD_ROW);
            y -= HEAD_ROW;
        }
        let mut levels = if y < top { vec![y] } else { Vec::new() };
        for row in &self.rows {
            let high = self.row_height(row);
            letter(row, BODY, y, high);
            y -= high;
            levels.push(y);
        }
        let bottom = at[1] - height;
        for level in levels.iter().take(levels.len() - 1) {
            layer.line(Pen::Rule, [left, *level], [left + width, *level]);
        }
        let mut x = left;
        for w in widths.iter().take(widths.len() - 1) {
            x += w;
            layer.line(Pen::Rule, [x, bottom], [x, top]);
        }
        layer.draw(Pen::Rule, Path::rectangle(&Rect::new([left, bottom], width, top - bottom)));
    }
}

/// Lowest and highest ink of a line, the height of capitals at least.
fn line_ink(line: &str, size: f64) -> [f64; 2] {
    let ink = text::extent(line, size).1;
    [ink[0].min(0.0), ink[1].max(size)]
}

fn cell_height(cell: &str, size: f64) -> f64 {
    cell.lines().map(|l| line_ink(l, size)).map(|[low, high]| high - low + LEADING).sum()
}

/// Takes off a cell the lines that do not fit the height; one line stays.
fn cut_off(cell: &mut String, height: f64) -> String {
    let lines: Vec<&str> = cell.lines().collect();
    let mut used = 0.0;
    let fits = lines.iter().take_while(|l| {
        used += cell_height(l, BODY);
        used <= height
    });
    let (now, later) = lines.split_at(fits.count().max(1).min(lines.len()));
    let [now, later] = [now, later].map(|l| l.join("\n"));
    *cell = now;
    later
}

/// A list as a cell: broken at its commas into lines of at most `width` mm; one entry may be wider.
pub fn wrapped(list: &str, width: f64) -> String {
    text::folded(list, ", ", BODY, width).join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_splits_into_tables_that_fit() {
        let mut table = Table::new("Cuts", &["A", "B"]);
        table.rows = (0..9).map(|i| vec![i.to_string(), "3 1/2\n4".into()]).collect();
        let whole = table.size()[1];
        let (first, rest) = table.clone().split(whole / 2.0);
        let rest = rest.unwrap();
        assert!(first.size()[1] <= whole / 2.0);
        assert_eq!([first.rows, rest.rows].concat(), table.rows);
        assert_eq!(table.clone().split(whole).1, None);
    }

    #[test]
    fn a_row_too_high_for_a_sheet_goes_on_on_the_next() {
        let mut table = Table::new("Parts", &["NO.", "OFF"]);
        let numbers: Vec<String> = (0..90).map(|i| i.to_string()).collect();
        table.rows = vec![vec![numbers.join("\n"), "90".into()], vec!["x".into(), "1".into()]];
        let (mut rest, mut told, mut off) = (Some(table), Vec::new(), Vec::new());
        while let Some(table) = rest {
            let (now, later) = table.split(100.0);
            assert!(now.size()[1] <= 100.0, "{now:?}");
            told.extend(now.rows.iter().flat_map(|r| r[0].lines().map(str::to_owned).collect::<Vec<_>>()));
            off.extend(now.rows.iter().map(|r| r[1].clone()).filter(|c| !c.is_empty()));
            rest = later;
        }
        assert_eq!(told, [numbers, vec!["x".into()]].concat());
        assert_eq!(off, ["90", "1"]);
    }
}
