//! The pattern of a shaped edge.

use case::{Axis, Case, Cut, Dir, Guide, Part, Purpose};
use measure::{Length, Ruler};

use super::guide::Guided;
use super::offsets::Curve;
use super::{check_bar, sheet, sheet::Laid};
use crate::part_sheet::{self, Face};
use crate::solid::Blank;
use crate::view::{self, Body, Camera};
use paper::block::Block;
use paper::callout::{self, Label, Placed};
use paper::check;
use paper::dimension::{Along, Running, Stop, figure};
use paper::scene::{At, Item, Layer, Path, Pen, Rect};
use paper::text::{self, Text};

/// Arcs of the rest of the part are flattened to within this before it is looked at, mm.
const CHORD: f64 = 0.05;
/// From the edge down to the running figures, mm.
const BELOW: f64 = 12.0;
/// Half the length of a mark, mm.
const MARK: f64 = 2.5;
/// How far the centre line passes the wood, mm.
const OVER: f64 = 6.0;

/// A part's face at full size, the foot of its left side at the origin, with one of its cuts as the pattern.
struct Drawn<'a> {
    part: &'a Part,
    cut: &'a Cut,
    curve: Curve,
    face: Face,
    /// Height of the face.
    tall: f64,
    /// Lines of the part without the cut: seen, and hidden.
    seen: Vec<Path>,
    hidden: Vec<Path>,
}

/// The draft of a shaped edge, on a paper of its own size; the `n`-th of its part.
pub(crate) fn draft(
    case: &Case,
    part: &Part,
    likes: &[&Part],
    [index, n]: [usize; 2],
    guides: &[Guide],
) -> Option<Laid> {
    let (ruler, unit) = (&case.order.ruler, case.order.unit);
    let cut = &part.cuts[index];
    let drawn = Drawn::new(part, cut)?;
    let mut pattern = Layer::new("pattern", "The shaped edge");
    pattern.draw(Pen::Outline, drawn.edge());
    let mut joints = Layer::new("joints", "Joint lines and other edges");
    drawn.draw_rest(&mut joints);
    let mut marks = Layer::new("marks", "Centre line, springing, crown, stations, arcs");
    let guided = Guided::first(&drawn.edge(), drawn.face.up.positive, guides, case);
    let bounds = drawn.mark(&mut marks, case, likes, guided.over_wood.as_ref());
    let mut notes = vec![
        format!("Cut {}. The middle of the heavy line is the finished edge.", part.cut_id(index)),
        "Lay the pattern on by the shoulder lines and the centre line.".into(),
        "Distances along the grain are from the datum, the part's left end.".into(),
    ];
    notes.extend(guided.notes);
    let lines = |over: &'static str, path: Option<Path>| {
        path.map(|path| {
            let mut layer =
                Layer::new(format!("guide-over-the-{over}"), format!("Edge of a routing pattern over the {over}"));
            layer.draw(Pen::Phantom, path);
            layer
        })
    };
    // As wide as the sheet leaves beside the title block, more or less.
    let width = (part.size[0].mm() - 150.0).max(160.0);
    let blocks = vec![
        check_bar::block(),
        Block::Table(drawn.curve.table(unit, ruler, width)),
        Block::Table(drawn.curve.arcs(ruler)),
        Block::Notes(notes),
    ];
    let matter = sheet::Matter {
        name: if n > 1 { format!("pattern-{}-{n}", part.id) } else { format!("pattern-{}", part.id) },
        title: format!("{}  shaped edge, full size", part.id),
        part,
        likes,
        layers: [joints, pattern, marks].into_iter().chain(lines("wood", guided.over_wood)).collect(),
        other: lines("waste", guided.over_waste).into_iter().collect(),
        bounds,
        blocks,
    };
    Some(sheet::laid_out(matter, ruler))
}

impl<'a> Drawn<'a> {
    fn new(part: &'a Part, cut: &'a Cut) -> Option<Self> {
        let face = Face::of(cut.from);
        let curve = Curve::of(&cut.outline).filter(|_| face.right == Dir::PX)?;
        let solid = Blank::of(part, CHORD, |c| !std::ptr::eq(c, cut)).solid();
        let body = [Body::in_its_own_frame(&solid)];
        let strokes = view::look(&Camera::at(face.right, face.up), &body, |_| true).strokes;
        let tall = part.size[face.up.axis.index()].mm();
        let raise = if face.up.positive { 0.0 } else { tall };
        let lines = |hidden: bool| -> Vec<Path> {
            let of_kind = strokes.iter().filter(|s| s.hidden == hidden);
            of_kind.map(|s| s.path.mapped(false, |p| [p[0], p[1] + raise])).collect()
        };
        let (seen, hidden) = (lines(false), lines(true));
        Some(Self { part, cut, curve, face, tall, seen, hidden })
    }

    /// A point of the face on the sheet.
    fn on(&self, [u, v]: At) -> At {
        [u, self.face.height(v, self.part.size)]
    }

    /// The shaped edge from one springing to the other, arc for arc.
    fn edge(&self) -> Path {
        let mirrored = !self.face.up.positive;
        let sides = &self.curve.sides;
        let mut vertices: Vec<(At, f64)> = sides.iter().map(|s| (s.from, s.bulge)).collect();
        vertices.extend(sides.last().map(|s| (s.to, 0.0)));
        Path { vertices, closed: false }.mapped(mirrored, |p| self.on(p))
    }

    /// The part's other lines: narrow, but for the straight edge on both sides of the curve.
    fn draw_rest(&self, layer: &mut Layer) {
        let base = self.on([0.0, self.curve.base.mm()])[1];
        let [from, to] = self.curve.span.map(Length::mm);
        for path in &self.seen {
            let [a, b] = [path.vertices[0].0, path.vertices[path.vertices.len() - 1].0];
            if path.vertices.len() == 2 && (a[1] - base).abs() < 1e-3 && (b[1] - base).abs() < 1e-3 {
                let (low, high) = (a[0].min(b[0]), a[0].max(b[0]));
                for [x0, x1] in [[low, high.min(from)], [low.max(to), high]] {
                    if x1 - x0 > 1e-3 {
                        layer.line(Pen::Outline, [x0, base], [x1, base]);
                    }
                }
                // The springing line.
                layer.line(Pen::Fine, [low.max(from), base], [high.min(to), base]);
            } else {
                layer.draw(Pen::Fine, path.clone());
            }
        }
        for path in &self.hidden {
            layer.draw(Pen::Hidden, path.clone());
        }
    }

    /// Everything that says what the lines are; returns what the whole drawing covers.
    fn mark(&self, layer: &mut Layer, case: &Case, likes: &[&Part], guide: Option<&Path>) -> Rect {
        let ruler = &case.order.ruler;
        let (curve, size) = (&self.curve, self.part.size);
        let middle = curve.middle();
        let base = self.on([0.0, curve.base.mm()])[1];
        let way = if self.face.up.positive { curve.up } else { -curve.up };
        let crown = [middle, base + way * curve.height(middle)];
        layer.line(Pen::Centre, [middle, -OVER], [middle, self.tall + OVER]);
        let mut lines: Vec<[At; 2]> = vec![[[middle, -OVER], [middle, self.tall + OVER]]];
        // Centres that lie on the wood.
        let on_wood = |[x, y]: &At| (0.0..=size[0].mm()).contains(x) && (0.0..=self.tall).contains(y);
        let arcs = curve.sides.iter().filter_map(case::Segment::arc);
        let centres: Vec<At> = arcs.map(|arc| self.on(arc.centre)).filter(on_wood).collect();
        // Stations, with their distances at the foot where there is room.
        let stations = curve.stations(case.order.unit);
        let mut uprights: Vec<(Length, f64)> = stations[..stations.len() - 1].to_vec();
        if curve.is_symmetrical() {
            let other_side = stations[1..stations.len() - 1].iter().map(|(d, x)| (*d, 2.0 * middle - x));
            uprights.extend(other_side);
        }
        let mut distances: Vec<Text> = Vec::new();
        for (d, x) in &uprights {
            let line = [[*x, base], [*x, base + way * curve.height(*x)]];
            lines.push(line);
            if (x - middle).abs() < 1e-6 {
                continue;
            }
            layer.line(Pen::Texture, line[0], line[1]);
            let says = figure(ruler, *d);
            let end = x + 1.6 + text::width(&says, 1.8);
            let next = uprights.iter().any(|(_, o)| x < o && *o < end);
            let marked =
                centres.iter().any(|c| c[0] + MARK > *x && c[0] - MARK < end && (c[1] - base).abs() < 2.0 * MARK);
            if !next && !marked && curve.height(*x).min(curve.height(end)) > 4.0 {
                let foot = if way > 0.0 { base + 0.9 } else { base - 2.7 };
                let distance = Text::new([x + 0.6, foot], 1.8, says);
                distances.push(distance.clone());
                layer.letter(distance);
            }
        }
        // Springings and crown.
        for x in curve.span.map(Length::mm) {
            layer.draw(Pen::Fine, Path::circle([x, base], MARK / 2.0));
            layer.line(Pen::Fine, [x, base - MARK], [x, base + MARK]);
        }
        layer.line(Pen::Fine, [crown[0] - MARK, crown[1]], [crown[0] + MARK, crown[1]]);
        for [x, y] in centres {
            let cross = [[[x - MARK, y], [x + MARK, y]], [[x, y - MARK], [x, y + MARK]]];
            for [from, to] in cross {
                layer.line(Pen::Fine, from, to);
            }
            lines.extend(cross);
        }
        let running = self.running(ruler);
        running.draw(layer);
        lines.extend(running.stops.iter().map(|(s, _)| [[s.at, s.from], [s.at, running.line]]));
        let edge = self.edge();
        for path in self.seen.iter().chain(&self.hidden).chain([&edge]).chain(guide) {
            lines.extend(path.flattened(0.2).windows(2).map(|w| [w[0], w[1]]));
        }
        let wood = Rect::new([0.0, 0.0], size[0].mm(), self.tall);
        let mut placed = self.name(layer, likes, &lines, crown[1]);
        for label in self.labels(crown, ruler) {
            if let Some(found) = callout::inside(&label, &wood, &lines, &[], &placed) {
                placed.push(found);
            }
        }
        let over = callout::over(self.joints(), [self.tall, self.tall + OVER + 2.0], 0.0, size[0].mm(), size[0].mm());
        let mut labels = Layer::new("labels", "Labels");
        for label in placed.iter().filter(|l| !l.text.content.is_empty()).chain(&over) {
            label.draw(&mut labels, [0.0, 0.0]);
        }
        // A station's figure gives way to a label: the table of offsets has it too.
        layer.items.retain(|item| match item {
            Item::Text(text) if distances.contains(text) => check::is_clear(text, std::slice::from_ref(&labels)),
            _ => true,
        });
        layer.items.extend(labels.items);
        let top = Rect::new([0.0, 0.0], size[0].mm(), self.tall + OVER + 6.0);
        running.bounds().map_or(top, |b| top.union(&b))
    }

    /// Distances from the datum to the joints, the springings and the middle.
    fn running(&self, ruler: &Ruler) -> Running {
        let [from, to] = self.curve.span;
        let mut at = vec![Length::ZERO, self.part.size[0], from, to, from + (to - from).half()];
        at.extend(self.shoulders().map(|(x, _)| x));
        at.sort_unstable();
        at.dedup();
        let foot = |x: f64| {
            let ends = self.seen.iter().flat_map(|p| &p.vertices).filter(|(p, _)| (p[0] - x).abs() < 1e-3);
            ends.map(|(p, _)| p[1]).reduce(f64::min)
        };
        let stop = |l: &Length| {
            let x = l.mm();
            (Stop { at: x, from: foot(x).unwrap_or(0.0) }, figure(ruler, *l))
        };
        Running { along: Along::Across, line: -BELOW, stops: at.iter().map(stop).collect() }
    }

    /// Where the shoulders lie, and what each is called.
    fn shoulders(&self) -> impl Iterator<Item = (Length, &'static str)> + '_ {
        let cheeks = self.part.cuts.iter().filter(|c| c.purpose == Purpose::TenonCheek);
        cheeks.map(|c| {
            let [from, to] = c.bounds(self.part.size).along(Axis::X);
            let inner = if from == Length::ZERO { to } else { from };
            (inner, if c.from == self.cut.from { "shoulder" } else { "far shoulder" })
        })
    }

    /// Labels of the joint lines, over the drawing.
    fn joints(&self) -> Vec<Label> {
        let mut names: Vec<(Length, &str)> = self.shoulders().collect();
        // Where both lie on one line, it is the near one that is named.
        names.sort_by_key(|(x, name)| (*x, name.len()));
        names.dedup_by_key(|(x, _)| *x);
        let end = if names.is_empty() { "end" } else { "tenon end" };
        // A mitred tenon stops short of the blank's end.
        let ink = self.seen.iter().flat_map(|p| &p.vertices).map(|(p, _)| p[0]);
        let (low, high) = ink.fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)));
        names.extend([(Length::from_mm(low), end), (Length::from_mm(high), end)]);
        let top = |x: f64| {
            let ends = self.seen.iter().flat_map(|p| &p.vertices).filter(|(p, _)| (p[0] - x).abs() < 1e-3);
            ends.map(|(p, _)| p[1]).reduce(f64::max)
        };
        let label = |(x, name): (Length, &str)| Label {
            tip: [x.mm(), top(x.mm()).unwrap_or(self.tall)],
            dotted: false,
            words: [name.to_owned(), name.to_owned(), name.to_owned()],
        };
        names.into_iter().map(label).collect()
    }

    /// Labels within the wood: crown, springings, arcs, and what else is cut.
    fn labels(&self, crown: At, ruler: &Ruler) -> Vec<Label> {
        let same = |tip: At, says: String| Label { tip, dotted: false, words: [says.clone(), says.clone(), says] };
        let base = self.on([0.0, self.curve.base.mm()])[1];
        let rise = figure(ruler, Length::from_mm(self.curve.height(self.curve.middle())));
        let mut out = vec![same(crown, format!("crown, rise {rise}"))];
        for x in self.curve.span {
            out.push(same([x.mm(), base], "springing".into()));
        }
        for (i, side) in self.curve.sides.iter().enumerate() {
            if let Some(arc) = side.arc() {
                // Off the crown, where the centre line is.
                let t = if self.curve.sides.len() == 1 { 0.3 } else { 0.5 };
                let says = format!("arc {}, R {}", i + 1, figure(ruler, Length::from_mm(arc.radius)));
                out.push(same(self.on(side.at(t)), says));
            }
        }
        let told = [Purpose::Mortise, Purpose::Groove, Purpose::Rabbet, Purpose::Housing, Purpose::ButtonPocket];
        for cut in self.part.cuts.iter().filter(|c| told.contains(&c.purpose)) {
            let b = cut.bounds(self.part.size);
            let [x, v] = [self.face.right.axis, self.face.up.axis].map(|a| b.along(a).map(Length::mm));
            // The edge of it that lies within the wood.
            let level = if self.on([0.0, v[1]])[1] >= self.tall - 1e-6 { v[0] } else { v[1] };
            let says = cut.purpose.name().replace('-', " ");
            if !out.iter().any(|l| l.words[0] == says) {
                out.push(same(self.on([x[0] + (x[1] - x[0]) * 0.2, level]), says));
            }
        }
        out
    }

    /// The part's numbers and name, its grain, and the word on the waste, each where there is room; as texts that
    /// labels keep clear of.
    fn name(&self, layer: &mut Layer, likes: &[&Part], lines: &[[At; 2]], crown: f64) -> Vec<Placed> {
        let length = self.part.size[0].mm();
        let says = format!("{}  {}", part_sheet::numbers(likes), self.part.name);
        let width = text::width(&says, 3.5).max(40.0);
        let base = self.on([0.0, self.curve.base.mm()])[1];
        let wood = if crown > base {
            Rect { min: [0.0, crown], max: [length, self.tall] }
        } else {
            Rect { min: [0.0, 0.0], max: [length, crown] }
        };
        let mut out = Vec::new();
        if let Some([x, y]) = callout::clear([width, 11.0], &wood.grown(-1.0), lines) {
            let middle = x + width / 2.0;
            layer.letter(Text::new([middle, y + 6.5], 3.5, says.clone()).centred());
            let grain = [[middle - 20.0, y + 2.0], [middle + 20.0, y + 2.0]];
            layer.line(Pen::Dimension, grain[0], [middle - 7.0, y + 2.0]);
            layer.line(Pen::Dimension, [middle + 7.0, y + 2.0], grain[1]);
            paper::dimension::arrow(layer, grain[0], [-1.0, 0.0]);
            paper::dimension::arrow(layer, grain[1], [1.0, 0.0]);
            layer.letter(Text::new([middle, y + 0.75], 2.5, "grain").centred());
            out.push(Placed::blocking(&Rect::new([x, y], width, 11.0)));
        }
        let reach = self.curve.rise() * 0.8;
        let waste = Rect {
            min: [self.curve.span[0].mm(), base.min(base + reach * (crown - base).signum()) + 4.0],
            max: [self.curve.span[1].mm(), base.max(base + reach * (crown - base).signum())],
        };
        let width = text::width("waste", 2.5) + 2.0;
        if let Some([x, y]) = callout::clear([width, 4.0], &waste, lines) {
            layer.letter(Text::new([x + 1.0, y + 0.8], 2.5, "waste"));
            out.push(Placed::blocking(&Rect::new([x, y], width, 4.0)));
        }
        out
    }
}
