//! The record of one fault, and the list that all faults of a run go to.

use std::fmt;

use crate::Place;

/// One thing wrong in an input, told so that it can be mended.
///
/// The texts are phrases in lower case without a full stop; what the user wrote stands in backquotes (see [`tick`]).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub place: Place,
    /// What was found.
    pub what: String,
    /// What would do, with a legal example.
    pub expected: Option<String>,
    /// What to write or do.
    pub mend: Option<String>,
}

/// All faults of a run, in the order of their places.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faults(Vec<Fault>);

impl Fault {
    /// A fault of which only the place and the reason are known yet.
    pub fn new(place: &Place, what: impl Into<String>) -> Self {
        Self { place: place.clone(), what: what.into(), expected: None, mend: None }
    }

    /// Says what would do.
    #[must_use]
    pub fn expected(mut self, text: impl Into<String>) -> Self {
        self.expected = Some(text.into());
        self
    }

    /// Says what to write.
    #[must_use]
    pub fn mend(mut self, text: impl Into<String>) -> Self {
        self.mend = Some(text.into());
        self
    }
}

impl Faults {
    /// None yet.
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// Notes one; the same words at the same place are said once.
    pub fn push(&mut self, fault: Fault) {
        if !self.0.contains(&fault) {
            self.0.push(fault);
        }
    }

    /// Takes over all of another list.
    pub fn append(&mut self, other: Self) {
        other.0.into_iter().for_each(|f| self.push(f));
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many.
    pub const fn len(&self) -> usize {
        self.0.len()
    }

    /// One by one.
    pub fn iter(&self) -> std::slice::Iter<'_, Fault> {
        self.0.iter()
    }

    /// The value, if nothing was noted on the way to it; otherwise the faults, by source and place.
    ///
    /// # Errors
    /// The faults, if there are any; whoever gives up the value must have said why.
    pub fn or<T>(mut self, value: Option<T>) -> Result<T, Self> {
        match value {
            Some(value) if self.is_empty() => Ok(value),
            value => {
                debug_assert!(value.is_some() || !self.is_empty(), "given up without a fault");
                self.0.sort_by(|a, b| a.place.cmp_in_reading(&b.place));
                Err(self)
            }
        }
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Self {
        Self(vec![fault])
    }
}

/// What the user wrote, in backquotes: control characters escaped, and cut short where it is long.
pub fn tick(text: &str) -> String {
    const MOST: usize = 60;
    let shown: String = text.chars().take(MOST).flat_map(shown).collect();
    let more = if text.chars().nth(MOST).is_some() { "…" } else { "" };
    format!("`{shown}{more}`")
}

fn shown(c: char) -> impl Iterator<Item = char> {
    let escaped = c.is_control().then(|| c.escape_default());
    let plain = (!c.is_control()).then_some(c);
    escaped.into_iter().flatten().chain(plain)
}

/// All of them, one to a line.
impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|fault| writeln!(f, "{fault}"))
    }
}

/// On one line: `order.toml:7:1: unknown key `widht`; expected …; mend: …`.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.what)?;
        if let Some(expected) = &self.expected {
            write!(f, "; expected {expected}")?;
        }
        if let Some(mend) = &self.mend {
            write!(f, "; mend: {mend}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
