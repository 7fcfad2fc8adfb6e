//! From the cuts of one setup to operations: by which tool, and how.
//!
//! A tool will do for a cut if it goes between its walls, is long enough, and can get in. Of those that will, the one
//! that leaves least to do is taken, then fewer tools are preferred to slightly better ones.

use std::rc::Rc;

use case::Part;

use crate::curve::{Bounds, P2, near};
use crate::face::{Piece, seen_from};
use crate::machine::Machine;
use crate::profile::is_broad;
use crate::region::Region;
use crate::round::corners;
use crate::setup::Setup;
use crate::tool::{Tool, ToolKind, ToolTable};
use crate::wall::Field;

/// A cut, or a piece of one, as one setup sees it; lengths in mm in the program frame.
#[derive(Clone, Debug)]
pub(crate) struct Work {
    /// Index of the cut in its part.
    pub(crate) index: usize,
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
    /// A kerf along its walls, through the stock; bridges hold the offcut.
    Profile,
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

/// What one setup takes, and what other setups take that reaches its face.
#[derive(Debug)]
pub(crate) struct Bench {
    pub(crate) works: Vec<Work>,
    /// Waste of other setups: free to run into, claimed by none here.
    waste: Vec<(Region, f64)>,
    blank: Bounds,
}

impl Bench {
    /// For the cuts of those indices.
    pub(crate) fn new(part: &Part, setup: &Setup, cuts: &[usize]) -> Self {
        let region = |piece: &Piece| Region::new(&setup.outline(&piece.outline));
        let mut works = Vec::new();
        let mut waste = Vec::new();
        for (index, cut) in part.cuts.iter().enumerate() {
            let (pieces, _) = seen_from(part, cut, setup.up);
            if cuts.contains(&index) {
                works.extend(pieces.iter().map(|piece| Work {
                    index,
                    region: region(piece),
                    depth: piece.depth.min(setup.height()).mm(),
                    through: piece.depth >= setup.height(),
                }));
            } else {
                waste.extend(pieces.iter().map(|piece| (region(piece), piece.depth.mm())));
            }
        }
        let blank = [0.0, 0.0, setup.size[0].mm(), setup.size[1].mm()];
        Self { works, waste, blank }
    }

    /// The stock from above.
    pub(crate) const fn blank(&self) -> Bounds {
        self.blank
    }

    /// The field of a depth: everything taken at least as deep, and the air.
    fn field_at(&self, depth: f64) -> Field<'_> {
        let works = self.works.iter().map(|w| (&w.region, w.depth));
        let waste = self.waste.iter().map(|(r, d)| (r, *d));
        Field::new(works.chain(waste).filter(|(_, d)| *d >= depth - 1e-6).map(|(r, _)| r).collect(), self.blank)
    }

    /// Fields of the lesser depths to which something is taken that adjoins a work.
    pub(crate) fn shallower(&self, w: &Work) -> Vec<(f64, Field<'_>)> {
        let works = self.works.iter().map(|o| (&o.region, o.depth));
        let adjoins = |r: &Region| near(&r.bounds, &w.region.bounds, 1e-3);
        let all = works.chain(self.waste.iter().map(|(r, d)| (r, *d)));
        let mut depths: Vec<f64> = all.filter(|(r, d)| *d < w.depth - 1e-6 && adjoins(r)).map(|(_, d)| d).collect();
        depths.sort_by(f64::total_cmp);
        depths.dedup_by(|b, a| *b - *a < 1e-6);
        depths.into_iter().map(|d| (d, self.field_at(d).window(&w.region.bounds, 50.0))).collect()
    }

    /// The fields of all works, one for each depth.
    pub(crate) fn fields(&self) -> Vec<Rc<Field<'_>>> {
        let mut depths: Vec<(f64, Rc<Field<'_>>)> = Vec::new();
        self.works
            .iter()
            .map(|w| {
                let known = depths.iter().find(|(d, _)| (d - w.depth).abs() < 1e-9).map(|(_, f)| Rc::clone(f));
                known.unwrap_or_else(|| {
                    let field = Rc::new(self.field_at(w.depth));
                    depths.push((w.depth, Rc::clone(&field)));
                    field
                })
            })
            .collect()
    }
}

/// How a tool makes a work, and how well: larger is better.
#[derive(Clone, Copy, Debug)]
struct Choice {
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

/// A cut, the works that it is made of, and the tools that do for all of them.
struct Task {
    index: usize,
    works: Vec<usize>,
    corners: Vec<usize>,
    /// Tool, how it makes each work, and its worth.
    choices: Vec<(usize, Vec<Method>, f64)>,
}

/// Operations for the works, and for each cut that no tool serves the reason.
pub(crate) fn plan(
    works: &[Work],
    fields: &[Rc<Field>],
    table: &ToolTable,
    machine: &Machine,
) -> (Vec<Operation>, Vec<(usize, String)>) {
    let mut unserved = Vec::new();
    let mut open: Vec<Task> = Vec::new();
    let mut within: Vec<(usize, usize)> = Vec::new();
    let mut indices: Vec<usize> = works.iter().map(|w| w.index).collect();
    indices.dedup();
    for index in indices {
        let of: Vec<usize> = (0..works.len()).filter(|&i| works[i].index == index).collect();
        if let ([i], Some(host)) = (&of[..], host(works, of[0])) {
            within.push((host, *i));
            continue;
        }
        let needs: Vec<Need> = of.iter().map(|&i| need(&works[i], &fields[i], machine)).collect();
        let choices: Vec<_> = table
            .tools
            .iter()
            .enumerate()
            .filter_map(|(t, tool)| {
                let each = of.iter().zip(&needs).map(|(&i, need)| choice(tool, &works[i], need, machine));
                let each: Vec<Choice> = each.collect::<Option<_>>()?;
                let worth = each.iter().map(|c| c.worth).fold(f64::INFINITY, f64::min);
                Some((t, each.iter().map(|c| c.method).collect(), worth))
            })
            .collect();
        if choices.is_empty() {
            // The hardest of its works says why.
            let hard = of.iter().zip(&needs).max_by(|a, b| a.1.depth.total_cmp(&b.1.depth));
            unserved.extend(hard.map(|(&i, need)| (index, why_none(&works[i], need, table))));
        } else {
            let corners = needs.iter().map(|n| n.corners).collect();
            open.push(Task { index, works: of, corners, choices });
        }
    }
    let mut out = cover(open, table);
    for (host, i) in within {
        match out.iter_mut().find(|o| o.works[0] == host) {
            Some(o) => o.works.push(i),
            None => unserved.push((works[i].index, "it lies within a cut that is left by hand".into())),
        }
    }
    unserved.sort_by_key(|(i, _)| *i);
    (out, unserved)
}

fn need(w: &Work, field: &Field, machine: &Machine) -> Need {
    let field = field.window(&w.region.bounds, 1.0);
    let chains = field.chains(&w.region);
    Need {
        depth: w.depth + if w.through { machine.spoilboard.mm() } else { 0.0 },
        room: field.room(&w.region, &chains),
        open: chains.iter().any(|c| !c.closed) || chains.is_empty(),
        corners: corners(&chains).len(),
    }
}

/// The work that wholly takes in another one and goes at least as deep; itself taken in by none.
fn host(works: &[Work], i: usize) -> Option<usize> {
    let mut host = taken_in_by(works, i)?;
    // As often as there are works, in case that two take in one another by a nanometre.
    for _ in works {
        let Some(next) = taken_in_by(works, host) else { return Some(host) };
        host = next;
    }
    None
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
    (a.depth - b.depth).abs() < 1e-5 && a.region.bounds.iter().zip(&b.region.bounds).all(|(x, y)| (x - y).abs() < 1e-5)
}

/// Bits up to this leave corners that a chisel squares quickly, mm; larger ones are taken where the cut is narrow.
const SMALL: f64 = 6.5;

fn choice(tool: &Tool, w: &Work, need: &Need, machine: &Machine) -> Option<Choice> {
    let d = tool.diameter.mm();
    // The holder stays above the stock.
    if tool.flute.mm() < need.depth || tool.stick_out.mm() < need.depth + 3.0 {
        return None;
    }
    let made = |method, worth| Some(Choice { method, worth });
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
            let broad = w.through && tool.plunges && is_broad(&w.region, tool.radius(), w.depth);
            let method = if broad { Method::Profile } else { Method::Pocket };
            made(method, if roomy && d > SMALL { 0.9 * SMALL * SMALL / d } else { d })
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
fn cover(mut open: Vec<Task>, table: &ToolTable) -> Vec<Operation> {
    for task in &mut open {
        let best = task.choices.iter().map(|c| c.2).fold(0.0, f64::max);
        task.choices.retain(|c| c.2 >= 0.6 * best);
    }
    let mut out: Vec<(usize, Operation)> = Vec::new();
    while !open.is_empty() {
        // Of tools that serve as many, the one that is worth most.
        let tally = |t: usize| {
            let worth = open.iter().filter_map(|task| task.choices.iter().find(|c| c.0 == t).map(|c| c.2));
            worth.fold((0, 0.0), |(n, sum), w| (n + 1, sum + w))
        };
        let best = (0..table.tools.len()).max_by(|&a, &b| {
            let ((n, w), (m, v)) = (tally(a), tally(b));
            n.cmp(&m).then(w.total_cmp(&v)).then(b.cmp(&a))
        });
        let Some(tool) = best.filter(|t| tally(*t).0 > 0) else { break };
        open.retain(|task| match task.choices.iter().find(|c| c.0 == tool) {
            Some((_, methods, _)) => {
                for ((&work, &corners), &method) in task.works.iter().zip(&task.corners).zip(methods) {
                    out.push((task.index, Operation { works: vec![work], tool, method, corners }));
                }
                false
            }
            None => true,
        });
    }
    out.sort_by_key(|(index, o)| (o.tool, *index));
    out.into_iter().map(|(_, o)| o).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Outline;
    use measure::{inches, mm};

    const BLANK: Bounds = [0.0, 0.0, 600.0, 90.0];

    fn work(index: usize, outline: &Outline, depth: f64) -> Work {
        Work { index, region: Region::new(outline), depth, through: false }
    }

    fn planned(works: &[Work]) -> (Vec<Operation>, Vec<(usize, String)>) {
        let bench = Bench { works: works.to_vec(), waste: Vec::new(), blank: BLANK };
        plan(&bench.works, &bench.fields(), &ToolTable::default(), &Machine::default())
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
