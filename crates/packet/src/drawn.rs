//! The drawings of a packet: which there are, in what order, each sheet in a file of its own and all in one to print.

use case::{Case, Guide, Jigs};
use drafting::{Arrangement, Exchange, Front, Member, Pattern, Solids, Step};
use paper::{Chapter, Sheet};
use rayon::prelude::*;

use crate::assemble::Files;
use crate::{Kind, assembly, start};

/// The order of assembly, and the drawings: cover, general arrangement, exploded view, details, the parts' sheets, the
/// patterns and the jigs; and the picture for the first page.
pub(crate) fn drawings(case: &Case, jigs: &Jigs, guides: &[Guide]) -> (Files, String) {
    let solids = Solids::of(case);
    let assembled = || {
        let bodies = dryfit::solids(case);
        // A piece that does not come apart has been refused before it is drawn.
        let order = dryfit::order(case, &bodies).unwrap_or_default();
        let page = assembly::page(case, &bodies, &order);
        let exploded = steps(&order)
            .filter(|steps| !steps.is_empty())
            .map(|steps| drafting::exploded(&solids, &steps))
            .unwrap_or_default();
        (exploded, page)
    };
    let (((arrangement, (exploded, page)), details), (parts, ((shaped, jigs), mut outlines))) = rayon::join(
        || {
            let whole = || rayon::join(|| drafting::general_arrangement(&solids), assembled);
            rayon::join(whole, || drafting::details(&solids))
        },
        || {
            let shaped = || rayon::join(|| drafting::patterns(case, guides), || drafting::jig_patterns(case, jigs));
            let full_size = || rayon::join(shaped, || drafting::part_outlines(case));
            rayon::join(|| drafting::part_sheets(case), full_size)
        },
    );
    let Arrangement { sheets, picture } = arrangement;
    let (patterns, tiled) = on_sheets(shaped, &mut outlines);
    let (jigs, tiled_jigs) = on_sheets(jigs, &mut outlines);
    let documents = [
        ("General arrangement", &sheets),
        ("Exploded view", &exploded),
        ("Joint details", &details),
        ("Parts", &parts),
        ("Patterns, full size", &patterns),
        ("Jigs, full size", &jigs),
    ];
    let titles = |sheets: &'_ [Sheet]| sheets.iter().map(|s| s.title.clone()).collect::<Vec<String>>();
    let contents: Vec<(&str, Vec<String>)> =
        documents.iter().filter(|d| !d.1.is_empty()).map(|(name, sheets)| (*name, titles(sheets))).collect();
    let front = Front { picture: picture.as_ref(), contents: &contents, cautions: &start::CAUTIONS };
    let cover = drafting::cover(case, &front);
    let chapters: Vec<Chapter<'_>> = std::iter::once(("Cover", &cover))
        .chain(documents)
        .filter(|(_, sheets)| !sheets.is_empty())
        .map(|(title, sheets)| Chapter { title, sheets })
        .collect();
    let title = format!("{} {}", case.order.title, case.order.number);
    let all = paper::pdf(&title, &chapters);
    let small: Vec<Chapter<'_>> = patterns
        .iter()
        .zip(&tiled)
        .chain(jigs.iter().zip(&tiled_jigs))
        .map(|(p, sheets)| Chapter { title: &p.title, sheets })
        .collect();
    let mut files = vec![("drawings/drawings.pdf".into(), Kind::Print, "All drawings, to print".into(), all)];
    files.push(("lists/order-of-assembly.html".into(), Kind::List, "Order of assembly".into(), page.into_bytes()));
    if !small.is_empty() {
        let small = paper::pdf(&format!("{title}, patterns"), &small);
        let title = "All patterns and jigs on small sheets, to print and join";
        files.push(("patterns/patterns-tiled.pdf".into(), Kind::Print, title.into(), small));
    }
    let drawn = [&cover, &sheets, &exploded, &details, &parts].into_iter().flatten();
    let drawn = drawn.map(|sheet| ("drawings", Kind::Drawing, sheet));
    let drawn = drawn.chain(patterns.iter().map(|sheet| ("patterns", Kind::Pattern, sheet)));
    let drawn = drawn.chain(jigs.iter().map(|sheet| ("jigs", Kind::Jig, sheet)));
    let drawn = drawn.chain(tiled.iter().flatten().map(|s| ("patterns/tiled", Kind::Tile, s)));
    let drawn: Vec<_> = drawn.chain(tiled_jigs.iter().flatten().map(|s| ("jigs/tiled", Kind::Tile, s))).collect();
    files.par_extend(drawn.into_par_iter().map(|(folder, kind, sheet)| {
        (format!("{folder}/{}.svg", sheet.name), kind, sheet.title.clone(), paper::svg(sheet).into_bytes())
    }));
    let outline = |f: Exchange| (format!("dxf/{}.dxf", f.name), Kind::Dxf, f.title, f.text.into_bytes());
    files.extend(outlines.into_iter().map(outline));
    (files, picture.as_ref().map(paper::svg).unwrap_or_default())
}

/// The sheets of full-size drawings, and the small ones of each; their lines go to the other outlines.
fn on_sheets(drawn: Vec<Pattern>, outlines: &mut Vec<Exchange>) -> (Vec<Sheet>, Vec<Vec<Sheet>>) {
    let one = |pattern: Pattern| {
        let Sheet { name, title, .. } = &pattern.sheet;
        outlines.push(Exchange { name: name.clone(), title: title.clone(), text: pattern.dxf });
        (pattern.sheet, pattern.tiles)
    };
    drawn.into_iter().map(one).unzip()
}

/// The order of assembly, as the drawings take it.
fn steps(order: &[dryfit::Step]) -> Option<Vec<Step>> {
    let member = |body: &dryfit::Body| match body {
        dryfit::Body::Part(id) => Member::Part(*id),
        dryfit::Body::Pane(i) => Member::Pane(*i),
    };
    let set = |bodies: &[dryfit::Body]| bodies.iter().map(member).collect();
    // The last leg of a step is the one that takes it home.
    let step =
        |s: &dryfit::Step| Some(Step { moves: set(&s.moves), onto: set(&s.onto), towards: s.legs.last()?.towards });
    order.iter().map(step).collect()
}
