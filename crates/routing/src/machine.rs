//! The router: how far it moves, how fast, and what its controller understands.
//!
//! A controller is told by capability and never by make. [`Machine::default`] asks for no more than a strict
//! interpreter of the standard and a small controller both take: no tool change (one file for each tool), no canned
//! cycles, no length offset, no `%`.

use measure::{Length, Unit, inches, mm};

/// A three-axis router. Rates in mm/min, accelerations in mm/s², times in seconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// What the shop calls it.
    pub name: String,
    /// Travel along X, Y and Z.
    pub travel: [Length; 3],
    /// From the spoilboard to the spindle's nose with Z at the top of its travel.
    pub daylight: Length,
    /// Rapid rate by axis.
    pub rapid: [f64; 3],
    /// Highest cutting feed.
    pub feed: f64,
    /// Acceleration by axis.
    pub acceleration: [f64; 3],
    /// Slowest and fastest turning of the spindle, in revolutions a minute.
    pub spindle: [f64; 2],
    /// For changing a tool, by hand or by the machine.
    pub tool_change: f64,
    /// Height above the stock of every lateral rapid move.
    pub clear: Length,
    /// Height above the stock where feeding begins.
    pub approach: Length,
    /// How far a through cut goes into the spoilboard.
    pub spoilboard: Length,
    /// How far beside the blank a tool's outer edge may go; a tool that would go farther is not taken.
    pub run_out: Length,
    /// The clamps that hold a part by its top.
    pub clamp: Clamp,
    /// The least length and width of a blank that it can hold; smaller ones are made by hand.
    pub least: [Length; 2],
    /// The unit of its programs; the order's if not said.
    pub unit: Option<Unit>,
    /// What its controller understands.
    pub controller: Controller,
}

/// A clamp on the top of the stock, at its edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clamp {
    /// Its size along the edge.
    pub width: Length,
    /// How far it reaches onto the stock.
    pub reach: Length,
    /// How high it stands above the stock.
    pub height: Length,
}

/// How a controller takes arcs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Arcs {
    /// Not at all: they become short lines.
    None,
    /// Not across a quadrant of the circle.
    Quadrant,
    /// Up to half a turn in a block.
    Half,
    /// Up to a whole turn in a block.
    Whole,
}

/// What a controller understands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Controller {
    /// `T.. M6`; without it there is one file for each tool.
    pub tool_change: bool,
    /// `G81`, `G83`, `G99`; without them holes are written out.
    pub canned_cycles: bool,
    /// `G43 H..`.
    pub length_offset: bool,
    /// Arcs.
    pub arcs: Arcs,
    /// `N` words.
    pub line_numbers: bool,
    /// A `%` line before and after.
    pub percent: bool,
    /// Digits after the point in millimetres.
    pub decimals_mm: u8,
    /// Digits after the point in inches.
    pub decimals_inch: u8,
    /// Most characters of a line, the line end not counted.
    pub line_length: usize,
    /// `M30` rather than `M2` at the end.
    pub m30: bool,
}

impl Default for Controller {
    fn default() -> Self {
        Self {
            tool_change: false,
            canned_cycles: false,
            length_offset: false,
            arcs: Arcs::Whole,
            line_numbers: false,
            percent: false,
            decimals_mm: 4,
            decimals_inch: 5,
            line_length: 79,
            m30: false,
        }
    }
}

impl Default for Machine {
    fn default() -> Self {
        Self {
            name: "router".into(),
            travel: [mm(2500), mm(1300), mm(250)],
            daylight: mm(290),
            rapid: [10_000.0, 10_000.0, 4_000.0],
            feed: 5_000.0,
            acceleration: [400.0, 400.0, 250.0],
            spindle: [6_000.0, 24_000.0],
            tool_change: 90.0,
            clear: mm(25),
            approach: mm(2),
            spoilboard: Length::from_nm(300_000),
            run_out: mm(20),
            clamp: Clamp { width: mm(50), reach: mm(20), height: mm(20) },
            least: [mm(150), mm(18)],
            unit: None,
            controller: Controller::default(),
        }
    }
}

impl Machine {
    /// The last digit of a program in that unit.
    pub fn digit(&self, unit: Unit) -> Length {
        match unit {
            Unit::Millimetre => Length::from_nm(1_000_000 / 10_i64.pow(u32::from(self.controller.decimals_mm.min(6)))),
            Unit::Inch => inches(1, 10_i64.pow(u32::from(self.controller.decimals_inch.min(5)))),
        }
    }
}
