//! Whether the claim of a program that cuts parts out of a sheet is what the parts ask for, where each of them lies.
//!
//! Beside every border of a part two points are looked at, one in the part and one outside it: the first may be in
//! nothing that the claim takes, the second must be in something that it does. A border is where the part's blank ends
//! and where a cut that is made goes through.

use case::{Case, Cut, Outline, Vertex};
use measure::Length;
use proof::{Claim, Prism};
use routing::Program;

use super::{Frame, NEAR, Plan, area, holds};

/// How far beside a border one looks, mm: no claim may be off by more.
const BESIDE: f64 = 1e-3;

/// From one place on a border to the next, mm.
const STEP: f64 = 5.0;

pub(super) fn against_sheet(case: &Case, program: &Program, claim: &Claim) -> Vec<String> {
    let mut out = Vec::new();
    let frames: Vec<Frame> = program
        .placed
        .iter()
        .map(|p| Frame { part: case.part(p.part), setup: &p.setup, at: p.at.map(Length::mm) })
        .collect();
    let ids: Vec<_> = program.placed.iter().map(|p| p.part).collect();
    if ids != program.parts || (1..ids.len()).any(|i| ids[..i].contains(&ids[i])) {
        out.push("the parts that it places are not those that it makes".into());
    }
    let size = program.setup.size.map(Length::mm);
    let is_blank = (0..3).all(|i| {
        let [low, high] = if i == 2 { [-size[2], 0.0] } else { [0.0, size[i]] };
        (claim.stock.min[i] - low).abs() < NEAR && (claim.stock.max[i] - high).abs() < NEAR
    });
    if !is_blank {
        out.push("its stock is not the blank".into());
    }
    let mut known: Vec<String> = Vec::new();
    for (frame, placed) in frames.iter().zip(&program.placed) {
        let id = placed.part;
        let [x, y] = frame.at;
        let [long, wide, high] = placed.setup.size.map(Length::mm);
        let (min, max) = ([x, y, claim.stock.min[2]], [x + long, y + wide, 0.0]);
        if !frame.is_sound(min, max) || (claim.stock.min[2] + high).abs() > NEAR {
            out.push(format!("{id} does not lie as its place says"));
            continue;
        }
        if x < -NEAR || y < -NEAR || max[0] > size[0] + NEAR || max[1] > size[1] + NEAR {
            out.push(format!("{id} lies beside the blank"));
        }
        let outline = format!("{id}.outline");
        let is_cut_out = program.cuts.contains(&outline);
        out.extend(frame.cuts(program, claim));
        out.extend(frame.border(program, claim, is_cut_out));
        known.extend((0..frame.part.cuts.len()).map(|i| frame.part.cut_id(i)));
        known.push(outline);
    }
    let outlines = program.placed.iter().filter(|p| program.cuts.contains(&format!("{}.outline", p.part))).count();
    if outlines != 0 && outlines != program.placed.len() {
        out.push("it cuts out some of its parts and not others".into());
    }
    if let Some(c) = claim.cuts.iter().find(|c| c.frees != c.id.ends_with(".outline")) {
        out.push(format!("{} is claimed to free a part, or not to, as is not so", c.id));
    }
    let strange = claim.cuts.iter().find(|c| !known.contains(&c.id) || !program.cuts.contains(&c.id));
    out.extend(strange.map(|c| format!("{} is claimed and not among the program's cuts", c.id)));
    let taken = claim.cuts.iter().map(|c| &c.prism).chain(claim.elsewhere.iter().map(|o| &o.prism));
    for p in taken {
        if let Some(frame) = frames.iter().find(|f| f.is_entered(p)) {
            out.push(format!("{} is entered from Z{} to Z{}", frame.part.id, p.z_top, p.z_bottom));
        }
    }
    out
}

impl Frame<'_> {
    /// Cuts that are claimed otherwise than the part has them.
    fn cuts(&self, program: &Program, claim: &Claim) -> Vec<String> {
        let mut out = Vec::new();
        for (index, cut) in self.part.cuts.iter().enumerate() {
            let (id, plan) = (self.part.cut_id(index), Plan::of(cut, self.part));
            let prisms: Vec<&Prism> = claim.cuts.iter().filter(|c| c.id == id).map(|c| &c.prism).collect();
            if prisms.iter().any(|p| !plan.hold(&self.corners(p))) {
                out.push(format!("{id} is claimed where the part has no such cut"));
            }
            let volume: f64 = prisms.iter().map(|p| area(p) * (p.z_top - p.z_bottom)).sum();
            let sawn = claim.elsewhere.iter().any(|o| plan.hold(&self.corners(&o.prism)));
            // What opens on the outline is cut with it.
            let with_outline = prisms.is_empty() && self.part.is_through(cut) && self.is_open(cut);
            if program.cuts.contains(&id) && !sawn && !with_outline && (volume - self.volume(cut)).abs() > 1e-3 {
                out.push(format!("{id} is claimed to {volume:.3} mm³, the part asks for {:.3} mm³", self.volume(cut)));
            }
        }
        out
    }

    /// Places on the part's border where the claim takes some of it, or leaves what is beside it.
    fn border(&self, program: &Program, claim: &Claim, is_cut_out: bool) -> Vec<String> {
        let bottom = claim.stock.min[2] + BESIDE;
        let here = |p: &&Prism| p.z_bottom < bottom && bottom < p.z_top;
        let id = self.part.id;
        let taken = claim.cuts.iter().map(|c| &c.prism).filter(here);
        let open = claim.elsewhere.iter().map(|o| &o.prism).filter(here);
        let [taken, open] = [taken.map(flat).collect::<Vec<_>>(), open.map(flat).collect()];
        let bridges: Vec<Flat> = claim.tabs.iter().map(flat).collect();
        let goes =
            |i: &usize| self.part.is_through(&self.part.cuts[*i]) && program.cuts.contains(&self.part.cut_id(*i));
        let gone: Vec<&Cut> = (0..self.part.cuts.len()).filter(goes).map(|i| &self.part.cuts[i]).collect();
        let (with_outline, inner): (Vec<&Cut>, Vec<&Cut>) = gone.into_iter().partition(|c| self.is_open(c));
        let [with_outline, inner] =
            [with_outline, inner].map(|cuts| cuts.into_iter().map(|c| Flat::of(self.on_sheet(c))).collect::<Vec<_>>());
        let is_in = |all: &[Flat], p: [f64; 2]| all.iter().any(|o| o.holds(p));
        let solid = |p: [f64; 2]| self.is_over_blank(p) && !is_in(&with_outline, p) && !is_in(&inner, p);
        for [p, n] in self.places(with_outline.iter().chain(&inner)) {
            let at = |k: f64| [p[0] + k * n[0], p[1] + k * n[1]];
            let [one, other] = [at(BESIDE), at(-BESIDE)];
            let (part, beside) = match [solid(one), solid(other)] {
                [true, false] => (one, other),
                [false, true] => (other, one),
                _ => continue,
            };
            if is_in(&taken, part) || is_in(&open, part) {
                return vec![format!("{id} is cut into at X{:.3} Y{:.3}", p[0], p[1])];
            }
            let is_asked = is_cut_out || is_in(&inner, beside);
            if is_asked && !is_in(&bridges, beside) && !is_in(&taken, beside) {
                return vec![format!("{id} is not cut free at X{:.3} Y{:.3}", p[0], p[1])];
            }
        }
        Vec::new()
    }

    /// Places all along the blank's edges and the sides of cuts that go through, and the directions across.
    fn places<'f>(&self, gone: impl Iterator<Item = &'f Flat>) -> Vec<[[f64; 2]; 2]> {
        let [x, y] = self.at;
        let [long, wide, _] = self.setup.size.map(Length::mm);
        let blank = [[x, y], [x + long, y], [x + long, y + wide], [x, y + wide]].map(|[u, v]| vertex(u, v, 0.0));
        let all = std::iter::once(Outline(blank.to_vec())).chain(gone.map(|f| f.outline.clone()));
        let mut out = Vec::new();
        for outline in all {
            for side in outline.segments() {
                let length = libm::hypot(side.to[0] - side.from[0], side.to[1] - side.from[1]);
                let n = (length * (1.0 + side.bulge.abs()) / STEP).ceil().max(2.0);
                let mut k = 0.5;
                while k < n {
                    let [a, p, b] = [k - 0.25, k, k + 0.25].map(|k| side.at(k / n));
                    let t = [b[0] - a[0], b[1] - a[1]];
                    let l = libm::hypot(t[0], t[1]).max(1e-12);
                    out.push([p, [-t[1] / l, t[0] / l]]);
                    k += 1.0;
                }
            }
        }
        out
    }

    /// A cut's outline from above, on the sheet.
    fn on_sheet(&self, cut: &Cut) -> Outline {
        // From the side it is the rectangle that it takes.
        let outline = if cut.from.axis == case::Axis::Z {
            cut.outline.clone()
        } else {
            let b = cut.bounds(self.part.size);
            Outline::rectangle(b.along(case::Axis::X), b.along(case::Axis::Y))
        };
        let (sx, sy) = (self.setup.x_axis, self.setup.y_axis);
        let turn = |v: &Vertex| {
            let p = [v.u, v.v].map(Length::mm);
            let along = |d: case::Dir| {
                let i = d.axis.index();
                (p[i] - self.setup.origin[i].mm()) * if d.positive { 1.0 } else { -1.0 }
            };
            vertex(along(sx) + self.at[0], along(sy) + self.at[1], v.bulge)
        };
        // Seen from below what turned left turns right, so the way round is kept by going backwards.
        if self.setup.up.positive {
            return Outline(outline.0.iter().map(turn).collect());
        }
        let n = outline.0.len();
        let back = (0..n).rev().map(|i| Vertex { bulge: outline.0[(i + n - 1) % n].bulge, ..turn(&outline.0[i]) });
        Outline(back.collect())
    }

    /// Whether a cut reaches the edge of the blank.
    fn is_open(&self, cut: &Cut) -> bool {
        let b = cut.bounds(self.part.size);
        (0..2).any(|i| b.min[i] <= Length::ZERO || b.max[i] >= self.part.size[i])
    }

    fn is_over_blank(&self, p: [f64; 2]) -> bool {
        let size = self.setup.size.map(Length::mm);
        (0..2).all(|i| self.at[i] < p[i] && p[i] < self.at[i] + size[i])
    }

    /// Whether a prism has a corner in the part's wood where no cut takes it.
    fn is_entered(&self, p: &Prism) -> bool {
        let size = self.part.size.map(Length::mm);
        let deep = |q: &[f64; 3]| (0..2).all(|i| BESIDE < q[i] && q[i] < size[i] - BESIDE);
        let corners: Vec<[f64; 3]> = self.corners(p).into_iter().filter(deep).collect();
        let plans: Vec<Plan<'_>> = self.part.cuts.iter().map(|cut| Plan::of(cut, self.part)).collect();
        corners.iter().any(|q| !plans.iter().any(|plan| plan.hold(&[*q])))
    }
}

fn vertex(u: f64, v: f64, bulge: f64) -> Vertex {
    Vertex { u: Length::from_mm(u), v: Length::from_mm(v), bulge }
}

/// An outline on the sheet, to the nanometre, and the least rectangle that holds it.
struct Flat {
    outline: Outline,
    /// Its arcs in short chords.
    chords: Vec<[f64; 2]>,
    bounds: [[f64; 2]; 2],
}

impl Flat {
    fn of(outline: Outline) -> Self {
        let bounds = outline.bounds().map(|range| range.map(Length::mm));
        Self { chords: outline.flattened(Plan::CHORD), outline, bounds }
    }

    /// Whether a point lies in it, whichever way it goes round.
    fn holds(&self, p: [f64; 2]) -> bool {
        let near = |i: usize| self.bounds[i][0] - BESIDE < p[i] && p[i] < self.bounds[i][1] + BESIDE;
        near(0) && near(1) && holds(&self.chords, p)
    }
}

fn flat(p: &Prism) -> Flat {
    Flat::of(Outline(p.outline.iter().map(|v| vertex(v.x, v.y, v.bulge)).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nest::{nested as nest_of, routed};
    use design::{Job, builtin};
    use fault::Source;
    use routing::{Controller, Machine, ToolTable, nest};

    /// A case whose shelves and bottom are of plywood, notched round the posts, and all that is cut out of sheets for it.
    fn nested(machine: &Machine) -> (Case, Vec<(Program, Claim)>) {
        let order = Source::new("order.toml", "design = \"own.toml\"\n");
        let text = builtin::DESIGNS.iter().find(|(name, _)| *name == "glazed-case").unwrap().1;
        let text = text
            .replace("[shelves]\n", "[shelves]\nwood = \"birch plywood\"\n")
            .replace("[bottom]\n", "[bottom]\nwood = \"birch plywood\"\n");
        let (_, resolved) =
            Job::read(&order, &[], |_| Ok(Source::new("own.toml", text.clone()))).unwrap_or_else(|f| panic!("{f}"));
        let case = case::build(&resolved);
        let tools = ToolTable::default();
        let around = |thickness| nest::around(machine, &tools, case.order.unit, thickness);
        let plan = yard::plan(&case, None, &around, &yard::limits());
        let nest = nest_of(&case, &plan, machine, &tools);
        let programs = routed(&case, &nest, machine, &tools).programs.into_iter().filter(|p| !p.placed.is_empty());
        let with_claim = |p: Program| {
            let claim = serde_json::to_value(&p.claim).and_then(serde_json::from_value).unwrap();
            (p, claim)
        };
        let programs = programs.map(with_claim).collect();
        (case, programs)
    }

    fn machines() -> [Machine; 2] {
        let plain = Machine::default();
        let controller = Controller { tool_change: true, length_offset: true, ..plain.controller };
        [plain.clone(), Machine { controller, ..plain }]
    }

    #[test]
    fn every_claim_is_what_the_parts_ask_for_where_they_lie() {
        for machine in machines() {
            let (case, programs) = nested(&machine);
            let cut_out: usize = programs.iter().map(|(p, _)| p.placed.len()).sum();
            let of_sheet = case.parts.iter().filter(|p| p.material.form == case::Form::Sheet).count();
            assert!(of_sheet > 4 && cut_out == of_sheet, "{cut_out} of {of_sheet}");
            for (program, claim) in &programs {
                let wrong = against_sheet(&case, program, claim);
                assert!(wrong.is_empty(), "{}: {wrong:?}", program.file);
                let report = proof::prove(&program.text, claim);
                assert!(report.is_proven(), "{}: {report}", program.file);
            }
        }
    }

    #[test]
    fn a_claim_that_is_off_is_found_out() {
        type Change<'a> = (&'static str, &'a dyn Fn(&mut Program, &mut Claim));
        let (case, programs) = nested(&Machine::default());
        let outline = |c: &Claim| c.cuts.iter().position(|c| c.id.ends_with("outline")).unwrap();
        let all = |c: &mut Claim, by: f64| c.cuts.iter_mut().flat_map(|c| &mut c.prism.outline).for_each(|v| v.x += by);
        let changes: [Change<'_>; 11] = [
            ("moved a little", &|_, c| all(c, 0.002)),
            ("moved", &|_, c| all(c, -0.5)),
            ("a side left out", &|_, c| drop(c.cuts.remove(outline(c)))),
            ("an outline left out", &|p, c| {
                let id = format!("{}.outline", p.parts[0]);
                c.cuts.retain(|cut| cut.id != id);
            }),
            ("a part elsewhere", &|p, _| p.placed[0].at[0] += Length::from_mm(1.0)),
            ("a part beside the sheet", &|p, _| p.placed[0].at[1] -= Length::from_mm(2000.0)),
            ("another sheet", &|_, c| c.stock.max[0] += 1.0),
            ("thinner", &|_, c| c.stock.min[2] += 0.5),
            ("free to run into a part", &|p, c| {
                let [low, high] = p.placed[0].corners().map(|q| q.map(Length::mm));
                let box3 = proof::Box3::new([low[0] + 9.0, high[0]], [low[1], high[1] - 9.0], [c.stock.min[2], 0.0]);
                c.elsewhere.push(proof::Other { prism: Prism::block(&box3), relieves: false });
            }),
            ("cut out before the rest", &|_, c| c.cuts.iter_mut().for_each(|cut| cut.frees = false)),
            ("a stranger", &|_, c| {
                let mut cut = c.cuts[0].clone();
                cut.id = "P99.outline".into();
                c.cuts.push(cut);
            }),
        ];
        let mut tried = 0;
        for (program, claim) in programs.iter().filter(|(p, _)| p.cuts.iter().any(|c| c.ends_with("outline"))) {
            for (what, change) in &changes {
                let (mut program, mut claim) = (program.clone(), claim.clone());
                change(&mut program, &mut claim);
                assert!(!against_sheet(&case, &program, &claim).is_empty(), "{} {what}", program.file);
                tried += 1;
            }
        }
        assert!(tried >= 2 * changes.len());
    }
}
