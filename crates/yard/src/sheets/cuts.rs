//! The cuts of all boards as a table, in the order of sawing: which way, what to set, and what comes of it.

use measure::{Length, Ruler};
use paper::dimension::figure;
use paper::table::Table;
use stock::{Fate, Region, Way};

use crate::{Cutting, Plan};

/// How the table is read.
pub(super) const HOW: &str = "Set from the lower or the left edge of what is in hand; the kerf lies beyond.";

/// One row to a cut.
pub(super) fn table(plan: &Plan, ruler: &Ruler) -> Table {
    let mut table = Table::new("", &["BOARD", "CUT", "WAY", "SET TO", "GIVES", "AND"]);
    for group in &plan.groups {
        for (i, cutting) in group.cuttings().iter().enumerate() {
            let id = if cutting.bought { format!("to buy {}", i + 1) } else { cutting.board.id.clone() };
            let mut board = format!("{} {}", group.stock().name(ruler), id);
            cutting.region.walk(&mut |region| {
                if let Fate::Cut { number, way, at, ref sides } = region.fate {
                    let [set, gives, and] = row(region, way, at, sides, cutting, ruler);
                    let way = if way == Way::Rip { "rip" } else { "crosscut" };
                    table.rows.push(vec![std::mem::take(&mut board), number.to_string(), way.into(), set, gives, and]);
                }
            });
        }
    }
    table
}

fn row(region: &Region, way: Way, at: Length, sides: &[Region], cutting: &Cutting, ruler: &Ruler) -> [String; 3] {
    let from = if way == Way::Rip { region.area.y } else { region.area.x };
    let mut of = sides.iter().map(|side| what(side, cutting));
    if at <= from {
        // The kerf takes all that comes off.
        return ["flush".into(), of.next().unwrap_or_default(), String::new()];
    }
    [figure(ruler, at - from), of.next().unwrap_or_default(), of.next().unwrap_or_default()]
}

fn what(region: &Region, cutting: &Cutting) -> String {
    match region.fate {
        Fate::Piece { .. } => {
            cutting.placed.iter().find(|p| p.area == region.area).map_or_else(String::new, |p| p.mark.clone())
        }
        Fate::Offcut => "offcut".into(),
        Fate::Waste => "waste".into(),
        Fate::Cut { .. } => "rest".into(),
    }
}
