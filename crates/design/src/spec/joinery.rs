//! Tables that several systems share: tenons, curves, grooves, panels, pegs.

use measure::Length;
use timber::Sawn;

use crate::table::{choice, table};

choice! {
    /// What becomes of two mortises that would meet inside a post.
    pub enum Meeting {
        /// Both tenons stop short of one another.
        Shortened = "shortened",
        /// Both tenons keep their length and are mitred at the end.
        Mitred = "mitred",
    }
}

table! {
    /// How a rail is tenoned into a post or a stile.
    pub struct Tenon {
        /// Thickness of the tenon.
        pub thickness: Length,
        /// Length of the tenon, from the face shoulder.
        pub length: Length,
        /// From the rail's front face to the tenon; what is left over is the back shoulder.
        pub front_shoulder: Length,
        /// Shoulder at the upper and the lower edge of the rail, where no groove makes it deeper.
        pub edge_shoulder: Length = "1/4 in",
        /// Depth left at the bottom of the mortise for glue.
        pub glue_room: Length = "1/16 in",
        /// Room beside each cheek.
        pub cheek_room: Length = "0 in",
        /// Room at each edge of the tenon; if it is not said, none, and for a tenon over 3 in what it swells by.
        pub edge_room: Option<Length>,
        /// Tenons that would meet inside a post.
        pub meeting: Meeting = "shortened",
        /// Least wood between two tenons, and behind the bottom of a mortise.
        pub least_wall: Length = "1/8 in",
    }
}

choice! {
    /// The line of a shaped edge.
    pub enum CurveKind {
        /// One arc.
        Segmental = "segmental",
        /// Half an ellipse, as tangent arcs.
        Elliptical = "elliptical",
        /// Two reversing arcs a side.
        Ogee = "ogee",
        /// A step and an arc that reverses it, a side, then a straight middle.
        Stepped = "stepped",
    }
}

table! {
    /// A shaped edge: an arch, or the lower edge of a rail.
    pub struct Curve {
        /// Its line.
        pub kind: CurveKind = "segmental",
        /// Height of the crown above the springing.
        pub rise: Length,
        /// Straight edge left at each end before the curve springs.
        pub landing: Length = "0 in",
        /// Least width of rail left at the crown.
        pub least_crown: Length = "1 in",
    }
}

table! {
    /// A square peg through a tenon.
    pub struct Pegs {
        /// Side of the square.
        pub side: Length = "1/4 in",
        /// How far it goes in from the post's face.
        pub depth: Length = "1 in",
        /// How far it stands proud.
        pub proud: Length = "1/16 in",
        /// From the shoulder to the peg's centre.
        pub from_shoulder: Length = "1/2 in",
        /// Least wood between the peg and the edge of the tenon.
        pub from_edge: Length = "1/4 in",
        /// A tenon at least this wide takes two pegs; a narrower one takes one.
        pub two_from: Length = "2 in",
    }
}

choice! {
    /// The face of a panel.
    pub enum PanelKind {
        /// As thick as its groove, flat on both faces.
        Flat = "flat",
        /// Thicker than its groove, its outer face bevelled all round to a tongue.
        Raised = "raised",
    }
}

table! {
    /// A floating panel in grooves.
    pub struct FramePanel {
        /// Its face.
        pub kind: PanelKind = "flat",
        /// Width of the groove, and thickness of a flat panel or of a raised panel's tongue.
        pub groove_width: Length,
        /// Thickness of a raised panel at its field.
        pub raised_thickness: Length = "5/8 in",
        /// Depth of the groove.
        pub groove_depth: Length,
        /// Room between the panel and the bottom of the groove on each side, across the grain; if it is not said, what
        /// the panel needs to be free in the wet season.
        pub room_across: Option<Length>,
        /// The same, along the grain.
        pub room_along: Length = "1/32 in",
        /// Width of a raised panel's bevel, tongue included.
        pub bevel: Length = "1 1/4 in",
        /// Step between bevel and field of a raised panel.
        pub step: Length = "1/16 in",
        /// Its wood, if it is not that of the piece.
        pub wood: Option<String>,
        /// How its boards are sawn, if not as those of the piece.
        pub sawn: Option<Sawn>,
    }
}

impl FramePanel {
    /// Its thickness: a flat panel fills its groove.
    pub fn thickness(&self) -> Length {
        match self.kind {
            PanelKind::Flat => self.groove_width,
            PanelKind::Raised => self.raised_thickness,
        }
    }
}

choice! {
    /// How far a groove or rabbet runs.
    pub enum Run {
        /// From end to end.
        Through = "through",
        /// Stopped where it would show.
        Stopped = "stopped",
    }
}
