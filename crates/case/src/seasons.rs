//! What the piece's wood does between the workshop and the room's two seasons: moisture, movement, weight and strength
//! of each material; and the play that it was given at every place where it may move.
//!
//! How much room a place needs is decided by the construction system, from [`Seasons`]; what became of it is kept as
//! [`Play`]s, which the inspection judges and the page of findings prints.

use std::sync::{Arc, LazyLock};

use design::Climate;
use measure::{Length, inches};
use timber::{Sawn, Species, Woods, beam};

use crate::part::{Form, Material, PartId};

/// Left free on each side in the wet season, so that what swells does not quite touch. Common practice, no source.
pub const SPARE: Length = inches(1, 64);

/// What stays in its groove in the dry season, pushed to the other side. Common practice, no source.
pub const HOLD: Length = inches(1, 16);

/// The climate, and the woods that are known.
#[derive(Clone, Debug)]
pub struct Seasons {
    /// The workshop and the room's two seasons.
    pub climate: Climate,
    woods: Arc<Woods>,
}

/// What a width does, as shares of the width in the workshop; neither is less than nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Movement {
    /// What it loses at most.
    pub shrinks: f64,
    /// What it gains at most.
    pub swells: f64,
}

/// What a material weighs and bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// kg/m³ at the workshop's moisture.
    pub density: f64,
    /// Modulus of elasticity in bending, GPa.
    pub modulus: f64,
    /// Modulus of rupture, MPa.
    pub rupture: f64,
    /// What the first deflection grows by in years, as a factor.
    pub creep: f64,
    /// Where the figures are from.
    pub source: String,
}

/// A place where something may move, as it is in the workshop, in the dry and in the wet season.
#[derive(Clone, Debug, PartialEq)]
pub struct Play {
    /// What moves, and what it moves in.
    pub parts: Vec<PartId>,
    /// In words: `left end panel, in its grooves`.
    pub place: String,
    /// The room that there is in all; less than nothing where it binds.
    pub room: [Length; 3],
    /// What is still held where that can be lost: on the worse side, when pushed to the other one.
    pub hold: Option<[Length; 3]>,
}

/// A wood of which nothing is known moves like the liveliest of those built in, and is as weak as the weakest.
static UNKNOWN: LazyLock<Species> = LazyLock::new(|| {
    let all = &Woods::built_in().species;
    let most = |f: fn(&Species) -> f64| all.iter().map(f).fold(0.0, f64::max);
    let least = |f: fn(&Species) -> f64| all.iter().map(f).fold(f64::INFINITY, f64::min);
    Species {
        name: String::from("a wood of which nothing is known"),
        also: Vec::new(),
        gravity: 0.65,
        modulus: least(|s| s.modulus),
        rupture: least(|s| s.rupture),
        shrinkage: [most(|s| s.shrinkage[0]), most(|s| s.shrinkage[1]), most(|s| s.shrinkage[2])],
        coefficients: [most(|s| s.coefficients[0]), most(|s| s.coefficients[1])],
        source: String::from(
            "taken to be as lively as the liveliest wood that is built in, and as weak as the weakest",
        ),
    }
});

impl Default for Seasons {
    fn default() -> Self {
        Self { climate: Climate::default(), woods: Arc::new(Woods::built_in().clone()) }
    }
}

impl Seasons {
    /// Of an order.
    pub(crate) fn of(resolved: &design::Resolved) -> Self {
        Self { climate: resolved.order.climate, woods: Arc::clone(&resolved.woods) }
    }

    /// The material of a name: solid if it is a species, sheet if it is a sheet good, and `otherwise` if it is neither.
    pub(crate) fn material(&self, name: &str, sawn: Sawn, otherwise: Form) -> Material {
        let form = match (self.woods.species(name), self.woods.sheet(name)) {
            (Some(_), _) => Form::Solid,
            (None, Some(_)) => Form::Sheet,
            (None, None) => otherwise,
        };
        Material { name: name.into(), form, sawn: if form == Form::Solid { sawn } else { Sawn::Flat } }
    }

    /// Whether anything is known of a material; if not, the known name that may have been meant.
    pub(crate) fn is_known(&self, m: &Material) -> Result<(), Option<&str>> {
        let known = match m.form {
            Form::Solid => self.woods.species(&m.name).is_some(),
            Form::Sheet => self.woods.sheet(&m.name).is_some(),
        };
        if known { Ok(()) } else { Err(self.woods.nearest(&m.name)) }
    }

    fn species(&self, m: &Material) -> &Species {
        self.woods.species(&m.name).unwrap_or(&UNKNOWN)
    }

    /// Moisture contents of workshop, dry and wet season, in percent.
    pub fn moistures(&self) -> [f64; 3] {
        [self.climate.workshop, self.climate.dry, self.climate.wet].map(|season| season.moisture)
    }

    /// What a width of the material does.
    pub fn movement(&self, m: &Material) -> Movement {
        let [low, high] = self.changes(m);
        Movement { shrinks: (-low).max(0.0), swells: high.max(0.0) }
    }

    /// The change of a width in the dry and in the wet season, as shares of the width in the workshop.
    pub fn changes(&self, m: &Material) -> [f64; 2] {
        let [from, dry, wet] = self.moistures();
        match m.form {
            Form::Sheet => [0.0; 2],
            Form::Solid => [dry, wet].map(|to| self.species(m).change(m.sawn, from, to)),
        }
    }

    /// A width in the workshop, in the dry and in the wet season.
    pub fn widths(&self, m: &Material, width: Length) -> [Length; 3] {
        let [dry, wet] = self.changes(m).map(|share| width + Length::from_mm(width.mm() * share));
        [width, dry, wet]
    }

    /// What the material weighs and bears.
    pub fn strength(&self, m: &Material) -> Strength {
        if let (Form::Sheet, Some(s)) = (m.form, self.woods.sheet(&m.name).or_else(|| self.woods.sheet("plywood"))) {
            let source = s.source.clone();
            return Strength { density: s.density, modulus: s.modulus, rupture: s.rupture, creep: s.creep, source };
        }
        let s = self.species(m);
        Strength {
            density: s.density(self.climate.workshop.moisture),
            modulus: s.modulus,
            rupture: s.rupture,
            creep: beam::CREEP,
            source: s.source.clone(),
        }
    }
}

impl Movement {
    /// What a width gains, rounded up.
    pub fn swell(&self, width: Length) -> Length {
        up(width.mm() * self.swells)
    }

    /// What a width loses, rounded up.
    pub fn shrink(&self, width: Length) -> Length {
        up(width.mm() * self.shrinks)
    }

    /// The widest that in the wet season is no wider than `most`.
    pub fn widest(&self, most: Length) -> Length {
        -up(-most.mm() / (1.0 + self.swells))
    }

    /// The narrowest that in the dry season is no narrower than `least`.
    pub fn narrowest(&self, least: Length) -> Length {
        up(least.mm() / (1.0 - self.shrinks))
    }
}

/// Up to the nanometre.
fn up(mm: f64) -> Length {
    Length::from_mm((mm * 1e6).ceil() / 1e6)
}

impl Play {
    /// The least room in any season.
    pub fn least_room(&self) -> Length {
        self.room.into_iter().min().unwrap_or_default()
    }

    /// The least hold in any season.
    pub fn least_hold(&self) -> Option<Length> {
        self.hold?.into_iter().min()
    }
}
