//! What the wood does, as `model.json` tells it: seasons and plays, weight, and shelves under load.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Mm, rounded};
use crate::{Case, bearing, weight};

/// The climate, and every place where wood may move.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Seasons {
    /// The workshop, when the parts are brought to size.
    pub workshop: Season,
    /// The room's dry season.
    pub dry: Season,
    /// The room's wet season.
    pub wet: Season,
    /// The places.
    pub plays: Vec<Play>,
}

/// A place and a season.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Season {
    /// °C.
    pub temperature: f64,
    /// Relative humidity in percent.
    pub humidity: f64,
    /// Moisture content of the wood in percent, by the air or as the order gives it.
    pub moisture: f64,
}

/// A place where wood may move; each figure in the workshop, in the dry and in the wet season.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Play {
    /// What moves, and what it moves in.
    pub parts: Vec<String>,
    /// In words.
    pub place: String,
    /// The free room.
    pub room: [Mm; 3],
    /// What is still held on the worse side, where that can be lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hold: Option<[Mm; 3]>,
}

/// What the piece weighs, fittings aside, and how it stands.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Weight {
    /// kg.
    pub mass: f64,
    /// Its centre in the case frame, the doors shut, in mm.
    pub centre: [f64; 3],
    /// Its centre with every door opened by a right angle.
    pub open: [f64; 3],
    /// N·m that tip it forward over its front feet, empty, its doors open.
    pub moment: f64,
    /// kg that tip it when hung at the outer edge of an open door.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hung: Option<f64>,
    /// N that tip it when it is pulled at its upper edge, or 56 in up.
    pub pull: f64,
}

/// A shelf, or the bottom, under its load.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Bearing {
    /// The part.
    pub part: String,
    /// Between its supports, in mm.
    pub span: f64,
    /// In N, evenly spread.
    pub load: f64,
    /// Deflection at once, in mm.
    pub first: f64,
    /// Deflection in years, in mm.
    pub years: f64,
    /// Bending stress in MPa.
    pub stress: f64,
    /// The span at which it bends at once by 1/144, in mm.
    pub longest: f64,
}

pub(super) fn seasons(c: &Case) -> Seasons {
    let season = |s: &design::Season| Season {
        temperature: rounded(s.air.celsius, 100.0),
        humidity: rounded(s.air.humidity, 100.0),
        moisture: rounded(s.moisture, 100.0),
    };
    let play = |p: &crate::Play| Play {
        parts: p.parts.iter().map(ToString::to_string).collect(),
        place: p.place.clone(),
        room: p.room.map(Mm),
        hold: p.hold.map(|hold| hold.map(Mm)),
    };
    let climate = &c.seasons.climate;
    Seasons {
        workshop: season(&climate.workshop),
        dry: season(&climate.dry),
        wet: season(&climate.wet),
        plays: c.plays.iter().map(play).collect(),
    }
}

pub(super) fn weight(c: &Case) -> Weight {
    let stand = weight::stand(c);
    Weight {
        mass: rounded(stand.shut.kg, 1000.0),
        centre: stand.shut.centre.map(|x| rounded(x, 10.0)),
        open: stand.open.centre.map(|x| rounded(x, 10.0)),
        moment: rounded(stand.moment, 100.0),
        hung: stand.hung.map(|kg| rounded(kg, 100.0)),
        pull: rounded(stand.pull, 10.0),
    }
}

pub(super) fn bearing(c: &Case) -> Vec<Bearing> {
    let one = |b: bearing::Bearing| Bearing {
        part: b.part.to_string(),
        span: rounded(b.span, 1000.0),
        load: rounded(b.load, 10.0),
        first: rounded(b.first, 1000.0),
        years: rounded(b.years, 1000.0),
        stress: rounded(b.stress, 1000.0),
        longest: rounded(b.longest, 10.0),
    };
    bearing::bearings(c).into_iter().map(one).collect()
}
