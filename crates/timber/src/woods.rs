//! The woods that are known: those built in, and a shop's own before them.

use std::sync::{Arc, LazyLock};

use fault::{Faults, Source, nearest};

use crate::read;
use crate::species::{Sheet, Species};

/// Species and sheet goods by name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Woods {
    /// Solid woods.
    pub species: Vec<Species>,
    /// Sheets.
    pub sheets: Vec<Sheet>,
}

static BUILT_IN: LazyLock<Woods> = LazyLock::new(|| {
    let mut faults = Faults::new();
    let woods = read::woods(&Source::new("woods.toml", include_str!("woods.toml")), &mut faults);
    // A test sees that the file is sound.
    debug_assert!(faults.is_empty(), "{faults}");
    woods
});

impl Woods {
    /// What is built in.
    pub fn built_in() -> &'static Self {
        &BUILT_IN
    }

    /// Reads a shop's own woods; where both name the same, its own win over those built in.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn read(source: &Arc<Source>) -> Result<Self, Faults> {
        let mut faults = Faults::new();
        let mut own = read::woods(source, &mut faults);
        let built_in = Self::built_in();
        own.species.extend(built_in.species.iter().cloned());
        own.sheets.extend(built_in.sheets.iter().cloned());
        faults.or(Some(own))
    }

    /// The species of a name, whatever its capitals.
    pub fn species(&self, name: &str) -> Option<&Species> {
        self.species.iter().find(|s| is_called(name, &s.name, &s.also))
    }

    /// The sheet good of a name, whatever its capitals.
    pub fn sheet(&self, name: &str) -> Option<&Sheet> {
        self.sheets.iter().find(|s| is_called(name, &s.name, &s.also))
    }

    /// The known name that an unknown one may have been meant for.
    pub fn nearest(&self, name: &str) -> Option<&str> {
        let species = self.species.iter().map(|s| (&s.name, &s.also));
        let sheets = self.sheets.iter().map(|s| (&s.name, &s.also));
        nearest(name, species.chain(sheets).flat_map(|(n, also)| std::iter::once(n).chain(also)).map(String::as_str))
    }
}

fn is_called(wanted: &str, name: &str, also: &[String]) -> bool {
    let wanted = wanted.trim().to_lowercase();
    name.to_lowercase() == wanted || also.iter().any(|other| other.to_lowercase() == wanted)
}
