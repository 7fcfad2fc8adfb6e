//! A proof as a picture: the path over the part, and how deep it goes. Kinds of line tell kinds of move; there is no
//! colour.
//!
//! The lower picture is drawn from what the tool sweeps, not from the claim: level lines stand the closer the deeper
//! the wood is gone, and figures give the depth in mm.

use paper::number::number;
use paper::scene::{At, Item, Layer, Path, Pen, Rect, Scene};
use paper::sheet::{PaperSize, Sheet};
use paper::text::{Text, width};
use proof::reader::Motion;
use proof::{Claim, Report, Surface};

/// The longer side of a stock is drawn this long at most, the shorter one about so wide, mm.
const LONG: f64 = 760.0;
const WIDE: f64 = 240.0;
/// Round the pictures, and between them.
const ROOM: f64 = 24.0;
/// Between level lines where the wood is gone deepest.
const PITCH: f64 = 0.8;
/// Between places that are looked at along a level line.
const STEP: f64 = 0.4;
/// How many tones there are.
const TONES: usize = 4;
/// Height of figures.
const FIGURE: f64 = 2.5;

/// The sheet for a program.
pub(crate) fn sheet(file: &str, text: &str, claim: &Claim, report: &Report) -> Sheet {
    let size = [0, 1].map(|i| claim.stock.max[i] - claim.stock.min[i]);
    let scale = (LONG / size[0].max(1.0)).min(WIDE / size[1].max(1.0)).min(2.0);
    let high = size[1] * scale;
    let place = |corner: At| {
        move |p: [f64; 2]| {
            [corner[0] + (p[0] - claim.stock.min[0]) * scale, corner[1] + (p[1] - claim.stock.min[1]) * scale]
        }
    };
    let mut surface = Surface::new(text, claim);
    // Moves may begin and end beyond the stock.
    let moves = path(&surface.motions, claim, report, &place([0.0; 2]), scale);
    let ink = ink(&moves);
    let lower = [ROOM - ink.min[0], ROOM + 14.0];
    let upper = [lower[0], lower[1] + high + ROOM + 18.0 - ink.min[1]];
    let wide = ink.width().max(200.0) + 2.0 * ROOM;
    let high = upper[1] + ink.max[1] + ROOM + 16.0;
    let mut layers = vec![head(file, report, [ROOM, high - 12.0])];
    layers.extend(moves.iter().map(|l| l.moved(upper)));
    layers.push(key(&[ROOM, upper[1] + ink.min[1] - 16.0]));
    layers.extend(depths(&mut surface, claim, &place(lower), scale));
    let paper = PaperSize { width: wide, height: high };
    let name = file.trim_end_matches(".nc").to_owned();
    Sheet { name, title: format!("Proof of {file}"), paper, wide: 0.5, scene: Scene { layers } }
}

/// What the lines of some layers cover.
fn ink(layers: &[Layer]) -> Rect {
    let paths = layers.iter().flat_map(|l| &l.items).filter_map(|item| match item {
        Item::Line { path, .. } => Some(path),
        _ => None,
    });
    let points = paths.flat_map(|p| p.flattened(0.5)).map(|p| Rect { min: p, max: p });
    points.reduce(|a, b| a.union(&b)).unwrap_or(Rect::new([0.0; 2], 0.0, 0.0))
}

fn head(file: &str, report: &Report, at: At) -> Layer {
    let mut layer = Layer::new("head", "What the proof says");
    let verdict = if report.is_proven() { "proven" } else { "refused" };
    layer.letter(Text::new(at, 5.0, format!("{file}: {verdict}")));
    let first = report.faults.first().map(ToString::to_string);
    let says = first.or_else(|| report.findings.first().map(ToString::to_string)).unwrap_or_else(|| {
        format!(
            "gouge {} mm, left over {} mm, true to {} mm; {} moves",
            number(report.gouge, 4),
            number(report.leftover, 4),
            number(report.bound, 4),
            report.moves
        )
    });
    layer.letter(Text::new([at[0], at[1] - 6.0], FIGURE, says));
    layer
}

/// The moves over the part.
fn path(motions: &[Motion], claim: &Claim, report: &Report, place: &impl Fn([f64; 2]) -> At, scale: f64) -> Vec<Layer> {
    let mut part = Layer::new("part", "Stock, clamps and cuts");
    let (min, max) = (claim.stock.min, claim.stock.max);
    part.draw(Pen::Outline, Path::rectangle(&Rect { min: place([min[0], min[1]]), max: place([max[0], max[1]]) }));
    for c in &claim.clamps {
        part.draw(
            Pen::Phantom,
            Path::rectangle(&Rect { min: place([c.min[0], c.min[1]]), max: place([c.max[0], c.max[1]]) }),
        );
    }
    for cut in &claim.cuts {
        let vertices = cut.prism.outline.iter().map(|v| (place([v.x, v.y]), v.bulge)).collect();
        part.draw(Pen::Texture, Path { vertices, closed: true });
    }
    let mut moves = Layer::new("moves", "Rapid moves, feeds, ramps and plunges");
    for m in motions.iter().filter(|m| m.blind == 0) {
        let [from, to] = [m.from, m.to].map(|p| place([p[0], p[1]]));
        if from == to && m.arc.is_none() {
            if !m.rapid && m.to[2] < m.from[2] {
                plunge(&mut moves, to);
            }
            continue;
        }
        let pen = match (m.rapid, m.to[2] < m.from[2]) {
            (true, _) => Pen::Hidden,
            (false, true) => Pen::Centre,
            (false, false) => Pen::Dimension,
        };
        match m.arc {
            // More than a half turn is drawn as two.
            Some(a) if a.sweep.abs() > std::f64::consts::PI => {
                let angle = a.start + a.sweep / 2.0;
                let (sin, cos) = libm::sincos(angle);
                let half = place([a.centre[0] + a.radius * cos, a.centre[1] + a.radius * sin]);
                let bulge = libm::tan(a.sweep / 8.0);
                moves.draw(pen, Path::arc(from, half, bulge));
                moves.draw(pen, Path::arc(half, to, bulge));
            }
            Some(a) => moves.draw(pen, Path::arc(from, to, libm::tan(a.sweep / 4.0))),
            None => moves.line(pen, from, to),
        }
    }
    let mut found = Layer::new("findings", "Lines that are wrong");
    let mut taken: Vec<Rect> = Vec::new();
    for f in report.findings.iter().filter(|f| f.line > 0) {
        let Some(at) = f.at.map(|p| place([p[0], p[1]])) else { continue };
        let says = format!("line {}", f.line);
        let label = Rect::new([at[0] + 2.5, at[1] + 2.5], width(&says, FIGURE), FIGURE);
        found.draw(Pen::Outline, Path::circle(at, (1.0 * scale).clamp(1.5, 3.0)));
        if !taken.iter().any(|t| t.overlaps(&label.grown(0.8))) {
            found.letter(Text::new(label.min, FIGURE, says));
            taken.push(label);
        }
    }
    vec![part, moves, found]
}

/// A plunge from above: a small cross.
fn plunge(layer: &mut Layer, [x, y]: At) {
    layer.line(Pen::Outline, [x - 1.0, y - 1.0], [x + 1.0, y + 1.0]);
    layer.line(Pen::Outline, [x - 1.0, y + 1.0], [x + 1.0, y - 1.0]);
}

/// What the kinds of line mean.
fn key(at: &At) -> Layer {
    let mut layer = Layer::new("key", "Kinds of line");
    let kinds = [
        (Some(Pen::Hidden), "rapid"),
        (Some(Pen::Dimension), "feed"),
        (Some(Pen::Centre), "feed downward"),
        (None, "plunge"),
        (Some(Pen::Phantom), "clamp"),
        (Some(Pen::Texture), "cut"),
    ];
    let mut x = at[0];
    for (pen, name) in kinds {
        let y = at[1] + FIGURE / 2.0;
        match pen {
            Some(pen) => layer.line(pen, [x, y], [x + 12.0, y]),
            None => plunge(&mut layer, [x + 6.0, y]),
        }
        layer.letter(Text::new([x + 14.0, at[1]], FIGURE, name));
        x += 14.0 + width(name, FIGURE) + 6.0;
    }
    layer
}

/// How deep the wood is gone.
fn depths(surface: &mut Surface, claim: &Claim, place: &impl Fn([f64; 2]) -> At, scale: f64) -> Vec<Layer> {
    let (min, max) = (claim.stock.min, claim.stock.max);
    let stock = Rect { min: place([min[0], min[1]]), max: place([max[0], max[1]]) };
    let back = |p: At| [min[0] + (p[0] - stock.min[0]) / scale, min[1] + (p[1] - stock.min[1]) / scale];
    let mut figures = Layer::new("depth-figures", "Depths in mm");
    let mut taken: Vec<Rect> = Vec::new();
    let mut deepest: f64 = 0.0;
    for cut in &claim.cuts {
        let corners = || cut.prism.outline.iter().map(|v| place([v.x, v.y]));
        let (low, high) = corners().fold(([f64::MAX; 2], [f64::MIN; 2]), |(l, h), p| {
            ([l[0].min(p[0]), l[1].min(p[1])], [h[0].max(p[0]), h[1].max(p[1])])
        });
        let middle = [f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])];
        let depth = surface.depth(back(middle));
        deepest = deepest.max(depth);
        let says = number(depth, 2);
        let label =
            Rect::new([middle[0] - width(&says, FIGURE) / 2.0, middle[1] - FIGURE / 2.0], width(&says, FIGURE), FIGURE);
        let room = label.grown(0.6);
        if depth > 0.0 && stock.holds(&room) && !taken.iter().any(|t| t.overlaps(&room)) {
            figures.letter(Text::new([middle[0], label.min[1]], FIGURE, says).centred());
            taken.push(room);
        }
    }
    let mut tones = Layer::new("depth", "How deep the wood is gone");
    let mut row = 0;
    while (f64::from(row) + 0.5) * PITCH < stock.height() {
        let y = stock.min[1] + (f64::from(row) + 0.5) * PITCH;
        let mut open: Option<f64> = None;
        let mut along = 0.0;
        while along < stock.width() + STEP {
            let x = stock.min[0] + along.min(stock.width());
            let depth = if along < stock.width() { surface.depth(back([x, y])) } else { 0.0 };
            let lettered = taken.iter().any(|t| t.min[0] <= x && x <= t.max[0] && t.min[1] <= y && y <= t.max[1]);
            let is_drawn = depth > 0.0 && !lettered && row % stride(tone(depth, deepest)) == 0;
            match (is_drawn, open) {
                (true, None) => open = Some(x),
                (false, Some(from)) => {
                    tones.line(Pen::Hatch, [from, y], [x, y]);
                    open = None;
                }
                _ => {}
            }
            along += STEP;
        }
        row += 1;
    }
    let mut outline = Layer::new("depth-stock", "The stock from above");
    outline.draw(Pen::Outline, Path::rectangle(&stock));
    let mut x = stock.min[0];
    let y = stock.min[1] - 10.0;
    outline.letter(Text::new([x, y + 0.7], FIGURE, "depth in mm, up to"));
    x += width("depth in mm, up to", FIGURE) + 4.0;
    for t in (0..TONES).filter(|_| deepest > 0.0) {
        let swatch = Rect::new([x, y], 12.0, 6.4);
        outline.draw(Pen::Rule, Path::rectangle(&swatch));
        let mut row = 0;
        while f64::from(row + 1) * PITCH < swatch.height() {
            if row % stride(t) == 0 {
                let at = y + (f64::from(row) + 0.5) * PITCH;
                outline.line(Pen::Hatch, [x, at], [x + 12.0, at]);
            }
            row += 1;
        }
        let says = number(deepest * (t + 1) as f64 / TONES as f64, 2);
        outline.letter(Text::new([x + 13.5, y + 0.7], FIGURE, says.clone()));
        x += 13.5 + width(&says, FIGURE) + 5.0;
    }
    vec![tones, figures, outline]
}

/// Which of the tones a depth has.
fn tone(depth: f64, deepest: f64) -> usize {
    (1..TONES).find(|t| depth <= deepest * *t as f64 / TONES as f64 + 1e-6).map_or(TONES - 1, |t| t - 1)
}

/// Every how many-th line a tone has.
const fn stride(tone: usize) -> i32 {
    match tone {
        0 => 4,
        1 => 3,
        2 => 2,
        _ => 1,
    }
}
