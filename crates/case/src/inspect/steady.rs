//! Cautions about tipping and glass. They defer to local codes.

use measure::inches;

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
