//! Places in a text: a source, a range of its bytes, and the line and column that people count by.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// A text that can be at fault: a file, or an argument of the command line.
#[derive(Debug, PartialEq, Eq)]
pub struct Source {
    /// As a message names it: a path as given, `--set 2`.
    pub name: String,
    /// All of it.
    pub text: String,
}

/// A range of a source. Cheap to clone.
#[derive(Clone, PartialEq, Eq)]
pub struct Place {
    source: Arc<Source>,
    span: Range<usize>,
}

/// Line and column, both from 1; columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// From 1.
    pub line: usize,
    /// From 1, in characters.
    pub column: usize,
}

impl Source {
    /// A source of that name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Arc<Self> {
        Arc::new(Self { name: name.into(), text: text.into() })
    }
}

impl Place {
    /// Those bytes of the source, drawn in to its end and to whole characters.
    pub fn new(source: &Arc<Source>, span: Range<usize>) -> Self {
        let start = source.text.floor_char_boundary(span.start);
        let end = source.text.ceil_char_boundary(span.end.max(start));
        Self { source: Arc::clone(source), span: start..end }
    }

    /// The source.
    pub const fn source(&self) -> &Arc<Source> {
        &self.source
    }

    /// Its bytes.
    pub const fn span(&self) -> &Range<usize> {
        &self.span
    }

    /// Where it starts.
    pub fn start(&self) -> Position {
        self.position(self.span.start)
    }

    /// Where it ends, the column after the last character.
    pub fn end(&self) -> Position {
        self.position(self.span.end)
    }

    /// The line it starts on, without its end.
    pub fn line(&self) -> &str {
        let text = &self.source.text;
        let from = text[..self.span.start].rfind('\n').map_or(0, |i| i + 1);
        text[from..].lines().next().unwrap_or("")
    }

    /// The part `at` of a quoted text that stands here and says `content`: exact where the file spells the content as
    /// it is, the whole text where it is escaped.
    #[must_use]
    pub fn within(&self, content: &str, at: Range<usize>) -> Self {
        let written = &self.source.text[self.span.clone()];
        let quotes = ["\"\"\"", "'''", "\"", "'", ""];
        let inside = quotes.iter().find_map(|q| {
            let inner = written.strip_prefix(q)?.strip_suffix(q)?;
            (inner == content).then_some(q.len())
        });
        match inside {
            Some(quote) => {
                let from = self.span.start + quote;
                Self::new(&self.source, from + at.start..(from + at.end).min(self.span.end))
            }
            None => self.clone(),
        }
    }

    /// By the source's name, then from its beginning to its end.
    pub(crate) fn cmp_in_reading(&self, o: &Self) -> std::cmp::Ordering {
        self.source.name.cmp(&o.source.name).then(self.span.start.cmp(&o.span.start))
    }

    fn position(&self, at: usize) -> Position {
        let before = &self.source.text[..at];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        Position { line: before.matches('\n').count() + 1, column: before[line_start..].chars().count() + 1 }
    }
}

impl fmt::Debug for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// `order.toml:7:9`.
impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let start = self.start();
        write!(f, "{}:{}:{}", self.source.name, start.line, start.column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let source = Source::new("order.toml", "customer = \"Ö\"\nwidth = 1");
        let place = Place::new(&source, 16..21);
        assert_eq!((place.to_string().as_str(), place.line()), ("order.toml:2:1", "width = 1"));
        assert_eq!(Place::new(&source, 11..15).end(), Position { line: 1, column: 15 });
    }

    #[test]
    fn a_part_of_a_quoted_text_is_found_unless_it_is_escaped() {
        let source = Source::new("x", r#"'a + b' "3\" + b""#);
        assert_eq!(Place::new(&source, 0..7).within("a + b", 4..5).span(), &(5..6));
        assert_eq!(Place::new(&source, 8..17).within("3\" + b", 5..6).span(), &(8..17));
    }
}
