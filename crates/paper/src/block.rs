//! What stands beside the views: tables, notes and details, all placed alike.

use crate::scene::{At, Layer, Rect};
use crate::table::Table;
use crate::text::{self, Text};

/// Something of a fixed size.
#[derive(Clone, Debug)]
pub enum Block {
    /// A table; may go on on the next sheet.
    Table(Table),
    /// Lines of text; an empty one parts two paragraphs.
    Notes(Vec<String>),
    /// A drawing of its own, and what it covers.
    Detail(Layer, Rect),
}

/// Height of notes, mm.
pub const NOTE: f64 = 2.5;
/// From one line of notes to the next, mm.
const PITCH: f64 = 5.6;

impl Block {
    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        match self {
            Self::Table(table) => table.size(),
            Self::Notes(lines) => {
                let width = lines.iter().map(|l| text::width(l, NOTE)).fold(0.0, f64::max);
                [width, lines.iter().map(|l| pitch(l)).sum()]
            }
            Self::Detail(_, bounds) => [bounds.width(), bounds.height()],
        }
    }

    /// What fits a height, and the rest.
    pub fn split(self, height: f64) -> (Self, Option<Self>) {
        match self {
            Self::Table(table) => {
                let (now, later) = table.split(height);
                (Self::Table(now), later.map(Self::Table))
            }
            other => (other, None),
        }
    }

    /// Draws it with its upper left corner at `at`.
    pub fn draw(&self, layer: &mut Layer, at: At) {
        match self {
            Self::Table(table) => table.draw(layer, at),
            Self::Notes(lines) => {
                let mut y = at[1];
                for line in lines {
                    if !line.is_empty() {
                        layer.letter(Text::new([at[0], y - 0.75 * PITCH], NOTE, line.clone()));
                    }
                    y -= pitch(line);
                }
            }
            Self::Detail(drawn, bounds) => {
                let by = [at[0] - bounds.min[0], at[1] - bounds.max[1]];
                layer.items.extend(drawn.moved(by).items);
            }
        }
    }
}

/// From a line of notes to the next.
const fn pitch(line: &str) -> f64 {
    if line.is_empty() { PITCH / 3.0 } else { PITCH }
}

/// Free rectangles of a sheet, filled from their upper left corners.
#[derive(Clone, Debug)]
pub struct Free {
    rooms: Vec<Rect>,
    /// Left between two blocks, mm.
    gap: f64,
}

impl Free {
    /// Free rectangles, with what is left between two blocks, mm.
    pub const fn new(rooms: Vec<Rect>, gap: f64) -> Self {
        Self { rooms, gap }
    }

    /// Takes room for something so large in the first place that has it, and says where its upper left corner goes.
    pub fn take(&mut self, [w, h]: [f64; 2]) -> Option<At> {
        let at = self.rooms.iter().position(|r| w <= r.width() && h <= r.height())?;
        let room = self.rooms[at];
        let corner = [room.min[0], room.max[1]];
        // What is left beside it goes on at its place in the order; what is left below comes next.
        self.rooms[at].min[0] += w + self.gap;
        let below = Rect { min: room.min, max: [room.min[0] + w, room.max[1] - h - self.gap] };
        self.rooms.insert(at + 1, below);
        Some(corner)
    }

    /// Places for all of these sizes, or none.
    pub fn take_all(mut self, sizes: &[[f64; 2]]) -> Option<Vec<At>> {
        sizes.iter().map(|s| self.take(*s)).collect()
    }

    /// Height of its highest place that is so wide.
    pub fn highest(&self, width: f64) -> f64 {
        self.rooms.iter().filter(|r| width <= r.width()).map(Rect::height).fold(0.0, f64::max)
    }
}
