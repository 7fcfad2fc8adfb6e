//! The bench on which a construction system puts a case together: parts by their case-frame boxes, cuts by
//! case-frame prisms, joints by number.
//!
//! Everything is said in the case frame and mapped into the part frames here, once. Joints (`joint/`) are the only
//! callers of the cutting functions that touch two parts.

use measure::Length;

use crate::frame::{Axis, Box3, Dir, Placement, Point};
use crate::outline::Outline;
use crate::part::{Cut, Edge, JointId, Material, Part, PartId, Profile, Purpose, Role};
use crate::piece::{Fitting, Joint, JointKind, Pane};
use crate::seasons::Play;

/// A case on the bench.
#[derive(Debug, Default)]
pub(crate) struct Builder {
    pub(crate) parts: Vec<Part>,
    pub(crate) joints: Vec<Joint>,
    pub(crate) panes: Vec<Pane>,
    pub(crate) fittings: Vec<Fitting>,
    pub(crate) plays: Vec<Play>,
}

/// What a new part is, before its place is known.
#[derive(Clone, Debug)]
pub(crate) struct Stock {
    pub(crate) name: String,
    pub(crate) role: Role,
    pub(crate) assembly: &'static str,
    pub(crate) material: Material,
}

impl Stock {
    /// A part of a material.
    pub(crate) fn of(name: impl Into<String>, role: Role, assembly: &'static str, material: &Material) -> Self {
        Self { name: name.into(), role, assembly, material: material.clone() }
    }
}

impl Builder {
    /// Adds a part that fills the case-frame box `at`, its grain along `grain`, its +z face looking to `face`.
    pub(crate) fn part(&mut self, stock: Stock, at: Box3, grain: Dir, face: Dir) -> PartId {
        let id = PartId(u32::try_from(self.parts.len() + 1).unwrap_or(u32::MAX));
        let placement = Placement::filling(&at, grain, face);
        let size = placement.box_to_part(&at).max;
        self.parts.push(Part {
            id,
            name: stock.name,
            role: stock.role,
            assembly: stock.assembly.into(),
            material: stock.material,
            size,
            placement,
            cuts: Vec::new(),
            edges: Vec::new(),
            same_as: None,
        });
        id
    }

    pub(crate) fn get(&self, id: PartId) -> &Part {
        &self.parts[id.0 as usize - 1]
    }

    /// The case-frame box of a part's blank.
    pub(crate) fn at(&self, id: PartId) -> Box3 {
        self.get(id).case_box()
    }

    /// Opens a joint; its cuts carry the number.
    pub(crate) fn joint(
        &mut self,
        kind: JointKind,
        parts: &[PartId],
        clearances: &[(&'static str, Length)],
    ) -> JointId {
        let id = JointId(u32::try_from(self.joints.len() + 1).unwrap_or(u32::MAX));
        let (parts, clearances) = (parts.to_vec(), clearances.to_vec());
        self.joints.push(Joint { id, kind, parts, clearances, dry: false, insertion: None });
        id
    }

    /// Says of the newest joint how its last part moves home, and whether it stays dry.
    pub(crate) fn assembled(&mut self, insertion: Dir, dry: bool) {
        if let Some(j) = self.joints.last_mut() {
            j.insertion = Some(insertion);
            j.dry = dry;
        }
    }

    /// Cuts a case-frame box out of a part, entering its blank by the face that looks to `from`. The box's near side
    /// is moved out to the blank's face.
    pub(crate) fn cut(&mut self, part: PartId, purpose: Purpose, joint: Option<JointId>, from: Dir, region: Box3) {
        let (u, v) = from.axis.others();
        let floor = region.along(from.axis)[usize::from(!from.positive)];
        let outline = Outline::rectangle(region.along(u), region.along(v));
        self.cut_prism(part, purpose, joint, from, &outline, floor);
    }

    /// Cuts right through a part along an axis.
    pub(crate) fn cut_through(
        &mut self,
        part: PartId,
        purpose: Purpose,
        joint: Option<JointId>,
        from: Dir,
        region: Box3,
    ) {
        let whole = self.at(part).along(from.axis);
        self.cut(part, purpose, joint, from, region.with(from.axis, whole));
    }

    /// Cuts a prism whose outline lies in the two other case axes (in the order X, Y, Z), from the blank's face that
    /// looks to `from` down to the case coordinate `floor`.
    pub(crate) fn cut_prism(
        &mut self,
        part: PartId,
        purpose: Purpose,
        joint: Option<JointId>,
        from: Dir,
        outline: &Outline,
        floor: Length,
    ) {
        let blank = self.at(part);
        let [low, high] = blank.along(from.axis);
        let depth = if from.positive { high - floor } else { floor - low };
        let placement = self.get(part).placement;
        let cut = Cut {
            purpose,
            joint,
            from: placement.dir_to_part(from),
            outline: placement.outline_to_part(from.axis, outline),
            depth,
        };
        self.parts[part.0 as usize - 1].cuts.push(cut);
    }

    /// Works the arris between two case-frame faces of a part over its whole length.
    pub(crate) fn work_edge(&mut self, part: PartId, faces: [Dir; 2], profile: Profile) {
        let p = &mut self.parts[part.0 as usize - 1];
        let faces = faces.map(|f| p.placement.dir_to_part(f));
        let along = Axis::ALL.into_iter().find(|a| faces.iter().all(|f| f.axis != *a));
        let to = along.map_or(Length::ZERO, |a| p.size[a.index()]);
        p.edges.push(Edge { faces, profile, from: Length::ZERO, to });
    }

    /// Names another clearance of the newest joint.
    pub(crate) fn clearance(&mut self, name: &'static str, length: Length) {
        if let Some(j) = self.joints.last_mut() {
            j.clearances.push((name, length));
        }
    }

    /// Notes a place where a part may move: the room and the hold that there are in workshop, dry and wet season.
    pub(crate) fn play(&mut self, parts: &[PartId], place: String, room: [Length; 3], hold: Option<[Length; 3]>) {
        self.plays.push(Play { parts: parts.to_vec(), place, room, hold });
    }

    /// Adds a bought thing.
    pub(crate) fn fitting(&mut self, kind: &'static str, spec: String, at: Point, parts: &[PartId]) {
        self.fittings.push(Fitting { kind, spec, at, parts: parts.to_vec() });
    }
}

/// A coordinate that is counted from one side of the piece: from the left to the right, or from the right to the left.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Count {
    pub(crate) zero: Length,
    pub(crate) towards: Dir,
}

impl Count {
    pub(crate) fn at(&self, d: Length) -> Length {
        self.zero + d * self.towards.sign()
    }

    /// The interval between two counts, in order.
    pub(crate) fn span(&self, a: Length, b: Length) -> [Length; 2] {
        let (a, b) = (self.at(a), self.at(b));
        [a.min(b), a.max(b)]
    }

    /// Where the interval of one length lies that ends at a coordinate and is counted back.
    pub(crate) const fn outward(&self) -> Dir {
        self.towards.opposite()
    }
}
