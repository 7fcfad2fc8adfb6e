//! Tables of the post-and-rail system: four posts, rails, panelled ends, back, bottom, shelves and top.

use measure::Length;
use timber::Sawn;

use super::{Curve, Doors, FramePanel, Pegs, Run, Tenon};
use crate::table::{choice, table};

table! {
    /// A case of four posts and the rails between them.
    pub struct PostAndRail {
        /// Width over all.
        pub width: Length,
        /// Depth over all.
        pub depth: Length,
        /// Height over all.
        pub height: Length,
        /// The wood of everything that is not said to be of another.
        pub wood: String,
        /// How the boards of everything are sawn that is not said to be sawn otherwise.
        pub sawn: Sawn = "flat",
        /// The four posts.
        pub posts: Posts,
        /// What all rails of the case share.
        pub rails: Rails,
        /// The two rails of the front.
        pub front: RailPair,
        /// The two rails of each end, and its panel.
        pub ends: Ends,
        /// The two rails of the back, and its sheet.
        pub back: Back,
        /// The bottom.
        pub bottom: Bottom,
        /// The top.
        pub top: Top,
        /// The shelves, if any.
        pub shelves: Option<Shelves>,
        /// The doors, if any.
        pub doors: Option<Doors>,
        /// Pegs in the tenons of the front and the ends, if any.
        pub pegs: Option<Pegs>,
    }
}

table! {
    /// The four posts, square in section.
    pub struct Posts {
        /// Side of the square.
        pub side: Length,
        /// Radius that eases the long arrises; 0 leaves them sharp.
        pub eased: Length = "1/16 in",
    }
}

table! {
    /// What all rails of the case share.
    pub struct Rails {
        /// Their thickness.
        pub thickness: Length,
        /// From the post's outer face back to the rail's.
        pub setback: Length = "0 in",
        /// Their tenons.
        pub tenon: Tenon,
        /// Height of the lower rails' lower edge above the floor.
        pub floor: Length,
    }
}

table! {
    /// A rail: its height, and the curve of its lower edge.
    pub struct Rail {
        /// From its lower to its upper edge.
        pub height: Length,
        /// Its shaped lower edge, if any.
        pub curve: Option<Curve>,
    }
}

table! {
    /// A top and a bottom rail.
    pub struct RailPair {
        /// The top rail, flush with the top of the posts.
        pub top_rail: Rail,
        /// The bottom rail.
        pub bottom_rail: Rail,
    }
}

table! {
    /// An end of the case.
    pub struct Ends {
        /// The top rail, flush with the top of the posts.
        pub top_rail: Rail,
        /// The bottom rail.
        pub bottom_rail: Rail,
        /// The panel between them.
        pub panel: FramePanel,
    }
}

table! {
    /// The back: two rails, and a sheet in rabbets that hide its edges.
    pub struct Back {
        /// The top rail, flush with the top of the posts.
        pub top_rail: Rail,
        /// The bottom rail.
        pub bottom_rail: Rail,
        /// What the sheet is made of; a solid wood makes a back of boards glued up, which moves.
        pub material: String = "birch plywood",
        /// Its thickness as measured on the sheet in hand; also the rabbet's depth.
        pub thickness: Length = "1/4 in",
        /// Width of the rabbets in the posts.
        pub rabbet_width: Length = "3/8 in",
        /// Room on each side between the sheet and its rabbet.
        pub room: Length = "1/32 in",
        /// The posts' rabbets: to the floor, or stopped where the sheet ends.
        pub posts: Run = "stopped",
        /// The top's rabbet: to its ends, or stopped behind the posts.
        pub top: Run = "stopped",
    }
}

table! {
    /// The bottom: in a groove of the lower end rails and of the lower back rail, and in a rabbet of the lower front
    /// rail, notched round the posts.
    pub struct Bottom {
        /// Its thickness; the groove is as wide.
        pub thickness: Length,
        /// From the lower front rail's upper edge down to the bottom's upper face.
        pub drop: Length = "0 in",
        /// Depth of the groove in the rails.
        pub groove_depth: Length = "1/4 in",
        /// Depth of the back rail's groove; if it is not said, at least `groove_depth`, and so deep that the bottom is
        /// free in the wet season and held in the dry one.
        pub back_groove_depth: Option<Length>,
        /// Width of the rabbet in the lower front rail, front to back. No wider than the rail's back shoulder, or the
        /// rail's tenons keep the bottom from being slid in along the rail.
        pub rabbet_width: Length = "1/4 in",
        /// Room left and right in the grooves, each side.
        pub room_along: Length = "1/32 in",
        /// Room for movement in the back rail's groove; if it is not said, what the bottom needs.
        pub room_across: Option<Length>,
        /// Room round the posts in each notch; behind, at least what the bottom swells by.
        pub notch_room: Length = "1/16 in",
        /// Its wood, if it is not that of the piece.
        pub wood: Option<String>,
        /// How its boards are sawn, if not as those of the piece.
        pub sawn: Option<Sawn>,
    }
}

table! {
    /// The top: solid, held by wooden buttons that let it move.
    pub struct Top {
        /// Its thickness.
        pub thickness: Length,
        /// Overhang at the front.
        pub front: Length,
        /// Overhang at each end.
        pub ends: Length,
        /// Overhang at the back.
        pub back: Length = "0 in",
        /// Radius that eases its upper and lower arris at the front and the ends.
        pub eased: Length = "1/8 in",
        /// How far the back sheet enters it.
        pub rabbet_depth: Length = "3/8 in",
        /// The buttons.
        pub buttons: Buttons,
        /// Its wood, if it is not that of the piece.
        pub wood: Option<String>,
        /// How its boards are sawn, if not as those of the piece.
        pub sawn: Option<Sawn>,
    }
}

table! {
    /// Wooden buttons in pockets of the top rails.
    pub struct Buttons {
        /// Width of a button, along the rail.
        pub width: Length = "1 in",
        /// Length of a button, its tongue included.
        pub length: Length = "1 1/2 in",
        /// Thickness of a button.
        pub thickness: Length = "3/4 in",
        /// Length of the tongue in the pocket.
        pub tongue: Length = "3/8 in",
        /// Thickness of the tongue.
        pub tongue_thickness: Length = "1/4 in",
        /// Depth of the pocket in the end rails.
        pub pocket_depth: Length = "1/2 in",
        /// Depth of the pocket in the front rail; if it is not said, at least `pocket_depth`, and so deep that the top,
        /// which is set home at the back, may swell.
        pub front_pocket_depth: Option<Length>,
        /// Room for the top to move along an end rail, each side of the button; if it is not said, what the top moves by.
        pub room: Option<Length>,
        /// Gap by which the button's tongue pulls the top down.
        pub draw: Length = "1/32 in",
        /// Greatest distance between two buttons.
        pub spacing: Length = "12 in",
    }
}

choice! {
    /// How a loose shelf meets the posts.
    pub enum ShelfKind {
        /// As long as the case is wide inside, notched round the posts.
        Notched = "notched",
        /// Cut to go between the posts.
        Between = "between",
    }
}

table! {
    /// Shelves: loose ones on pins, and fixed ones in housings.
    pub struct Shelves {
        /// How many loose shelves.
        pub count: usize,
        /// How many shelves are fixed in housings of the posts, evenly spaced.
        pub fixed: usize = "0",
        /// How a loose shelf meets the posts.
        pub kind: ShelfKind = "notched",
        /// Thickness of every shelf.
        pub thickness: Length,
        /// Room at each end, and round the posts; behind, at least what the shelf swells by.
        pub room: Length = "1/16 in",
        /// From the front of the posts, or the back of the doors, to the shelf's front edge.
        pub setback: Length = "1/4 in",
        /// From the back sheet to the shelf's back edge; if it is not said, at least 1/8 in, and what the shelf swells by.
        pub back_room: Option<Length>,
        /// Depth of the housings of fixed shelves.
        pub housing_depth: Length = "1/4 in",
        /// Diameter of the pins and their holes.
        pub pin: Length = "1/4 in",
        /// Depth of the holes.
        pub hole_depth: Length = "1/2 in",
        /// Length of a pin that stands out under the shelf.
        pub pin_reach: Length = "3/8 in",
        /// Distance between holes of a row.
        pub spacing: Length = "1 in",
        /// From the post's inner arris to the centre of the row.
        pub from_arris: Length = "1/2 in",
        /// Clear height kept free of holes above the bottom and below the top rail.
        pub clear: Length = "5 in",
        /// Thickness of a solid edging that is glued to the front edge of every shelf and is as high as the shelf is thick;
        /// none if it is 0. The shelf is narrower by it.
        pub edging: Length = "0 in",
        /// The wood of the edging, if it is not that of the piece.
        pub edging_wood: Option<String>,
        /// Its wood, if it is not that of the piece.
        pub wood: Option<String>,
        /// How its boards are sawn, if not as those of the piece.
        pub sawn: Option<Sawn>,
    }
}
