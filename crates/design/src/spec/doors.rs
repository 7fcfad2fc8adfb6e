//! Tables of the doors: frame, fields, lights, muntins, glass and hardware.

use measure::Length;
use timber::Sawn;

use super::{Curve, FramePanel, Tenon};
use crate::table::{choice, table};

choice! {
    /// The side a door is hung on.
    pub enum Hand {
        /// Hinges on the left as one faces the piece.
        Left = "left",
        /// Hinges on the right.
        Right = "right",
    }
}

choice! {
    /// How a door frame holds what it frames.
    pub enum Hold {
        /// Rabbets on the back with beads: for glass, and for panels in a door that has glass.
        Rabbet = "rabbet",
        /// Grooves: for panels alone.
        Groove = "groove",
    }
}

table! {
    /// Inset doors, one or two, between the posts and the front rails.
    pub struct Doors {
        /// One door or a pair.
        pub count: usize,
        /// The side a single door is hung on.
        pub hand: Hand = "left",
        /// The gap on all sides, and between a pair; if it is not said, at least 1/16 in, and so wide that it stays open
        /// in the wet season.
        pub gap: Option<Length>,
        /// Thickness of the frame.
        pub thickness: Length,
        /// From the front of the front rails back to the door's face.
        pub setback: Length = "0 in",
        /// Width of the stiles.
        pub stile: Length,
        /// Width of the top rail.
        pub top_rail: Length,
        /// Width of each mid rail.
        pub mid_rail: Length,
        /// Width of the bottom rail.
        pub bottom_rail: Length,
        /// Tenons of the rails.
        pub tenon: Tenon,
        /// Rabbets or grooves.
        pub hold: Hold = "rabbet",
        /// Width of the rabbet: how far the frame laps over the glass.
        pub rabbet_width: Length = "1/4 in",
        /// Depth of the rabbet from the back of the door.
        pub rabbet_depth: Length = "1/2 in",
        /// Groove and panel of every field that is a panel; in a rabbeted door only its faces are used.
        pub panel: Option<FramePanel>,
        /// The fields from top to bottom, a mid rail between each two.
        pub field: Vec<Field>,
        /// Bars between lights.
        pub muntin: Muntin,
        /// The glass.
        pub glass: Glass,
        /// The beads that hold it.
        pub bead: Bead,
        /// The hinges.
        pub hinge: Hinge,
        /// The knob.
        pub knob: Knob,
        /// The catch.
        pub catch: Catch,
        /// Their wood, if it is not that of the piece.
        pub wood: Option<String>,
        /// How the boards of their frames are sawn, if not as those of the piece. Quarter-sawn stiles keep the gaps small.
        pub sawn: Option<Sawn>,
    }
}

choice! {
    /// What fills a field of a door.
    pub enum FieldKind {
        /// Glass, divided or not.
        Glass = "glass",
        /// A wooden panel.
        Panel = "panel",
    }
}

table! {
    /// A field of a door, between two rails.
    pub struct Field {
        /// What fills it.
        pub kind: FieldKind,
        /// Clear height from rail to rail at its ends; the one field without it takes what is left.
        pub height: Option<Length>,
        /// Rows of lights.
        pub rows: usize = "1",
        /// Columns of lights.
        pub columns: usize = "1",
        /// Shape of the lower edge of the rail above it.
        pub arch: Option<Curve>,
    }
}

table! {
    /// Bars between the lights.
    pub struct Muntin {
        /// Width of the bar's face.
        pub width: Length = "3/4 in",
        /// Length of the tenon that enters the frame behind the rabbet's wall.
        pub tenon: Length = "3/8 in",
        /// From the back of the bar to its tenon.
        pub back_shoulder: Length = "1/8 in",
    }
}

table! {
    /// The glass.
    pub struct Glass {
        /// Its thickness.
        pub thickness: Length = "1/8 in",
        /// Room to the rabbet's wall on each side.
        pub room: Length = "1/16 in",
    }
}

table! {
    /// Beads that hold glass, or a panel, in its rabbet.
    pub struct Bead {
        /// How much narrower than the rabbet's wall is deep behind the glass the bead stays.
        pub below_face: Length = "0 in",
        /// Its width; the rabbet's width if it is not said.
        pub width: Option<Length>,
    }
}

table! {
    /// Butt hinges, let in half into the stile and half into the post.
    pub struct Hinge {
        /// Length of the leaf.
        pub length: Length = "2 1/2 in",
        /// Width of the leaf, from the knuckle's centre line to its edge.
        pub leaf: Length = "5/8 in",
        /// Thickness of the closed hinge at the knuckle.
        pub knuckle: Length = "1/4 in",
        /// How far the pin stands in front of the door's face. A door between posts that stand proud of it opens past a
        /// right angle only if the pin is far enough forward.
        pub proud: Length = "1/8 in",
        /// From the end of the door to the end of the nearest hinge.
        pub from_end: Length = "3 in",
        /// A door at least this high takes three.
        pub three_from: Length = "42 in",
    }
}

table! {
    /// The knob.
    pub struct Knob {
        /// Diameter of its hole through the stile.
        pub hole: Length = "1/4 in",
        /// Height of its centre above the door's lower edge, as a share of the door's height in hundredths.
        pub height_percent: usize = "50",
    }
}

table! {
    /// A bullet catch in the door's top edge, and its strike in the rail above.
    pub struct Catch {
        /// Diameter of the catch's hole.
        pub hole: Length = "5/16 in",
        /// Depth of the hole.
        pub depth: Length = "5/8 in",
        /// Length of the strike.
        pub strike_length: Length = "1 in",
        /// Width of the strike.
        pub strike_width: Length = "3/8 in",
        /// Thickness of the strike.
        pub strike_depth: Length = "1/16 in",
    }
}
