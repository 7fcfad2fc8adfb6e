//! Faults as people read them, with the line and a caret, and as programs read them, in JSON.
//!
//! The one-line form is [`Fault`]'s `Display`.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use serde::Serialize;

use crate::{Fault, Faults};

/// Whether a terminal shows colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    /// Plain text.
    Without,
    /// With the escapes of a terminal.
    With,
}

impl Faults {
    /// For a person: of each fault the file, line and column, the line itself with a caret, what was expected, and the
    /// mend. Ends with a line end.
    pub fn human(&self, colour: Colour) -> String {
        let renderer = match colour {
            Colour::Without => Renderer::plain(),
            Colour::With => Renderer::styled(),
        };
        let shown: Vec<String> = self.iter().map(|fault| one(fault, &renderer)).collect();
        format!("{}\n", shown.join("\n\n"))
    }

    /// For a program: a JSON array of objects with `file`, `line`, `column`, `end_line`, `end_column` (from 1, columns
    /// in characters, the end exclusive), `text` (the line), `what`, `expected` and `mend` (null where there is none).
    pub fn json(&self) -> serde_json::Value {
        let records: Vec<_> = self.iter().map(|fault| serde_json::json!(Record::from(fault))).collect();
        serde_json::Value::Array(records)
    }
}

fn one(fault: &Fault, renderer: &Renderer) -> String {
    let source = fault.place.source();
    let caret = AnnotationKind::Primary.span(fault.place.span().clone());
    let caret = match &fault.expected {
        Some(expected) => caret.label(format!("expected {expected}")),
        None => caret,
    };
    let snippet = Snippet::source(source.text.as_str()).path(source.name.as_str()).annotation(caret);
    let group = Level::ERROR.primary_title(fault.what.as_str()).element(snippet);
    let group = match &fault.mend {
        Some(mend) => group.element(Level::HELP.with_name("mend").message(mend.as_str())),
        None => group,
    };
    renderer.render(&[group])
}

#[derive(Serialize)]
struct Record<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    text: &'a str,
    what: &'a str,
    expected: Option<&'a str>,
    mend: Option<&'a str>,
}

impl<'a> From<&'a Fault> for Record<'a> {
    fn from(fault: &'a Fault) -> Self {
        let (start, end) = (fault.place.start(), fault.place.end());
        Self {
            file: &fault.place.source().name,
            line: start.line,
            column: start.column,
            end_line: end.line,
            end_column: end.column,
            text: fault.place.line(),
            what: &fault.what,
            expected: fault.expected.as_deref(),
            mend: fault.mend.as_deref(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Place, Source};

    fn sample() -> Faults {
        let source = Source::new("order.toml", "[parameters]\nwidht = \"42 in\"\n");
        let fault = Fault::new(&Place::new(&source, 13..18), "unknown key `widht`");
        Faults::from(fault.expected("one of the parameters").mend("write `width`"))
    }

    #[test]
    fn a_person_sees_the_line_the_caret_and_the_mend() {
        let expected = "\
error: unknown key `widht`
 --> order.toml:2:1
  |
2 | widht = \"42 in\"
  | ^^^^^ expected one of the parameters
  |
  = mend: write `width`
";
        assert_eq!(sample().human(Colour::Without), expected);
    }

    #[test]
    fn a_program_gets_fields() {
        let expected = serde_json::json!([{
            "file": "order.toml", "line": 2, "column": 1, "end_line": 2, "end_column": 6, "text": "widht = \"42 in\"",
            "what": "unknown key `widht`", "expected": "one of the parameters", "mend": "write `width`",
        }]);
        assert_eq!(sample().json(), expected);
    }
}
