//! The layouts drawn: each board and sheet with its flaws, pieces and offcuts and the cuts in their order; the cuts as a
//! table; and labels for the pieces.

mod board;
mod cuts;
mod labels;

use case::{Case, Form, OrderInfo};
use measure::Length;
use paper::Sheet;
use paper::scale::Scale;
use paper::scene::{Layer, Rect};
use paper::sheet::{BY_FIGURES, Document, Draft, Frame, bind};
use paper::table::Table;
use paper::text::{Text, width};

use crate::{Group, Plan};

/// Between boards, mm.
const APART: f64 = 6.0;
/// For the line at the head of a sheet, mm.
const HEAD: f64 = 6.0;

/// The layouts of all boards and sheets, and then all cuts in their order.
pub fn layout_sheets(plan: &Plan, case: &Case) -> Vec<Sheet> {
    let order = &case.order;
    let room = Frame::of(order.paper.sheet).above_block();
    let mut drafts = boards(&plan.groups, order, &room);
    drafts.extend(tables(cuts::table(plan, &order.ruler), &room));
    number("layout", &mut drafts);
    bind(order, Document { code: "L", kind: "Stock layout", caution: BY_FIGURES }, drafts)
}

/// A label for each piece that is sawn out.
pub fn label_sheets(plan: &Plan, case: &Case) -> Vec<Sheet> {
    let order = &case.order;
    let mut drafts = labels::drafts(plan, case, &Frame::of(order.paper.sheet).above_block());
    number("labels", &mut drafts);
    bind(order, Document { code: "LB", kind: "Labels", caution: "Cut apart, stick on" }, drafts)
}

fn number(name: &str, drafts: &mut [Draft]) {
    for (i, draft) in drafts.iter_mut().enumerate() {
        draft.name = format!("{name}-{}", i + 1);
    }
}

/// All boards, group by group, from left to right and down, on as many sheets as they need; at one scale.
fn boards(groups: &[Group], order: &OrderInfo, room: &Rect) -> Vec<Draft> {
    let sizes = groups.iter().flat_map(Group::cuttings).map(|c| [c.board.length.mm(), c.board.width.mm()]);
    let [longest, widest] = sizes.fold([0.0, 0.0], |most: [f64; 2], size| [most[0].max(size[0]), most[1].max(size[1])]);
    let height = room.height() - 2.0 * HEAD - board::ROUND;
    let fits = |s: Scale| longest * s.ratio() <= room.width() && widest * s.ratio() <= height;
    let scale = Scale::largest(Scale { paper: 1, piece: 5 }, fits);
    let mut page = Page::new(room, scale);
    for group in groups {
        let [mut k, widest] = [scale.ratio(), group.cuttings().iter().map(|c| c.board.width.mm()).fold(0.0, f64::max)];
        // Boards are long and narrow: drawn twice as wide, their pieces have room for what is written on them.
        if group.material().form == Form::Solid && widest * k * 2.0 <= height {
            k *= 2.0;
        }
        let head = Text::new([0.0, -4.0], 2.5, format!("{}, {}", group.material(), group.stock().name(&order.ruler)));
        for (i, cutting) in group.cuttings().iter().enumerate() {
            let drawn = board::draw(group, cutting, i, [scale.ratio(), k], &order.ruler);
            page.put(drawn, (i == 0).then(|| head.clone()));
        }
    }
    page.drafts()
}

/// A sheet being filled.
struct Page<'a> {
    room: &'a Rect,
    scale: Scale,
    at: [f64; 2],
    /// Height of the row in hand.
    row: f64,
    layer: Layer,
    done: Vec<Draft>,
}

impl<'a> Page<'a> {
    fn new(room: &'a Rect, scale: Scale) -> Self {
        let mut page = Self { room, scale, at: [0.0; 2], row: 0.0, layer: Layer::default(), done: Vec::new() };
        page.layer = page.blank();
        page
    }

    fn blank(&mut self) -> Layer {
        const HOW: &str = "Lengths to scale, widths of boards at twice the scale. The numbers at the cuts are their order. \
                           Hatched: waste. Dashed: a flaw.";
        let [x, y] = [self.room.min[0], self.room.max[1]];
        (self.at, self.row) = ([x, y - HEAD], 0.0);
        let mut layer = Layer::new("layout", "Layout");
        layer.letter(Text::new([x, y - 3.0], 2.0, HOW));
        layer
    }

    /// Puts a board where it fits next; a heading begins a row of its own.
    fn put(&mut self, drawn: board::Drawn, head: Option<Text>) {
        let [width, height] = drawn.size;
        let left = self.room.min[0];
        if self.at[0] > left && (head.is_some() || self.at[0] + width > self.room.max[0]) {
            self.at = [left, self.at[1] - self.row - APART];
            self.row = 0.0;
        }
        let tall = height + if head.is_some() { HEAD } else { 0.0 };
        if self.at[1] - tall < self.room.min[1] && self.at[1] < self.room.max[1] - HEAD {
            self.close();
        }
        if let Some(head) = head {
            self.layer.letter(Text { at: [self.at[0], self.at[1] + head.at[1]], ..head });
            self.at[1] -= HEAD;
        }
        self.layer.items.extend(drawn.layer.moved(self.at).items);
        self.at[0] += width + APART;
        self.row = self.row.max(height);
    }

    fn close(&mut self) {
        let blank = self.blank();
        let layer = std::mem::replace(&mut self.layer, blank);
        let title = format!("Boards and sheets {}", self.done.len() + 1);
        let scale = Some(self.scale);
        self.done.push(Draft { name: String::new(), title, scale, wide: 0.35, layers: vec![layer] });
    }

    fn drafts(mut self) -> Vec<Draft> {
        // The line that every sheet opens with is no reason for one.
        if self.layer.items.len() > 1 {
            self.close();
        }
        self.done
    }
}

/// A table over as many columns and sheets as it needs.
fn tables(table: Table, room: &Rect) -> Vec<Draft> {
    let draft = |layer: Layer| Draft {
        name: String::new(),
        title: "Cuts in order".into(),
        scale: None,
        wide: 0.35,
        layers: vec![layer],
    };
    let blank = || {
        let mut layer = Layer::new("cuts", "Cuts in order");
        layer.letter(Text::new([room.min[0], room.max[1] - 3.0], 2.0, cuts::HOW));
        layer
    };
    let (mut drafts, mut layer, mut x) = (Vec::new(), blank(), room.min[0]);
    let mut rest = (!table.rows.is_empty()).then_some(table);
    while let Some(table) = rest {
        let (now, later) = table.split(room.height() - HEAD);
        let wide = now.size()[0];
        if x > room.min[0] && x + wide > room.max[0] {
            drafts.push(draft(std::mem::replace(&mut layer, blank())));
            x = room.min[0];
        }
        now.draw(&mut layer, [x, room.max[1] - HEAD]);
        x += wide + APART;
        rest = later;
    }
    if layer.items.len() > 1 {
        drafts.push(draft(layer));
    }
    drafts
}

/// The largest of the heights at which a text is no wider than its room.
fn height_for(says: &str, heights: &[f64], room: f64) -> Option<f64> {
    heights.iter().copied().find(|h| width(says, *h) <= room)
}

/// `50 × 6 1/2`.
fn size(ruler: &measure::Ruler, length: Length, width: Length) -> String {
    format!("{} × {}", paper::dimension::figure(ruler, length), paper::dimension::figure(ruler, width))
}
