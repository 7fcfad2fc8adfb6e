//! The grammar of formulas.
//!
//! ```text
//! sum     = product { ("+" | "-") product }
//! product = signed { ("*" | "/") signed }
//! signed  = { "-" } atom
//! atom    = length | number | name | ("min" | "max" | "floor") "(" sum { "," sum } ")" | "(" sum ")"
//! ```
//!
//! A length is a literal with its unit, read by [`measure::literal`]: `2 1/2 in` and `3/4 in` are one literal each.

use std::ops::Range;

use fault::tick;

use super::{Expr, Flaw, Function, Kind, Op, Ratio};

/// Formulas deeper than this are refused, so that no file can exhaust the stack.
const DEEPEST: usize = 24;

/// Reads a whole text as a formula.
pub(super) fn parse(text: &str) -> Result<Expr, Flaw> {
    let mut parser = Parser { text, at: 0, depth: 0 };
    let expr = parser.sum()?;
    parser.skip_spaces();
    if parser.at < text.len() {
        let rest = parser.word(parser.at);
        let flaw = if text[rest.clone()].starts_with(')') {
            Flaw::new(rest, "a closing parenthesis without its opening one")
        } else {
            Flaw::new(rest.clone(), format!("{} does not follow on what stands before it", tick(&text[rest])))
                .expected("`+`, `-`, `*`, `/` or the end")
        };
        return Err(flaw);
    }
    Ok(expr)
}

struct Parser<'t> {
    text: &'t str,
    at: usize,
    depth: usize,
}

impl Parser<'_> {
    fn sum(&mut self) -> Result<Expr, Flaw> {
        self.chain(&[(b'+', Op::Add), (b'-', Op::Subtract)], Self::product)
    }

    fn product(&mut self) -> Result<Expr, Flaw> {
        self.chain(&[(b'*', Op::Multiply), (b'/', Op::Divide)], Self::signed)
    }

    /// Operands of one rank, from left to right.
    fn chain(&mut self, ops: &[(u8, Op)], operand: fn(&mut Self) -> Result<Expr, Flaw>) -> Result<Expr, Flaw> {
        let first = operand(self)?;
        let mut rest = Vec::new();
        while let Some((_, op)) = self.peek().and_then(|b| ops.iter().find(|(sign, _)| *sign == b)) {
            self.at += 1;
            rest.push((*op, operand(self)?));
        }
        let Some((_, last)) = rest.last() else { return Ok(first) };
        let at = first.at.start..last.at.end;
        Ok(Expr { at, kind: Kind::Chain(Box::new(first), rest) })
    }

    fn signed(&mut self) -> Result<Expr, Flaw> {
        if self.peek() != Some(b'-') {
            return self.atom();
        }
        let start = self.at;
        self.at += 1;
        let inner = self.deeper(start, Self::signed)?;
        Ok(Expr { at: start..inner.at.end, kind: Kind::Negate(Box::new(inner)) })
    }

    fn atom(&mut self) -> Result<Expr, Flaw> {
        let Some(next) = self.peek() else {
            return Err(Flaw::new(self.at..self.at, "the formula breaks off").expected("a length, a number or a name"));
        };
        let start = self.at;
        match next {
            b'(' => {
                self.at += 1;
                let inner = self.deeper(start, Self::sum)?;
                self.close(start)?;
                Ok(Expr { at: start..self.at, kind: inner.kind })
            }
            b'0'..=b'9' | b'.' => self.figure(),
            b'a'..=b'z' | b'A'..=b'Z' | b'_' => {
                let word = self.word(start);
                self.at = word.end;
                if self.peek() == Some(b'(') { self.call(word) } else { Ok(self.name(word)) }
            }
            _ => {
                let word = self.word(start);
                let what = format!("{} is no part of a formula", tick(&self.text[word.clone()]));
                Err(Flaw::new(word, what).expected("a length, a number or a name"))
            }
        }
    }

    fn name(&self, word: Range<usize>) -> Expr {
        Expr { at: word.clone(), kind: Kind::Name(self.text[word].to_owned()) }
    }

    fn figure(&mut self) -> Result<Expr, Flaw> {
        let start = self.at;
        let rest = &self.text[start..];
        let literal = measure::literal(rest);
        let literal = literal.map_err(|m| Flaw::new(start + m.at.start..start + m.at.end, m.to_string()))?;
        if let Some((length, used)) = literal {
            self.at = start + used;
            return Ok(Expr { at: start..self.at, kind: Kind::Length(length) });
        }
        let used = rest.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
        self.at = start + used;
        self.refuse_company(start)?;
        match Ratio::from_decimal(&rest[..used]) {
            Some(number) => Ok(Expr { at: start..self.at, kind: Kind::Number(number) }),
            None => Err(Flaw::new(start..self.at, format!("{} is not a number", tick(&rest[..used])))),
        }
    }

    /// After a figure that is no length: a word there is meant as a unit, and a figure as a fraction.
    fn refuse_company(&mut self, start: usize) -> Result<(), Flaw> {
        let before = self.at;
        match self.peek() {
            Some(b'a'..=b'z' | b'A'..=b'Z') => {
                let word = self.word(self.at);
                let found = &self.text[word.clone()];
                let flaw = Flaw::new(word, format!("unknown unit {}", tick(found)));
                Err(match found.to_lowercase().as_str() {
                    "inch" | "inches" => flaw.mend("write `in`"),
                    "foot" | "feet" => flaw.mend("write `ft`"),
                    _ => flaw.expected(measure::UNIT_WORDS),
                })
            }
            Some(b'0'..=b'9') => {
                let end = self.word(self.at).end;
                Err(Flaw::new(start..end, "two figures side by side").mend("add the unit, as in `1 1/2 in`"))
            }
            // Between the parentheses of a function a comma parts its arguments.
            Some(b',') if self.depth == 0 => {
                let end = self.word(self.at + 1).end;
                Err(Flaw::new(start..end, "a comma inside a figure").mend("write decimals with a point"))
            }
            _ => {
                self.at = before;
                Ok(())
            }
        }
    }

    fn call(&mut self, word: Range<usize>) -> Result<Expr, Flaw> {
        let start = word.start;
        let function = match &self.text[word.clone()] {
            "min" => Function::Min,
            "max" => Function::Max,
            "floor" => Function::Floor,
            other => {
                let flaw = Flaw::new(word.clone(), format!("unknown function {}", tick(other)));
                return Err(flaw.expected("`min`, `max` or `floor`"));
            }
        };
        let open = self.at;
        self.at += 1;
        let mut arguments = vec![self.deeper(start, Self::sum)?];
        while self.peek() == Some(b',') {
            self.at += 1;
            arguments.push(self.deeper(start, Self::sum)?);
        }
        self.close(open)?;
        let at = start..self.at;
        if function == Function::Floor && arguments.len() > 1 {
            return Err(Flaw::new(at, "`floor` takes one number"));
        }
        Ok(Expr { at, kind: Kind::Call(function, arguments) })
    }

    fn close(&mut self, open: usize) -> Result<(), Flaw> {
        if self.peek() == Some(b')') {
            self.at += 1;
            return Ok(());
        }
        Err(Flaw::new(open..open + 1, "a parenthesis that is not closed").mend("add `)`"))
    }

    fn deeper<T>(&mut self, start: usize, inner: fn(&mut Self) -> Result<T, Flaw>) -> Result<T, Flaw> {
        if self.depth == DEEPEST {
            let flaw = Flaw::new(start..start + 1, format!("nested more than {DEEPEST} deep"));
            return Err(flaw.mend("name a part of it under `[sizes]`"));
        }
        self.depth += 1;
        let value = inner(self);
        self.depth -= 1;
        value
    }

    fn skip_spaces(&mut self) {
        self.at = self.text.len() - self.text[self.at..].trim_start().len();
    }

    /// The next byte that is no space; stays before it.
    fn peek(&mut self) -> Option<u8> {
        self.skip_spaces();
        self.text.as_bytes().get(self.at).copied()
    }

    /// The word, the figure or the single character at `start`.
    fn word(&self, start: usize) -> Range<usize> {
        let rest = &self.text[start..];
        let length = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        start..start + length.max(rest.chars().next().map_or(0, char::len_utf8))
    }
}
