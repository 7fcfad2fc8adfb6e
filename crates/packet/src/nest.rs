//! From the stock layout to the blanks that a router cuts sheet parts out of: whole sheets where the machine holds them,
//! and otherwise what the first cuts of the saw leave of them.

use case::Case;
use measure::Length;
use routing::nest::{Blank, Lying, Nested, fits, nest};
use routing::{Machine, Routing, ToolTable, route_rest};
use yard::{Area, Cutting, Fate, Group, Plan, Region};

/// What is cut out of the sheets that the plan lays parts on.
pub(crate) fn nested(case: &Case, plan: &Plan, machine: &Machine, tools: &ToolTable) -> Nested {
    nest(case, &blanks(plan, case, machine), machine, tools)
}

/// Programs for the sheets and then for the parts, of which what the sheets' programs cut is done.
pub(crate) fn routed(case: &Case, nested: &Nested, machine: &Machine, tools: &ToolTable) -> Routing {
    let mut routing = nested.routing.clone();
    let rest = route_rest(case, machine, tools, &nested.made);
    routing.programs.extend(rest.programs);
    routing.sheets.extend(rest.sheets);
    routing.by_hand.extend(rest.by_hand);
    routing.findings.extend(rest.findings);
    routing
}

/// All blanks, sheet by sheet. What lies on a piece that is itself too large for the machine is on a blank all the same:
/// the router's side says so.
pub(crate) fn blanks(plan: &Plan, case: &Case, machine: &Machine) -> Vec<Blank> {
    let mut out = Vec::new();
    for group in plan.groups.iter().filter(|g| g.is_nested()) {
        for (i, cutting) in group.cuttings().iter().enumerate() {
            let board = &cutting.board;
            let sheet = if cutting.bought { format!("sheet {} to buy", i + 1) } else { format!("sheet {}", board.id) };
            let whole = Area { x: Length::ZERO, y: Length::ZERO, length: board.length, width: board.width };
            let mut areas = Vec::new();
            if fits(machine, [board.length, board.width]) {
                areas.push(whole);
            } else {
                sawn(&cutting.region, machine, &mut areas);
            }
            let many = areas.len();
            for (k, area) in areas.into_iter().enumerate() {
                let name = if area == whole {
                    format!("the whole of {sheet}")
                } else {
                    format!("blank {} of {many} from {sheet}, sawn off as the layout shows", k + 1)
                };
                out.extend(blank(group, cutting, area, name, case));
            }
        }
    }
    out
}

/// The largest areas that the saw leaves on its way and the machine holds, as far as pieces lie on them.
fn sawn(region: &Region, machine: &Machine, out: &mut Vec<Area>) {
    let holds = fits(machine, [region.area.length, region.area.width]);
    match &region.fate {
        Fate::Offcut | Fate::Waste => {}
        Fate::Cut { sides, .. } if !holds => sides.iter().for_each(|side| sawn(side, machine, out)),
        Fate::Cut { .. } | Fate::Piece { .. } => out.push(region.area),
    }
}

/// A blank with the finished parts in the middle of their rough sizes.
fn blank(group: &Group, cutting: &Cutting, area: Area, name: String, case: &Case) -> Option<Blank> {
    let inside = |a: &Area| {
        let within = |low: Length, size: Length, from: Length, whole: Length| low >= from && low + size <= from + whole;
        within(a.x, a.length, area.x, area.length) && within(a.y, a.width, area.y, area.width)
    };
    let mut parts = Vec::new();
    let mut thickness = Length::ZERO;
    for placed in cutting.placed.iter().filter(|p| inside(&p.area)) {
        let line = &group.lines()[placed.line];
        let Some(id) = line.parts.iter().find(|id| id.to_string() == placed.mark) else { continue };
        let [length, width, thick] = case.part(*id).size;
        let [x, y] = if placed.turned { [width, length] } else { [length, width] };
        let a = &placed.area;
        let at = [a.x - area.x + (a.length - x).half(), a.y - area.y + (a.width - y).half()];
        parts.push(Lying { part: *id, at, turned: placed.turned });
        thickness = thick;
    }
    let size = [area.length, area.width, thickness];
    (!parts.is_empty()).then(|| Blank { name, material: group.material().clone(), size, parts })
}
