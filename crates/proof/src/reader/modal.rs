//! The modal state: what earlier lines have settled, and what nobody has settled yet.
//!
//! Every item begins unset, whatever a machine's power-on state may be. Using an unset item is a fault of the class
//! `Chance`, told once: a program that uses none does the same from any state, and so twice in a row.

use super::motion::Plane;

/// Length units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Units {
    Inch,
    Millimetre,
}

impl Units {
    /// One unit in mm.
    pub(super) const fn mm(self) -> f64 {
        match self {
            Self::Inch => 25.4,
            Self::Millimetre => 1.0,
        }
    }
}

/// How F is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FeedMode {
    /// G93: turns of the move a minute.
    Inverse,
    /// G94: units a minute.
    PerMinute,
}

/// F as given, and under what.
#[derive(Clone, Copy, Debug)]
pub(super) struct Feed {
    pub value: f64,
    pub units: Option<Units>,
    pub mode: Option<FeedMode>,
}

/// The spindle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turning {
    Off,
    Clockwise,
    Counter,
}

/// A motion that stays in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mode {
    /// G80.
    None,
    /// G0.
    Rapid,
    /// G1.
    Straight,
    /// G2 and G3.
    Arc { clockwise: bool },
    /// G81, G82, G83, by their tenths.
    Cycle(u16),
}

/// The words of a canned cycle that stay while it runs on: as written, in program units.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sticky {
    pub r: Option<f64>,
    pub z: Option<f64>,
    pub p: Option<f64>,
    pub q: Option<f64>,
}

/// The state between two lines.
#[derive(Clone, Debug)]
pub(super) struct Modal {
    pub units: Option<Units>,
    pub plane: Option<Plane>,
    /// True in G90.
    pub absolute: Option<bool>,
    pub feed_mode: Option<FeedMode>,
    pub mode: Option<Mode>,
    pub radius_off: bool,
    pub length_set: bool,
    pub system: Option<u16>,
    /// True in G98.
    pub return_high: Option<bool>,
    pub feed: Option<Feed>,
    pub turning: Turning,
    pub speed: f64,
    /// T, not yet in the spindle.
    pub selected: Option<u32>,
    /// In the spindle; 0 for what the machine was left with.
    pub tool: u32,
    pub sticky: Sticky,
    /// The tip, mm.
    pub at: [f64; 3],
    /// Which axes of `at` are known.
    pub known: [bool; 3],
    /// The lines that gave them.
    pub given: [u32; 3],
}

impl Modal {
    pub(super) const fn new() -> Self {
        Self {
            units: None,
            plane: None,
            absolute: None,
            feed_mode: None,
            mode: None,
            radius_off: false,
            length_set: false,
            system: None,
            return_high: None,
            feed: None,
            turning: Turning::Off,
            speed: 0.0,
            selected: None,
            tool: 0,
            sticky: Sticky { r: None, z: None, p: None, q: None },
            at: [0.0; 3],
            known: [false; 3],
            given: [0; 3],
        }
    }

    /// One program unit in mm.
    pub(super) fn scale(&self) -> f64 {
        self.units.map_or(1.0, Units::mm)
    }
}
