//! The page: the drawing, then tables of movement, play, shelves, weights and glass, and what the inspection says of them.

use std::collections::BTreeMap;

use case::inspect::RULES;
use case::{Case, Form, Level, Material, Part, bearing, weight};
use maud::{Markup, PreEscaped, html};
use measure::Unit;

use crate::drawing::drawing;
use crate::show::{bare, fine, of_mm, weight as shown_weight, weight_unit};

/// The rules that this page tells of.
const TOLD: [&str; 15] = [
    "wood-known",
    "season-binds",
    "season-leaves",
    "season-hold",
    "door-gaps",
    "wide-rail",
    "shelf-sag",
    "shelf-sight",
    "tipping",
    "tipping-moment",
    "weight",
    "glass",
    "glass-thickness",
    "glass-low",
    "panel-room",
];

/// The whole page, self-contained HTML.
pub fn page(case: &Case) -> String {
    let order = &case.order;
    let body = html! {
        p {
            "Wood takes up water from damp air and gives it off in dry air, and is wider or narrower for it. The sizes of the drawings and "
            "lists are those in the workshop; this page says what becomes of them in the room, and what the piece bears and weighs."
        }
        (climate(case))
        @if let Some(sheet) = drawing(case) {
            div.true-size { (PreEscaped(paper::svg(&sheet))) }
            p.note { "Printed without scaling, the details are full size where they say so. Panels are drawn in the middle of their room." }
        }
        (movements(case))
        (plays(case))
        (shelves(case))
        (weights(case))
        (standing(case))
        (glass(case))
        (findings(case))
        (sources(case))
    };
    let [revision, date] = order.issue();
    let particulars = [
        ("Order", order.number.as_str()),
        ("Piece", &order.title),
        ("For", &order.customer),
        ("By", &order.maker),
        ("Revision", revision),
        ("Date", date),
    ];
    page::page("What the wood will do", &particulars, &body)
}

fn climate(case: &Case) -> Markup {
    let c = &case.seasons.climate;
    html! {
        h2 { "Where it is made and where it will stand" }
        table {
            thead { tr { th { "" } th.n { "Temperature" } th.n { "Humidity" } th.n { "Wood's moisture" } } }
            tbody { @for (name, s) in [("Workshop", c.workshop), ("Room, dry season", c.dry), ("Room, wet season", c.wet)] {
                tr {
                    td { (name) }
                    @if s.measured { td.n { "–" } td.n { "–" } }
                    @else {
                        td.n { (format!("{:.0} °C ({:.0} °F)", s.air.celsius, s.air.celsius * 1.8 + 32.0)) }
                        td.n { (format!("{:.0} %", s.air.humidity)) }
                    }
                    td.n { (format!("{:.1} %", s.moisture)) @if s.measured { ", measured" } }
                }
            } }
        }
    }
}

/// The order's unit in full.
const fn unit_name(case: &Case) -> &'static str {
    match case.order.unit {
        Unit::Inch => "inches",
        Unit::Millimetre => "millimetres",
    }
}

/// The first of each kind with its likes, widest movement first, of what moves enough to be seen.
fn movements(case: &Case) -> Markup {
    let mut rows: Vec<(&Part, Vec<&Part>, [measure::Length; 3])> = case
        .kinds()
        .into_iter()
        .filter(|(p, _)| p.material.form == Form::Solid)
        .map(|(p, all)| (p, all, case.seasons.widths(&p.material, p.size[1])))
        .collect();
    let span = |w: &[measure::Length; 3]| {
        w.iter().max().copied().unwrap_or_default() - w.iter().min().copied().unwrap_or_default()
    };
    rows.retain(|(.., w)| span(w).mm() >= 0.2);
    rows.sort_by_key(|(p, _, w)| (std::cmp::Reverse(span(w)), p.id));
    let unit = unit_name(case);
    html! {
        h2 { "How wide the parts are" }
        p.note { "Across the grain, in " (unit) ". Along the grain wood keeps its length, and sheets keep their size." }
        table {
            thead { tr {
                th { "Part" } th.n { "No." } th { "Name" } th { "Wood" }
                th.n { "Workshop" } th.n { "Dry" } th.n { "Wet" } th.n { "Moves by" }
            } }
            tbody { @for (part, all, widths) in &rows { tr {
                td { (part.id) }
                td.n { (all.len()) }
                td { (part.name) }
                td { (part.material) }
                @for w in widths { td.n { (bare(case, *w)) } }
                td.n { (bare(case, span(widths))) }
            } } }
        }
    }
}

fn plays(case: &Case) -> Markup {
    let same = |a: &case::Play, b: &case::Play| a.room == b.room && a.hold == b.hold;
    html! {
        h2 { "Room to move" }
        p.note {
            "In " (unit_name(case)) ". Free: the room that there is in all; less than nothing binds. Held: what stays in its groove on the "
            "worse side, pushed to the other one unless it is pinned; less than nothing comes out."
        }
        table {
            thead {
                tr { th { "" } th.n colspan="3" { "Free" } th.n colspan="3" { "Held" } }
                tr { th { "Place" } @for _ in 0..2 { th.n { "Workshop" } th.n { "Dry" } th.n { "Wet" } } }
            }
            tbody { @for (i, play) in case.plays.iter().enumerate() {
                // Likes are told once.
                @if !case.plays[..i].iter().any(|before| same(play, before) && kind(&play.place) == kind(&before.place)) {
                    tr {
                        td { (kind(&play.place)) }
                        @for l in play.room { td.n { (bare(case, l)) } }
                        @match play.hold {
                            Some(hold) => { @for l in hold { td.n { (bare(case, l)) } } }
                            None => { td.n {} td.n {} td.n {} }
                        }
                    }
                }
            } }
        }
    }
}

/// A place without what tells it from its likes.
fn kind(place: &str) -> String {
    let words =
        place.split(' ').filter(|w| !matches!(*w, "left" | "right") && w.trim_end_matches(',').parse::<u32>().is_err());
    let joined = words.collect::<Vec<_>>().join(" ").replacen("shelf before", "shelf, before", 1);
    joined.replacen("shelf between", "shelf, between", 1)
}

fn shelves(case: &Case) -> Markup {
    let unit = unit_name(case);
    // Likes are told once.
    let mut all: Vec<bearing::Bearing> = Vec::new();
    for b in bearing::bearings(case) {
        if !all.iter().any(|before| before.first == b.first && before.span == b.span) {
            all.push(b);
        }
    }
    html! {
        @if !all.is_empty() {
            h2 { "Shelves and bottom under load" }
            p.note { (load(case)) " Lengths in " (unit) "." }
            table {
                thead { tr {
                    th { "Part" } th.n { "Load, " (weight_unit(case)) } th.n { "Span" } th.n { "At once" } th.n { "Allowed" } th.n { "In years" }
                    th.n { "Edged" } th.n { "Longest" } th.n { "Stress, MPa" }
                } }
                tbody { @for b in &all {
                    tr {
                        td { (case.part(b.part).name) }
                        td.n { (shown_weight(case, b.load / weight::GRAVITY)) }
                        td.n { (of_mm(case, b.span)) }
                        td.n { (of_mm(case, b.first)) }
                        td.n { (of_mm(case, b.span * bearing::FIRST)) }
                        td.n { (of_mm(case, b.years)) }
                        td.n { (b.edged.map(|e| of_mm(case, e)).unwrap_or_default()) }
                        td.n { (of_mm(case, b.longest)) }
                        td.n { (format!("{:.1} of {:.0}", b.stress, b.rupture)) }
                    }
                } }
            }
            p.note {
                "At once a shelf bends so far, and 1/144 of its span is allowed; in years it sags so far. Edged: in years, with a strip of "
                "3/4 × 1 1/2 in glued to its front edge. Longest: the span that would do; a longer one wants another support. Stress beside "
                "the strength of clear wood, of which a quarter may be used."
            }
        }
    }
}

fn load(case: &Case) -> String {
    match (&case.loads.each, case.loads.shelves.word()) {
        (Some(each), _) => format!("Each carries {} {}, evenly spread.", shown_weight(case, each.0), weight_unit(case)),
        (None, "books") => "Books: 50 lb/ft² (2.39 kPa).".into(),
        (None, "kitchen") => "Crockery and stores: 15 lb/ft² (0.72 kPa).".into(),
        (None, _) => "A general load: 40 lb/ft² (1.92 kPa).".into(),
    }
}

fn weights(case: &Case) -> Markup {
    let masses = weight::of_parts(case);
    let unit = weight_unit(case);
    let kg = |part: &Part| masses[part.id.0 as usize - 1].kg;
    let panes: f64 = weight::of_panes(case).iter().map(|m| m.kg).sum();
    html! {
        h2 { "Weight" }
        table {
            thead { tr { th { "Part" } th.n { "No." } th { "Name" } th.n { "Each, " (unit) } th.n { "Together" } } }
            tbody {
                @for (part, all) in case.kinds() { tr {
                    td { (part.id) }
                    td.n { (all.len()) }
                    td { (part.name) }
                    td.n { (shown_weight(case, kg(part))) }
                    td.n { (shown_weight(case, kg(part) * all.len() as f64)) }
                } }
                @if panes > 0.0 { tr {
                    td { "Glass" } td.n { (case.panes.len()) } td { "panes" } td.n {} td.n { (shown_weight(case, panes)) }
                } }
            }
            tfoot { tr {
                td { "All" } td.n {} td { "fittings aside" } td.n {} td.n { (shown_weight(case, weight::stand(case).shut.kg)) }
            } }
        }
    }
}

fn standing(case: &Case) -> Markup {
    let s = weight::stand(case);
    let at = |m: &weight::Mass| m.centre.map(|x| of_mm(case, x));
    let doors = s.hung.is_some();
    html! {
        h2 { "How it stands" }
        table {
            thead { tr { th { "Centre of mass, " (unit_name(case)) } th.n { "From the left post" } th.n { "Behind the front feet" } th.n { "Above the floor" } } }
            tbody {
                tr { td { (if doors { "Doors shut" } else { "Empty" }) } @for x in at(&s.shut) { td.n { (x) } } }
                @if doors { tr { td { "Every door opened by a right angle" } @for x in at(&s.open) { td.n { (x) } } } }
            }
        }
        p {
            "Its weight holds it back on its front feet with " (format!("{:.0} N·m", s.moment)) @if doors { ", its doors open" } ". Empty, it tips under a pull of "
            (format!("{:.0} N ({:.0} lbf)", s.pull, s.pull / 4.448_222)) " at its upper edge" @if case.size[2].mm() > 1422.4 { ", or 56 in up," }
            @if let Some(hung) = s.hung { " or under " (shown_weight(case, hung.max(0.0))) " " (weight_unit(case)) " at the edge of an open door" } "."
        }
        div.caution {
            p {
                "Books low down make it steadier and books high up do not. Whatever the figures say, fix a tall piece to the wall before it is "
                "filled, into a stud or solid masonry, with a bracket rated for it. Local codes and licensed practice come first."
            }
        }
    }
}

fn glass(case: &Case) -> Markup {
    let masses = weight::of_panes(case);
    let mut kinds: BTreeMap<[measure::Length; 3], (usize, f64)> = BTreeMap::new();
    for (pane, mass) in case.panes.iter().zip(&masses) {
        let entry = kinds.entry(pane.size).or_default();
        *entry = (entry.0 + 1, mass.kg);
    }
    html! {
        @if !kinds.is_empty() {
            h2 { "Glass" }
            table {
                thead { tr { th.n { "No." } th.n { "Width" } th.n { "Height" } th.n { "Thickness" } th.n { "Area, m²" } th.n { "Each, " (weight_unit(case)) } } }
                tbody { @for (size, (n, kg)) in &kinds { tr {
                    td.n { (n) }
                    @for l in size { td.n { (fine(case, *l)) } }
                    td.n { (format!("{:.3}", size[0].mm() * size[1].mm() / 1e6)) }
                    td.n { (shown_weight(case, *kg)) }
                } } }
            }
            p.note {
                "Safety glass, toughened or laminated, is due where panes are large, low, or where people lean, fall or play: what exactly the local "
                "code says; ask it and the glazier before ordering."
            }
        }
    }
}

fn findings(case: &Case) -> Markup {
    let told: Vec<_> = case.findings.iter().filter(|f| TOLD.contains(&f.rule)).collect();
    let source = |rule: &str| RULES.iter().find(|r| r.id == rule).map_or("", |r| r.source);
    html! {
        h2 { "What the inspection says of this" }
        @if told.is_empty() { p { "Nothing to remark." } }
        @else {
            table {
                thead { tr { th { "" } th { "Finding" } th { "Found" } th { "Limit" } th { "What to do" } th { "Source" } } }
                tbody { @for f in told { tr {
                    td { strong { (match f.level { Level::Note => "Note", Level::Caution => "Caution", Level::Stop => "Stop" }) } }
                    td { (f.what) }
                    td { (f.figure) }
                    td { (f.limit) }
                    td { (f.advice) @if let Some(m) = &f.mend { "; " (m) } }
                    td { (source(f.rule)) }
                } } }
            }
        }
    }
}

fn sources(case: &Case) -> Markup {
    let mut woods: Vec<&Material> = case.parts.iter().map(|p| &p.material).collect();
    woods.sort();
    woods.dedup_by(|a, b| a.name == b.name);
    html! {
        h2 { "Figures of the woods" }
        ul { @for wood in woods { li { (wood.name) ": " (case.seasons.strength(wood).source) "." } } }
        p.note {
            "Tables are those of the Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190 and FPL-GTR-282): averages of small clear "
            "specimens. Boards differ; where much depends on it, measure your own."
        }
    }
}
