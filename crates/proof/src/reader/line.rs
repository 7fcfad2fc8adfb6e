//! One line of text to its words: NISTIR 6556, 3.3 and Table 3. What the words mean together is `rules`' business.
//!
//! Nothing is allocated: the words of a line lie in an array by letter, and a bit set says which of them are there.

use super::fault::{G, Kind};
use super::number::{Number, number};

/// Longest line that the reference interpreter takes, without its end.
pub(super) const LONGEST: usize = 253;

/// The axes X, Y, Z as a set of letters.
pub(super) const AXES: Letters = Letters::of(b"XYZ");

/// A set of letters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Letters(u32);

impl Letters {
    pub(super) const NONE: Self = Self(0);

    pub(super) const fn of(letters: &[u8]) -> Self {
        let (mut bits, mut i) = (0, 0);
        while i < letters.len() {
            bits |= 1 << (letters[i] - b'A');
            i += 1;
        }
        Self(bits)
    }

    pub(super) const fn has(self, letter: u8) -> bool {
        self.0 & (1 << (letter - b'A')) != 0
    }

    pub(super) const fn meets(self, o: Self) -> bool {
        self.0 & o.0 != 0
    }

    pub(super) const fn within(self, o: Self) -> bool {
        self.0 & !o.0 == 0
    }

    pub(super) const fn and(self, o: Self) -> Self {
        Self(self.0 | o.0)
    }

    pub(super) const fn without(self, o: Self) -> Self {
        Self(self.0 & !o.0)
    }

    /// The first of them in the alphabet.
    #[expect(clippy::cast_possible_truncation, reason = "below 32")]
    pub(super) const fn first(self) -> Option<u8> {
        if self.0 == 0 { None } else { Some(b'A' + self.0.trailing_zeros() as u8) }
    }
}

/// A G or M word: its number, and where it stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Code {
    pub number: u16,
    pub at: usize,
}

/// The words of one line.
#[derive(Debug)]
pub(super) struct Words {
    /// The letters other than G, M and N.
    pub present: Letters,
    values: [f64; 26],
    at: [usize; 26],
    /// G codes in tenths, by modal group; see [`super::codes`].
    pub g: [Option<Code>; super::codes::G_GROUPS],
    /// M codes, by modal group.
    pub m: [Option<Code>; super::codes::M_GROUPS],
    m_count: u8,
    /// `/` stood first.
    pub block_delete: bool,
    /// The place of a line number.
    pub line_number: Option<usize>,
    /// The place of a number of an axis, an offset, R or Q that has no decimal point.
    pub no_point: Option<usize>,
    /// The place of a comment.
    pub comment: Option<usize>,
    /// Characters outside comments and spaces.
    pub dense: usize,
    /// There was a G or an M word.
    pub coded: bool,
}

impl Words {
    pub(super) const fn new() -> Self {
        Self {
            present: Letters::NONE,
            values: [0.0; 26],
            at: [0; 26],
            g: [None; super::codes::G_GROUPS],
            m: [None; super::codes::M_GROUPS],
            m_count: 0,
            block_delete: false,
            line_number: None,
            no_point: None,
            comment: None,
            dense: 0,
            coded: false,
        }
    }

    fn clear(&mut self) {
        self.present = Letters::NONE;
        if self.coded {
            self.g = [None; super::codes::G_GROUPS];
            self.m = [None; super::codes::M_GROUPS];
            self.m_count = 0;
            self.coded = false;
        }
        self.block_delete = false;
        self.line_number = None;
        self.no_point = None;
        self.comment = None;
        self.dense = 0;
    }

    /// The value of the word, if it is there.
    pub(super) const fn get(&self, letter: u8) -> Option<f64> {
        if self.present.has(letter) { Some(self.values[(letter - b'A') as usize]) } else { None }
    }

    /// Where the word stands; 0 when it does not.
    pub(super) const fn place(&self, letter: u8) -> usize {
        if self.present.has(letter) { self.at[(letter - b'A') as usize] } else { 0 }
    }

    /// Where the first of the words X, Y and Z stands.
    pub(super) fn first_axis_place(&self) -> usize {
        b"XYZ".iter().filter(|l| self.present.has(**l)).map(|l| self.place(*l)).min().unwrap_or(0)
    }

    /// Nothing is to be done on the line.
    pub(super) const fn is_idle(&self) -> bool {
        !self.coded && self.present.0 == 0
    }

    /// Reads a line.
    ///
    /// # Errors
    /// The first fault and its place; what follows it on the line is not read.
    pub(super) fn read(&mut self, line: &[u8]) -> Result<(), (Kind, usize)> {
        self.clear();
        if line.len() > LONGEST {
            return Err((Kind::LineTooLong(line.len()), LONGEST));
        }
        let mut i = 0;
        let mut begun = false;
        while let Some(&b) = line.get(i) {
            if b == b' ' || b == b'\t' {
                i += 1;
                continue;
            }
            let upper = b & !0x20;
            if upper.is_ascii_uppercase() && b.is_ascii_alphabetic() {
                if matches!(upper, b'E' | b'O' | b'U' | b'V' | b'W') {
                    return Err((odd_letter(line, i, upper), i));
                }
                let (n, end) = number(line, i + 1, upper as char)?;
                self.dense += end - i;
                self.word(upper, n, i, begun)?;
                i = end;
            } else {
                match b {
                    b'(' => {
                        i = self.skip_comment(line, i)?;
                        // A comment does not count as begun: the line number may follow it only if nothing else does.
                        continue;
                    }
                    b'/' if !begun && !self.block_delete && self.comment.is_none() => self.block_delete = true,
                    b'/' => return Err((Kind::LateBlockDelete, i)),
                    b')' => return Err((Kind::StrayParenthesis, i)),
                    b';' => return Err((Kind::Semicolon, i)),
                    b'#' => return Err((Kind::Parameter, i)),
                    b'[' | b']' => return Err((Kind::Expression, i)),
                    b'%' => return Err((Kind::Percent, i)),
                    _ => return Err((Kind::BadByte(b), i)),
                }
                self.dense += 1;
                i += 1;
                continue;
            }
            begun = true;
        }
        Ok(())
    }

    fn skip_comment(&mut self, line: &[u8], open: usize) -> Result<usize, (Kind, usize)> {
        self.comment = Some(open);
        for (i, &b) in line.iter().enumerate().skip(open + 1) {
            match b {
                b')' => return Ok(i + 1),
                b'(' => return Err((Kind::NestedComment, i)),
                _ => {}
            }
        }
        Err((Kind::OpenComment, open))
    }

    fn word(&mut self, letter: u8, n: Number, at: usize, begun: bool) -> Result<(), (Kind, usize)> {
        match letter {
            b'N' => {
                if begun || self.comment.is_some() {
                    return Err((Kind::LateLineNumber, at));
                }
                // The reference takes `N000001`; the report allows five digits (3.3.1).
                if !n.bare || n.digits > 5 {
                    return Err((Kind::BadLineNumber, at));
                }
                self.line_number = Some(at);
            }
            b'G' => {
                let tenths = whole(n.value * 10.0).ok_or((Kind::UnknownG(n.value), at))?;
                let group =
                    super::codes::g_group(tenths).map_err(|kind| (kind.unwrap_or(Kind::UnknownG(n.value)), at))?;
                if let Some(other) = self.g[group] {
                    return Err((Kind::SameGroup(G(other.number), G(tenths)), at));
                }
                self.g[group] = Some(Code { number: tenths, at });
                self.coded = true;
            }
            b'M' => {
                let code = whole(n.value).ok_or((Kind::NotWhole('M', n.value), at))?;
                let group = super::codes::m_group(code).ok_or((Kind::UnknownM(n.value), at))?;
                self.m_count += 1;
                if self.m_count > 4 {
                    return Err((Kind::ManyM, at));
                }
                if let Some(other) = self.m[group] {
                    return Err((Kind::SameMGroup(other.number, code), at));
                }
                self.m[group] = Some(Code { number: code, at });
                self.coded = true;
            }
            _ => {
                if self.present.has(letter) {
                    return Err((Kind::Repeated(letter as char), at));
                }
                if !n.point && self.no_point.is_none() && Letters::of(b"XYZIJKRQ").has(letter) {
                    self.no_point = Some(at);
                }
                let slot = (letter - b'A') as usize;
                self.values[slot] = n.value;
                self.at[slot] = at;
                self.present.0 |= 1 << slot;
            }
        }
        Ok(())
    }
}

/// An `E` right behind a number was meant as an exponent.
fn odd_letter(line: &[u8], at: usize, letter: u8) -> Kind {
    let before = line[..at].iter().rev().find(|b| !matches!(b, b' ' | b'\t'));
    let after_number = before.is_some_and(|b| b.is_ascii_digit() || *b == b'.');
    if letter == b'E' && after_number { Kind::Exponent } else { Kind::NotALetter(letter as char) }
}

/// The whole number within 0.0001 of it (3.3.2.1), if it is not negative and fits.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded, and checked to fit")]
pub(super) fn whole(value: f64) -> Option<u16> {
    let near = value.round();
    ((value - near).abs() <= 0.0001 && (0.0..=f64::from(u16::MAX)).contains(&near)).then_some(near as u16)
}
