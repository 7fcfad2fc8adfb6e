//! The floating panels of the ends.

use design::spec::PanelKind;
use measure::Length;

use super::frame::{Frame, Laid};
use super::plan::Plan;
use crate::builder::{Builder, Stock};
use crate::frame::{Axis, Box3, Dir};
use crate::joint::{Groove, groove};
use crate::part::{PartId, Profile, Role};
use crate::system::room::{self, Stays};

/// Makes both panels and the grooves that hold them: in the rails from shoulder to shoulder and through the tenons'
/// edges, in the posts from mortise to mortise.
pub(crate) fn panels(b: &mut Builder, p: &Plan<'_>, f: &Frame) {
    let spec = &p.spec.ends.panel;
    for (k, side) in p.sides().iter().enumerate() {
        let [bottom, top] = &f.ends[k];
        let out = side.from.outward();
        let [y0, y1] = p.between_deep();
        let material = p.panel_material(spec);
        let between = y1 - y0 + spec.groove_depth * 2;
        let rooms = room::of_board(spec.room_across, between, p.seasons.movement(&material));
        let enter = rooms.map(|room| spec.groove_depth - room);
        let enter_along = spec.groove_depth - spec.room_along;
        let walls = p.groove();
        let inner = walls[1];
        let x = side.from.span(inner - spec.thickness(), inner);
        let at = Box3::new(x, [y0 - enter[0], y1 + enter[1]], [bottom.z[1] - enter_along, top.z[0] + enter_along]);
        let stock = Stock::of(format!("{} end panel", side.name), Role::Panel, "case", &material);
        let panel = b.part(stock, at, Dir::PZ, out);
        raise(
            b,
            panel,
            out,
            spec.kind,
            [spec.bevel, spec.groove_depth],
            spec.thickness() - spec.groove_width,
            spec.step,
        );

        let walls = (Axis::X, side.from.span(walls[0], walls[1]));
        let depth = spec.groove_depth;
        for (rail, into) in [(bottom, Dir::NZ), (top, Dir::PZ)] {
            let g = Groove { frame: rail.id, board: panel, into, depth, walls, run: None, room: spec.room_along };
            groove(b, &g);
        }
        let edge_room = |rail: &Laid| p.edge_room(&p.spec.rails.tenon, &p.wood, rail.tenon_z[1] - rail.tenon_z[0]);
        let run = Some([bottom.tenon_z[1] + edge_room(bottom), top.tenon_z[0] - edge_room(top)]);
        for ((post, into), room) in f.posts[k].into_iter().zip([Dir::NY, Dir::PY]).zip(rooms) {
            groove(b, &Groove { frame: post, board: panel, into, depth, walls, run, room });
        }
        let width = between - rooms[0] - rooms[1];
        let (room, hold) = room::in_grooves(p.seasons, &material, width, [depth; 2], rooms, Stays::Loose);
        let [front, back] = f.posts[k];
        b.play(&[panel, front, back], format!("{} end panel, in its grooves", side.name), room, Some(hold));
    }
}

/// Bevels all four arrises of a raised panel's outer face; `width` is the bevel's and the tongue's.
pub(crate) fn raise(
    b: &mut Builder,
    panel: PartId,
    out: Dir,
    kind: PanelKind,
    width: [Length; 2],
    depth: Length,
    step: Length,
) {
    if kind == PanelKind::Flat || depth <= Length::ZERO {
        return;
    }
    let profile = Profile::Raise { width: width[0], tongue: width[1], depth, step };
    for edge in Dir::ALL.into_iter().filter(|d| d.axis != out.axis) {
        b.work_edge(panel, [out, edge], profile);
    }
}
