//! A planted fault, where it sits, and whether the proof finds it there.

use proof::{Claim, Report, prove};

use crate::oracle;
use crate::subject::Subject;

/// A program with one thing wrong.
pub(crate) struct Planted {
    pub(crate) kind: &'static str,
    /// Subject and change, for the list of what was missed.
    pub(crate) what: String,
    pub(crate) text: String,
    pub(crate) claim: Claim,
    /// The lines that are wrong: naming one of them is naming the place.
    pub(crate) lines: Vec<usize>,
    /// The cuts that suffer: naming one of them is, too.
    pub(crate) cuts: Vec<String>,
    /// The text before the change, and its unit, where the change may leave the part as it is.
    pub(crate) may_be_idle: Option<(String, f64)>,
}

/// What became of a planted fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// It changes nothing of the part: no fault.
    Idle,
    /// Refused, and the place named.
    Caught,
    /// Refused, but the place is not named.
    Misplaced,
    /// Not noticed.
    Missed,
}

impl Planted {
    /// A fault at a line of a subject's text.
    pub(crate) fn at(kind: &'static str, subject: &Subject, line: usize, text: String) -> Self {
        let line_of = |text: &str| text.lines().nth(line - 1).unwrap_or_default().to_owned();
        let what = format!("{}:{line}: `{}` made `{}`", subject.name, line_of(&subject.text), line_of(&text));
        let claim = subject.claim.clone();
        Self { kind, what, text, claim, lines: vec![line], cuts: Vec::new(), may_be_idle: None }
    }

    /// A fault of the set-up: the text is good, the claim says what lies there.
    pub(crate) fn set_up(kind: &'static str, subject: &Subject, what: &str, claim: Claim) -> Self {
        let (lines, cuts) = (Vec::new(), Vec::new());
        let what = format!("{}: {what}", subject.name);
        Self { kind, what, text: subject.text.clone(), claim, lines, cuts, may_be_idle: None }
    }

    /// The same, and it may be that it changes nothing.
    pub(crate) fn perhaps(self, subject: &Subject) -> Self {
        Self { may_be_idle: Some((subject.text.clone(), subject.unit)), ..self }
    }

    pub(crate) fn lines(self, lines: impl IntoIterator<Item = usize>) -> Self {
        Self { lines: lines.into_iter().collect(), ..self }
    }

    pub(crate) fn cuts(self, cuts: Vec<String>) -> Self {
        Self { cuts, ..self }
    }

    pub(crate) fn try_it(&self) -> (Outcome, Report) {
        let report = prove(&self.text, &self.claim);
        let outcome = if report.is_proven() {
            match &self.may_be_idle {
                Some((good, unit)) if !oracle::alters(good, &self.text, *unit, &self.claim) => Outcome::Idle,
                _ => Outcome::Missed,
            }
        } else if self.is_named(&report) {
            Outcome::Caught
        } else {
            Outcome::Misplaced
        };
        (outcome, report)
    }

    fn is_named(&self, report: &Report) -> bool {
        let at = |line: u32| self.lines.contains(&(line as usize));
        report.faults.iter().any(|f| at(f.line) || f.given().is_some_and(at))
            || report.findings.iter().any(|f| {
                at(f.line)
                    || f.given.iter().any(|l| at(*l))
                    || f.cut.as_ref().is_some_and(|cut| self.cuts.contains(cut))
            })
    }
}

/// So many of all, spread evenly.
pub(crate) fn spread<T>(all: Vec<T>, most: usize) -> Vec<T> {
    let (n, most) = (all.len(), most.min(all.len()));
    let picked = |i: &usize| (0..most).any(|k| (2 * k + 1) * n / (2 * most).max(1) == *i);
    all.into_iter().enumerate().filter(|(i, _)| picked(i)).map(|(_, t)| t).collect()
}
