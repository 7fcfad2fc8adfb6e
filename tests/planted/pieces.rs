//! Faults planted in the parts of the solved designs: cuts, blanks, places, glass and fittings that are not what they
//! should be. The inspection or the dry fit stops the piece, and the finding names the part.

use case::inspect::inspect;
use case::{Axis, Case, Cut, Dir, JointKind, Level, Outline, Part, PartId, Placement, Purpose, Role};
use design::{Resolved, System, builtin};
use measure::Length;

use crate::fault::{Outcome, spread};
use crate::subject::resolved;

/// A piece with one thing wrong.
pub(crate) struct Planted {
    pub(crate) kind: &'static str,
    pub(crate) what: String,
    piece: usize,
    case: Case,
    /// Naming one of these parts is naming the place.
    parts: Vec<PartId>,
}

/// The designs with what shows every kind of joint.
pub(crate) struct Pieces(Vec<(Resolved, Case)>);

fn um(n: i64) -> Length {
    Length::from_nm(n * 1000)
}

impl Pieces {
    pub(crate) fn new() -> Self {
        let set = |design: &str| match design {
            "open-shelves" => vec!["pegs=true"],
            "low-cupboard" => vec!["end_panels=raised"],
            _ => vec![],
        };
        let solve = |(design, _): &(&str, &str)| {
            let resolved = resolved(design, &set(design));
            let case = case::build(&resolved);
            (resolved, case)
        };
        Self(builtin::DESIGNS.iter().map(solve).collect())
    }

    /// What stops a case of a piece.
    fn stops(&self, piece: usize, case: &Case) -> Vec<case::Finding> {
        let System::PostAndRail(spec) = &self.0[piece].0.system;
        let found = inspect(case, spec).into_iter().chain(dryfit::check(case));
        found.filter(|f| f.level == Level::Stop).collect()
    }

    pub(crate) fn are_good(&self) -> bool {
        (0..self.0.len()).all(|i| self.stops(i, &self.0[i].1).is_empty())
    }

    pub(crate) fn try_it(&self, p: &Planted) -> (Outcome, String) {
        let found = self.stops(p.piece, &p.case);
        let kind = |id: PartId| p.case.part(id).same_as.map_or(id, |s| s.part);
        let named = |f: &case::Finding| f.parts.iter().any(|id| p.parts.iter().any(|q| kind(*q) == kind(*id)));
        let outcome = match (found.is_empty(), found.iter().any(named)) {
            (_, true) => Outcome::Caught,
            (false, false) => Outcome::Misplaced,
            (true, _) => Outcome::Missed,
        };
        (outcome, found.iter().map(|f| format!("  {}: {} ({:?})\n", f.rule, f.what, f.parts)).collect())
    }

    /// Plants a fault in so many of the parts that will do, spread over all pieces; `change` says which other parts may
    /// be named, or nothing where it changes nothing.
    fn in_parts(
        &self,
        kind: &'static str,
        most: usize,
        will_do: impl Fn(&Part) -> bool,
        change: impl Fn(&mut Case, usize) -> Option<()>,
    ) -> Vec<Planted> {
        let sites = self.0.iter().enumerate().flat_map(|(piece, (_, case))| {
            let parts = case.parts.iter().enumerate().filter(|(_, p)| will_do(p));
            parts.map(move |(i, _)| (piece, i)).collect::<Vec<_>>()
        });
        let planted = spread(sites.collect(), most).into_iter().filter_map(|(piece, i)| {
            let mut case = self.0[piece].1.clone();
            change(&mut case, i)?;
            let part = &case.parts[i];
            let what = format!("{}: {} {}", case.order.title, part.id, part.name);
            Some(Planted { kind, what, piece, parts: vec![part.id], case })
        });
        planted.collect()
    }

    /// The same in cuts of a purpose.
    fn in_cuts(
        &self,
        kind: &'static str,
        most: usize,
        purposes: &[Purpose],
        change: impl Fn(&mut Part, usize) -> Option<()>,
    ) -> Vec<Planted> {
        let sites = self.0.iter().enumerate().flat_map(|(piece, (_, case))| {
            let cuts = case.parts.iter().enumerate().flat_map(|(i, p)| (0..p.cuts.len()).map(move |k| (i, k)));
            let cuts = cuts.filter(|(i, k)| purposes.contains(&case.parts[*i].cuts[*k].purpose));
            cuts.map(move |(i, k)| (piece, i, k)).collect::<Vec<_>>()
        });
        let planted = spread(sites.collect(), most).into_iter().filter_map(|(piece, i, k)| {
            let mut case = self.0[piece].1.clone();
            let joint = case.parts[i].cuts[k].joint;
            let part = &case.parts[i];
            let what =
                format!("{}: {} in {} {}", case.order.title, part.cuts[k].purpose.name(), part.cut_id(k), part.name);
            // The joint's other parts may be named as well.
            let mates = case.joints.iter().filter(|j| Some(j.id) == joint).flat_map(|j| j.parts.clone());
            let parts = std::iter::once(part.id).chain(mates).collect();
            change(&mut case.parts[i], k)?;
            Some(Planted { kind, what, piece, case, parts })
        });
        planted.collect()
    }

    pub(crate) fn planted(&self) -> Vec<Planted> {
        let mut out = self.cuts();
        out.extend(self.parts());
        out.extend(self.fittings());
        out
    }

    fn cuts(&self) -> Vec<Planted> {
        use Purpose as P;
        let deeper = |by: i64| {
            move |part: &mut Part, k: usize| {
                part.cuts[k].depth += um(by);
                Some(())
            }
        };
        let shifted = |along: bool, by: i64| {
            move |part: &mut Part, k: usize| {
                let by = um(by);
                let cut = &mut part.cuts[k];
                cut.outline = cut.outline.mapped(false, |u, v| if along { (u + by, v) } else { (u, v + by) });
                Some(())
            }
        };
        let drop = |part: &mut Part, k: usize| {
            part.cuts.remove(k);
            Some(())
        };
        let mut out = Vec::new();
        out.extend(self.in_cuts("mortise left out", 6, &[P::Mortise], drop));
        out.extend(self.in_cuts("mortise too shallow", 6, &[P::Mortise], deeper(-2000)));
        out.extend(self.in_cuts("mortise too deep", 6, &[P::Mortise], deeper(500)));
        out.extend(self.in_cuts("mortise shifted", 6, &[P::Mortise], shifted(true, 2500)));
        out.extend(self.in_cuts("mortise shifted across", 6, &[P::Mortise], shifted(false, 300)));
        out.extend(self.in_cuts("shoulder on the wrong face", 8, &[P::TenonCheek], |part, k| {
            let cut = &mut part.cuts[k];
            cut.from = cut.from.opposite();
            Some(())
        }));
        out.extend(self.in_cuts("tenon cheek left out", 6, &[P::TenonCheek], drop));
        out.extend(self.in_cuts("tenon too thick", 6, &[P::TenonCheek], deeper(-300)));
        // A haunch that is left on a tenon may lie in a groove and be in nobody's way.
        let edges = self.in_cuts("tenon edge left out", 8, &[P::TenonEdge], drop);
        out.extend(edges.into_iter().filter(|p| self.is_in_the_way(p)));
        out.extend(self.in_cuts("mitre of a tenon left out", 3, &[P::TenonMitre], drop));
        out.extend(self.in_cuts("groove too shallow for its panel", 8, &[P::Groove], deeper(-3000)));
        out.extend(self.in_cuts("groove left out", 6, &[P::Groove], drop));
        out.extend(self.in_cuts("groove shifted", 6, &[P::Groove], shifted(false, 700)));
        out.extend(self.in_cuts("rabbet left out", 8, &[P::Rabbet], drop));
        out.extend(self.in_cuts("housing left out", 3, &[P::Housing], drop));
        out.extend(self.in_cuts("housing shifted", 3, &[P::Housing], shifted(true, 1000)));
        out.extend(self.in_cuts("notch left out", 4, &[P::Notch], drop));
        out.extend(self.in_cuts("halving too shallow", 4, &[P::Halving], deeper(-1000)));
        out.extend(self.in_cuts("halving left out", 4, &[P::Halving], drop));
        out.extend(self.in_cuts("button's pocket left out", 4, &[P::ButtonPocket], drop));
        out.extend(self.in_cuts("button's tongue too thick", 4, &[P::ButtonTongue], deeper(-1500)));
        out.extend(self.in_cuts("peg's hole left out", 4, &[P::PegMortise], drop));
        out.extend(self.in_cuts("peg's hole shifted", 4, &[P::PegMortise], shifted(true, 500)));
        out.extend(self.in_cuts("hinge gain left out", 4, &[P::HingeGain], drop));
        out.extend(self.in_cuts("hinge gain shifted", 4, &[P::HingeGain], shifted(true, 3000)));
        out.extend(self.in_cuts("hinge gain too deep", 4, &[P::HingeGain], deeper(500)));
        out.extend(self.in_cuts(
            "hole for a knob or a catch left out",
            4,
            &[P::KnobHole, P::CatchHole, P::StrikeGain],
            drop,
        ));
        out.extend(self.in_cuts("screw hole left out", 4, &[P::ScrewHole], drop));
        out.extend(self.tenons());
        out
    }

    /// Whether what a dropped cut leaves standing lies in another part's wood, by points.
    fn is_in_the_way(&self, p: &Planted) -> bool {
        let before = self.0[p.piece].1.part(p.parts[0]);
        let after = p.case.part(p.parts[0]);
        let dropped = before.cuts.iter().find(|c| !after.cuts.contains(c));
        let Some(left) = dropped.map(|c| before.placement.box_to_case(&c.bounds(before.size))) else { return false };
        let inside = |b: &case::Box3, at: [Length; 3]| (0..3).all(|i| b.min[i] < at[i] && at[i] < b.max[i]);
        let wood = |o: &Part, at: [Length; 3]| {
            inside(&o.case_box(), at) && !o.cuts.iter().any(|c| inside(&o.placement.box_to_case(&c.bounds(o.size)), at))
        };
        let own = |at: [Length; 3]| wood(after, at);
        let others = |at: [Length; 3]| p.case.parts.iter().any(|o| o.id != after.id && wood(o, at));
        let steps = || (0..12).map(|i| 2 * i + 1);
        steps().any(|x| {
            steps().any(|y| {
                steps().any(|z| {
                    let k = [x, y, z];
                    let at = std::array::from_fn(|i| left.min[i] + (left.max[i] - left.min[i]) * k[i] / 24);
                    own(at) && others(at)
                })
            })
        })
    }

    /// Tenons made longer: blank and waste move out at one end.
    fn tenons(&self) -> Vec<Planted> {
        let has_tenon = |p: &Part| p.cuts.iter().any(|c| c.purpose == Purpose::TenonCheek);
        self.in_parts("tenon lengthened", 10, has_tenon, |case, i| {
            let by = um(3000);
            let part = &mut case.parts[i];
            let end = part.size[0];
            part.size[0] += by;
            for cut in part.cuts.iter_mut().filter(|c| c.from.axis != Axis::X) {
                cut.outline = cut.outline.mapped(false, |u, v| (if u == end { u + by } else { u }, v));
            }
            Some(())
        })
    }

    fn parts(&self) -> Vec<Planted> {
        let moved = |axis: Axis, by: i64| {
            move |case: &mut Case, i: usize| {
                case.parts[i].placement.origin[axis.index()] += um(by);
                Some(())
            }
        };
        let framing = |p: &Part| !matches!(p.role, Role::Peg | Role::Button);
        let mut out = Vec::new();
        for (kind, axis) in
            [("part moved along X", Axis::X), ("part moved along Y", Axis::Y), ("part moved along Z", Axis::Z)]
        {
            // Loose shelves and panels have room to move, and the doors' stop along its rail.
            let tight = |p: &Part| {
                framing(p)
                    && !matches!(p.role, Role::Shelf | Role::Panel | Role::Top | Role::Bottom | Role::Back | Role::Stop)
            };
            out.extend(self.in_parts(kind, 6, tight, moved(axis, 1000)));
        }
        let turned = |x: fn(Dir) -> Dir, z: fn(Dir) -> Dir| {
            move |case: &mut Case, i: usize| {
                let part = &mut case.parts[i];
                let before = seen(part);
                let [along, _, face] = part.placement.axes;
                part.placement = Placement::filling(&part.case_box(), x(along), z(face));
                (seen(part) != before).then_some(())
            }
        };
        out.extend(self.in_parts("part turned end for end", 12, framing, turned(Dir::opposite, |z| z)));
        out.extend(self.in_parts("part turned face about", 12, framing, turned(|x| x, Dir::opposite)));
        out.extend(self.in_parts("part mirrored", 12, framing, |case, i| {
            let part = &mut case.parts[i];
            let before = seen(part);
            let whole = part.size[0];
            for cut in &mut part.cuts {
                if cut.from.axis == Axis::X {
                    cut.from = cut.from.opposite();
                } else {
                    cut.outline = cut.outline.mapped(true, |u, v| (whole - u, v));
                }
            }
            (seen(part) != before).then_some(())
        }));
        let role = |role: Role| move |p: &Part| p.role == role;
        let wider = |axis: usize, by: i64| {
            move |case: &mut Case, i: usize| {
                case.parts[i].size[axis] += um(by);
                Some(())
            }
        };
        out.extend(self.in_parts("panel too wide", 4, role(Role::Panel), wider(1, 12_000)));
        out.extend(self.in_parts("panel too thick", 4, role(Role::Panel), wider(2, 1000)));
        out.extend(self.in_parts("panel too short", 3, role(Role::Panel), wider(0, -25_000)));
        out.extend(self.in_parts("shelf too long", 5, role(Role::Shelf), wider(0, 8000)));
        out.extend(self.in_parts(
            "rail too short",
            6,
            |p| matches!(p.role, Role::Rail | Role::DoorRail),
            wider(0, -1500),
        ));
        out.extend(self.in_parts("bead too thin", 4, role(Role::Bead), |case, i| {
            let (id, mut at) = (case.parts[i].id, case.parts[i].case_box());
            // On the side of what it holds.
            let home = case.joints.iter().find(|j| j.parts.last() == Some(&id))?.insertion?;
            let end = if home.positive { &mut at.max } else { &mut at.min };
            end[home.axis.index()] -= um(500) * home.sign();
            let part = &mut case.parts[i];
            part.placement = Placement::filling(&at, part.placement.axes[0], part.placement.axes[2]);
            part.size = part.placement.box_to_part(&at).max;
            Some(())
        }));
        out.extend(self.in_parts("post too long", 4, role(Role::Post), wider(0, 1000)));
        out
    }

    fn fittings(&self) -> Vec<Planted> {
        let mut out = Vec::new();
        let mut plant = |kind: &'static str,
                         most: usize,
                         sites: fn(&Case) -> usize,
                         change: &dyn Fn(&mut Case, usize) -> Option<Vec<PartId>>| {
            let all =
                self.0.iter().enumerate().flat_map(|(piece, (_, case))| (0..sites(case)).map(move |i| (piece, i)));
            for (piece, i) in spread(all.collect(), most) {
                let mut case = self.0[piece].1.clone();
                if let Some(parts) = change(&mut case, i) {
                    let what = format!("{}: number {i}", case.order.title);
                    out.push(Planted { kind, what, piece, case, parts });
                }
            }
        };
        let of_door = |case: &Case, assembly: &str| {
            case.parts.iter().filter(|p| p.assembly == assembly).map(|p| p.id).collect::<Vec<_>>()
        };
        let panes: fn(&Case) -> usize = |case| case.panes.len();
        for (kind, axis, by) in [("glass too wide", 0, 8000), ("glass too high", 1, 8000), ("glass too thick", 2, 800)]
        {
            plant(kind, 4, panes, &|case, i| {
                case.panes[i].size[axis] += um(by);
                Some(of_door(case, &case.panes[i].assembly.clone()))
            });
        }
        let fittings: fn(&Case) -> usize = |case| case.fittings.len();
        let one = |kind: &'static str| move |case: &Case, i: usize| case.fittings[i].kind == kind;
        for (kind, of, axis, by) in [
            ("shelf pin beside its hole", "shelf pin", 2, 2000),
            ("hinge pin out of line", "butt hinge", 1, 2000),
            ("knob beside its hole", "knob", 2, 6000),
            ("catch beside its hole", "bullet catch", 0, 6000),
            ("screw beside its hole", "wood screw", 0, 4000),
        ] {
            let is = one(of);
            plant(kind, 400, fittings, &|case, i| {
                if !is(case, i) || i % 4 != 0 && of != "knob" && of != "bullet catch" {
                    return None;
                }
                case.fittings[i].at[axis] += um(by);
                Some(case.fittings[i].parts.clone())
            });
        }
        plant("shelf pin missing", 400, fittings, &|case, i| {
            (one("shelf pin")(case, i) && i % 5 == 0).then(|| case.fittings.remove(i).parts)
        });
        let joints: fn(&Case) -> usize = |case| case.joints.len();
        plant("hole for a shelf pin left out", 400, joints, &|case, i| {
            let joint = (case.joints[i].kind == JointKind::Pins).then(|| case.joints[i].clone())?;
            let pin = case.fittings.iter().find(|f| f.kind == "shelf pin" && f.parts.last() == joint.parts.last())?;
            let (at, post) = (pin.at, pin.parts[0]);
            let post = case.parts.iter_mut().find(|p| p.id == post)?;
            let size = post.size;
            let place = post.placement;
            let over = |c: &Cut| {
                let b = place.box_to_case(&c.bounds(size));
                c.purpose == Purpose::PinHole && (0..3).all(|a| b.min[a] <= at[a] && at[a] <= b.max[a])
            };
            let k = post.cuts.iter().position(over)?;
            post.cuts.remove(k);
            Some(joint.parts)
        });
        out
    }
}

/// What a part is in the case frame: the bounds of its cuts, their sides and bulges, and its worked edges.
fn seen(part: &Part) -> Vec<String> {
    let cut = |c: &Cut| {
        let outline: Outline = part.placement.outline_to_case(c.from.axis, &c.outline);
        let mut corners: Vec<_> =
            outline.0.iter().map(|v| (v.u.nm(), v.v.nm(), (v.bulge.abs() * 1e6).round().to_bits())).collect();
        corners.sort_unstable();
        format!("{:?} {:?} {corners:?}", part.placement.dir_to_case(c.from), c.depth)
    };
    let edge = |e: &case::Edge| {
        let mut faces = e.faces.map(|f| part.placement.dir_to_case(f));
        if !matches!(e.profile, case::Profile::Raise { .. }) {
            faces.sort();
        }
        format!("{faces:?} {:?}", e.profile)
    };
    let mut out: Vec<String> = part.cuts.iter().map(cut).chain(part.edges.iter().map(edge)).collect();
    out.sort();
    out
}
