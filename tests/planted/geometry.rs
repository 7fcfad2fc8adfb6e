//! Faults of the path: coordinates, arcs, passes, cuts and heights that are not what they should be.

use proof::Claim;

use crate::fault::{Planted, spread};
use crate::oracle;
use crate::subject::Subject;
use crate::text::{bites, changed, motion, replaced, value, with_line, with_lines, words};

/// A subject and a line of it.
type Site<'a> = (&'a Subject, usize, &'a str);

/// The lines of all plain programs that will do, so many of them.
fn sites<'a>(all: &'a [Subject], most: usize, will_do: impl Fn(&Subject, &str) -> bool) -> Vec<Site<'a>> {
    let found = all.iter().filter(|s| s.is_plain()).flat_map(|s| {
        let lines = s.text.lines().enumerate().filter(|(_, line)| will_do(s, line));
        lines.map(move |(i, line)| (s, i + 1, line)).collect::<Vec<_>>()
    });
    spread(found.collect(), most)
}

fn is_fed(line: &str) -> bool {
    matches!(motion(line), Some(1..=3))
}

/// The cuts whose bounds, grown by the tool's radius, hold a place in the plan.
pub(crate) fn cuts_at(claim: &Claim, [x, y]: [f64; 2]) -> Vec<String> {
    // As far as a tool runs out of an open cut.
    let r = claim.tools[0].diameter / 2.0 + 1.5;
    let holds = |c: &&proof::Cut| {
        let v = &c.prism.outline;
        let range = |of: fn(&proof::Vertex) -> f64, at: f64| {
            let bow = v.iter().map(|p| p.bulge.abs()).fold(0.0, f64::max);
            let (low, high) = v.iter().map(of).fold((f64::MAX, f64::MIN), |(a, b), c| (a.min(c), b.max(c)));
            let room = r + bow * 60.0;
            low - room <= at && at <= high + room
        };
        range(|p| p.x, x) && range(|p| p.y, y)
    };
    claim.cuts.iter().filter(holds).map(|c| c.id.clone()).collect()
}

/// Where the text has the tool at the end of a line, mm.
pub(crate) fn place(s: &Subject, line: usize) -> [f64; 2] {
    let last = |letter| s.text.lines().take(line).filter_map(|l| value(l, letter)).last().unwrap_or(0.0) * s.unit;
    [last('X'), last('Y')]
}

/// One coordinate moved by a twentieth of a millimetre, either way.
pub(crate) fn moved(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    for (kind, letter, most) in [
        ("X moved by 0.05 mm", 'X', 40),
        ("Y moved by 0.05 mm", 'Y', 40),
        ("Z moved by 0.05 mm", 'Z', 30),
        ("arc centre I moved by 0.05 mm", 'I', 8),
        ("arc centre J moved by 0.05 mm", 'J', 8),
    ] {
        for (i, (s, n, line)) in
            sites(all, most, |_, l| is_fed(l) && value(l, letter).is_some()).into_iter().enumerate()
        {
            let by = s.units(if i % 2 == 0 { 0.05 } else { -0.05 });
            let Some(new) = changed(line, letter, |v| v + by) else { continue };
            out.push(Planted::at(kind, s, n, with_line(&s.text, n, &new)).perhaps(s));
        }
    }
    out
}

/// Arcs turned the other way.
pub(crate) fn turned_arcs(all: &[Subject]) -> Vec<Planted> {
    let arcs = sites(all, 48, |_, l| matches!(motion(l), Some(2 | 3)));
    let planted = arcs.into_iter().map(|(s, n, line)| {
        let other = if motion(line) == Some(2) { "G3" } else { "G2" };
        let new = replaced(line, &|w| w.starts_with('G'), other);
        let cuts = cuts_at(&s.claim, place(s, n));
        Planted::at("arc turned the other way", s, n, with_line(&s.text, n, &new)).perhaps(s).cuts(cuts)
    });
    planted.collect()
}

/// One line left out.
pub(crate) fn dropped_lines(all: &[Subject]) -> Vec<Planted> {
    let fed = sites(all, 24, |_, l| is_fed(l));
    let planted = fed.into_iter().map(|(s, n, line)| {
        let text = with_lines(&s.text, |i, l| (i != n).then(|| l.to_owned()));
        // The line is gone: the next ones run from elsewhere, and what it cut is left.
        let mut out = Planted::at("feed move left out", s, n, text).perhaps(s).lines(n..n + 3);
        out.what = format!("{}:{n}: `{line}` left out", s.name);
        out.cuts = cuts_at(&s.claim, place(s, n)).into_iter().chain(cuts_at(&s.claim, place(s, n - 1))).collect();
        out
    });
    planted.collect()
}

/// Everything between two lifts left out, or done elsewhere.
pub(crate) fn bites_gone_wrong(all: &[Subject]) -> Vec<Planted> {
    let plain = all.iter().filter(|s| s.is_plain());
    let bites: Vec<(&Subject, [usize; 2])> =
        plain.flat_map(|s| bites(&s.text).into_iter().map(move |b| (s, b))).collect();
    let mut out = Vec::new();
    for (s, [from, to]) in spread(bites.clone(), 14) {
        let text = with_lines(&s.text, |n, l| (!(from..=to).contains(&n)).then(|| l.to_owned()));
        let mut p = Planted::set_up("cut left out", s, &format!("lines {from} to {to} left out"), s.claim.clone());
        p = p.perhaps(s).cuts((from..=to).flat_map(|n| cuts_at(&s.claim, place(s, n))).collect());
        out.push(Planted { text, ..p });
    }
    for (s, [from, to]) in spread(bites.clone(), 12) {
        let middle = (s.claim.stock.min[0] + s.claim.stock.max[0]) / 2.0;
        // The place that the cut is reached at by a rapid move is mirrored with it.
        let from = s
            .text
            .lines()
            .take(from)
            .collect::<Vec<_>>()
            .iter()
            .rposition(|l| value(l, 'X').is_some() && motion(l) == Some(0))
            .map_or(from, |i| i + 1);
        let text = with_lines(&s.text, |n, l| {
            Some(if (from..=to).contains(&n) { mirrored(l, 2.0 * s.units(middle)) } else { l.to_owned() })
        });
        let cuts = (from..=to).flat_map(|n| cuts_at(&s.claim, place(s, n))).collect();
        let mut p = Planted::set_up("cut mirrored", s, &format!("lines {from} to {to} mirrored"), s.claim.clone());
        p = p.perhaps(s).lines(from..=to).cuts(cuts);
        out.push(Planted { text, ..p });
    }
    for (s, [from, to]) in spread(bites, 12) {
        for (kind, by) in [("cut 0.5 mm too deep", -0.5), ("cut 0.5 mm too shallow", 0.5)] {
            let deepest = (from..=to).filter_map(|n| value(s.lines()[n - 1], 'Z')).fold(f64::MAX, f64::min);
            let lower = |n: usize, l: &str| {
                let last = value(l, 'Z').is_some_and(|z| z < deepest + 1e-9) && (from..=to).contains(&n);
                if last { changed(l, 'Z', |z| z + s.units(by)) } else { Some(l.to_owned()) }
            };
            let mut p = Planted::set_up(kind, s, &format!("lines {from} to {to}"), s.claim.clone());
            p = p.perhaps(s).lines(from..=to);
            out.push(Planted { text: with_lines(&s.text, lower), ..p });
        }
    }
    out
}

/// A line with x counted from the other end; what turned left turns right.
fn mirrored(line: &str, whole: f64) -> String {
    let about = changed(line, 'X', |x| whole - x).unwrap_or_else(|| line.to_owned());
    let about = changed(&about, 'I', |i| -i).unwrap_or(about);
    match motion(line) {
        Some(2) => replaced(&about, &|w| w == "G2", "G3"),
        Some(3) => replaced(&about, &|w| w == "G3", "G2"),
        _ => about,
    }
}

/// The part lies end for end, or one program has another's name.
pub(crate) fn turned_parts(all: &[Subject]) -> Vec<Planted> {
    let plain: Vec<&Subject> = all.iter().filter(|s| s.is_plain()).collect();
    let mut out = Vec::new();
    for s in spread(plain.clone(), 12) {
        let [x, y] = [0, 1].map(|i| s.units(s.claim.stock.min[i] + s.claim.stock.max[i]));
        let turn = |line: &str| {
            let mut line = line.to_owned();
            for (letter, whole) in [('X', x), ('Y', y), ('I', 0.0), ('J', 0.0)] {
                line = changed(&line, letter, |v| whole - v).unwrap_or(line);
            }
            line
        };
        let text = with_lines(&s.text, |_, l| Some(turn(l)));
        let p = Planted::set_up("part turned end for end", s, "turned", s.claim.clone()).perhaps(s);
        let p = Planted { text, ..p }.cuts(s.claim.cuts.iter().map(|c| c.id.clone()).collect());
        out.push(p);
    }
    for (i, s) in spread(plain.clone(), 10).into_iter().enumerate() {
        let unlike = |o: &&&Subject| o.unit == s.unit && body(&o.text) != body(&s.text);
        let Some(other) = plain.iter().filter(unlike).nth(7 * i) else { continue };
        let what = format!("the text of {}", other.name);
        let p = Planted::set_up("another part's program", s, &what, s.claim.clone()).perhaps(s);
        let p = p.cuts(s.claim.cuts.iter().map(|c| c.id.clone()).collect()).lines(1..=other.text.lines().count());
        out.push(Planted { text: other.text.clone(), ..p });
    }
    out
}

fn body(text: &str) -> Vec<&str> {
    text.lines().filter(|l| !words(l).is_empty()).collect()
}

/// Retracts that do not clear the wood, rapid moves down into it and along in it.
pub(crate) fn rapids(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    let is_up = |s: &Subject, l: &str| motion(l) == Some(0) && value(l, 'Z').is_some_and(|z| z * s.unit > 20.0);
    let crossing = sites(all, usize::MAX, |s, l| is_up(s, l));
    let crossing = crossing.into_iter().filter(|(s, n, _)| {
        let after = s.lines().get(*n).copied().unwrap_or_default();
        let wood = || oracle::crosses_wood(&s.claim, place(s, *n), place(s, *n + 1), -0.5);
        *n > 14 && motion(after) == Some(0) && value(after, 'Z').is_none() && wood()
    });
    for (s, n, line) in spread(crossing.collect(), 14) {
        let Some(new) = changed(line, 'Z', |_| s.units(-1.0)) else { continue };
        let p = Planted::at("retract too low", s, n, with_line(&s.text, n, &new));
        out.push(p.lines([n, n + 1]));
    }
    let is_approach = |s: &Subject, l: &str| motion(l) == Some(0) && value(l, 'Z').is_some_and(|z| z * s.unit < 5.0);
    // Down at a new place within the stock, where nothing has been cut yet.
    let fresh = sites(all, usize::MAX, is_approach).into_iter().filter(|(s, n, _)| {
        let (before, p) = (s.lines()[n - 2], place(s, *n));
        let lateral = motion(before) == Some(0) && value(before, 'Z').is_none();
        let inside = (0..2).all(|i| s.claim.stock.min[i] < p[i] && p[i] < s.claim.stock.max[i]);
        lateral
            && inside
            && oracle::is_wood(&with_lines(&s.text, |i, l| (i < *n).then(|| l.to_owned())), s.unit, &s.claim, p)
    });
    for (s, n, line) in spread(fresh.collect::<Vec<_>>(), 12) {
        let Some(new) = changed(line, 'Z', |_| s.units(-1.5)) else { continue };
        out.push(Planted::at("rapid move down into the wood", s, n, with_line(&s.text, n, &new)));
    }
    let is_plunge = |l: &str| is_fed(l) && value(l, 'Z').is_some_and(|z| z < -0.05);
    for (s, n, line) in sites(all, 14, |_, l| is_plunge(l) && motion(l) == Some(1)) {
        let new = replaced(&replaced(line, &|w| w.starts_with('F'), ""), &|w| w == "G1", "G0");
        out.push(Planted::at("feed move made a rapid one", s, n, with_line(&s.text, n, &new)).perhaps(s));
    }
    out
}

/// A figure typed wrong: a digit more, the sign or the point lost.
pub(crate) fn typing(all: &[Subject]) -> Vec<Planted> {
    let mut out = Vec::new();
    let deep = |l: &str| is_fed(l) && value(l, 'Z').is_some_and(|z| z < -0.05);
    for (s, n, line) in sites(all, 10, |_, l| deep(l)) {
        let new = line.replacen("Z-", "Z", 1);
        let cuts = cuts_at(&s.claim, place(s, n));
        out.push(Planted::at("sign of Z lost", s, n, with_line(&s.text, n, &new)).perhaps(s).cuts(cuts));
    }
    for (s, n, line) in sites(all, 12, |_, l| is_fed(l) && value(l, 'X').is_some_and(|x| x.abs() > 1.0)) {
        let Some(new) = changed(line, 'X', |x| x * 10.0) else { continue };
        out.push(Planted::at("point of X in the wrong place", s, n, with_line(&s.text, n, &new)).perhaps(s));
    }
    // One digit for the next one.
    for (i, (s, n, line)) in sites(all, 30, |_, l| is_fed(l)).into_iter().enumerate() {
        let digits: Vec<usize> =
            line.char_indices().skip(3).filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
        let at = digits[(i * 7) % digits.len()];
        let digit = (line.as_bytes()[at] - b'0' + 1) % 10;
        let new = format!("{}{digit}{}", &line[..at], &line[at + 1..]);
        let cuts = cuts_at(&s.claim, place(s, n));
        out.push(Planted::at("one digit changed", s, n, with_line(&s.text, n, &new)).perhaps(s).cuts(cuts));
    }
    out
}
