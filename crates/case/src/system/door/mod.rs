//! Doors: frame, fields of glass or panel, lights, beads and hardware.
//!
//! A door is laid out shut, in the case frame. [`Leaf`] holds its principal lines; the files beside this one each make
//! one thing of it.

mod frame;
mod glass;
mod hardware;
mod lights;
mod panel;

use design::spec::{Doors, FieldKind, Hand, Hold};
use measure::Length;

use super::post_and_rail::{Frame, Plan};
use crate::builder::Builder;
use crate::frame::Dir;
use crate::part::{Material, PartId, Role};
use crate::system::room;

/// One door's principal lines, in the case frame.
#[derive(Clone, Debug)]
struct Leaf<'a> {
    spec: &'a Doors,
    wood: &'a Material,
    assembly: &'static str,
    /// Towards its hinges.
    hung: Dir,
    /// Over the stiles, through the thickness, and from lower to upper edge.
    x: [Length; 2],
    y: [Length; 2],
    z: [Length; 2],
    /// Between the stiles.
    inner: [Length; 2],
    /// Where a rabbet or groove begins behind the face: the back of the lip, or the groove's two walls.
    lip: Length,
    groove: [Length; 2],
    /// How far a field's filling enters the frame: the rabbet's width or the groove's depth.
    lap: Length,
    /// Fields from top to bottom: lower and upper edge at the springing.
    fields: Vec<[Length; 2]>,
}

/// A door's frame, laid.
#[derive(Clone, Debug)]
struct DoorFrame {
    /// Left, right.
    stiles: [PartId; 2],
    /// Top rail, mid rails, bottom rail: one more than fields.
    rails: Vec<PartId>,
}

/// Makes the doors.
pub(crate) fn doors(b: &mut Builder, p: &Plan<'_>, f: &Frame, spec: &Doors) {
    for leaf in leaves(p, spec) {
        let frame = frame::frame(b, p, &leaf);
        for (i, field) in spec.field.iter().enumerate() {
            match field.kind {
                FieldKind::Glass => lights::lights(b, &leaf, &frame, i),
                FieldKind::Panel => panel::panel(b, p, &leaf, &frame, i),
            }
        }
        hardware::hardware(b, p, f, &leaf, &frame);
    }
    gaps(b, p, f, spec);
    if spec.count > 0 {
        hardware::stop(b, p, f, spec);
    }
}

/// Notes how the gaps open and close. Hinges hold a door's outer edge; the rails above and below keep their middles.
fn gaps(b: &mut Builder, p: &Plan<'_>, f: &Frame, spec: &Doors) {
    let stiles: Vec<PartId> = b.parts.iter().filter(|part| part.role == Role::Stile).map(|part| part.id).collect();
    if stiles.is_empty() {
        return;
    }
    let leaves = i64::try_from(spec.count).unwrap_or(1);
    let room = room::shrinking(p.seasons, &p.door_wood, spec.stile * 2 * leaves, p.gap);
    let place = if spec.count > 1 { "doors, the gap between them" } else { "door, the gap at its closing stile" };
    b.play(&stiles, place.into(), room, None);
    for (rail, height, name) in
        [(1, p.spec.front.top_rail.height, "above"), (0, p.spec.front.bottom_rail.height, "below")]
    {
        let room = room::shrinking(p.seasons, &p.wood, height.half(), p.gap);
        b.play(&[f.front[rail].id], format!("doors, the gap {name} them"), room, None);
    }
}

/// The doors side by side, with even gaps.
fn leaves<'a>(p: &'a Plan<'_>, spec: &'a Doors) -> Vec<Leaf<'a>> {
    let [x0, x1] = p.between();
    let gaps = p.gap * i64::try_from(spec.count + 1).unwrap_or(1);
    let mut x = x0;
    let mut out = Vec::new();
    for (i, width) in (x1 - x0 - gaps).shared(spec.count.max(1)).into_iter().take(spec.count).enumerate() {
        x += p.gap;
        let (assembly, hung) = match (spec.count, i, spec.hand) {
            (1, _, Hand::Left) => ("door", Dir::NX),
            (1, _, Hand::Right) => ("door", Dir::PX),
            (_, 0, _) => ("left door", Dir::NX),
            _ => ("right door", Dir::PX),
        };
        out.push(leaf(p, spec, assembly, hung, [x, x + width]));
        x += width;
    }
    out
}

fn leaf<'a>(p: &'a Plan<'_>, spec: &'a Doors, assembly: &'static str, hung: Dir, x: [Length; 2]) -> Leaf<'a> {
    let z = [p.opening[0] + p.gap, p.opening[1] - p.gap];
    let face = p.rail_face + spec.setback;
    let y = [face, face + spec.thickness];
    let (groove_width, groove_depth) =
        spec.panel.as_ref().map_or((spec.tenon.thickness, spec.rabbet_width), |s| (s.groove_width, s.groove_depth));
    let groove = face + spec.tenon.front_shoulder + (spec.tenon.thickness - groove_width).half();
    Leaf {
        spec,
        wood: &p.door_wood,
        assembly,
        hung,
        x,
        y,
        z,
        inner: [x[0] + spec.stile, x[1] - spec.stile],
        lip: y[1] - spec.rabbet_depth,
        groove: [groove, groove + groove_width],
        lap: if spec.hold == Hold::Rabbet { spec.rabbet_width } else { groove_depth },
        fields: fields(spec, z),
    }
}

/// Shares the clear height of a door out among its fields, from top to bottom: those that say their height get it,
/// the others share the rest.
fn fields(spec: &Doors, z: [Length; 2]) -> Vec<[Length; 2]> {
    let n = spec.field.len();
    let mids = spec.mid_rail * i64::try_from(n.saturating_sub(1)).unwrap_or(0);
    let clear = z[1] - z[0] - spec.top_rail - spec.bottom_rail - mids;
    let said: Length = spec.field.iter().filter_map(|f| f.height).sum();
    let open = spec.field.iter().filter(|f| f.height.is_none()).count();
    let mut rest = (clear - said).shared(open.max(1)).into_iter();
    let mut top = z[1] - spec.top_rail;
    let mut out = Vec::new();
    for field in &spec.field {
        let height = field.height.unwrap_or_else(|| rest.next().unwrap_or_default());
        out.push([top - height, top]);
        top = top - height - spec.mid_rail;
    }
    out
}

impl Leaf<'_> {
    /// The rise of the arch over a field.
    fn rise(&self, field: usize) -> Length {
        self.spec.field[field].arch.as_ref().map_or(Length::ZERO, |a| a.rise)
    }

    /// A field's clear opening up to the crown of its arch: what glass or a panel must cover.
    fn sight(&self, field: usize) -> ([Length; 2], [Length; 2]) {
        let [low, high] = self.fields[field];
        (self.inner, [low, high + self.rise(field)])
    }

    /// Where the tenons' cheeks stand, front to back.
    fn cheeks(&self) -> [Length; 2] {
        let front = self.y[0] + self.spec.tenon.front_shoulder;
        [front, front + self.spec.tenon.thickness]
    }

    /// The grooves run out at the stiles' ends and are filled by haunches: so where groove and tenon are in line. A
    /// groove of another width is stopped instead.
    fn haunched(&self) -> bool {
        !self.rabbeted() && self.groove == self.cheeks()
    }

    fn rabbeted(&self) -> bool {
        self.spec.hold == Hold::Rabbet
    }

    /// How much longer the back of a rail is than its face, at each end.
    fn back_longer(&self) -> Length {
        if self.rabbeted() { self.spec.rabbet_width } else { Length::ZERO }
    }
}
