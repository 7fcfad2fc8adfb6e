//! Faults in programs that cut parts out of sheets: outlines moved, turned, left out, too deep, in the wrong order, bridges
//! that are missing, and a sheet or a machine that is not the one that was meant.

use std::ops::RangeInclusive;

use case::{Case, Cut, Dir, Form, Material, Outline, Purpose};
use design::builtin;
use measure::{Length, mm};
use proof::{Box3, Claim};
use routing::nest::{Blank, Lying, nest};
use routing::{Controller, Machine, ToolTable};

use crate::fault::Planted;
use crate::geometry::{cuts_at, place};
use crate::subject::{Subject, read, subjects};
use crate::text::{bites, changed, motion, value, with_lines};

/// A glazed case with its back, its bottom and its shelves of plywood, each shelf with a hole for a cable.
fn piece() -> Case {
    let own = builtin::DESIGNS.iter().find(|(name, _)| *name == "glazed-case").map_or("", |(_, text)| text);
    let own = own.replace("[shelves]\n", "[shelves]\nwood = \"birch plywood\"\n");
    let own = own.replace("[bottom]\n", "[bottom]\nwood = \"birch plywood\"\n");
    let mut case = case::build(&read("design = \"own.toml\"\n", &[], &own));
    for part in case.parts.iter_mut().filter(|p| p.role == case::Role::Shelf) {
        let outline = Outline::circle([part.size[0].half(), part.size[1].half()], mm(40));
        let depth = part.size[2];
        part.cuts.push(Cut { purpose: Purpose::KnobHole, joint: None, from: Dir::PZ, outline, depth });
    }
    case
}

/// The sheet parts of a piece, three to a blank, one behind the other.
fn blanks(case: &Case) -> Vec<Blank> {
    const APART: Length = mm(24);
    let mut parts: Vec<_> = case.parts.iter().filter(|p| p.material.form == Form::Sheet).collect();
    parts.sort_by_key(|p| p.size[2]);
    let mut out = Vec::new();
    for alike in parts.chunk_by(|a, b| a.size[2] == b.size[2]) {
        for few in alike.chunks(3) {
            let mut y = APART;
            let mut lying = Vec::new();
            for part in few {
                lying.push(Lying { part: part.id, at: [APART, y], turned: false });
                y += part.size[1] + APART;
            }
            let long = few.iter().map(|p| p.size[0]).max().unwrap_or_default() + APART * 2;
            let material = Material::sheet("birch plywood");
            out.push(Blank { name: "a blank".into(), material, size: [long, y, few[0].size[2]], parts: lying });
        }
    }
    out
}

/// All of them, on a machine that changes no tools and on one that does.
pub(crate) fn programs() -> Vec<Subject> {
    let case = piece();
    let plain = Machine::default();
    let controller = Controller { tool_change: true, length_offset: true, ..plain.controller };
    let changer = Machine { controller, ..plain.clone() };
    let of = |name, machine| {
        let programs = nest(&case, &blanks(&case), machine, &ToolTable::default()).routing.programs;
        subjects(name, programs).collect::<Vec<_>>()
    };
    [of("sheets", &plain), of("sheets, tools changed", &changer)].concat()
}

/// Something that is done to the lines of one part's outline.
type Change = (&'static str, fn(&Subject, &str, &Around) -> Option<String>);

/// A part's kerf from above: its middle, mm, and the height of its bridges' upper side.
struct Around {
    middle: [f64; 2],
    bridge: f64,
}

pub(crate) fn planted(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for s in all.iter().filter(|s| s.claim.cuts.iter().any(|c| c.frees)) {
        for lines in outlines(s) {
            out.extend(in_outline(s, lines));
        }
        out.extend(of_sheet(s));
        out.extend(out_of_order(s));
    }
    out
}

/// The lines of the first and of the last part that is cut out.
fn outlines(s: &Subject) -> Vec<[usize; 2]> {
    let of_outline = |b: &[usize; 2]| cuts_at(&s.claim, place(s, b[1])).iter().any(|c| c.ends_with("outline"));
    let all: Vec<[usize; 2]> = bites(&s.text).into_iter().filter(of_outline).collect();
    match all[..] {
        [] => Vec::new(),
        [only] => vec![only],
        [first, .., last] => vec![first, last],
    }
}

/// From where the tool is brought to the place on.
fn with_approach(s: &Subject, [from, to]: [usize; 2]) -> RangeInclusive<usize> {
    let before: Vec<&str> = s.text.lines().take(from).collect();
    let there = before.iter().rposition(|l| motion(l) == Some(0) && value(l, 'X').is_some());
    there.map_or(from, |i| i + 1)..=to
}

fn around(s: &Subject, lines: [usize; 2]) -> (Around, Vec<String>) {
    let cuts: Vec<String> = (lines[0]..=lines[1]).flat_map(|n| cuts_at(&s.claim, place(s, n))).collect();
    let id = cuts.iter().find(|c| c.ends_with("outline")).cloned().unwrap_or_default();
    let of_it = s.claim.cuts.iter().filter(|c| c.id == id).flat_map(|c| &c.prism.outline);
    let bounds = of_it.fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |b, v| {
        [b[0].min(v.x), b[1].min(v.y), b[2].max(v.x), b[3].max(v.y)]
    });
    let middle = [f64::midpoint(bounds[0], bounds[2]), f64::midpoint(bounds[1], bounds[3])];
    (Around { middle, bridge: s.claim.tabs[0].z_top }, cuts)
}

fn in_outline(s: &Subject, lines: [usize; 2]) -> Vec<Planted> {
    let (about, cuts) = around(s, lines);
    let range = with_approach(s, lines);
    let changes: [Change; 9] = [
        ("sheet: outline moved by 0.5 mm", |s, l, _| changed(l, 'X', |x| x + s.units(0.5))),
        ("sheet: outline moved by 30 mm", |s, l, _| changed(l, 'Y', |y| y + s.units(30.0))),
        ("sheet: part turned end for end", |s, l, a| {
            let mut l = l.to_owned();
            let [x, y] = a.middle.map(|m| 2.0 * s.units(m));
            for (letter, whole) in [('X', x), ('Y', y), ('I', 0.0), ('J', 0.0)] {
                l = changed(&l, letter, |v| whole - v).unwrap_or(l);
            }
            Some(l)
        }),
        ("sheet: outline a little too large", |s, l, a| {
            changed(l, 'X', |x| if x * s.unit > a.middle[0] { x + s.units(0.2) } else { x })
        }),
        ("sheet: outline a little too small", |s, l, a| {
            changed(l, 'Y', |y| if y * s.unit > a.middle[1] { y - s.units(0.2) } else { y })
        }),
        ("sheet: too deep into the spoilboard", |s, l, _| {
            changed(l, 'Z', |z| if z * s.unit < s.claim.stock.min[2] { z - s.units(0.5) } else { z })
        }),
        ("sheet: not cut through", |s, l, _| {
            changed(l, 'Z', |z| if z * s.unit < s.claim.stock.min[2] { z + s.units(0.8) } else { z })
        }),
        ("sheet: bridges cut away", |s, l, a| {
            let over = |z: f64| (z * s.unit - a.bridge).abs() < 1e-3;
            changed(l, 'Z', |z| if over(z) { s.units(s.claim.stock.min[2] - s.claim.spoilboard) } else { z })
        }),
        ("sheet: bridges cut thin", |s, l, a| {
            changed(l, 'Z', |z| if (z * s.unit - a.bridge).abs() < 1e-3 { z - s.units(1.5) } else { z })
        }),
    ];
    let plant = |(kind, change): &Change| {
        let text = with_lines(&s.text, |n, l| {
            Some(if range.contains(&n) { change(s, l, &about).unwrap_or_else(|| l.to_owned()) } else { l.to_owned() })
        });
        let what = format!("lines {} to {}", range.start(), range.end());
        let p = Planted::set_up(kind, s, &what, s.claim.clone()).lines(range.clone()).cuts(cuts.clone());
        // A rectangle that is turned is the same rectangle; the plain reader of the tests knows no tool changes.
        if s.is_plain() { Planted { text, ..p.perhaps(s) } } else { Planted { text, ..p } }
    };
    let turned = |kind: &&str| kind.ends_with("end for end");
    let will_do = |(kind, _): &&Change| s.is_plain() || !turned(kind);
    let mut out: Vec<Planted> = changes.iter().filter(will_do).map(plant).collect();
    let text = with_lines(&s.text, |n, l| (!range.contains(&n)).then(|| l.to_owned()));
    let p = Planted::set_up("sheet: outline left out", s, "one", s.claim.clone()).cuts(cuts);
    out.push(Planted { text, ..p });
    out
}

/// The text is good; the sheet, the machine or the bit is another.
fn of_sheet(s: &Subject) -> Vec<Planted> {
    let all = || 1..=s.text.lines().count();
    let cuts = || s.claim.cuts.iter().map(|c| c.id.clone()).collect::<Vec<_>>();
    let claim = |change: &dyn Fn(&mut Claim)| {
        let mut claim = s.claim.clone();
        change(&mut claim);
        claim
    };
    let set_up = |kind, claim| Planted::set_up(kind, s, "set-up", claim).lines(all()).cuts(cuts());
    let [x, y, z] = s.claim.stock.max;
    let low = s.claim.stock.min[2];
    let mut out = vec![
        set_up("sheet: smaller than its parts", claim(&|c| c.stock.max = [x - 45.0, y, z])),
        set_up("sheet: more than the machine's travel", claim(&|c| c.machine.travel[0] = x / 2.0)),
        set_up(
            "sheet: a clamp over an outline",
            claim(&|c| c.clamps.push(Box3::new([0.0, 60.0], [0.0, 60.0], [low, 20.0]))),
        ),
        set_up("sheet: a bridge too low to hold", claim(&|c| c.tabs.iter_mut().for_each(|t| t.z_top = low + 1.5))),
        set_up(
            "sheet: thicker than was meant",
            claim(&|c| {
                c.stock.min[2] -= 1.0;
                c.cuts.iter_mut().filter(|c| c.through).for_each(|c| c.prism.z_bottom -= 1.0);
                c.tabs.iter_mut().for_each(|t| t.z_bottom -= 1.0);
                c.elsewhere.iter_mut().for_each(|o| o.prism.z_bottom -= 1.0);
            }),
        ),
        set_up(
            "sheet: a thinner bit in the spindle",
            claim(&|c| {
                c.tools.iter_mut().for_each(|t| t.diameter -= 1.0);
            }),
        ),
    ];
    // Zero set at a wrong place: everything moved along.
    let moved = |l: &str| changed(l, 'X', |x| x + s.units(3.0)).unwrap_or_else(|| l.to_owned());
    let text = with_lines(&s.text, |_, l| Some(if motion(l).is_some() { moved(l) } else { l.to_owned() }));
    out.push(Planted { text, ..set_up("sheet: zero at a wrong place", s.claim.clone()) });
    out
}

/// The holes cut when the parts hang by their bridges: with tool changes, where both are in one program.
fn out_of_order(s: &Subject) -> Option<Planted> {
    let lines = s.lines();
    let changes: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].contains("M6")).collect();
    let [first, .., last] = changes[..] else { return None };
    let end = lines.iter().rposition(|l| l.starts_with("M2") || l.starts_with("M30"))?;
    let new = [&lines[..first], &lines[last..end], &lines[first..last], &lines[end..]].concat();
    let text: String = new.iter().map(|l| format!("{l}\n")).collect();
    let inside = s.claim.cuts.iter().filter(|c| !c.frees).map(|c| c.id.clone()).collect();
    let what = "outlines before the cuts inside";
    let p = Planted::set_up("sheet: cut out before it is worked", s, what, s.claim.clone()).cuts(inside);
    Some(Planted { text, ..p })
}
