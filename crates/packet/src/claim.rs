//! Whether a program's claim is what the part asks for, and whether it holds for every part that the program serves.
//!
//! The proof believes a claim, so a claim must not hang on the code that made the program. Here each of its prisms is
//! carried back into the part frame by nothing but the program's own zero and axes, and must be a cut of the part, whole
//! or in columns that add up to it. Nothing of routing's own way with set-ups, faces and pieces is used. What cuts parts
//! out of a sheet is looked at part by part, in `claim/sheet.rs`.

mod sheet;

use case::{Case, Cut, Dir, Part};
use measure::Length;
use proof::{Claim, Prism};
use routing::{Program, Setup};

/// Figures of a claim agree with the part's to this, mm.
const NEAR: f64 = 1e-6;

/// What is wrong with a program's claim; nothing if all is well.
pub(crate) fn against_parts(case: &Case, program: &Program, claim: &Claim) -> Vec<String> {
    let Some(first) = program.parts.first().map(|id| case.part(*id)) else {
        return vec!["it serves no part".into()];
    };
    if !program.placed.is_empty() {
        return sheet::against_sheet(case, program, claim);
    }
    let frame = Frame { part: first, setup: &program.setup, at: [0.0; 2] };
    let mut out = Vec::new();
    if !frame.is_sound(claim.stock.min, claim.stock.max) {
        out.push("its stock is not the part's blank".into());
        return out;
    }
    let plans: Vec<Plan<'_>> = first.cuts.iter().map(|cut| Plan::of(cut, first)).collect();
    let others: Vec<Vec<[f64; 3]>> = claim.elsewhere.iter().map(|o| frame.corners(&o.prism)).collect();
    for (index, cut) in first.cuts.iter().enumerate() {
        let id = first.cut_id(index);
        let prisms: Vec<&Prism> = claim.cuts.iter().filter(|c| c.id == id).map(|c| &c.prism).collect();
        let plan = &plans[index];
        if let Some(p) = prisms.iter().find(|p| !plan.hold(&frame.corners(p))) {
            out.push(format!("{id} is claimed where the part has no such cut, from Z{} down", p.z_top));
        }
        let volume: f64 = prisms.iter().map(|p| area(p) * (p.z_top - p.z_bottom)).sum();
        // Of what is only sawn free along its outline the rest stays in the offcut.
        let sawn = !claim.tabs.is_empty() && others.iter().any(|o| plan.hold(o));
        let is_made = program.cuts.contains(&id);
        if is_made && !sawn && (volume - frame.volume(cut)).abs() > 1e-3 {
            let asked = frame.volume(cut);
            out.push(format!("{id} is claimed to {volume:.3} mm³, the part asks for {asked:.3} mm³"));
        }
        if !is_made && !prisms.is_empty() {
            out.push(format!("{id} is claimed and not among the program's cuts"));
        }
    }
    let strange = claim.cuts.iter().find(|c| !(0..first.cuts.len()).any(|i| first.cut_id(i) == c.id));
    out.extend(strange.map(|c| format!("{} is no cut of the part", c.id)));
    for (o, corners) in claim.elsewhere.iter().zip(&others) {
        if !plans.iter().any(|plan| plan.hold(corners)) {
            out.push(format!(
                "it may run into wood that no cut takes, from Z{} to Z{}",
                o.prism.z_bottom, o.prism.z_top
            ));
        }
    }
    out.extend(program.parts[1..].iter().map(|id| case.part(*id)).filter_map(|like| unlike(first, like)));
    out
}

/// Why a program for the first of two parts does not do for the other.
fn unlike(first: &Part, like: &Part) -> Option<String> {
    let near = |a: Length, b: Length| (a - b).nm().abs() <= 1;
    let alike = |a: &Cut, b: &Cut| {
        let corner =
            |p: &case::Vertex, q: &case::Vertex| near(p.u, q.u) && near(p.v, q.v) && (p.bulge - q.bulge).abs() < 1e-9;
        let outline =
            a.outline.0.len() == b.outline.0.len() && a.outline.0.iter().zip(&b.outline.0).all(|(p, q)| corner(p, q));
        (a.from, a.depth) == (b.from, b.depth) && outline
    };
    if first.size != like.size {
        return Some(format!("{} is not as large as {}", like.id, first.id));
    }
    if first.cuts.len() != like.cuts.len() {
        return Some(format!("{} has not as many cuts as {}", like.id, first.id));
    }
    let other = first.cuts.iter().zip(&like.cuts).position(|(a, b)| !alike(a, b))?;
    Some(format!("{} is not cut like {}", like.cut_id(other), first.cut_id(other)))
}

/// A program's frame on a part.
struct Frame<'a> {
    part: &'a Part,
    setup: &'a Setup,
    /// Where the part's zero lies in the program.
    at: [f64; 2],
}

impl Frame<'_> {
    fn axes(&self) -> [Dir; 3] {
        [self.setup.x_axis, self.setup.y_axis, self.setup.up]
    }

    /// A point of the program in the part frame, mm.
    fn to_part(&self, p: [f64; 3]) -> [f64; 3] {
        let mut out = self.setup.origin.map(Length::mm);
        let [x, y] = self.at;
        for (d, v) in self.axes().into_iter().zip([p[0] - x, p[1] - y, p[2]]) {
            out[d.axis.index()] += if d.positive { v } else { -v };
        }
        out
    }

    /// The axes are a right-handed three, and the corners of a box are the blank's.
    fn is_sound(&self, min: [f64; 3], max: [f64; 3]) -> bool {
        let unit = |d: Dir| std::array::from_fn(|i| if i == d.axis.index() { d.sign() } else { 0 });
        let [x, y, z]: [[i64; 3]; 3] = self.axes().map(unit);
        let determinant: i64 = (0..3)
            .map(|i| {
                let (j, k) = ((i + 1) % 3, (i + 2) % 3);
                x[i] * (y[j] * z[k] - y[k] * z[j])
            })
            .sum();
        let (a, b) = (self.to_part(min), self.to_part(max));
        let size = self.part.size.map(Length::mm);
        determinant == 1
            && (0..3).all(|i| a[i].min(b[i]).abs() < NEAR && (a[i].max(b[i]) - size[i]).abs() < NEAR)
            && max[2].abs() < NEAR
    }

    /// The corners of a prism in the part's frame, and the middles of its arcs; what lies beside the blank is air.
    fn corners(&self, p: &Prism) -> Vec<[f64; 3]> {
        let n = p.outline.len();
        let places = (0..n).flat_map(|i| {
            let (a, b) = (&p.outline[i], &p.outline[(i + 1) % n]);
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let middle = [(a.x + b.x + a.bulge * dy) / 2.0, (a.y + b.y - a.bulge * dx) / 2.0];
            [[a.x, a.y], middle]
        });
        let all = places.flat_map(|[x, y]| [p.z_bottom, p.z_top].map(|z| self.to_part([x, y, z])));
        let size = self.part.size.map(Length::mm);
        all.filter(|q| (0..3).all(|i| -NEAR <= q[i] && q[i] <= size[i] + NEAR)).collect()
    }

    /// What a cut takes from the blank, mm³.
    fn volume(&self, cut: &Cut) -> f64 {
        cut.outline.area() * cut.depth.min(self.part.size[cut.from.axis.index()]).mm()
    }
}

/// A cut in the part's frame: its bounds, and its outline with arcs in short chords.
struct Plan<'a> {
    cut: &'a Cut,
    bounds: case::Box3,
    outline: Vec<[f64; 2]>,
}

impl<'a> Plan<'a> {
    /// Chords lie no farther from their arcs, mm.
    const CHORD: f64 = 1e-4;

    fn of(cut: &'a Cut, part: &Part) -> Self {
        Self { cut, bounds: cut.bounds(part.size), outline: cut.outline.flattened(Self::CHORD) }
    }

    /// Whether corners lie in the cut.
    fn hold(&self, corners: &[[f64; 3]]) -> bool {
        let case::Box3 { min, max } = &self.bounds;
        let in_bounds = |q: &[f64; 3]| (0..3).all(|i| min[i].mm() - NEAR <= q[i] && q[i] <= max[i].mm() + NEAR);
        let (u, v) = self.cut.from.axis.others();
        !corners.is_empty()
            && corners.iter().all(in_bounds)
            && corners.iter().all(|q| holds(&self.outline, [q[u.index()], q[v.index()]]))
    }
}

/// Whether a point lies in an outline or on it, by turning once round it.
fn holds(outline: &[[f64; 2]], p: [f64; 2]) -> bool {
    let mut inside = false;
    let ends = outline.iter().skip(1).chain(outline.first());
    for (a, b) in outline.iter().zip(ends) {
        let d = [b[0] - a[0], b[1] - a[1]];
        let square = d[0] * d[0] + d[1] * d[1];
        let t = if square > 0.0 { ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / square } else { 0.0 };
        let t = t.clamp(0.0, 1.0);
        if libm::hypot(p[0] - a[0] - t * d[0], p[1] - a[1] - t * d[1]) < 2.0 * Plan::CHORD {
            return true;
        }
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / d[1] * d[0] {
            inside = !inside;
        }
    }
    inside
}

/// Of a prism's outline, mm²; arcs are exact.
fn area(p: &Prism) -> f64 {
    let n = p.outline.len();
    let sides = (0..n).map(|i| (&p.outline[i], &p.outline[(i + 1) % n]));
    let part = |(a, b): (&proof::Vertex, &proof::Vertex)| {
        let trapezoid = (a.x * b.y - b.x * a.y) / 2.0;
        if a.bulge == 0.0 {
            return trapezoid;
        }
        let sweep = 4.0 * libm::atan(a.bulge);
        let chord = libm::hypot(b.x - a.x, b.y - a.y);
        let r = chord / 2.0 / libm::sin(sweep / 2.0).abs();
        trapezoid + r * r / 2.0 * (sweep - libm::sin(sweep))
    };
    sides.map(part).sum::<f64>().abs()
}

#[cfg(test)]
mod tests {
    use super::*;
    use design::{Job, builtin};
    use fault::Source;
    use measure::mm;
    use routing::{Machine, ToolTable, route};

    fn routed(design: &str) -> (Case, Vec<(Program, Claim)>) {
        let order = Source::new("order.toml", format!("design = \"{design}\"\n"));
        let shelves = builtin::DESIGNS.iter().find(|(name, _)| *name == "open-shelves").unwrap().1;
        // Rails with a curve so high that its waste is sawn free and held by bridges.
        let high = shelves
            .replace("least = \"0 in\"\nmost = \"2 in\"", "")
            .replace("default = \"1 1/4 in\"", "default = \"3 1/4 in\"")
            .replace("front_bottom_rail = \"3 1/2 in\"", "front_bottom_rail = \"6 in\"");
        let (_, resolved) =
            Job::read(&order, &[], |_| Ok(Source::new("high.toml", high.clone()))).unwrap_or_else(|f| panic!("{f}"));
        let case = case::build(&resolved);
        let programs = route(&case, &Machine::default(), &ToolTable::default()).programs;
        let with_claim = |p: Program| {
            let claim = serde_json::to_value(&p.claim).and_then(serde_json::from_value).unwrap();
            (p, claim)
        };
        (case, programs.into_iter().map(with_claim).collect())
    }

    /// What is wrong, and how it comes about.
    type Change<'a> = (&'static str, &'a dyn Fn(&mut Claim));

    #[test]
    fn every_claim_is_what_its_part_asks_for() {
        for design in builtin::DESIGNS.iter().map(|(name, _)| *name).chain(["high.toml"]) {
            let (case, programs) = routed(design);
            assert_eq!(programs.iter().any(|(_, c)| !c.tabs.is_empty()), design == "high.toml");
            for (program, claim) in &programs {
                let wrong = against_parts(&case, program, claim);
                assert!(wrong.is_empty(), "{design} {}: {wrong:?}", program.file);
            }
        }
    }

    #[test]
    fn a_claim_that_is_off_is_found_out() {
        let (case, programs) = routed("low-cupboard");
        let mut tried = 0;
        for (program, good) in programs.iter().step_by(5) {
            let whole = good.stock.max[0];
            let length = |claim: &mut Claim, to: &dyn Fn(f64) -> f64| {
                claim.cuts.iter_mut().flat_map(|c| &mut c.prism.outline).for_each(|v| v.x = to(v.x));
            };
            let changes: [Change<'_>; 6] = [
                ("moved", &|c| length(c, &|x| x + 0.001)),
                ("deeper", &|c| c.cuts.iter_mut().for_each(|c| c.prism.z_bottom -= 0.001)),
                ("shallower", &|c| c.cuts.iter_mut().for_each(|c| c.prism.z_bottom += 0.001)),
                ("left out", &|c| drop(c.cuts.pop())),
                ("another stock", &|c| c.stock.max[0] = whole + 0.001),
                ("free to run", &|c| {
                    let prism = Prism::block(&proof::Box3::new([0.0, whole], [0.0, 1.0], [-1.0, 0.0]));
                    c.elsewhere.push(proof::Other { prism, relieves: false });
                }),
            ];
            for (what, change) in changes {
                let mut claim = good.clone();
                change(&mut claim);
                assert!(!against_parts(&case, program, &claim).is_empty(), "{} {what}", program.file);
                tried += 1;
            }
        }
        assert!(tried > 40);
    }

    #[test]
    fn a_like_that_is_cut_otherwise_has_no_use_for_the_program() {
        let (mut case, programs) = routed("low-cupboard");
        let (program, claim) = programs.iter().find(|(p, _)| p.parts.len() > 1).unwrap();
        let like = program.parts[1];
        let part = case.parts.iter_mut().find(|p| p.id == like).unwrap();
        part.cuts[0].depth += mm(1);
        let wrong = against_parts(&case, program, claim);
        assert!(wrong[0].starts_with(&format!("{like}.1 is not cut like")), "{wrong:?}");
        let part = case.parts.iter_mut().find(|p| p.id == like).unwrap();
        part.size[0] += mm(1);
        assert!(against_parts(&case, program, claim)[0].contains("is not as large as"));
    }
}
