//! Placed parts as solids: a box in the case frame less the prisms that its cuts and worked edges take away.
//!
//! Exact: boxes to the nanometre, arcs as arcs. A worked edge is a prism too, along its arris; the bevels of a raised
//! panel are four such prisms that meet in a mitre.

use case::{Axis, Box3, Case, Dir, Edge, Outline, Part, PartId, Placement, Profile, Vertex};
use measure::Length;

use crate::region::Region;

/// What a solid is the solid of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Body {
    /// A part of wood.
    Part(PartId),
    /// A pane, by its index in the case.
    Pane(usize),
}

/// A prism taken out of a solid, in the case frame.
#[derive(Clone, Debug)]
pub struct Removal {
    /// The axis along which it runs.
    pub(crate) axis: Axis,
    /// The least box that holds it.
    pub(crate) bounds: Box3,
    /// Its section in the plane of the two other axes, and the same with these exchanged; nothing for a rectangle,
    /// which fills its bounds.
    pub(crate) section: Option<[Region; 2]>,
}

/// A part or a pane where it stands in the case.
#[derive(Clone, Debug)]
pub struct Solid {
    /// Whose it is.
    pub body: Body,
    /// The blank, in the case frame.
    pub blank: Box3,
    /// What is taken from it.
    pub removals: Vec<Removal>,
}

/// The solids of a case: its parts by number, then its panes.
pub fn solids(case: &Case) -> Vec<Solid> {
    let panes = case.panes.iter().enumerate().map(|(i, p)| {
        let glass = Box3 { min: [Length::ZERO; 3], max: p.size };
        Solid { body: Body::Pane(i), blank: p.placement.box_to_case(&glass), removals: Vec::new() }
    });
    case.parts.iter().map(Solid::of_part).chain(panes).collect()
}

impl Solid {
    /// A part where it stands.
    pub fn of_part(part: &Part) -> Self {
        let cuts = part.cuts.iter().map(|cut| {
            let reach = cut.bounds(part.size).along(cut.from.axis);
            Removal::placed(&part.placement, cut.from.axis, reach, &cut.outline)
        });
        let edges = part.edges.iter().map(|edge| worked(part, edge));
        Self { body: Body::Part(part.id), blank: part.case_box(), removals: cuts.chain(edges).collect() }
    }

    /// A plain block.
    pub(crate) const fn block(body: Body, blank: Box3) -> Self {
        Self { body, blank, removals: Vec::new() }
    }

    /// The solid moved.
    #[must_use]
    pub fn moved(&self, by: case::Point) -> Self {
        let shift = |b: &Box3| Box3 {
            min: std::array::from_fn(|i| b.min[i] + by[i]),
            max: std::array::from_fn(|i| b.max[i] + by[i]),
        };
        let removal = |r: &Removal| {
            let (u, v) = r.axis.others();
            let by = [by[u.index()].mm(), by[v.index()].mm()];
            let section = r.section.as_ref().map(|[s, t]| [s.moved(by), t.moved([by[1], by[0]])]);
            Removal { axis: r.axis, bounds: shift(&r.bounds), section }
        };
        Self { body: self.body, blank: shift(&self.blank), removals: self.removals.iter().map(removal).collect() }
    }
}

impl Removal {
    /// A prism along a part's axis, `reach` along it, with an outline in the part's two other axes.
    fn placed(placement: &Placement, axis: Axis, reach: [Length; 2], outline: &Outline) -> Self {
        let (u, v) = axis.others();
        let [bu, bv] = outline.bounds();
        let bounds = Box3 { min: [Length::ZERO; 3], max: [Length::ZERO; 3] };
        let bounds = placement.box_to_case(&bounds.with(axis, reach).with(u, bu).with(v, bv));
        let section = outline.as_rectangle().is_none().then(|| {
            let region = Region::new(&placement.outline_to_case(axis, outline));
            let turned = region.transposed();
            [region, turned]
        });
        Self { axis: placement.dir_to_case(Dir { axis, positive: true }).axis, bounds, section }
    }
}

/// What a worked edge takes away.
fn worked(part: &Part, edge: &Edge) -> Removal {
    let [first, second] = edge.faces;
    let axis = Axis::ALL.into_iter().find(|a| *a != first.axis && *a != second.axis).unwrap_or(Axis::X);
    let zero = Length::ZERO;
    let at = |s, t, bulge| Vertex { u: s, v: t, bulge };
    // (inward from the second face, inward from the first), counter-clockwise.
    let outline = match edge.profile {
        Profile::Round { radius } => {
            let quarter = -libm::tan(std::f64::consts::FRAC_PI_8);
            vec![at(zero, zero, 0.0), at(radius, zero, quarter), at(zero, radius, 0.0)]
        }
        Profile::Chamfer { width } => vec![at(zero, zero, 0.0), at(width, zero, 0.0), at(zero, width, 0.0)],
        Profile::Raise { width, tongue, depth, step } => {
            let mut line = vec![at(zero, zero, 0.0), at(width, zero, 0.0)];
            if step > zero {
                line.push(at(width, step, 0.0));
            }
            line.extend([at(tongue, depth, 0.0), at(zero, depth, 0.0)]);
            line
        }
    };
    let inward = |face: Dir, d: Length| if face.positive { part.size[face.axis.index()] - d } else { d };
    let swapped = second.axis > first.axis;
    let mirrored = (second.positive != first.positive) != swapped;
    let outline = Outline(outline).mapped(mirrored, |s, t| {
        let (s, t) = (inward(second, s), inward(first, t));
        if swapped { (t, s) } else { (s, t) }
    });
    Removal::placed(&part.placement, axis, [edge.from, edge.to], &outline)
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::{Material, Role};
    use measure::mm;

    fn board(edges: Vec<Edge>) -> Part {
        let at = Box3::new([mm(100), mm(400)], [mm(50), mm(70)], [mm(0), mm(90)]);
        let placement = Placement::filling(&at, Dir::PX, Dir::NY);
        let size = placement.box_to_part(&at).max;
        let material = Material::solid("oak");
        Part {
            id: PartId(1),
            name: "board".into(),
            role: Role::Rail,
            assembly: "case".into(),
            material,
            size,
            placement,
            cuts: Vec::new(),
            edges,
            same_as: None,
        }
    }

    /// An edge is worked at the arris that its two faces share, whichever way they look.
    #[test]
    fn every_worked_edge_lies_at_its_arris() {
        let size = board(Vec::new()).size;
        for a in Dir::ALL {
            for b in Dir::ALL.into_iter().filter(|b| b.axis != a.axis) {
                for profile in [
                    Profile::Round { radius: mm(4) },
                    Profile::Chamfer { width: mm(4) },
                    Profile::Raise { width: mm(9), tongue: mm(4), depth: mm(3), step: mm(1) },
                ] {
                    let along = Axis::ALL.into_iter().find(|x| *x != a.axis && *x != b.axis).unwrap();
                    let edge = Edge { faces: [a, b], profile, from: mm(0), to: size[along.index()] };
                    let part = board(vec![edge]);
                    let removal = &Solid::of_part(&part).removals[0];
                    let blank = part.case_box();
                    let (ca, cb) = (part.placement.dir_to_case(a), part.placement.dir_to_case(b));
                    for face in [ca, cb] {
                        let (cut, whole) = (removal.bounds.along(face.axis), blank.along(face.axis));
                        let side = usize::from(face.positive);
                        assert_eq!(cut[side], whole[side], "{a:?} {b:?} {profile:?}");
                    }
                    assert_eq!(removal.bounds.along(removal.axis), blank.along(removal.axis));
                    // The corner itself is taken, the middle of the blank is not.
                    let section = &removal.section.as_ref().unwrap()[0];
                    let (u, v) = removal.axis.others();
                    let near = |face: Dir, d: f64| {
                        let x = blank.along(face.axis)[usize::from(face.positive)].mm();
                        if face.positive { [x - d, x - d / 2.0] } else { [x + d / 2.0, x + d] }
                    };
                    let rect = |d: f64| {
                        let (p, q) = (near(ca, d), near(cb, d));
                        if ca.axis == u { [p, q] } else { [q, p] }
                    };
                    assert!(ca.axis == u || ca.axis == v);
                    assert_eq!(section.lie(rect(0.2)), crate::region::Lie::Over, "{a:?} {b:?} {profile:?}");
                    assert_eq!(section.lie(rect(9.5)), crate::region::Lie::Off, "{a:?} {b:?} {profile:?}");
                }
            }
        }
    }
}
