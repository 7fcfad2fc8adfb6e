//! Formulas over parameters: `2 * width`, `(height - 3 in) / rows`, `min(depth, 16 in)`.
//!
//! Lengths and numbers never mix silently: a length times a number is a length, a length over a length a number, and
//! a length plus a number, or a length times a length, a fault. Results are exact fractions until they are used.

mod evaluate;
mod parse;
mod ratio;

use std::ops::Range;

use measure::Length;

pub use evaluate::{Quantity, Scope};
pub use ratio::Ratio;

/// A text of a file and, if it is one, the formula that it spells.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// As written.
    pub text: String,
    parsed: Result<Expr, Flaw>,
}

/// What is wrong with a formula; `at` counts the bytes of its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flaw {
    /// Where.
    pub at: Range<usize>,
    /// What was found.
    pub what: String,
    /// What would do.
    pub expected: Option<String>,
    /// What to write.
    pub mend: Option<String>,
}

#[derive(Clone, Debug, PartialEq)]
struct Expr {
    at: Range<usize>,
    kind: Kind,
}

#[derive(Clone, Debug, PartialEq)]
enum Kind {
    Number(Ratio),
    Length(Length),
    Name(String),
    Negate(Box<Expr>),
    /// From left to right; a long sum is no deeper than a short one.
    Chain(Box<Expr>, Vec<(Op, Expr)>),
    Call(Function, Vec<Expr>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Op {
    Add,
    Subtract,
    Multiply,
    Divide,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Function {
    Min,
    Max,
    Floor,
}

/// Words that a parameter cannot be called.
pub(crate) fn is_reserved(word: &str) -> bool {
    measure::is_unit(word) || matches!(word, "min" | "max" | "floor" | "true" | "false")
}

impl Formula {
    /// Parses a text once; a text that is no formula keeps its flaw until somebody wants one.
    pub fn new(text: impl Into<String>) -> Self {
        let text = text.into();
        let parsed = parse::parse(&text);
        Self { text, parsed }
    }

    /// What it comes to. Nothing in the flaw's place means that a name it uses is at fault itself.
    ///
    /// # Errors
    /// The flaw of the text or of the reckoning.
    pub fn evaluate(&self, scope: &Scope<'_>) -> Result<Quantity, Option<Flaw>> {
        match &self.parsed {
            Ok(expr) => expr.evaluate(scope),
            Err(flaw) => Err(Some(flaw.clone())),
        }
    }

    /// The names it uses, and where; one that is used twice comes twice.
    pub fn names(&self) -> Vec<(&str, Range<usize>)> {
        let mut names = Vec::new();
        let mut open: Vec<&Expr> = self.parsed.as_ref().ok().into_iter().collect();
        while let Some(expr) = open.pop() {
            match &expr.kind {
                Kind::Number(_) | Kind::Length(_) => {}
                Kind::Name(name) => names.push((name.as_str(), expr.at.clone())),
                Kind::Negate(inner) => open.push(inner),
                Kind::Chain(first, rest) => {
                    open.push(first);
                    open.extend(rest.iter().map(|(_, e)| e));
                }
                Kind::Call(_, arguments) => open.extend(arguments),
            }
        }
        names
    }
}

impl Flaw {
    fn new(at: Range<usize>, what: impl Into<String>) -> Self {
        Self { at, what: what.into(), expected: None, mend: None }
    }

    fn expected(mut self, text: impl Into<String>) -> Self {
        self.expected = Some(text.into());
        self
    }

    fn mend(mut self, text: impl Into<String>) -> Self {
        self.mend = Some(text.into());
        self
    }
}
