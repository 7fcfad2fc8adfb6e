//! True divided lights: bars rabbeted on both sides, tenoned into the frame, halved over one another.

use measure::Length;

use super::glass::{self, Around};
use super::{DoorFrame, Leaf};
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{MortiseAndTenon, Rabbet, halving, mortise_and_tenon, rabbet};
use crate::part::{PartId, Role};

/// Makes the bars and glazes every light of a field.
pub(super) fn lights(b: &mut Builder, leaf: &Leaf<'_>, frame: &DoorFrame, field: usize) {
    let f = &leaf.spec.field[field];
    let (x, z) = leaf.sight(field);
    let columns = divided(x, f.columns, leaf.spec.muntin.width);
    let rows = divided(z, f.rows, leaf.spec.muntin.width);
    let (above, below) = (frame.rails[field], frame.rails[field + 1]);
    let uprights: Vec<PartId> =
        between(&columns).into_iter().map(|bar_x| bar(b, leaf, Axis::Z, bar_x, z, [below, above])).collect();
    let stem = leaf.spec.muntin.width - leaf.spec.rabbet_width * 2;
    let mut levels = Vec::new();
    for bar_z in between(&rows) {
        let level = bar(b, leaf, Axis::X, bar_z, x, frame.stiles);
        for &upright in &uprights {
            halving(b, upright, level, leaf.lip, stem);
        }
        levels.push(level);
    }
    // What bounds the lights, from left to right and from below upwards.
    let across: Vec<PartId> = std::iter::once(frame.stiles[0]).chain(uprights).chain([frame.stiles[1]]).collect();
    let up: Vec<PartId> = std::iter::once(below).chain(levels).chain([above]).collect();
    for (r, (z, level)) in rows.iter().zip(up.windows(2)).rev().enumerate() {
        for (c, (x, upright)) in columns.iter().zip(across.windows(2)).enumerate() {
            let name = if rows.len() * columns.len() == 1 {
                format!("{}, field {}", leaf.assembly, field + 1)
            } else {
                format!("{}, row {} from the top, light {} from the left", leaf.assembly, r + 1, c + 1)
            };
            let around = Around { left: upright[0], right: upright[1], below: level[0], above: level[1] };
            glass::pane(b, leaf, &name, *x, *z, &around);
        }
    }
}

/// Shares an opening out in `n` lights with bars of `bar` between them.
fn divided(opening: [Length; 2], n: usize, bar: Length) -> Vec<[Length; 2]> {
    let n = n.max(1);
    let bars = bar * i64::try_from(n - 1).unwrap_or(0);
    let mut at = opening[0];
    (opening[1] - opening[0] - bars)
        .shared(n)
        .into_iter()
        .map(|w| {
            let light = [at, at + w];
            at += w + bar;
            light
        })
        .collect()
}

/// What lies between each two lights.
fn between(lights: &[[Length; 2]]) -> Vec<[Length; 2]> {
    lights.windows(2).map(|w| [w[0][1], w[1][0]]).collect()
}

/// One bar along an axis from one frame member to another.
fn bar(
    b: &mut Builder,
    leaf: &Leaf<'_>,
    along: Axis,
    width: [Length; 2],
    sight: [Length; 2],
    frame: [PartId; 2],
) -> PartId {
    let m = &leaf.spec.muntin;
    let wall = leaf.spec.rabbet_width;
    let reach = wall + m.tenon;
    let (across, grain, name) =
        if along == Axis::Z { (Axis::X, Dir::PZ, "upright bar") } else { (Axis::Z, Dir::PX, "level bar") };
    let at = Box3::new(leaf.x, leaf.y, leaf.z).with(along, [sight[0] - reach, sight[1] + reach]).with(across, width);
    let stock = Stock::of(format!("{}, {name}", leaf.assembly), Role::Muntin, leaf.assembly, leaf.wood);
    let id = b.part(stock, at, grain, Dir::NY);
    let stem = [width[0] + wall, width[1] - wall];
    let back = [leaf.lip, leaf.y[1]];
    for edge in [[width[0], stem[0]], [stem[1], width[1]]] {
        let region = at.with(across, edge).with(Axis::Y, back);
        rabbet(b, &Rabbet { frame: id, board: None, from: Dir::PY, region, room: leaf.spec.glass.room });
    }
    for (i, post) in frame.into_iter().enumerate() {
        let into = Dir { axis: along, positive: i == 1 };
        let ends = if i == 0 { [sight[0] - reach, sight[0]] } else { [sight[1], sight[1] + reach] };
        let tenon = at.with(along, ends).with(across, stem).with(Axis::Y, [leaf.lip, leaf.y[1] - m.back_shoulder]);
        mortise_and_tenon(
            b,
            &MortiseAndTenon {
                post,
                rail: id,
                into,
                front: Dir::NY,
                tenon,
                back_longer: wall,
                lip: leaf.lip - leaf.y[0],
                haunch: None,
                glue_room: leaf.spec.tenon.glue_room,
                cheek_room: Length::ZERO,
                edge_room: Length::ZERO,
                mitre: None,
            },
        );
    }
    id
}
