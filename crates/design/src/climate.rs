//! Where the piece is made and where it will stand: the air of the workshop and of the room's two seasons; and what
//! its shelves will carry.

use fault::{Fault, Faults, Place};
use timber::{Air, FIBRE_SATURATION};

use crate::field::{Celsius, Kilograms, Percent, Placed};
use crate::table::{choice, table};

table! {
    /// The air that the wood stands in, which decides how moist and so how wide it is.
    pub(crate) struct ClimateKeys {
        /// The workshop when the parts are brought to size; if it is not said, 20 °C and 45 %.
        pub workshop: AirKeys,
        /// The room in its dry season, as a rule the heated one; if it is not said, 21 °C and 30 %.
        pub dry: AirKeys,
        /// The room in its wet season; if it is not said, 24 °C and 60 %.
        pub wet: AirKeys,
    }
}

table! {
    /// Air, or the moisture that wood was found to have in it.
    pub(crate) struct AirKeys {
        /// Temperature.
        pub temperature: Option<Celsius>,
        /// Relative humidity.
        pub humidity: Option<Placed<Percent>>,
        /// The wood's moisture content as a meter tells it, by mass of the dry wood; wins over temperature and humidity.
        pub moisture: Option<Placed<Percent>>,
    }
}

choice! {
    /// What stands on a shelf, as a load over its whole face.
    pub enum LoadKind {
        /// Books: 50 lb/ft² (2.39 kPa), as for school and library shelves (Architectural Woodwork Standards, 2009, section 10).
        Books = "books",
        /// Anything else: 40 lb/ft² (1.92 kPa), by the same standard.
        General = "general",
        /// Crockery and stores: 15 lb/ft² (0.72 kPa), as for kitchen cabinets (ANSI/KCMA A161.1-2012, 5.1).
        Kitchen = "kitchen",
    }
}

table! {
    /// What shelves and bottom carry.
    pub struct Loads {
        /// What stands on them.
        pub shelves: LoadKind = "books",
        /// The weight on each shelf in all, evenly spread, in place of what `shelves` says.
        pub each: Option<Kilograms>,
    }
}

impl Default for Loads {
    /// Books.
    fn default() -> Self {
        Self { shelves: LoadKind::Books, each: None }
    }
}

impl LoadKind {
    /// The load in N/mm² of the shelf's face: 1 lb/ft² is 47.88 Pa.
    pub const fn pressure(self) -> f64 {
        let pounds = match self {
            Self::Books => 50.0,
            Self::General => 40.0,
            Self::Kitchen => 15.0,
        };
        pounds * 47.880_26e-6
    }
}

/// The wood in one place and season.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Season {
    /// The air.
    pub air: Air,
    /// The wood's moisture content in percent.
    pub moisture: f64,
    /// A meter told the moisture; otherwise it follows from the air.
    pub measured: bool,
}

/// The workshop and the room's two seasons.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// The workshop, when the parts are brought to size.
    pub workshop: Season,
    /// The room's dry season.
    pub dry: Season,
    /// The room's wet season.
    pub wet: Season,
}

impl Default for Climate {
    /// Where an order says nothing.
    fn default() -> Self {
        let season = |celsius, humidity| {
            let air = Air { celsius, humidity };
            Season { air, moisture: air.moisture(), measured: false }
        };
        Self { workshop: season(20.0, 45.0), dry: season(21.0, 30.0), wet: season(24.0, 60.0) }
    }
}

impl AirKeys {
    /// The season, with what the order leaves out from another.
    fn over(&self, default: Season) -> Season {
        let celsius = self.temperature.map_or(default.air.celsius, |t| t.0);
        let air = Air { celsius, humidity: self.humidity.as_ref().map_or(default.air.humidity, |h| h.value.0) };
        let measured = self.moisture.as_ref().map(|m| m.value.0.min(FIBRE_SATURATION));
        Season { air, moisture: measured.unwrap_or_else(|| air.moisture()), measured: measured.is_some() }
    }

    fn place(&self) -> Option<&Place> {
        self.moisture.as_ref().or(self.humidity.as_ref()).map(|p| &p.place)
    }
}

impl ClimateKeys {
    /// The climate, with what the order leaves out.
    pub(crate) fn climate(&self) -> Climate {
        let Climate { workshop, dry, wet } = Climate::default();
        Climate { workshop: self.workshop.over(workshop), dry: self.dry.over(dry), wet: self.wet.over(wet) }
    }

    /// Notes seasons that are the wrong way round.
    pub(crate) fn check(&self, faults: &mut Faults) {
        let climate = self.climate();
        let place = self.wet.place().or(self.dry.place());
        if let Some(place) = place
            && climate.wet.moisture < climate.dry.moisture
        {
            let what = format!(
                "the wet season leaves wood at {:.1} % moisture, drier than the dry one at {:.1} %",
                climate.wet.moisture, climate.dry.moisture
            );
            faults.push(Fault::new(place, what).mend("say both seasons, the dry one under `dry`"));
        }
    }
}
