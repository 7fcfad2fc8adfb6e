//! Cautions about tipping, weight and glass. They defer to local codes.

use measure::{Length, inches};

use super::{Inspection, Rule};
use crate::finding::Level;
use crate::piece::Pane;

pub(super) const TIPPING: Rule = Rule {
    id: "tipping",
    level: Level::Caution,
    asks: "A piece of 27 in or more is fixed to the wall where it will stand.",
    why: "Tall and shallow pieces tip when children climb them or doors are pulled open, glass with them.",
    source: "27 in is where ASTM F2057-23 begins for clothing storage; other pieces by common practice, no source",
    check: tipping,
};

fn tipping(at: &mut Inspection<'_>) {
    let height = at.case.size[2];
    let advice = "fix the piece to a stud or a solid wall with a bracket rated for it; keep heavy things low; follow local codes";
    at.at_most(&[], "the piece is high enough to tip", height, inches(27, 1), advice);
}

pub(super) const GLASS: Rule = Rule {
    id: "glass",
    level: Level::Caution,
    asks: "A pane of ordinary glass in a door covers 0.1 m² at most.",
    why: "A larger one breaks into long shards where people lean, fall or reach.",
    source: "AS 1288:2006 as summarised by the glass trade: annealed panes of 3 to 4 mm in doors, 0.1 m² at most",
    check: glass,
};

fn glass(at: &mut Inspection<'_>) {
    let area = |p: &Pane| p.size[0].mm() * p.size[1].mm() / 1e6;
    let large = at.case.panes.iter().map(area).filter(|a| *a > 0.1).fold(0.0, f64::max);
    if large > 0.0 {
        let n = at.case.panes.iter().filter(|p| area(p) > 0.1).count();
        let what = format!("{n} panes are large for ordinary glass");
        at.find(
            &[],
            what,
            format!("{large:.2} m²"),
            "at most 0.1 m²".into(),
            "order them toughened or laminated, and ask what local codes require",
        );
    }
}

pub(super) const GLASS_THIN: Rule = Rule {
    id: "glass-thickness",
    level: Level::Caution,
    asks: "Glass under 4 mm is no larger than 0.3 m² between bars, and none of it is under 2.9 mm.",
    why: "A large thin pane bends, rattles, and breaks when the door is shut hard.",
    source: "common practice, no source; 2.92 mm is the least that ASTM C1036 allows for 1/8 in glass",
    check: glass_thin,
};

fn glass_thin(at: &mut Inspection<'_>) {
    let area = |p: &&Pane| p.size[0].mm() * p.size[1].mm() / 1e6;
    let thin: Vec<&Pane> = at.case.panes.iter().filter(|p| p.size[2].mm() < 4.0).collect();
    if let Some(p) = thin.iter().copied().filter(|p| area(p) > 0.3).max_by(|a, b| area(a).total_cmp(&area(b))) {
        let what = format!("the pane {} is large for glass of {}", p.name, at.show(p.size[2]));
        let figure = format!("{:.2} m²", area(&p));
        at.find(&[], what, figure, "at most 0.3 m²".into(), "use glass of 4 mm or more, or divide the light");
    }
    if let Some(p) = thin.into_iter().find(|p| p.size[2].mm() < 2.9) {
        let what = format!("the pane {} is of thin glass", p.name);
        at.find(&[], what, at.show(p.size[2]), "at least 2.9 mm".into(), "use glass of 1/8 in (3 mm) or more");
    }
}

pub(super) const GLASS_LOW: Rule = Rule {
    id: "glass-low",
    level: Level::Note,
    asks: "No pane stands lower than 18 in above the floor.",
    why: "Feet, vacuum cleaners and small children break low glass, and fall into it.",
    source: "18 in is the height below which building codes ask for safety glass in windows and beside doors, from memory; furniture \
             is mostly outside them",
    check: glass_low,
};

fn glass_low(at: &mut Inspection<'_>) {
    let low = |p: &Pane| p.placement.box_to_case(&crate::Box3 { min: [Length::ZERO; 3], max: p.size }).min[2];
    let lowest = at.case.panes.iter().map(low).min();
    if let Some(lowest) = lowest.filter(|l| *l < inches(18, 1)) {
        let n = at.case.panes.iter().filter(|p| low(p) < inches(18, 1)).count();
        let limit = format!("at least {}", at.show(inches(18, 1)));
        let advice = "order them toughened or laminated where children are or the code asks for it; ask the glazier";
        at.find(&[], format!("{n} panes stand low"), at.show(lowest), limit, advice);
    }
}

pub(super) const TIPS_OVER: Rule = Rule {
    id: "tipping-moment",
    level: Level::Caution,
    asks: "Empty, with its doors open, a piece stands with 22.7 kg (50 lb) hung at a door's edge, and with a pull of 44 N (10 lb) at \
           its upper edge.",
    why: "A child that hangs on a door or climbs a shelf pulls it over; what stands only just stands does not stand.",
    source: "the principle of ISO 7171:1988 (doors at 90°, a force on the open part until a foot lifts) with the weights of ASTM \
             F2057-19 (50 lb) as summarised by the trade and F2057-23 (10 lb at 56 in at most), from memory; they are for clothing \
             storage, and local codes come first",
    check: tips_over,
};

/// kg at a door's edge (ASTM F2057-19), and N at the upper edge (ASTM F2057-23).
const HUNG: f64 = 22.7;
const PULLED: f64 = 44.5;

/// A weight in both units.
fn both(kg: f64) -> String {
    format!("{kg:.1} kg ({:.0} lb)", kg / 0.453_592_37)
}

/// A force in both units.
fn newtons(n: f64) -> String {
    format!("{n:.0} N ({:.0} lbf)", n / 4.448_222)
}

fn tips_over(at: &mut Inspection<'_>) {
    let stand = at.stand();
    let advice = "fix it to the wall before it is used, whatever stands in it; or make it deeper; follow local codes";
    if let Some(hung) = stand.hung.filter(|hung| *hung < HUNG) {
        let what = "a weight at the edge of an open door tips the empty piece";
        at.find(&[], what, both(hung.max(0.0)), format!("at least {}", both(HUNG)), advice);
    }
    if stand.pull < PULLED {
        let what = "a small pull at its upper edge tips the empty piece";
        at.find(&[], what, newtons(stand.pull.max(0.0)), format!("at least {}", newtons(PULLED)), advice);
    }
}

pub(super) const WEIGHT: Rule = Rule {
    id: "weight",
    level: Level::Note,
    asks: "A piece weighs no more than 23 kg (51 lb) for each who lifts it.",
    why: "Backs and corners suffer.",
    source: "the load constant of the NIOSH lifting equation, from memory",
    check: heavy,
};

fn heavy(at: &mut Inspection<'_>) {
    let kg = at.stand().shut.kg;
    let people = (kg / 23.0).ceil();
    if people > 1.0 {
        let figure = format!("{kg:.0} kg ({:.0} lb), fittings aside", kg / 0.453_592_37);
        let advice = format!("lift it with {people:.0} people, or take off the doors and take out the shelves first");
        at.find(&[], "the piece is heavy for one person", figure, "23 kg each".into(), advice);
    }
}
