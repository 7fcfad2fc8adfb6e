//! Faults of words and of set-up: modes, feeds, speeds, tools, clamps, travel.

use proof::{Box3, Claim};

use crate::fault::{Planted, spread};
use crate::subject::Subject;
use crate::text::{changed, motion, number, replaced, value, with_line, with_lines, words};

/// A kind of fault, and what it makes of a line.
type Change = (&'static str, fn(&str) -> String);

fn line_with<'a>(s: &'a Subject, word: &str) -> Option<(usize, &'a str)> {
    s.text.lines().enumerate().find(|(_, l)| words(l).contains(&word)).map(|(i, l)| (i + 1, l))
}

fn first(s: &Subject, will_do: impl Fn(&str) -> bool) -> Option<(usize, &str)> {
    s.text.lines().enumerate().find(|(_, l)| will_do(l)).map(|(i, l)| (i + 1, l))
}

fn plain(all: &[Subject], most: usize) -> Vec<&Subject> {
    spread(all.iter().filter(|s| s.is_plain()).collect(), most)
}

fn has_arc(s: &Subject) -> bool {
    s.text.lines().any(|l| matches!(motion(l), Some(2 | 3)))
}

/// The first line that moves an axis, the first that feeds, and the first arc: where a missing mode first counts.
fn first_uses(s: &Subject) -> Vec<usize> {
    let moves = first(s, |l| motion(l).is_some());
    let feeds = first(s, |l| matches!(motion(l), Some(1..)));
    let arcs = first(s, |l| matches!(motion(l), Some(2 | 3)));
    [moves, feeds, arcs].into_iter().flatten().map(|(n, _)| n).collect()
}

/// Modes that are not set, or set to something else.
pub(crate) fn modes(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for (i, word) in ["G17", "G90", "G94", "G40", "G49", "G54", "G20", "G21"].into_iter().enumerate() {
        let has = |s: &&&Subject| line_with(s, word).is_some() && (word != "G17" || has_arc(s));
        let all: Vec<&Subject> = all.iter().filter(|s| s.is_plain()).collect();
        for s in spread(all.iter().filter(has).copied().skip(i).collect(), 3) {
            let Some((n, line)) = line_with(s, word) else { continue };
            let text = with_line(&s.text, n, &replaced(line, &|w| w == word, ""));
            out.push(Planted::at("mode not set", s, n, text).lines(first_uses(s)));
        }
    }
    for s in plain(all, 5) {
        let Some((n, line)) = line_with(s, "G90") else { continue };
        let text = with_line(&s.text, n, &replaced(line, &|w| w == "G90", "G91"));
        out.push(Planted::at("steps for places (G91)", s, n, text).lines(n..=s.text.lines().count()));
    }
    for s in plain(all, 8) {
        let Some((n, line)) = line_with(s, "G20").or_else(|| line_with(s, "G21")) else { continue };
        let text = with_line(&s.text, n, if line == "G20" { "G21" } else { "G20" });
        out.push(Planted::at("units changed", s, n, text));
    }
    for s in plain(all, 6) {
        let Some((n, _)) = line_with(s, "G54") else { continue };
        out.push(Planted::at("another work offset", s, n, with_line(&s.text, n, "G55")));
    }
    for s in plain(all, 4) {
        // Relies on the state that it leaves behind: right the first time after a careful program, wrong ever after.
        let Some((n, line)) = line_with(s, "G90") else { continue };
        let text = with_line(&s.text, n, &replaced(line, &|w| w == "G90", ""));
        let text = text.replace("M5\nM2\n", "M5\nG91\nM2\n");
        out.push(Planted::at("does something else when run again", s, n, text).lines(first_uses(s)));
    }
    out
}

/// Feeds that are missing or out of range.
pub(crate) fn feeds(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for s in plain(all, 8) {
        let Some((n, line)) = first(s, |l| value(l, 'F').is_some()) else { continue };
        let text = with_line(&s.text, n, &replaced(line, &|w| w.starts_with('F'), ""));
        out.push(Planted::at("feed missing", s, n, text));
    }
    for (kind, by, n_of) in [("feed ten times too fast", 10.0, 8), ("feed a hundred times too slow", 0.01, 6)] {
        for (i, s) in plain(all, n_of).into_iter().enumerate() {
            let level = |l: &str| value(l, 'F').is_some() && value(l, 'Z').is_none();
            let any = |l: &str| value(l, 'F').is_some();
            let found = if by < 1.0 {
                first(s, level)
            } else if i % 2 == 0 {
                first(s, any)
            } else {
                first(s, level).or(first(s, any))
            };
            let Some((n, line)) = found else { continue };
            let Some(new) = changed(line, 'F', |f| f * by) else { continue };
            // What else runs at that feed is wrong with it.
            out.push(Planted::at(kind, s, n, with_line(&s.text, n, &new)));
        }
    }
    out
}

/// The spindle standing, turning backward, or too fast or slow.
pub(crate) fn spindle(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    let changes: [Change; 5] = [
        ("spindle never started", |l| replaced(l, &|w| w == "M3", "")),
        ("spindle backward", |l| replaced(l, &|w| w == "M3", "M4")),
        ("no speed", |l| replaced(l, &|w| w.starts_with('S'), "")),
        ("speed too high", |l| changed(l, 'S', |v| v * 2.2).unwrap_or_default()),
        ("speed too low", |l| changed(l, 'S', |v| v * 0.3).unwrap_or_default()),
    ];
    for (i, (kind, change)) in changes.into_iter().enumerate() {
        for s in plain(all, 4 + i / 3) {
            let Some((n, line)) = line_with(s, "M3") else { continue };
            let mut new = change(line);
            if let Some(v) = value(&new, 'S') {
                new = replaced(&new, &|w| w.starts_with('S'), &format!("S{}", number(v).trim_end_matches('.')));
            }
            let fed = first(s, |l| matches!(motion(l), Some(1..))).map_or(n, |(n, _)| n);
            out.push(Planted::at(kind, s, n, with_line(&s.text, n, &new)).lines([n, fed]));
        }
    }
    for s in plain(all, 4) {
        let Some((n, line)) = first(s, |l| matches!(motion(l), Some(1..))) else { continue };
        let text = with_line(&s.text, n, &format!("M5\n{line}"));
        out.push(Planted::at("spindle stopped too early", s, n, text).lines([n + 1]));
    }
    out
}

/// Another tool than the one that the path was made for; tools that cannot do it.
pub(crate) fn tools(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    let with = |s: &Subject, change: &dyn Fn(&mut proof::Tool)| {
        let mut claim = s.claim.clone();
        claim.tools.iter_mut().for_each(change);
        claim
    };
    let depth = |s: &Subject| s.claim.cuts.iter().map(|c| -c.prism.z_bottom).fold(0.0, f64::max);
    let everywhere = |s: &Subject| 1..=s.text.lines().count();
    for s in plain(all, 8) {
        let other =
            all.iter().map(|o| &o.claim.tools[0]).find(|t| (t.diameter - s.claim.tools[0].diameter).abs() > 0.5);
        let Some(other) = other else { continue };
        let claim = with(s, &|t| t.diameter = other.diameter);
        out.push(Planted::set_up("tool of another size put in", s, "size", claim).lines(everywhere(s)).perhaps(s));
    }
    for s in plain(all, 40).into_iter().filter(|s| depth(s) > 10.0).take(8) {
        let claim = with(s, &|t| t.flute = depth(s) - 0.5);
        out.push(Planted::set_up("flutes shorter than the cut is deep", s, "flute", claim).lines(everywhere(s)));
    }
    for s in plain(all, 40).into_iter().filter(|s| depth(s) > 10.0).take(8) {
        let claim = with(s, &|t| (t.stick_out, t.flute) = (depth(s) - 1.0, depth(s) + 1.0));
        out.push(Planted::set_up("holder against the stock", s, "stick-out", claim).lines(everywhere(s)));
    }
    let drops = |s: &&Subject| {
        s.text.lines().any(|l| motion(l) == Some(1) && words(l).len() < 4 && value(l, 'Z').is_some_and(|z| z < -0.05))
    };
    for s in plain(all, 60).into_iter().filter(drops).take(8) {
        let claim = with(s, &|t| (t.plunges, t.ramp) = (false, 3.0));
        out.push(Planted::set_up("plunged with a bit that cannot", s, "plunge", claim).lines(everywhere(s)).perhaps(s));
    }
    for s in plain(all, 60).into_iter().filter(|s| s.claim.tools[0].kind == proof::ToolKind::Straight).take(6) {
        let claim = with(s, &|t| t.kind = proof::ToolKind::Drill);
        out.push(Planted::set_up("drill moved sideways", s, "drill", claim).lines(everywhere(s)).perhaps(s));
    }
    let changers: Vec<&Subject> = all.iter().filter(|s| s.claim.machine.controller.tool_change).collect();
    for s in spread(changers.iter().copied().filter(|s| s.claim.tools.len() > 1).collect(), 6) {
        let [a, b] = [s.claim.tools[0].number, s.claim.tools[1].number];
        let Some((n, line)) = first(s, |l| words(l).contains(&"M6")) else { continue };
        let text = with_line(
            &s.text,
            n,
            &changed(line, 'T', |_| f64::from(if value(line, 'T') == Some(f64::from(a)) { b } else { a }))
                .unwrap_or_default()
                .replace(". ", " "),
        );
        out.push(Planted::at("tool mixed up at its change", s, n, text).lines(everywhere(s)));
    }
    for s in spread(changers.clone(), 4) {
        let Some((n, line)) = first(s, |l| words(l).contains(&"G43")) else { continue };
        let text = with_line(&s.text, n, changed(line, 'H', |h| h + 1.0).unwrap_or_default().trim_end_matches('.'));
        out.push(Planted::at("length of another tool", s, n, text));
        let text = with_lines(&s.text, |i, l| (i != n).then(|| l.to_owned()));
        out.push(Planted::at("length not taken up", s, n, text).lines(everywhere(s)));
    }
    for s in
        spread(changers.into_iter().filter(|s| s.text.lines().any(|l| motion(l).is_some_and(|g| g > 80))).collect(), 5)
    {
        let Some((n, line)) = first(s, |l| motion(l).is_some_and(|g| g > 80)) else { continue };
        for (kind, letter, by) in [
            ("cycle without its R", 'R', None),
            ("cycle too deep", 'Z', Some(-1.0)),
            ("cycle too shallow", 'Z', Some(1.0)),
            ("cycle's R in the wood", 'R', Some(-4.0)),
        ] {
            let new = match by {
                None => replaced(line, &|w| w.starts_with(letter), ""),
                Some(by) => changed(line, letter, |v| v + s.units(by)).unwrap_or_default(),
            };
            // Where another cut lies over the hole, its R may well be lower.
            let place = ['X', 'Y'].map(|l| value(line, l).unwrap_or_default() * s.unit);
            if by == Some(-4.0) && crate::geometry::cuts_at(&s.claim, place).len() > 1 {
                continue;
            }
            out.push(Planted::at(kind, s, n, with_line(&s.text, n, &new)).lines(n..=n + 30));
        }
    }
    out
}

/// What stands in the way, and what the machine has not.
pub(crate) fn room(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for s in plain(all, 10) {
        let Some(cut) = s.claim.cuts.first() else { continue };
        let (x, y) = (cut.prism.outline[0].x, cut.prism.outline[0].y);
        let clamp = Box3::new([x - 10.0, x + 10.0], [y - 10.0, y + 10.0], [s.claim.stock.min[2], 20.0]);
        let claim = Claim { clamps: vec![clamp], ..s.claim.clone() };
        out.push(Planted::set_up("clamp in the way", s, "clamp", claim).lines(1..=s.text.lines().count()));
    }
    for s in plain(all, 5) {
        let Some((n, line)) = first(s, |l| motion(l) == Some(0) && value(l, 'X').is_some()) else { continue };
        let new = changed(line, 'X', |x| x + s.units(2600.0)).unwrap_or_default();
        out.push(Planted::at("beyond the machine's travel", s, n, with_line(&s.text, n, &new)));
    }
    for s in plain(all, 5) {
        let mut claim = s.claim.clone();
        claim.machine.travel[2] = 20.0;
        out.push(
            Planted::set_up("more height than the machine has", s, "travel", claim).lines(1..=s.text.lines().count()),
        );
    }
    let through = |s: &&Subject| s.claim.cuts.iter().any(|c| c.through);
    for s in plain(all, 200).into_iter().filter(through).take(5) {
        let lowest = s.text.lines().filter_map(|l| value(l, 'Z')).fold(f64::MAX, f64::min);
        let Some((n, line)) = first(s, |l| value(l, 'Z').is_some_and(|z| z < lowest + 1e-9)) else { continue };
        let new = changed(line, 'Z', |z| z - s.units(2.0)).unwrap_or_default();
        out.push(Planted::at("too deep into the spoilboard", s, n, with_line(&s.text, n, &new)));
    }
    for s in plain(all, 5) {
        let Some((n, line)) = first(s, |l| matches!(motion(l), Some(1)) && value(l, 'Y').is_some()) else { continue };
        let new = changed(line, 'Y', |y| y + s.units(s.claim.stock.max[1] + 60.0)).unwrap_or_default();
        out.push(Planted::at("far beside the stock", s, n, with_line(&s.text, n, &new)));
    }
    out
}

/// What a strict reader must refuse.
pub(crate) fn spelling(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    let changes: [Change; 6] = [
        ("letter O for a nought", |l| l.replacen("G0", "GO", 1)),
        ("comma for a point", |l| l.replacen('.', ",", 1)),
        ("a word twice", |l| format!("{l} {}", words(l).last().copied().unwrap_or_default())),
        ("two motions on a line", |l| format!("{l} G1")),
        ("comment not closed", |l| format!("{l} (AND THEN")),
        ("axis without a number", |l| format!("{l} Y")),
    ];
    for (i, (kind, change)) in changes.into_iter().enumerate() {
        for s in plain(all, 2) {
            let rapid = |l: &&(usize, &str)| motion(l.1) == Some(0) && value(l.1, 'Z').is_some();
            let lines: Vec<(usize, &str)> = s.text.lines().enumerate().map(|(i, l)| (i + 1, l)).collect();
            let Some((n, line)) = lines.iter().filter(rapid).nth(i % 2) else { continue };
            out.push(Planted::at(kind, s, *n, with_line(&s.text, *n, &change(line))));
        }
    }
    for s in plain(all, 3) {
        let n = s.text.lines().count();
        let text = with_lines(&s.text, |_, l| (l != "M2").then(|| l.to_owned()));
        out.push(Planted::at("no end", s, n, text).lines([n - 1, n]));
    }
    out
}

/// Bridges cut away, cut thin, or never left.
pub(crate) fn bridges(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for s in all.iter().filter(|s| !s.claim.tabs.is_empty()) {
        let top = s.claim.tabs[0].z_top;
        let over = |l: &&(usize, &str)| value(l.1, 'Z').is_some_and(|z| (z * s.unit - top).abs() < 1e-3);
        let lines: Vec<(usize, &str)> = s.text.lines().enumerate().map(|(i, l)| (i + 1, l)).collect();
        for (kind, by) in [("bridge cut away", -10.0_f64), ("bridge cut thin", -1.5)] {
            for (n, line) in spread(lines.iter().filter(over).copied().collect(), 4) {
                let low = s.claim.stock.min[2];
                let Some(new) = changed(line, 'Z', |z| z + s.units(by.max(low - top))) else { continue };
                out.push(Planted::at(kind, s, n, with_line(&s.text, n, &new)));
            }
        }
        let claim = Claim { tabs: Vec::new(), ..s.claim.clone() };
        let lower = |_: usize, l: &str| {
            let over = value(l, 'Z').is_some_and(|z| (z * s.unit - top).abs() < 1e-3);
            if over { changed(l, 'Z', |_| s.units(s.claim.stock.min[2] - 0.3)) } else { Some(l.to_owned()) }
        };
        let cuts = s.claim.cuts.iter().map(|c| c.id.clone()).collect();
        let p = Planted::set_up("no bridges: the offcut comes loose", s, "none", claim).cuts(cuts);
        out.push(Planted { text: with_lines(&s.text, lower), ..p }.lines(1..=s.text.lines().count()));
    }
    out
}
