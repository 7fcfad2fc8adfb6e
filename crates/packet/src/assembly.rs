//! `order-of-assembly.html`: how the parts go together, step by step, as the dry fit found it.
//!
//! Each step is one straight move, or several alike; what it says is read off the steps and their joints.

use std::collections::BTreeSet;

use case::{Case, Dir, Joint, JointKind, PartId, Role};
use dryfit::{Body, ShelfWay, Solid, Step, ways_out};
use maud::{Markup, html};

/// Usual cautions of gluing up; the maker's word on glue and finish comes first.
const CAUTIONS: [(&str, &str); 5] = [
    (
        "Dry first",
        "Put everything together dry, clamps and cauls at hand, before any glue is open; glue up in stages that its open \
         time allows, as its label says.",
    ),
    (
        "Square",
        "Measure both diagonals of every frame under the clamps, and look across it for wind, before the glue sets.",
    ),
    (
        "Panels move",
        "No glue on panels, on the back, on beads or on buttons: wood moves across the grain. Wax the panels' edges, and \
         finish them before they go in.",
    ),
    (
        "Glass",
        "Put it in last, after the finish, with gloves; nail the beads away from the glass, and never press a pane home.",
    ),
    (
        "Weight",
        "Turn and lift the piece with two people, its doors off; fix it to the wall, where it has to be, before the doors \
         are hung and the shelves filled. Air the room while glue and finish dry.",
    ),
];

/// So many steps alike are still told one by one.
const FEW: usize = 4;

/// Steps alike, one after the other.
struct Group<'a> {
    steps: Vec<&'a Step>,
    assembly: &'a str,
}

/// The page.
pub(crate) fn page(case: &Case, solids: &[Solid], steps: &[Step]) -> String {
    let groups = grouped(case, steps);
    let (shelves, _) = ways_out(case, solids);
    let mut number = 0;
    let body = html! {
        p {
            "Found from the joints alone and tried on the solids: every part goes home straight, past what stands already. "
            "Other orders may do as well. Ways are named as one stands in front of the finished piece. "
            "Begin when all parts are cut, cleaned up and numbered."
        }
        h2 { "Cautions" }
        div.caution { @for (matter, text) in CAUTIONS { p { strong { (matter) ". " } (text) } } }
        @for part in groups.chunk_by(|a, b| a.assembly == b.assembly) {
            h2 { (heading(part[0].assembly)) }
            table {
                thead { tr { th { "Step" } th { "Take" } th { "Way home" } th { "Onto" } th { "Joints" } th { "Glue" } } }
                tbody { @for group in part { tr {
                    td { ({ number += 1; number }) }
                    (row(case, group))
                } } }
            }
        }
        @if !shelves.is_empty() {
            h2 { "Loose shelves" }
            @if case.edgings().next().is_some() {
                p { "Their edgings are glued on first, flush above and below." }
            }
            ol { @for way in shelves.iter().rev() { li { (shelf(case, way)) } } }
        }
    };
    let order = &case.order;
    let particulars =
        [("Order", order.number.as_str()), ("Design", &order.title), ("For", &order.customer), ("By", &order.maker)];
    page::page("Order of assembly", &particulars, &body)
}

fn grouped<'a>(case: &'a Case, steps: &'a [Step]) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for step in steps {
        let assembly = assembly(case, step);
        let alike = |g: &Group<'_>| {
            let last = g.steps[g.steps.len() - 1];
            let one = |s: &Step| s.moves.len() == 1;
            g.assembly == assembly
                && one(last)
                && one(step)
                && what(case, last.moves[0]) == what(case, step.moves[0])
                && last.legs.last().map(|l| l.towards) == step.legs.last().map(|l| l.towards)
                && (last.glued, last.legs.len()) == (step.glued, step.legs.len())
        };
        match groups.last_mut().filter(|g| alike(g)) {
            Some(group) => group.steps.push(step),
            None => groups.push(Group { steps: vec![step], assembly }),
        }
    }
    groups
}

fn of(case: &Case, body: Body) -> &str {
    match body {
        Body::Part(id) => &case.part(id).assembly,
        Body::Pane(i) => &case.panes[i].assembly,
    }
}

/// The sub-assembly that a step builds; the case's own, where it joins several.
fn assembly<'a>(case: &'a Case, step: &Step) -> &'a str {
    let first = of(case, step.onto[0]);
    if step.moves.iter().chain(&step.onto).all(|b| of(case, *b) == first) { first } else { "case" }
}

fn heading(assembly: &str) -> String {
    let mut heading = if assembly == "case" { "the case".to_owned() } else { assembly.to_owned() };
    if let Some(first) = heading.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    heading
}

/// What a body is, for steps that are alike.
fn what(case: &Case, body: Body) -> Option<Role> {
    if let Body::Part(id) = body { Some(case.part(id).role) } else { None }
}

fn name(case: &Case, body: Body) -> String {
    match body {
        Body::Part(id) => format!("{id} {}", case.part(id).name),
        Body::Pane(i) => format!("pane {}", case.panes[i].id),
    }
}

fn row(case: &Case, group: &Group<'_>) -> Markup {
    let first = group.steps[0];
    let taken: Vec<String> = match (group.steps.as_slice(), first.moves.as_slice()) {
        ([_], moves) if moves.len() > 1 && moves.iter().all(|b| of(case, *b) != "case") => {
            vec![format!("the {}", of(case, moves[0]))]
        }
        ([_], moves) if moves.len() > 1 => {
            let all: Vec<String> = moves.iter().map(|b| id(case, *b)).collect();
            vec![format!("together: {}", all.join(", "))]
        }
        (steps, _) if steps.len() > FEW => {
            let mut all: Vec<Body> = steps.iter().flat_map(|s| s.moves.iter().copied()).collect();
            all.sort();
            let names: BTreeSet<&str> = all.iter().map(|b| kind(case, *b)).collect();
            let ids: Vec<String> = all.iter().map(|b| id(case, *b)).collect();
            vec![format!("{}: {}", names.into_iter().collect::<Vec<_>>().join("; "), ids.join(", "))]
        }
        (steps, _) => steps.iter().flat_map(|s| s.moves.iter().map(|b| name(case, *b))).collect(),
    };
    let joints: Vec<&Joint> =
        group.steps.iter().flat_map(|s| &s.joints).map(|j| &case.joints[j.0 as usize - 1]).collect();
    let moved: Vec<Body> = group.steps.iter().flat_map(|s| s.moves.iter().copied()).collect();
    let onto: BTreeSet<PartId> =
        joints.iter().flat_map(|j| j.parts.iter().copied()).filter(|p| !moved.contains(&Body::Part(*p))).collect();
    let kinds: BTreeSet<&str> = joints.iter().map(|j| words(j.kind)).collect();
    let way: Vec<String> = first.legs.iter().map(|l| way(l.towards).to_owned()).collect();
    html! {
        td { @for (i, t) in taken.iter().enumerate() { @if i > 0 { br; } (t) } }
        td { (way.join(", then ")) }
        td { (onto.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")) }
        td { (kinds.into_iter().collect::<Vec<_>>().join(", ")) }
        td { @if first.glued { "glue" } @else { "dry" } }
    }
}

/// What many alike are called.
fn kind(case: &Case, body: Body) -> &str {
    if let Body::Part(id) = body { &case.part(id).name } else { "panes" }
}

fn id(case: &Case, body: Body) -> String {
    match body {
        Body::Part(id) => id.to_string(),
        Body::Pane(i) => case.panes[i].id.clone(),
    }
}

const fn words(kind: JointKind) -> &'static str {
    match kind {
        JointKind::MortiseAndTenon => "mortise and tenon",
        JointKind::Pins => "shelf pins",
        JointKind::Face => "face to face",
        other => other.name(),
    }
}

const fn way(towards: Dir) -> &'static str {
    match (towards.axis, towards.positive) {
        (case::Axis::X, true) => "to the right",
        (case::Axis::X, false) => "to the left",
        (case::Axis::Y, true) => "towards the back",
        (case::Axis::Y, false) => "towards the front",
        (case::Axis::Z, true) => "up",
        (case::Axis::Z, false) => "down",
    }
}

fn shelf(case: &Case, way: &ShelfWay) -> String {
    let part = case.part(way.shelf);
    let how = if way.tip == 0.0 {
        "in from the front as it lies, and down onto its pins".to_owned()
    } else {
        format!(
            "in from the front past the open doors with one end {:.0}° up, levelled between the posts, the pins under \
             the lower end put in last, and down onto them",
            way.tip
        )
    };
    format!("{} {}: {how}.", part.id, part.name)
}
