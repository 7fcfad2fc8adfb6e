//! The set-up sheet of one clamping, as plain text that a printer and a phone both show; and the comments at the head
//! of a program.

use std::fmt::Write as _;

use case::{OrderInfo, Part};
use measure::{Length, Unit};

use crate::machine::Machine;
use crate::programs::Corners;
use crate::route::Program;
use crate::setup::{Setup, looks};
use crate::tool::{Feeds, Tool, decimal};

const WIDTH: usize = 78;

/// The first lines of a program: what part, how it lies, what tool.
pub(crate) fn comments(
    order: &OrderInfo,
    parts: &[&Part],
    sheet: &str,
    setup: &Setup,
    tools: &[(Tool, Feeds)],
    unit: Unit,
) -> Vec<String> {
    let part = parts[0];
    let [x, y, z] = setup.size.map(|l| decimal(l, unit));
    let mut out = vec![
        format!("{}, {}", order.title, order.number),
        format!("part {} {}; see set-up sheet {sheet}", part.id, part.name),
        format!("up: {}", face(part, setup)),
        "zero at the left front corner of the blank, top of stock".into(),
        format!("stock {x} x {y} x {z} {unit}"),
    ];
    out.extend(
        tools.iter().map(|(t, _)| format!("T{} {}, diameter {} {unit}", t.number, t.name, decimal(t.diameter, unit))),
    );
    out
}

/// The face that is up, and where it looks in the piece: `face +z, which looks to the front`.
fn face(part: &Part, setup: &Setup) -> String {
    format!("face {}, which looks to the {}", setup.up.name(), looks(&part.placement, setup.up))
}

/// The sheet for one setup with its programs in the order they are run, and what is left of its cuts: index and reason.
pub(crate) fn text(
    order: &OrderInfo,
    machine: &Machine,
    parts: &[&Part],
    programs: &[Program],
    left: &[(usize, String)],
) -> String {
    let Some(first) = programs.first() else { return String::new() };
    let (part, setup, unit) = (parts[0], &first.setup, first.unit);
    let mut s = Page::new();
    let name = first.sheet.trim_end_matches(".txt");
    s.line(&format!("SET-UP {name}    {} {}", part.id, part.name));
    s.line(&format!("{}, order {}, for {}; {}", order.title, order.number, order.customer, order.maker));
    s.rule();

    s.head("How it lies");
    let [x, y, z] = setup.size.map(|l| decimal(l, unit));
    s.item("Blank", &format!("{x} long x {y} wide x {z} high, {unit}; {}, finished size", part.material));
    s.item("Up", &face(part, setup));
    s.item(
        "To the left",
        &format!(
            "the {} that stands at the {} of the piece",
            end(setup),
            looks(&part.placement, setup.x_axis.opposite())
        ),
    );
    s.item("To you", &format!("the side that looks to the {}", looks(&part.placement, setup.y_axis.opposite())));
    s.item(
        "Zero",
        &format!(
            "left front corner of the blank, top of the stock, in {}; X to the right, Y away, Z up",
            crate::emit::WORK_OFFSET
        ),
    );
    s.item(
        "Axes",
        &format!("X = part {}, Y = part {}, Z = part {}", setup.x_axis.name(), setup.y_axis.name(), setup.up.name()),
    );
    for p in &parts[1..] {
        let [u, l] = [setup.up, setup.x_axis.opposite()].map(|d| looks(&p.placement, d));
        s.item("Also", &format!("{} {}: {u} side up, its {l} end to the left", p.id, p.name));
    }

    s.head("Hold it");
    clamps(&mut s, programs, machine);
    if setup.size[2] > setup.size[1] * 2 {
        s.item("On edge", "back it up on both sides over its whole length");
    }
    room(&mut s, programs, setup);

    s.head("Run");
    run(&mut s, programs, &|ids| by_purpose(part, ids));
    let total: f64 = programs.iter().map(|p| p.seconds).sum();
    s.line(&format!("  Together about {}, tool changes included; {} to make.", clock(total), parts.len()));

    s.head("By hand afterwards");
    let kept = corners(&mut s, programs);
    let bridges: usize = programs.iter().map(|p| p.claim.tabs.len()).sum();
    if bridges > 0 {
        s.item("Offcuts", &format!("held by {bridges} bridges at their lower side: saw them through and flush them"));
    }
    for (i, why) in left {
        s.item(&part.cut_id(*i), &format!("{}, not routed: {why}", part.cuts[*i].purpose.name()));
    }
    if kept == 0 && left.is_empty() && bridges == 0 {
        s.line("  Nothing.");
    }

    cautions(&mut s);
    s.text()
}

/// Where clamps may stand.
pub(crate) fn clamps(s: &mut Page, programs: &[Program], machine: &Machine) {
    let Some(first) = programs.first() else { return };
    let unit = first.unit;
    let mm = |v: f64| decimal(Length::from_mm(v), unit);
    if first.clamps.is_empty() {
        s.item("Clamps", "no room on top for any: hold it by its sides between fences, in a vice, or by vacuum");
    } else {
        s.item(
            "Clamps",
            &format!(
                "only here, no more than {} {unit} above the stock; programs keep clear of these",
                decimal(machine.clamp.height, unit)
            ),
        );
        for c in &first.clamps {
            s.item("", &format!("X {} to {}, Y {} to {}", mm(c[0]), mm(c[2]), mm(c[1]), mm(c[3])));
        }
    }
}

/// What lies below, and the room that tools need.
pub(crate) fn room(s: &mut Page, programs: &[Program], setup: &Setup) {
    let unit = programs.first().map_or(Unit::Millimetre, |p| p.unit);
    let mm = |v: f64| decimal(Length::from_mm(v), unit);
    let below = programs.iter().map(|p| p.extent[0][2]).fold(0.0, f64::min) + setup.size[2].mm();
    if below < -1e-6 {
        s.item("Below", &format!("a spoilboard; cuts go {} {unit} into it", mm(-below)));
    }
    let (low, high) = reach(programs);
    s.item("Room", &format!("tools reach X {} to {}, Y {} to {}", mm(low[0]), mm(high[0]), mm(low[1]), mm(high[1])));
}

/// Ids of cuts by what they are.
pub(crate) type Sort<'a> = &'a dyn Fn(&[String]) -> Vec<(&'static str, Vec<String>)>;

/// The programs in their order, each with its tools and with its cuts by what they are.
pub(crate) fn run(s: &mut Page, programs: &[Program], sorted: Sort<'_>) {
    for p in programs {
        let unit = p.unit;
        s.line(&format!("  {}    about {}", p.file, clock(p.seconds)));
        for (t, f) in &p.tools {
            s.item("", &format!("T{} {}, diameter {} {unit}", t.number, t.name, decimal(t.diameter, unit)));
            s.item(
                "",
                &format!(
                    "{:.0} rpm; feed {}, ramp {}, plunge {} {unit}/min; stick-out at least {}",
                    f.rpm,
                    rate(f.cut, unit),
                    rate(f.ramp, unit),
                    rate(f.plunge, unit),
                    decimal(t.stick_out, unit)
                ),
            );
        }
        for (purpose, ids) in sorted(&p.cuts) {
            s.item("", &format!("{purpose}: {}", ids.join(", ")));
        }
    }
    if programs.len() > 1 {
        s.line("  Leave the part clamped between programs; change the tool and set its height on");
        s.line("  the top of the stock again.");
    }
}

/// The corners that keep a bit's radius; how many sorts of them.
pub(crate) fn corners(s: &mut Page, programs: &[Program]) -> usize {
    let unit = programs.first().map_or(Unit::Millimetre, |p| p.unit);
    let mm = |v: f64| decimal(Length::from_mm(v), unit);
    let corners: Vec<_> = programs.iter().flat_map(|p| &p.corners).collect();
    for (ids, c) in alike(&corners) {
        let (many, each) =
            (if c.count == 1 { "corner keeps" } else { "corners keep" }, if ids.len() > 1 { " each" } else { "" });
        s.item(
            &ids[0],
            &format!("{} {many} the bit's radius of {} {unit}{each}: square with a chisel", c.count, mm(c.radius)),
        );
        if ids.len() > 1 {
            s.item("", &format!("the same in {}", ids[1..].join(", ")));
        }
    }
    corners.len()
}

/// The usual cautions.
pub(crate) fn cautions(s: &mut Page) {
    s.head("Take care");
    for caution in [
        "Eye and ear protection; no gloves or loose clothing; long hair tied up.",
        "Dust collection on: wood dust harms lungs and can burn.",
        "Never turn a tool faster than the speed marked on it; check collet, flutes and stick-out.",
        "Check the hold-down by hand. Nobody within reach of the cutter while it turns.",
        "Dry run above the stock first: read zero, axes and clamps off this sheet.",
        "The machine's manual, local codes and your own training come before this sheet.",
    ] {
        s.bullet(caution);
    }
}

/// Ids of cuts by what they are for, in the order of the part.
fn by_purpose(part: &Part, ids: &[String]) -> Vec<(&'static str, Vec<String>)> {
    let mut out: Vec<(&'static str, Vec<String>)> = Vec::new();
    for (i, cut) in part.cuts.iter().enumerate() {
        let id = part.cut_id(i);
        if ids.contains(&id) {
            match out.iter_mut().find(|(purpose, _)| *purpose == cut.purpose.name()) {
                Some((_, all)) => all.push(id),
                None => out.push((cut.purpose.name(), vec![id])),
            }
        }
    }
    out
}

/// Cuts whose corners are alike.
fn alike<'a>(corners: &[&'a Corners]) -> Vec<(Vec<String>, &'a Corners)> {
    let mut out: Vec<(Vec<String>, &Corners)> = Vec::new();
    for c in corners {
        match out.iter_mut().find(|(_, o)| o.count == c.count && o.radius == c.radius) {
            Some((ids, _)) => ids.push(c.cut.clone()),
            None => out.push((vec![c.cut.clone()], c)),
        }
    }
    out
}

fn end(setup: &Setup) -> &'static str {
    if setup.x_axis.axis == case::Axis::X { "end" } else { "side" }
}

fn reach(programs: &[Program]) -> ([f64; 2], [f64; 2]) {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for p in programs {
        for i in 0..2 {
            low[i] = f64::min(low[i], p.extent[0][i]);
            high[i] = f64::max(high[i], p.extent[1][i]);
        }
    }
    (low, high)
}

fn rate(feed: f64, unit: Unit) -> String {
    match unit {
        Unit::Millimetre => format!("{feed:.0}"),
        Unit::Inch => format!("{:.1}", feed / 25.4),
    }
}

/// Minutes and seconds, to five seconds.
fn clock(seconds: f64) -> String {
    let fives = (seconds / 5.0).ceil() * 5.0;
    let minutes = (fives / 60.0).floor();
    format!("{minutes:.0} min {:02.0} s", fives - minutes * 60.0)
}

/// A page of plain text.
pub(crate) struct Page {
    out: String,
}

impl Page {
    pub(crate) const fn new() -> Self {
        Self { out: String::new() }
    }

    pub(crate) fn text(self) -> String {
        self.out
    }

    /// A double line across.
    pub(crate) fn rule(&mut self) {
        self.line(&"=".repeat(WIDTH));
    }

    pub(crate) fn line(&mut self, text: &str) {
        let _ = writeln!(self.out, "{}", text.trim_end());
    }

    pub(crate) fn head(&mut self, text: &str) {
        let _ = writeln!(self.out, "\n{}", text.to_uppercase());
    }

    /// A label and its text, wrapped under itself.
    pub(crate) fn item(&mut self, label: &str, text: &str) {
        self.wrapped(&format!("  {label:<13}"), text);
    }

    pub(crate) fn bullet(&mut self, text: &str) {
        self.wrapped("  - ", text);
    }

    fn wrapped(&mut self, first: &str, text: &str) {
        let indent = first.chars().count();
        let mut line = first.to_owned();
        let mut used = indent;
        for word in text.split_whitespace() {
            let n = word.chars().count();
            if used > indent && used + 1 + n > WIDTH {
                self.line(&line);
                line = " ".repeat(indent);
                used = indent;
            }
            if used > indent {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += n;
        }
        self.line(&line);
    }
}
