//! A pattern on the paper of an office printer: sheets that overlap, crosses to join them by, and a plan of them.
//!
//! A sheet shows a window of the drawing at full size. Neighbours share a strip along their edge, with a cross at each
//! end of the strip's middle: laid cross on cross, the sheets are the drawing again. Every sheet has check bars and a
//! square of its own, since each may come out of the printer differently.

use case::OrderInfo;
use measure::{Length, Unit, inches, mm};

use super::check_bar;
use super::sheet::WIDE;
use paper::Sheet;
use paper::check::keeps_off_texts;
use paper::dimension::{self, FIGURE, figure};
use paper::scene::{At, Item, Layer, Path, Pen, Rect, Scene};
use paper::sheet::PaperSize;
use paper::text::Text;

/// A pattern by itself, full size about an origin of its own.
pub(crate) struct Source {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) layers: Vec<Layer>,
    /// For the files of other programs only.
    pub(crate) other: Vec<Layer>,
    /// What the layers cover.
    pub(crate) bounds: Rect,
}

/// Left free all round, more than any printer needs, mm.
const MARGIN: f64 = 10.0;
/// Shared by neighbours, mm.
const OVERLAP: f64 = 10.0;
/// Between the window and the strip at the foot of the sheet, mm.
const APART: f64 = 6.0;
/// Half of a cross, and the radius of the circle about its middle, mm.
const CROSS: [f64; 2] = [4.0, 2.0];
/// Dash and pitch of the line to cut by, mm.
const DASH: [f64; 2] = [3.0, 6.0];
/// Height of titles, mm.
const TITLE: f64 = 5.0;
/// From one line of text to the next, mm.
const LINE: f64 = 6.0;

/// How a pattern is divided.
struct Grid {
    paper: PaperSize,
    /// Where the drawing is seen on each sheet.
    window: Rect,
    /// From a sheet's crosses to the next ones, across and up.
    pitch: [Length; 2],
    /// Columns and rows.
    count: [u32; 2],
    /// Lower left corner of the drawing's lowest left window, in the pattern's own frame.
    start: At,
}

/// The plan and the sheets of a pattern: A4 for an order drawn on an ISO paper, US Letter for one on an American paper.
pub(crate) fn sheets(source: &Source, order: &OrderInfo) -> Vec<Sheet> {
    let (short, long, name) = match order.paper.sheet {
        case::Sheet::A | case::Sheet::B | case::Sheet::C | case::Sheet::D => (215.9, 279.4, "US Letter"),
        case::Sheet::A4 | case::Sheet::A3 | case::Sheet::A2 | case::Sheet::A1 => (210.0, 297.0, "A4"),
    };
    let upright = Grid::on(PaperSize { width: short, height: long }, &source.bounds, order.unit);
    let lying = Grid::on(PaperSize { width: long, height: short }, &source.bounds, order.unit);
    let grid = if lying.sheets() < upright.sheets() { lying } else { upright };
    let places: Vec<[u32; 2]> =
        (0..grid.count[1]).rev().flat_map(|row| (0..grid.count[0]).map(move |column| [column, row])).collect();
    let tiles: Vec<([u32; 2], Vec<Layer>)> = places
        .into_iter()
        .map(|place| (place, grid.seen(source, place)))
        .filter(|(_, layers)| layers.iter().any(|l| !l.items.is_empty()))
        .collect();
    let mut out = vec![plan(source, order, &grid, tiles.len(), name)];
    out.extend(tiles.into_iter().map(|(place, layers)| grid.sheet(source, order, place, layers)));
    out
}

impl Grid {
    fn on(paper: PaperSize, bounds: &Rect, unit: Unit) -> Self {
        let inside = Rect::new([0.0, 0.0], paper.width, paper.height).grown(-MARGIN);
        let window = Rect { min: [inside.min[0], inside.min[1] + check_bar::STRIP[1] + APART], max: inside.max };
        // Whole steps of a tape measure, so that the crosses can be checked by it.
        let step = if unit == Unit::Inch { inches(1, 4) } else { mm(5) };
        let size = [window.width(), window.height()];
        let pitch = size.map(|s| step * (Length::from_mm(s - OVERLAP).nm() / step.nm()));
        let over = [bounds.width(), bounds.height()];
        let count = [0, 1].map(|i| whole(((over[i] - OVERLAP) / pitch[i].mm()).ceil().max(1.0)));
        let covered = [0, 1].map(|i| pitch[i].mm() * f64::from(count[i]));
        let middle = bounds.centre();
        // Whole millimetres, so that no figure is rounded twice.
        let start = [0, 1].map(|i| (middle[i] - covered[i] / 2.0).floor() - (size[i] - pitch[i].mm()) / 2.0);
        Self { paper, window, pitch, count, start }
    }

    fn sheets(&self) -> u32 {
        self.count[0] * self.count[1]
    }

    /// Rows are lettered from the top, columns numbered from the left.
    fn name(&self, [column, row]: [u32; 2]) -> String {
        let letter = char::from_u32(u32::from('A') + (self.count[1] - 1 - row) % 26).unwrap_or('A');
        format!("{letter}{}", column + 1)
    }

    /// From the pattern's frame to that of a sheet.
    fn shift(&self, place: [u32; 2]) -> At {
        [0, 1].map(|i| self.window.min[i] - self.start[i] - self.pitch[i].mm() * f64::from(place[i]))
    }

    /// The crosses of every sheet, counter-clockwise from the lower left.
    fn crosses(&self) -> Rect {
        let [w, h] = self.pitch.map(Length::mm);
        let [x, y] = self.window.centre();
        Rect::new([x - w / 2.0, y - h / 2.0], w, h)
    }

    /// What is seen of the pattern on a sheet.
    fn seen(&self, source: &Source, place: [u32; 2]) -> Vec<Layer> {
        let by = self.shift(place);
        let window = self.window.moved([-by[0], -by[1]]);
        let mut layers = Vec::new();
        for layer in &source.layers {
            let items = layer.items.iter().filter(|i| extent(i).is_some_and(|e| e.overlaps(&window)));
            let kept = Layer { items: items.cloned().collect(), ..Layer::new(&layer.id, &layer.title) };
            layers.push(Layer { clip: Some(self.window), ..kept.moved(by) });
        }
        layers
    }

    fn sheet(&self, source: &Source, order: &OrderInfo, place: [u32; 2], mut layers: Vec<Layer>) -> Sheet {
        let name = self.name(place);
        let joins = self.joins(&layers, place);
        let mut foot = Layer::new("foot", "Check of the print, and which sheet this is");
        check_bar::strip(&mut foot, [MARGIN, MARGIN]);
        let x = MARGIN + check_bar::STRIP[0] + APART;
        let top = MARGIN + check_bar::STRIP[1];
        foot.letter(Text::new([x, top - TITLE], TITLE, name.clone()));
        let mut next = Vec::new();
        let [column, row] = place;
        if column + 1 < self.count[0] {
            next.push(format!("{} joins at the right", self.name([column + 1, row])));
        }
        if row > 0 {
            next.push(format!("{} joins at the foot", self.name([column, row - 1])));
        }
        let [revision, _] = order.issue();
        let of = format!("order {}, revision {revision}", order.number);
        let lines = [source.title.clone(), of].into_iter().chain(next);
        for (k, line) in lines.enumerate() {
            let y = top - TITLE - 3.8 * (k as f64 + 1.0);
            foot.letter(Text::new([x, y], FIGURE, line));
        }
        layers.extend([joins, foot]);
        Sheet {
            name: format!("{}-{name}", source.name),
            title: format!("{}, sheet {name}", source.title),
            paper: self.paper,
            wide: WIDE,
            scene: Scene { layers },
        }
    }

    /// Crosses, and dashes to cut by between them, where they hide no figure.
    fn joins(&self, layers: &[Layer], [column, row]: [u32; 2]) -> Layer {
        let mut out = Layer::new("joins", "Crosses to join the sheets by");
        let crosses = self.crosses();
        let corners = crosses.corners();
        for [x, y] in corners {
            let [arm, radius] = CROSS;
            // The cross by its arms: one that would run through a figure is left out.
            let arms = [[-arm, 0.0], [arm, 0.0], [0.0, -arm], [0.0, arm]];
            let arms = arms.map(|[dx, dy]| Path::line([x, y], [x + dx, y + dy]));
            for mark in arms.into_iter().chain([Path::circle([x, y], radius)]) {
                if keeps_off_texts(&mark, layers) {
                    out.draw(Pen::Fine, mark);
                }
            }
        }
        let [ll, lr, ur, ul] = corners;
        let sides = [
            (column > 0, ll, ul),
            (column + 1 < self.count[0], lr, ur),
            (row > 0, ll, lr),
            (row + 1 < self.count[1], ul, ur),
        ];
        for (_, from, to) in sides.into_iter().filter(|s| s.0) {
            let length = libm::hypot(to[0] - from[0], to[1] - from[1]);
            let on = |d: f64| [0, 1].map(|i| from[i] + (to[i] - from[i]) * d / length);
            let mut at = 2.0 * CROSS[0];
            while at + DASH[0] < length - CROSS[0] {
                let dash = Path::line(on(at), on(at + DASH[0]));
                if keeps_off_texts(&dash, layers) {
                    out.draw(Pen::Fine, dash);
                }
                at += DASH[1];
            }
        }
        out
    }
}

/// The first sheet: how the others lie together, and how they are joined.
fn plan(source: &Source, order: &OrderInfo, grid: &Grid, count: usize, paper: &str) -> Sheet {
    let mut layer = Layer::new("plan", "How the sheets lie together");
    let room = Rect::new([0.0, 0.0], grid.paper.width, grid.paper.height).grown(-MARGIN);
    let [x, mut y] = [room.min[0], room.max[1] - TITLE];
    layer.letter(Text::new([x, y], TITLE, source.title.clone()));
    let lies = if grid.paper.width > grid.paper.height { "lying" } else { "upright" };
    let show = |l: Length| format!("{} {}", figure(&order.ruler, l), order.unit);
    let [across, up] = grid.pitch.map(show);
    let sheets = if count == 1 { "1 sheet".to_owned() } else { format!("{count} sheets") };
    let mut says = vec![
        format!("{} for {}, order {}, revision {}", order.maker, order.customer, order.number, order.issue()[0]),
        format!("{sheets} of {paper}, {lies}, after this plan. Print all at 100 %, never fitted to the page."),
        "Measure bars and square on every sheet before use: a printer may stretch one way only.".into(),
        format!("The crosses stand {across} apart across the sheet and {up} up it; measure these too."),
    ];
    if count > 1 {
        says.push("Cut a sheet along the dashes where another joins at its right or its foot.".into());
        says.push("Lay it over the strip of that one, cross on cross, and tape; then try a straightedge along.".into());
    }
    y -= 1.5;
    for line in says {
        y -= LINE;
        layer.letter(Text::new([x, y], FIGURE, line));
    }
    let foot = room.min[1] + check_bar::STRIP[1] + APART;
    draw_grid(&mut layer, source, grid, &Rect { min: [x, foot], max: [room.max[0], y - APART] });
    check_bar::strip(&mut layer, room.min);
    Sheet {
        name: format!("{}-plan", source.name),
        title: format!("{}, plan of the sheets", source.title),
        paper: grid.paper,
        wide: WIDE,
        scene: Scene { layers: vec![layer] },
    }
}

/// The pattern made small in a room, with the joins over it, rows and columns named at the edge.
fn draw_grid(layer: &mut Layer, source: &Source, grid: &Grid, room: &Rect) {
    const NAMES: f64 = 7.0;
    let inner = Rect { min: [room.min[0] + NAMES, room.min[1]], max: [room.max[0], room.max[1] - NAMES] };
    let pitch = grid.pitch.map(Length::mm);
    let whole = [0, 1].map(|i| pitch[i] * f64::from(grid.count[i]));
    let scale = (inner.width() / whole[0]).min(inner.height() / whole[1]).min(0.5);
    let corner = [inner.min[0], inner.max[1] - whole[1] * scale];
    // The lower left cross of the lowest left sheet.
    let first = [0, 1].map(|i| grid.start[i] + grid.crosses().min[i] - grid.window.min[i]);
    let on = |p: At| [0, 1].map(|i| corner[i] + (p[i] - first[i]) * scale);
    for item in source.layers.iter().filter(|l| l.id != "marks").flat_map(|l| &l.items) {
        if let Item::Line { path, pen: pen @ (Pen::Outline | Pen::Fine) } = item {
            layer.draw(*pen, path.mapped(false, on));
        }
    }
    let size = whole.map(|w| w * scale);
    for column in 0..=grid.count[0] {
        let x = corner[0] + pitch[0] * scale * f64::from(column);
        layer.line(Pen::Rule, [x, corner[1]], [x, corner[1] + size[1]]);
        if column < grid.count[0] {
            let middle = x + pitch[0] * scale / 2.0;
            let at = [middle, corner[1] + size[1] + 2.0];
            layer.letter(Text::new(at, 3.5, format!("{}", column + 1)).centred());
        }
    }
    for row in 0..=grid.count[1] {
        let y = corner[1] + pitch[1] * scale * f64::from(row);
        layer.line(Pen::Rule, [corner[0], y], [corner[0] + size[0], y]);
        if row < grid.count[1] {
            let middle = y + pitch[1] * scale / 2.0 - 1.75;
            let letter = grid.name([0, row]).chars().take(1).collect::<String>();
            layer.letter(Text::new([corner[0] - 3.5, middle], 3.5, letter).centred());
        }
    }
}

/// What an item covers; nothing if it is empty.
fn extent(item: &Item) -> Option<Rect> {
    let of = |path: &Path| {
        let points = path.flattened(0.5).into_iter().map(|p| Rect { min: p, max: p });
        points.reduce(|a, b| a.union(&b)).map(|r| r.grown(1.0))
    };
    match item {
        Item::Line { path, .. } => of(path),
        Item::Fill(paths) => paths.iter().filter_map(of).reduce(|a, b| a.union(&b)),
        Item::Text(text) => Some(dimension::bounds(text)),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of sheets, small and positive")]
fn whole(v: f64) -> u32 {
    v as u32
}
