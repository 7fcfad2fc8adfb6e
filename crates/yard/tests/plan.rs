//! The demo on random racks of boards, every layout recounted here by rules of its own; and the racks that are shipped.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use case::{Case, Form, Sawn};
use design::{Job, builtin};
use fault::Source;
use measure::{Length, Unit, inches, mm};
use proptest::prelude::*;
use stock::{Area, Flaw};
use yard::{Buying, Cutting, Group, Plan, Rack, RoughLine, Sawing, Stack};

fn case_of(order: &str) -> Case {
    let source = Source::new("order.toml", order);
    let (job, resolved) = Job::read(&source, &[], |_| unreachable!()).unwrap();
    case::solve(&job, &resolved, &dryfit::check)
}

static DEMO: LazyLock<Case> = LazyLock::new(|| case_of(builtin::DEMO_ORDER));

fn demo() -> &'static Case {
    &DEMO
}

fn rack(text: &str) -> Rack {
    Rack::read(&Source::new("rack.toml", text), Unit::Inch).unwrap()
}

const QUAYSIDE: &str = include_str!("../../../templates/stock/quayside.toml");
const SHORT: &str = include_str!("../../../tests/stock/short.toml");

type Rect = [i64; 4];

fn rect(a: Area) -> Rect {
    [a.x.nm(), a.y.nm(), (a.x + a.length).nm(), (a.y + a.width).nm()]
}

/// By more than nothing.
fn overlap(a: Rect, b: Rect) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Whether cuts from edge to edge, each as wide as the kerf, take the pieces apart.
fn comes_apart(pieces: &[Rect], kerf: i64) -> bool {
    if pieces.len() < 2 {
        return true;
    }
    for axis in 0..2 {
        for at in pieces.iter().map(|p| p[axis + 2]) {
            let (low, high): (Vec<Rect>, Vec<Rect>) = pieces.iter().partition(|p| p[axis + 2] <= at);
            if !high.is_empty() && high.iter().all(|p| p[axis] >= at + kerf) {
                return comes_apart(&low, kerf) && comes_apart(&high, kerf);
            }
        }
    }
    false
}

fn recount_board(group: &Group, cutting: &Cutting, sawing: &Sawing) {
    let board = &cutting.board;
    let saw = sawing.saw(group.material().form);
    let usable =
        [saw.end_trim.nm(), saw.edge_trim.nm(), (board.length - saw.end_trim).nm(), (board.width - saw.edge_trim).nm()];
    let pieces: Vec<Rect> = cutting.placed.iter().map(|p| rect(p.area)).collect();
    for (piece, placed) in pieces.iter().zip(&cutting.placed) {
        let line: &RoughLine = &group.lines()[placed.line];
        let [length, width] = line.rough;
        let size = if placed.turned { (width, length) } else { (length, width) };
        assert_eq!((placed.area.length, placed.area.width), size, "{}", placed.mark);
        assert!(!placed.turned || line.turns, "{} lies across the grain", placed.mark);
        assert!(usable[0] <= piece[0] && usable[1] <= piece[1] && piece[2] <= usable[2] && piece[3] <= usable[3]);
        for (what, flaw) in &board.flaws {
            let clear = !overlap(*piece, rect(flaw.area));
            assert!(clear || (flaw.hidden_use && !line.shows), "{} shows and lies on a {what}", placed.mark);
        }
    }
    assert!(comes_apart(&pieces, saw.kerf.nm()), "no saw takes {} apart", board.id);
}

/// Every mark once, whole boards and no more than there are, sets from one board, best boards for what shows.
fn recount(plan: &Plan, case: &Case) {
    let mut parts = BTreeSet::new();
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    for group in &plan.groups {
        let mut marks = Vec::new();
        let mut board_of: BTreeMap<&str, usize> = BTreeMap::new();
        for (i, cutting) in group.cuttings().iter().enumerate() {
            recount_board(group, cutting, &plan.sawing);
            if !cutting.bought {
                *used.entry(&cutting.board.id).or_default() += 1;
            }
            for placed in &cutting.placed {
                marks.push(placed.mark.as_str());
                board_of.insert(&placed.mark, i);
                let hidden = !group.lines()[placed.line].shows;
                assert!(!(hidden && cutting.board.best) || group.given_up().best, "{} takes of the best", placed.mark);
            }
        }
        marks.extend(group.unlaid());
        marks.sort_unstable();
        let mut wanted: Vec<&str> =
            group.lines().iter().flat_map(|l| l.sets.iter().flatten()).map(String::as_str).collect();
        wanted.sort_unstable();
        assert_eq!(marks, wanted);
        for set in group.lines().iter().flat_map(|l| &l.sets).filter(|_| !group.given_up().together) {
            let boards: BTreeSet<_> = set.iter().map(|mark| board_of.get(mark.as_str())).collect();
            assert_eq!(boards.len(), 1, "{set:?} come from several boards");
        }
        parts.extend(group.lines().iter().flat_map(|l| &l.parts).copied());
    }
    assert_eq!(parts.len(), case.parts.len(), "every part is on the rough list");
    for stack in plan.rack.iter().flat_map(|r| &r.stacks) {
        assert!(used.get(stack.id.as_str()).is_none_or(|n| *n <= stack.count), "more of {} than there are", stack.id);
    }
}

#[test]
fn the_racks_of_the_demo_are_enough_and_too_few() {
    let case = demo();
    let plan = yard::plan(case, Some(&rack(QUAYSIDE)), yard::SAWN_OUT, &yard::limits());
    recount(&plan, case);
    assert!(plan.findings(case).is_empty(), "{:?}", plan.findings(case));
    assert!(Buying::of(&plan, case).rows.iter().all(|row| row.buy.is_empty()));

    let plan = yard::plan(case, Some(&rack(SHORT)), yard::SAWN_OUT, &yard::limits());
    recount(&plan, case);
    let findings = plan.findings(case);
    assert!(findings.iter().any(|f| f.rule == "stock-short" && f.what.contains("8/4") && f.what.contains("P04")));
    let bought = Buying::of(&plan, case);
    let posts = bought.rows.iter().find(|row| row.stock.name(&case.order.ruler) == "8/4").unwrap();
    // One board of 6 in by 12 ft, 2 in thick: 12 board feet, at 9.80.
    assert!((posts.to_buy.board_feet() - 12.0).abs() < 1e-9);
    assert_eq!(posts.price.map(|p| p.sum), Some(11_760));
}

/// Specific gravity 0.68 at 12 % moisture, white oak (Wood Handbook, table 5-3b): with the volume that it loses and the water
/// that it has at 8 %, 0.68 × (1 − 16.3 % × 18/30) / (1 − 16.3 % × 22/30) × 1.08 = 752 kg/m³.
#[test]
fn wood_sold_by_weight_is_weighed_by_its_species() {
    let sold = |price: &str| SHORT.replace("per = \"board ft\"\nprice = 9.80", price);
    let weight = |price: &str| {
        let text = sold(price);
        assert_ne!(text, SHORT);
        let bought = Buying::of(&yard::plan(demo(), Some(&rack(&text)), yard::SAWN_OUT, &yard::limits()), demo());
        let posts = bought.rows.iter().find(|row| row.stock.name(&demo().order.ruler) == "8/4").unwrap();
        posts.price.unwrap().amount
    };
    // 12 board feet are 0.02832 m³.
    let by_species = weight("per = \"kg\"\nprice = 10.00");
    assert!((by_species / 0.028_317 - 752.0).abs() < 8.0, "{by_species} kg");
    assert!((weight("per = \"lb\"\nprice = 10.00") - by_species * 2.204_62).abs() < 1e-3);
    assert!((weight("per = \"kg\"\nprice = 10.00\ndensity = 800") - 22.653).abs() < 1e-2);
}

#[test]
fn without_a_stock_file_everything_is_bought() {
    for (design, _) in builtin::DESIGNS {
        for unit in ["in", "mm"] {
            let case = case_of(&format!("design = \"{design}\"\nunit = \"{unit}\"\n"));
            let plan = yard::plan(&case, None, yard::SAWN_OUT, &yard::limits());
            recount(&plan, &case);
            assert!(plan.groups.iter().all(|g| g.unlaid().next().is_none()));
            assert!(plan.groups.iter().flat_map(Group::cuttings).all(|c| c.bought));
        }
    }
}

#[test]
fn the_panels_of_the_demo_s_doors_are_leaves_of_one_board() {
    let case = demo();
    let plan = yard::plan(case, None, yard::SAWN_OUT, &yard::limits());
    let panel = plan.groups.iter().flat_map(Group::lines).find(|l| l.name.contains("panel") && l.book).unwrap();
    // Two leaves of each piece, and a leaf for each stave of each panel.
    assert_eq!((panel.finished[2], panel.pieces() * 2), (inches(3, 8), panel.staves * panel.parts.len()));
}

#[test]
fn more_time_never_makes_it_worse() {
    let case = demo();
    let rack = rack(QUAYSIDE);
    let mut plan = yard::plan(case, Some(&rack), yard::SAWN_OUT, &yard::limits());
    let before: Vec<Option<f64>> = plan.groups.iter().map(Group::gap).collect();
    for group in plan.open() {
        plan.improve(group, &stock::Limits { seed: 5, ..stock::Limits::work(20_000_000) }, &mut |_| {});
    }
    recount(&plan, case);
    for (before, after) in before.iter().zip(plan.groups.iter().map(Group::gap)) {
        assert!(before.is_none_or(|before| after.is_some_and(|after| after <= before)));
    }
}

fn flaws(length: i64, width: i64) -> impl Strategy<Value = Vec<(String, Flaw)>> {
    let one = (0..length - 60, 0..width - 20, 1_i64..60, 1_i64..20, any::<bool>());
    prop::collection::vec(one, 0..4).prop_map(|flaws| {
        let flaw = |(x, y, length, width, hidden_use)| {
            let area = Area { x: mm(x), y: mm(y), length: mm(length), width: mm(width) };
            (String::from("knot"), Flaw { area, hidden_use })
        };
        flaws.into_iter().map(flaw).collect()
    })
}

fn stacks() -> impl Strategy<Value = Vec<Stack>> {
    let size = (600_i64..3200, 60_i64..260, 0_usize..4, any::<[bool; 4]>(), prop::option::of(1_000_i64..9_000));
    let one = size.prop_flat_map(|(length, width, thickness, [sheet, best, grain, quarter], price)| {
        flaws(length, width).prop_map(move |flaws| Stack {
            id: String::new(),
            material: if sheet { "birch plywood".into() } else { "White Oak".into() },
            kind: if sheet { Form::Sheet } else { Form::Solid },
            sawn: if quarter && !sheet { Sawn::Quarter } else { Sawn::Flat },
            thickness: if sheet { inches(1, 4) } else { [inches(1, 1), inches(5, 4), inches(2, 1), mm(30)][thickness] },
            length: mm(length),
            width: if sheet { mm(width * 5) } else { mm(width) },
            count: if flaws.is_empty() { 2 } else { 1 },
            price,
            planed: false,
            best: best && !sheet,
            grain: grain || !sheet,
            flaws,
        })
    });
    prop::collection::vec(one, 0..14).prop_map(|mut stacks| {
        for (i, stack) in stacks.iter_mut().enumerate() {
            stack.id = format!("B{i}");
        }
        stacks
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn nothing_is_laid_on_a_flaw_that_shows(stacks in stacks(), kerf in 0_i64..5) {
        let case = demo();
        let sawing = Sawing { kerf: mm(kerf), ..Sawing::of(Unit::Inch) };
        let rack = Rack { currency: String::new(), sawing, stacks, prices: Vec::new(), finish: None };
        let limits = stock::Limits::work(1_000_000);
        let plan = yard::plan(case, Some(&rack), yard::SAWN_OUT, &limits);
        recount(&plan, case);
        prop_assert_eq!(plan.sawing.kerf, mm(kerf));
        let findings = plan.findings(case);
        let bought = plan.groups.iter().flat_map(Group::cuttings).any(|c| c.bought);
        prop_assert_eq!(bought, findings.iter().any(|f| f.rule == "stock-short" && !f.advice.is_empty()) && bought);
        let yards: Length = plan.groups.iter().flat_map(Group::cuttings).map(|c| c.board.length).sum();
        prop_assert!(yards > Length::ZERO);
    }
}

/// Every layout and every label of the demo with a rack, without, and in millimetres: nothing runs into anything.
#[test]
fn nothing_on_the_sheets_collides_and_every_piece_is_named() {
    let metric = case_of("design = \"low-cupboard\"\nunit = \"mm\"\n");
    let rack = rack(QUAYSIDE);
    for (case, rack) in [(demo(), Some(&rack)), (demo(), None), (&metric, None)] {
        let plan = yard::plan(case, rack, yard::SAWN_OUT, &yard::limits());
        let (layouts, labels) = (yard::layout_sheets(&plan, case), yard::label_sheets(&plan, case));
        for sheet in layouts.iter().chain(&labels) {
            let collisions = paper::check::collisions(sheet);
            assert!(collisions.is_empty(), "{}: {collisions:#?}", sheet.name);
        }
        let texts = |sheets: &[paper::Sheet]| -> Vec<String> {
            let items = sheets.iter().flat_map(|s| &s.scene.layers).flat_map(|l| &l.items);
            items
                .filter_map(|item| match item {
                    paper::scene::Item::Text(text) => Some(text.content.clone()),
                    _ => None,
                })
                .collect()
        };
        let (drawn, named) = (texts(&layouts), texts(&labels));
        let words = |texts: &[String], mark: &str| texts.iter().any(|t| t.split([' ', ',']).any(|word| word == mark));
        for mark in plan.groups.iter().flat_map(Group::lines).flat_map(|l| l.sets.iter().flatten()) {
            assert!(words(&drawn, mark), "{mark} is not drawn");
            assert!(words(&named, mark), "{mark} has no label");
        }
    }
}
