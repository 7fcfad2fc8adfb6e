//! From the cuts of one setup to operations: by which tool, and how.
//!
//! A tool will do for a cut if it goes between its walls, is long enough, and can get in. Of those that will, the one
//! that leaves least to do is taken, then fewer tools are preferred to slightly better ones.

use case::{Cut, Part, Purpose};

use crate::curve::{Bounds, P2, cross};
use crate::machine::Machine;
use crate::region::Region;
use crate::setup::Setup;
use crate::tool::{Tool, ToolKind, ToolTable};
use crate::wall::{Chain, Field};

/// A cut as one setup sees it; lengths in mm in the program frame.
#[derive(Clone, Debug)]
pub(crate) struct Work {
    /// Index of the cut in its part.
    pub(crate) index: usize,
    pub(crate) purpose: Purpose,
    pub(crate) region: Region,
    /// From the top of the stock; the stock's height if it goes through.
    pub(crate) depth: f64,
    pub(crate) through: bool,
}

/// How a cut is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Method {
    /// Straight down at a point: a drilled hole, or a square one no wider than the bit.
    Down(P2),
    /// On a helix about a point: centre and radius of the hole.
    Bore(P2, f64),
    /// Cleared inside its walls.
    Pocket,
}

/// Cuts that one tool makes in one go.
#[derive(Clone, Debug)]
pub(crate) struct Operation {
    /// Indices of works: the one that is cut first, then those that lie wholly within it.
    pub(crate) works: Vec<usize>,
    /// Index into the tool table.
    pub(crate) tool: usize,
    pub(crate) method: Method,
    /// How many inside corners keep the bit's radius.
    pub(crate) corners: usize,
}

/// The works of a setup from the cuts that enter its face.
pub(crate) fn works(part: &Part, setup: &Setup) -> Vec<Work> {
    let enters = |c: &&(usize, &Cut)| c.1.from == setup.up;
    let cuts: Vec<(usize, &Cut)> = part.cuts.iter().enumerate().collect();
    cuts.iter()
        .filter(enters)
        .map(|(index, cut)| Work {
            index: *index,
            purpose: cut.purpose,
            region: Region::new(&setup.outline(&cut.outline)),
            depth: cut.depth.min(setup.height()).mm(),
            through: part.is_through(cut),
        })
        .collect()
}

/// The stock from above.
pub(crate) fn blank(setup: &Setup) -> Bounds {
    [0.0, 0.0, setup.size[0].mm(), setup.size[1].mm()]
}

/// The field in which a work is cut: all works at least as deep, and the air.
pub(crate) fn field_at(works: &[Work], depth: f64, blank: Bounds) -> Field<'_> {
    Field::new(works.iter().filter(|w| w.depth >= depth - 1e-6).map(|w| &w.region).collect(), blank)
}

/// A tool that will do, how, and how well: larger is better.
#[derive(Clone, Copy, Debug)]
struct Choice {
    tool: usize,
    method: Method,
    worth: f64,
}

/// What each work needs, found once for all tools.
struct Need {
    /// Depth with the spoilboard allowance.
    depth: f64,
    /// Between facing walls.
    room: f64,
    /// It opens on the air or on a deeper cut.
    open: bool,
    corners: usize,
}

/// Operations for the works, and for each work that no tool serves the reason.
pub(crate) fn plan(
    works: &[Work],
    fields: &[Field],
    table: &ToolTable,
    machine: &Machine,
) -> (Vec<Operation>, Vec<(usize, String)>) {
    let mut unserved = Vec::new();
    let mut open: Vec<(usize, Need, Vec<Choice>)> = Vec::new();
    let mut within: Vec<(usize, usize)> = Vec::new();
    for (i, w) in works.iter().enumerate() {
        if let Some(host) = host(works, i) {
            within.push((host, i));
            continue;
        }
        let chains = fields[i].chains(&w.region);
        let need = Need {
            depth: w.depth + if w.through { machine.spoilboard.mm() } else { 0.0 },
            room: fields[i].room(&w.region, &chains),
            open: chains.iter().any(|c| !c.closed) || chains.is_empty(),
            corners: corners(&chains),
        };
        let choices: Vec<Choice> =
            table.tools.iter().enumerate().filter_map(|(t, tool)| choice(t, tool, w, &need, machine)).collect();
        if choices.is_empty() {
            unserved.push((i, why_none(w, &need, table)));
        } else {
            open.push((i, need, choices));
        }
    }
    let mut out = cover(open, table);
    for (host, i) in within {
        match out.iter_mut().find(|o| o.works[0] == host) {
            Some(o) => o.works.push(i),
            None => unserved.push((i, format!("it lies within cut {} which is left by hand", works[host].index + 1))),
        }
    }
    unserved.sort_by_key(|(i, _)| *i);
    (out, unserved)
}

/// The work that wholly takes in another one and goes at least as deep; itself taken in by none.
fn host(works: &[Work], i: usize) -> Option<usize> {
    let mut host = taken_in_by(works, i)?;
    while let Some(next) = taken_in_by(works, host) {
        host = next;
    }
    Some(host)
}

fn taken_in_by(works: &[Work], i: usize) -> Option<usize> {
    let w = &works[i];
    let takes_in = |j: usize, o: &Work| {
        let deeper = o.depth > w.depth + 1e-6 || (o.depth >= w.depth - 1e-6 && (o.through || !w.through));
        let (a, b) = (&o.region.bounds, &w.region.bounds);
        let bounds = a[0] <= b[0] + 1e-6 && a[1] <= b[1] + 1e-6 && a[2] >= b[2] - 1e-6 && a[3] >= b[3] - 1e-6;
        j != i && deeper && bounds && {
            let inside = |p: P2| o.region.contains(p) || o.region.distance(p) < 1e-5;
            w.region.curves.iter().all(|c| [0.0, 0.25, 0.5, 0.75].into_iter().all(|t| inside(c.at(t))))
        }
    };
    let hosts = works.iter().enumerate().filter(|(j, o)| takes_in(*j, o));
    // Of two that take in one another the first is the host.
    hosts.map(|(j, _)| j).find(|&j| j < i || !mutual(works, i, j))
}

fn mutual(works: &[Work], i: usize, j: usize) -> bool {
    let (a, b) = (&works[i], &works[j]);
    (a.depth - b.depth).abs() < 1e-6 && a.region.bounds.iter().zip(&b.region.bounds).all(|(x, y)| (x - y).abs() < 1e-6)
}

/// Inside corners of walls that a round tool cannot reach into.
fn corners(chains: &[Chain]) -> usize {
    chains
        .iter()
        .map(|chain| {
            let n = chain.curves.len();
            let joints = if chain.closed { n } else { n.saturating_sub(1) };
            (0..joints)
                .filter(|&i| cross(chain.curves[i].tangent(1.0), chain.curves[(i + 1) % n].tangent(0.0)) > 1e-3)
                .count()
        })
        .sum()
}

/// Bits up to this leave corners that a chisel squares quickly, mm; larger ones are taken where the cut is narrow.
const SMALL: f64 = 6.5;

fn choice(index: usize, tool: &Tool, w: &Work, need: &Need, machine: &Machine) -> Option<Choice> {
    let d = tool.diameter.mm();
    // The holder stays above the stock.
    if tool.flute.mm() < need.depth || tool.stick_out.mm() < need.depth + 3.0 {
        return None;
    }
    let made = |method, worth| Some(Choice { tool: index, method, worth });
    if let Some((centre, radius)) = w.region.as_circle().filter(|_| !need.open) {
        let bore = 2.0 * radius;
        return match tool.kind {
            ToolKind::Drill if (d - bore).abs() < 0.005 => made(Method::Down(centre), 100.0),
            ToolKind::Straight if tool.plunges && (d - bore).abs() < 0.005 => made(Method::Down(centre), 0.5 * d),
            // Wide enough to leave no core, and narrow enough for a helix that is not all turns.
            ToolKind::Straight if d <= 0.8 * bore && 2.0 * d >= bore => made(Method::Bore(centre, radius), d),
            ToolKind::Straight if 2.0 * d < bore => made(Method::Pocket, d * 0.5),
            _ => None,
        };
    }
    let [x0, y0, x1, y1] = w.region.bounds;
    let centre = [(x0 + x1) / 2.0, (y0 + y1) / 2.0];
    let point = !need.open && w.region.width().max(w.region.height()) < d + 0.05;
    let goes_in = d <= need.room + 1e-5;
    match tool.kind {
        ToolKind::Drill if point && goes_in => made(Method::Down(centre), 2.0 * d),
        ToolKind::Straight if point && goes_in && tool.plunges => made(Method::Down(centre), d),
        ToolKind::Straight if !point && goes_in && !(need.open && d + 1.0 > machine.run_out.mm()) => {
            let roomy = need.corners > 0 && need.room > 2.0 * SMALL;
            made(Method::Pocket, if roomy && d > SMALL { 0.9 * SMALL * SMALL / d } else { d })
        }
        _ => None,
    }
}

fn why_none(w: &Work, need: &Need, table: &ToolTable) -> String {
    let goes_in = |t: &&Tool| t.kind == ToolKind::Straight && t.diameter.mm() <= need.room + 1e-5;
    let longest = table.tools.iter().filter(goes_in).map(|t| t.flute.mm()).fold(0.0, f64::max);
    if w.region.as_circle().is_some() {
        format!("no drill or bit for a hole {:.2} mm wide and {:.1} mm deep", need.room, need.depth)
    } else if longest == 0.0 {
        format!("no bit goes into {:.2} mm", need.room)
    } else {
        format!("it is {:.1} mm deep; the longest bit that goes in cuts {longest:.1} mm", need.depth)
    }
}

/// Takes the tool that serves most of what is left, until nothing is.
fn cover(mut open: Vec<(usize, Need, Vec<Choice>)>, table: &ToolTable) -> Vec<Operation> {
    for (_, _, choices) in &mut open {
        let best = choices.iter().map(|c| c.worth).fold(0.0, f64::max);
        choices.retain(|c| c.worth >= 0.6 * best);
    }
    let mut out = Vec::new();
    while !open.is_empty() {
        // Of tools that serve as many, the one that is worth most.
        let tally = |t: usize| {
            let worth = open.iter().filter_map(|(_, _, c)| c.iter().find(|c| c.tool == t).map(|c| c.worth));
            worth.fold((0, 0.0), |(n, sum), w| (n + 1, sum + w))
        };
        let best = (0..table.tools.len()).max_by(|&a, &b| {
            let ((n, w), (m, v)) = (tally(a), tally(b));
            n.cmp(&m).then(w.total_cmp(&v)).then(b.cmp(&a))
        });
        let Some(tool) = best else { break };
        let before = open.len();
        open.retain(|(i, need, choices)| match choices.iter().find(|c| c.tool == tool) {
            Some(c) => {
                let corners = if c.method == Method::Pocket || need.corners > 0 { need.corners } else { 0 };
                out.push(Operation { works: vec![*i], tool, method: c.method, corners });
                false
            }
            None => true,
        });
        if open.len() == before {
            break;
        }
    }
    out.sort_by_key(|o| (o.tool, o.works[0]));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Outline;
    use measure::{inches, mm};

    const BLANK: Bounds = [0.0, 0.0, 600.0, 90.0];

    fn work(index: usize, outline: &Outline, depth: f64) -> Work {
        Work { index, purpose: Purpose::Mortise, region: Region::new(outline), depth, through: false }
    }

    fn planned(works: &[Work]) -> (Vec<Operation>, Vec<(usize, String)>) {
        let fields: Vec<Field> = works.iter().map(|w| field_at(works, w.depth, BLANK)).collect();
        plan(works, &fields, &ToolTable::default(), &Machine::default())
    }

    #[test]
    fn a_mortise_takes_the_bit_of_its_own_width_and_has_four_corners() {
        let o = Outline::rectangle([mm(100), mm(160)], [mm(40), mm(40) + inches(3, 8)]);
        let (ops, left) = planned(&[work(0, &o, 32.0)]);
        assert!(left.is_empty());
        assert_eq!((ToolTable::default().tools[ops[0].tool].diameter, ops[0].corners), (inches(3, 8), 4));
    }

    #[test]
    fn one_bit_does_for_a_groove_and_a_slightly_wider_mortise() {
        let groove = Outline::rectangle([mm(200), mm(600)], [mm(40), mm(40) + inches(1, 4)]);
        let mortise = Outline::rectangle([mm(100), mm(160)], [mm(40), mm(40) + inches(3, 8)]);
        let (ops, _) = planned(&[work(0, &groove, 6.0), work(1, &mortise, 30.0)]);
        assert_eq!(ops.len(), 2);
        assert_eq!(ops[0].tool, ops[1].tool);
    }

    #[test]
    fn too_deep_or_too_narrow_is_left_by_hand_with_the_reason() {
        let slot = Outline::rectangle([mm(100), mm(160)], [mm(40), mm(42)]);
        let deep = Outline::rectangle([mm(200), mm(260)], [mm(40), mm(50)]);
        let (ops, left) = planned(&[work(0, &slot, 6.0), work(1, &deep, 60.0)]);
        assert!(ops.is_empty());
        assert_eq!(left[0].1, "no bit goes into 2.00 mm");
        assert!(left[1].1.contains("60.0 mm deep"), "{}", left[1].1);
    }

    #[test]
    fn a_cut_within_another_is_made_by_it() {
        let big = Outline::rectangle([mm(100), mm(160)], [mm(40), mm(60)]);
        let small = Outline::rectangle([mm(110), mm(140)], [mm(40), mm(60)]);
        let (ops, left) = planned(&[work(0, &small, 5.0), work(1, &big, 5.0), work(2, &big, 5.0)]);
        assert!(left.is_empty());
        assert_eq!(ops.len(), 1);
        assert_eq!(ops[0].works, [1, 0, 2]);
    }

    #[test]
    fn a_pin_hole_is_drilled_and_a_knob_hole_is_bored() {
        let pin = Outline::circle([mm(100), mm(40)], inches(1, 4));
        let knob = Outline::circle([mm(200), mm(40)], mm(10));
        let (ops, _) = planned(&[work(0, &pin, 10.0), work(1, &knob, 20.0)]);
        let of = |w: usize| ops.iter().find(|o| o.works[0] == w).unwrap();
        assert!(matches!(of(0).method, Method::Down(_)));
        assert!(matches!(of(1).method, Method::Bore(_, r) if (r - 5.0).abs() < 1e-9));
        assert_eq!(ToolTable::default().tools[of(1).tool].diameter, mm(8));
    }
}
