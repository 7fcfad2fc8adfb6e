//! Hinges, knob, catch, and the strip that the doors close against.

use design::spec::Doors;
use measure::{Length, inches};

use super::{DoorFrame, Leaf};
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Gain, hinge};
use crate::outline::Outline;
use crate::part::{PartId, Purpose, Role};
use crate::piece::JointKind;
use crate::system::post_and_rail::{Frame, Plan};

/// Fits one door.
pub(super) fn hardware(b: &mut Builder, p: &Plan<'_>, f: &Frame, leaf: &Leaf<'_>, frame: &DoorFrame) {
    hinges(b, p, f, leaf, frame);
    let closing = frame.stiles[usize::from(!leaf.hung.positive)];
    knob(b, p, leaf, closing);
    catch(b, p, f, leaf, frame);
}

fn hinges(b: &mut Builder, p: &Plan<'_>, f: &Frame, leaf: &Leaf<'_>, frame: &DoorFrame) {
    let spec = &leaf.spec.hinge;
    let side = usize::from(leaf.hung.positive);
    let [z0, z1] = leaf.z;
    let mut starts = vec![z0 + spec.from_end, z1 - spec.from_end - spec.length];
    if z1 - z0 >= spec.three_from {
        starts.insert(1, z0 + (z1 - z0 - spec.length).half());
    }
    for z in starts {
        hinge(
            b,
            &Gain {
                post: f.posts[side][0],
                stile: frame.stiles[side],
                towards: leaf.hung,
                pin: leaf.y[0] - spec.proud,
                leaf: [leaf.y[0], leaf.y[0] - spec.proud + spec.leaf],
                height: [z, z + spec.length],
                // Together the two gains take the knuckle's thickness less the gap.
                depth: (spec.knuckle - p.gap).half(),
                spec: format!(
                    "{} long, leaf {}, {} thick shut",
                    p.show(spec.length),
                    p.show(spec.leaf),
                    p.show(spec.knuckle)
                ),
            },
        );
    }
}

fn knob(b: &mut Builder, p: &Plan<'_>, leaf: &Leaf<'_>, stile: PartId) {
    let spec = &leaf.spec.knob;
    let [x0, x1] = b.at(stile).along(Axis::X);
    let height = (leaf.z[1] - leaf.z[0]) * i64::try_from(spec.height_percent).unwrap_or(50) / 100;
    let (x, z) =
        (x0 + (x1 - x0).half(), clear_of_mortises(b, stile, leaf.z[0] + height, spec.hole.half() + inches(1, 4)));
    let hole = Outline::circle([x, z], spec.hole);
    b.cut_prism(stile, Purpose::KnobHole, None, Dir::NY, &hole, leaf.y[1]);
    let spec = format!("for a {} hole through {}", p.show(spec.hole), p.show(leaf.spec.thickness));
    b.fitting("knob", spec, [x, leaf.y[0], z], &[stile]);
}

/// The height nearest to `ideal` at which a hole keeps `room` from every mortise of a stile.
fn clear_of_mortises(b: &Builder, stile: PartId, ideal: Length, room: Length) -> Length {
    let part = b.get(stile);
    let mortises: Vec<[Length; 2]> = part
        .cuts
        .iter()
        .filter(|c| c.purpose == Purpose::Mortise)
        .map(|c| part.placement.box_to_case(&c.bounds(part.size)).along(Axis::Z))
        .map(|[low, high]| [low - room, high + room])
        .collect();
    let clear = |z: Length| !mortises.iter().any(|[low, high]| *low < z && z < *high);
    let places = std::iter::once(ideal).chain(mortises.iter().flatten().copied());
    places.filter(|z| clear(*z)).min_by_key(|z| (*z - ideal).abs()).unwrap_or(ideal)
}

/// A bullet catch in the top rail's upper edge, near the closing stile, and its strike in the rail above.
fn catch(b: &mut Builder, p: &Plan<'_>, f: &Frame, leaf: &Leaf<'_>, frame: &DoorFrame) {
    let spec = &leaf.spec.catch;
    let from_shoulder = spec.strike_length;
    let x = if leaf.hung.positive { leaf.inner[0] + from_shoulder } else { leaf.inner[1] - from_shoulder };
    let y = leaf.y[0] + (leaf.y[1] - leaf.y[0]).half();
    let (door_rail, case_rail) = (frame.rails[0], f.front[1].id);
    let id = b.joint(JointKind::Face, &[case_rail, door_rail], &[("gap", p.gap)]);
    b.assembled(Dir::PY, true);
    b.cut_prism(
        door_rail,
        Purpose::CatchHole,
        Some(id),
        Dir::PZ,
        &Outline::circle([x, y], spec.hole),
        leaf.z[1] - spec.depth,
    );
    let about = |c: Length, size: Length| [c - size.half(), c - size.half() + size];
    let low = b.at(case_rail).along(Axis::Z)[0];
    let strike = Box3::new(about(x, spec.strike_length), about(y, spec.strike_width), [low, low + spec.strike_depth]);
    b.cut(case_rail, Purpose::StrikeGain, Some(id), Dir::NZ, strike);
    b.fitting(
        "bullet catch",
        format!("{} hole, with strike", p.show(spec.hole)),
        [x, y, leaf.z[1]],
        &[door_rail, case_rail],
    );
}

/// The strip behind the front top rail: it hangs below the rail's edge, and the doors close against it.
pub(super) fn stop(b: &mut Builder, p: &Plan<'_>, f: &Frame, spec: &Doors) {
    let (thick, below, above) = (inches(1, 2), inches(3, 8), inches(1, 2));
    let door_back = p.rail_face + spec.setback + spec.thickness;
    let rail_back = p.rail_back;
    let edge = p.opening[1];
    let x = [p.post + inches(1, 16), p.width - p.post - inches(1, 16)];
    let y = [door_back.min(rail_back), door_back.max(rail_back) + thick];
    let stock = Stock::of("door stop", Role::Stop, "case", &p.wood);
    let id = b.part(stock, Box3::new(x, y, [edge - below, edge + above]), Dir::PX, Dir::NY);
    let joint = b.joint(JointKind::Face, &[f.front[1].id, id], &[("face", Length::ZERO)]);
    b.assembled(Dir::NY, false);
    // Cut away where the rail or the door is in its way.
    if y[0] < rail_back {
        let region = Box3::new(x, [y[0], rail_back], [edge, edge + above]);
        b.cut(id, Purpose::Rabbet, Some(joint), Dir::NY, region);
    }
    if y[0] < door_back {
        let region = Box3::new(x, [y[0], door_back], [edge - below, edge]);
        b.cut(id, Purpose::Rabbet, Some(joint), Dir::NY, region);
    }
}
