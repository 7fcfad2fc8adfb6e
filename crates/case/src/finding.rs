//! What an inspection says: level, rule, parts, figure, limit and mend.

use std::fmt;

use crate::part::PartId;

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Good to know.
    Note,
    /// Mind it, or ask.
    Caution,
    /// The piece cannot be built so.
    Stop,
}

/// What clears a finding: one parameter changed, or several at once where one alone only brings another finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The parameters' names, and the values that build, as an order would write them.
    pub settings: Vec<(String, String)>,
}

impl fmt::Display for Mend {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (name, value)) in self.settings.iter().enumerate() {
            write!(f, "{}{name} = {value}", if i == 0 { "" } else { " and " })?;
        }
        Ok(())
    }
}

/// One thing that an inspection found.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Its level.
    pub level: Level,
    /// The rule's id, as in `docs/findings.md`.
    pub rule: &'static str,
    /// The parts concerned.
    pub parts: Vec<PartId>,
    /// What is wrong, in words.
    pub what: String,
    /// The figure found.
    pub figure: String,
    /// The limit it breaks.
    pub limit: String,
    /// What to do, in words.
    pub advice: String,
    /// The change that clears it.
    pub mend: Option<Mend>,
}
