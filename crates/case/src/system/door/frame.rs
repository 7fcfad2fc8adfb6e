//! A door's frame: stiles, rails, their tenons, and the rabbets or grooves along their inner edges.

use measure::Length;

use super::{DoorFrame, Leaf};
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{MortiseAndTenon, Rabbet, mortise_and_tenon, rabbet};
use crate::part::{PartId, Role};
use crate::system::post_and_rail::{Plan, shaped_edge};

/// A rail of a door: its edges, and the field above and below it.
struct Place {
    name: &'static str,
    z: [Length; 2],
    above: Option<usize>,
    below: Option<usize>,
}

/// Makes the frame of one door.
pub(super) fn frame(b: &mut Builder, p: &Plan<'_>, leaf: &Leaf<'_>) -> DoorFrame {
    let stiles = [(0, "left"), (1, "right")].map(|(i, name)| {
        let x = if i == 0 { [leaf.x[0], leaf.inner[0]] } else { [leaf.inner[1], leaf.x[1]] };
        let stock = Stock::of(format!("{}, {name} stile", leaf.assembly), Role::Stile, leaf.assembly, leaf.wood);
        b.part(stock, Box3::new(x, leaf.y, leaf.z), Dir::PZ, Dir::NY)
    });
    if leaf.rabbeted() {
        for (i, stile) in stiles.into_iter().enumerate() {
            let wall = leaf.spec.rabbet_width;
            let x = if i == 0 { [leaf.inner[0] - wall, leaf.inner[0]] } else { [leaf.inner[1], leaf.inner[1] + wall] };
            let region = b.at(stile).with(Axis::X, x).with(Axis::Y, [leaf.lip, leaf.y[1]]);
            rabbet(b, &Rabbet { frame: stile, board: None, from: Dir::PY, region, room: leaf.spec.glass.room });
        }
    }
    let rails = places(leaf).into_iter().map(|place| rail(b, p, leaf, stiles, &place)).collect();
    DoorFrame { stiles, rails }
}

fn places(leaf: &Leaf<'_>) -> Vec<Place> {
    let n = leaf.fields.len();
    let mut out = vec![Place {
        name: "top rail",
        z: [leaf.z[1] - leaf.spec.top_rail, leaf.z[1]],
        above: None,
        below: (n > 0).then_some(0),
    }];
    for i in 1..n {
        let z = [leaf.fields[i][1], leaf.fields[i - 1][0]];
        out.push(Place { name: "mid rail", z, above: Some(i - 1), below: Some(i) });
    }
    let z = [leaf.z[0], leaf.z[0] + leaf.spec.bottom_rail];
    out.push(Place { name: "bottom rail", z, above: n.checked_sub(1), below: None });
    out
}

fn rail(b: &mut Builder, p: &Plan<'_>, leaf: &Leaf<'_>, stiles: [PartId; 2], place: &Place) -> PartId {
    let t = &leaf.spec.tenon;
    let x = [leaf.inner[0] - t.length, leaf.inner[1] + t.length];
    let stock = Stock::of(format!("{}, {}", leaf.assembly, place.name), Role::DoorRail, leaf.assembly, leaf.wood);
    let id = b.part(stock, Box3::new(x, leaf.y, place.z), Dir::PX, Dir::NY);
    let shoulder = |field: Option<usize>| if field.is_some() { leaf.lap.max(t.edge_shoulder) } else { t.edge_shoulder };
    let tenon_z = [place.z[0] + shoulder(place.below), place.z[1] - shoulder(place.above)];
    let cheeks = leaf.cheeks();
    let outer = match (place.above, place.below) {
        (None, _) => Some(Dir::PZ),
        (_, None) => Some(Dir::NZ),
        _ => None,
    };
    let haunch = outer.filter(|_| leaf.haunched()).map(|d| (d, leaf.lap));
    for (i, stile) in stiles.into_iter().enumerate() {
        let (into, reach) = if i == 0 { (Dir::NX, [x[0], leaf.inner[0]]) } else { (Dir::PX, [leaf.inner[1], x[1]]) };
        mortise_and_tenon(
            b,
            &MortiseAndTenon {
                post: stile,
                rail: id,
                into,
                front: Dir::NY,
                tenon: Box3::new(reach, cheeks, tenon_z),
                back_longer: leaf.back_longer(),
                lip: leaf.lip - leaf.y[0],
                haunch,
                glue_room: t.glue_room,
                cheek_room: t.cheek_room,
                edge_room: p.edge_room(t, leaf.wood, tenon_z[1] - tenon_z[0]),
                mitre: None,
            },
        );
    }
    if leaf.rabbeted() {
        rabbets(b, leaf, id, place, x, tenon_z);
    }
    if let Some(arch) = place.below.and_then(|i| leaf.spec.field[i].arch.as_ref()) {
        shaped_edge(b, id, arch, Axis::X, leaf.inner, place.z[0], Dir::NY);
    }
    id
}

/// Rabbets along a rail's inner edges. Under an arch the rabbet is deeper by the rise, so that a rectangular pane
/// covers the opening; it then stops at the stiles' rabbets, where the tenons begin to be needed.
fn rabbets(b: &mut Builder, leaf: &Leaf<'_>, id: PartId, place: &Place, x: [Length; 2], tenon_z: [Length; 2]) {
    let wall = leaf.spec.rabbet_width;
    let stopped = [leaf.inner[0] - wall, leaf.inner[1] + wall];
    let mut along = |z: [Length; 2], clear_of_tenon: bool| {
        let x = if clear_of_tenon { x } else { stopped };
        let region = Box3::new(x, [leaf.lip, leaf.y[1]], z);
        rabbet(b, &Rabbet { frame: id, board: None, from: Dir::PY, region, room: leaf.spec.glass.room });
    };
    if let Some(field) = place.below {
        let top = place.z[0] + leaf.rise(field) + wall;
        along([place.z[0], top], top <= tenon_z[0]);
    }
    if place.above.is_some() {
        let low = place.z[1] - wall;
        along([low, place.z[1]], low >= tenon_z[1]);
    }
}
