//! What an inspection says: level, rule, parts, figure, limit and mend.

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

/// A change of one parameter that clears a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The parameter's name.
    pub parameter: String,
    /// The value that builds, as an order would write it.
    pub value: String,
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
    /// The change that clears it, where one parameter can.
    pub mend: Option<Mend>,
}
