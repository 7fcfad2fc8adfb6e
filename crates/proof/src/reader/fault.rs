//! What is wrong with a program's text: where, and in words.
//!
//! Three classes, told apart because they mean different things to whoever mends the file: the standard itself refuses
//! the line; the line is legal but outside the subset that is proven here; or an interpreter takes the line and hurts
//! somebody, because something is left to chance.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Why a fault is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Class {
    /// NISTIR 6556 refuses it.
    Language,
    /// Legal, but not in the subset that is proven.
    Subset,
    /// An interpreter takes it; what it does depends on the state that the machine was left in, or on luck.
    Chance,
}

/// One fault in a program's text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// What it is.
    pub kind: Kind,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.line, self.column, self.kind)
    }
}

impl Fault {
    /// Another line that may be to blame: the one whose end is the start of an arc that does not close.
    pub const fn given(&self) -> Option<u32> {
        if let Kind::ArcRadii(_, _, from) = self.kind { Some(from) } else { None }
    }
}

macro_rules! kinds {
    ($($(#[doc = $doc:literal])+ $name:ident $(($($field:ident: $ty:ty),+))? $class:ident $id:literal, $($text:expr),+;)+) => {
        /// What can be wrong with a program's text.
        #[derive(Clone, Copy, Debug, PartialEq)]
        #[non_exhaustive]
        pub enum Kind {
            $($(#[doc = $doc])+ $name $(($($ty),+))?,)+
        }

        impl Kind {
            /// A short name that stays the same from version to version.
            pub const fn id(&self) -> &'static str {
                match self { $(Self::$name { .. } => $id,)+ }
            }

            /// Why it is a fault.
            pub const fn class(&self) -> Class {
                match self { $(Self::$name { .. } => Class::$class,)+ }
            }
        }

        impl fmt::Display for Kind {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self { $(Self::$name $(($($field),+))? => write!(f, $($text),+),)+ }
            }
        }
    };
}

/// A G code held as tenths, printed as it is written: `G1`, `G59.1`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct G(pub u16);

impl fmt::Display for G {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_multiple_of(10) {
            write!(f, "G{}", self.0 / 10)
        } else {
            write!(f, "G{}.{}", self.0 / 10, self.0 % 10)
        }
    }
}

kinds! {
    // The line.
    /// More than 253 characters before the line end (3.3 says 256 with it; the reference interpreter takes 253).
    LineTooLong(length: usize) Language "line-too-long", "line of {length} characters, at most 253 are read";
    /// A byte that is no letter, digit, sign or space.
    BadByte(byte: u8) Language "bad-character", "`{}` has no meaning outside a comment", byte.escape_ascii();
    /// A letter that begins no word (Table 3).
    NotALetter(letter: char) Language "no-such-word", "no word begins with `{letter}`";
    /// `1e2`: numbers have no exponent (3.3.2.1).
    Exponent Language "exponent", "a number has no exponent, write its digits out";
    /// A word without a number.
    NoDigits(letter: char) Language "no-digits", "`{letter}` has no number after it";
    /// A second decimal point.
    TwoPoints(letter: char) Language "two-points", "the number after `{letter}` has two decimal points";
    /// A `(` without its `)` on the same line.
    OpenComment Language "open-comment", "the comment is not closed on its line";
    /// A `(` within a comment.
    NestedComment Language "nested-comment", "a comment cannot hold another `(`";
    /// A `)` on its own.
    StrayParenthesis Language "stray-parenthesis", "`)` closes nothing";
    /// `;` begins comments elsewhere, not here.
    Semicolon Language "semicolon", "`;` is not in the language, comments stand in `( )`";
    /// `/` anywhere but first.
    LateBlockDelete Language "late-block-delete", "`/` must be the first character of its line";
    /// `N` after another word.
    LateLineNumber Language "late-line-number", "the line number must come before every other word";
    /// A line number with a sign, a point or more than five digits.
    BadLineNumber Language "bad-line-number", "a line number is one to five digits without sign or point";
    /// `%` with company on its line, or amid the program.
    Percent Language "percent", "`%` stands alone on the first line and on the last one";
    /// A first `%` and no second one.
    PercentUnpaired Language "percent-unpaired", "the file begins with `%` and has no second one at its end";
    /// Neither M2, M30 nor a pair of `%`.
    NoEnd Language "no-end", "the program has no end: M2 or M30 is missing";
    /// `#`.
    Parameter Subset "parameter", "parameters (`#`) are not in the proven subset";
    /// `[`.
    Expression Subset "expression", "expressions (`[ ]`) are not in the proven subset";

    // Words.
    /// A word twice on a line.
    Repeated(letter: char) Language "repeated-word", "`{letter}` stands twice on the line";
    /// Two G codes of one modal group.
    SameGroup(a: G, b: G) Language "same-group", "{a} and {b} exclude each other on one line";
    /// Two M codes of one modal group.
    SameMGroup(a: u16, b: u16) Language "same-group", "M{a} and M{b} exclude each other on one line";
    /// More than four M words.
    ManyM Language "many-m", "more than four M words on the line";
    /// A number that must be whole.
    NotWhole(letter: char, value: f64) Language "not-whole", "`{letter}` takes a whole number, not {value}";
    /// No such G code.
    UnknownG(value: f64) Language "unknown-g", "there is no G{value}";
    /// No such M code.
    UnknownM(value: f64) Language "unknown-m", "there is no M{value}";
    /// A legal G code that is not proven here.
    OutsideG(code: G, why: &'static str) Subset "outside-subset", "{code} is not in the proven subset: {why}";
    /// A rotary axis.
    Rotary(letter: char) Subset "rotary-axis", "`{letter}` turns a rotary axis, the proof knows three straight ones";
    /// A number that may not be negative.
    Negative(letter: char, value: f64) Language "negative", "`{letter}` may not be negative ({value})";
    /// A slot past the last one.
    PastLastSlot(letter: char, value: f64) Language "past-last-slot", "`{letter}{value}` is past the last slot";
    /// A word that nothing on the line uses.
    Unused(letter: char, needs: &'static str) Language "unused-word", "nothing on the line uses `{letter}`, it needs {needs}";

    // Motion.
    /// Axis words and no motion in force.
    NoMotion Language "no-motion", "axis words, but no motion is in force";
    /// A motion code without axis words (3.5.1).
    NoAxis(code: G) Language "no-axis", "{code} needs an axis word on its line";
    /// G4 without P.
    NoDwell Language "no-dwell-time", "G4 needs P, the seconds to wait";
    /// G43 without H.
    NoOffset Language "no-offset-number", "G43 needs H, the number of the tool's length offset";
    /// Inverse time without F on the line.
    NoInverseFeed Language "no-inverse-feed", "in G93 every feed move needs F on its own line";
    /// G1, G2 or G3 with no feed.
    NoFeed(code: G) Language "no-feed", "{code} with no feed set, or set to zero";
    /// M6 and nothing selected.
    NoToolSelected Chance "no-tool-selected", "M6 with no T before it: which tool goes in is left to chance";
    /// An incremental move or an arc from nowhere.
    PositionUnknown(axis: char) Chance "position-unknown", "the move needs a known {axis} to start from";
    /// Another coordinate system than before.
    SecondSystem(code: G) Subset "second-system", "{code} moves the origin to a place that the proof cannot know";

    // Arcs.
    /// None of the plane's axis words.
    ArcNoAxis(code: G) Language "arc-no-axis", "{code} needs an axis word of its plane, for a full circle too";
    /// Neither offsets nor radius.
    ArcNoCentre(code: G) Language "arc-no-centre", "{code} needs its centre's offsets or a radius";
    /// Both formats.
    ArcTwoFormats Language "arc-two-formats", "an arc has a radius or the offsets of its centre, not both";
    /// The offset across the plane.
    ArcThirdOffset(letter: char) Language "arc-third-offset", "`{letter}` is no offset in the plane of the arc";
    /// The radius at the end differs from the one at the start.
    ArcRadii(start: f64, end: f64, from: u32) Language "arc-radii", "the radius is {start:.5} mm at the arc's start, where line {from} left it, and {end:.5} mm at its end";
    /// No radius at all.
    ArcZeroRadius Language "arc-zero-radius", "the arc's radius is zero";
    /// End equal to start in radius format.
    ArcNoChord Language "arc-no-chord", "an arc by its radius cannot end where it starts";
    /// A radius too short for the chord.
    ArcShortRadius(radius: f64, least: f64) Language "arc-short-radius", "radius {radius} mm does not reach over the chord, which takes {least} mm";
    /// A chord of a few last digits: a rounding away from a full circle, or from none.
    ArcTinyChord(chord: f64) Chance "arc-tiny-chord", "the arc's ends are only {chord:.5} mm apart: a rounding away from another arc";

    // Canned cycles.
    /// A word that the cycle needs.
    CycleWord(code: G, letter: char) Language "cycle-word", "{code} needs `{letter}`";
    /// R below Z.
    CycleBelow Language "cycle-below", "the cycle's R lies below its Z";
    /// L0.
    CycleRepeats Language "cycle-repeats", "`L` must be at least 1";
    /// Q not positive.
    CyclePeck Language "cycle-peck", "the peck `Q` must be more than zero";
    /// So many pecks are no hole.
    CyclePecks(pecks: f64) Subset "cycle-pecks", "the cycle takes {pecks} pecks, at most 1000 are read on a line";
    /// In G93.
    CycleInverse Language "cycle-inverse-time", "canned cycles are not allowed in G93";
    /// Not in the XY plane.
    CyclePlane Subset "cycle-plane", "canned cycles are proven in the XY plane only";

    // What the reference interpreter lets through.
    /// No G20 or G21 before the first length.
    UnitsAssumed Chance "units-assumed", "neither G20 nor G21 before this: the units are what the last program left";
    /// No G17, G18 or G19 before the first arc or cycle.
    PlaneAssumed Chance "plane-assumed", "no G17, G18 or G19 before this: the plane is what the last program left";
    /// No G90 or G91 before the first axis word.
    DistanceAssumed Chance "distance-assumed", "neither G90 nor G91 before this: the distance mode is what the last program left";
    /// No G93 or G94 before the first feed.
    FeedModeAssumed Chance "feed-mode-assumed", "neither G93 nor G94 before this: the feed mode is what the last program left";
    /// No motion code before the first axis word.
    MotionAssumed Chance "motion-assumed", "no motion code before this: the motion is what the last program left";
    /// No G40 before the first motion.
    RadiusAssumed Chance "radius-assumed", "no G40 before this: a radius compensation may still be on";
    /// No G43 or G49 before the first motion along Z.
    LengthAssumed Chance "length-assumed", "neither G43 nor G49 before this: a length offset may still be on";
    /// No G54 to G59.3 before the first motion.
    SystemAssumed Chance "system-assumed", "no G54 to G59.3 before this: the coordinate system is what the last program left";
    /// No G98 or G99 before the first cycle.
    ReturnAssumed Chance "return-assumed", "neither G98 nor G99 before this: the return level is what the last program left";
    /// A cycle and no feed ever.
    CycleNoFeed Chance "cycle-no-feed", "a canned cycle with no feed set";
    /// F given in other units than it is used in.
    FeedOfOtherUnits Chance "feed-of-other-units", "the feed was set before the units changed and keeps its number: give F again";
    /// F given in the other feed mode.
    FeedOfOtherMode Chance "feed-of-other-mode", "the feed was set before the feed mode changed and keeps its number: give F again";
    /// Cutting with the spindle off.
    SpindleOff Chance "spindle-off", "a feed move with the spindle off";
    /// Cutting at S0 or none.
    SpindleStill Chance "spindle-still", "a feed move with a spindle that has no speed";
    /// Cutting with M4.
    SpindleBackward Chance "spindle-backward", "a feed move with the spindle turning counter-clockwise (M4)";
    /// X or Y moves and where Z is nobody knows.
    ZUnknown Chance "z-unknown", "X or Y moves before Z is known: send Z up alone first";
    /// The length offset of another tool.
    OffsetOfOtherTool(h: u32, tool: u32) Chance "offset-of-other-tool", "H{h} is taken up with tool T{tool} in the spindle";
    /// `/`: the line runs or not as the operator's switch stands.
    BlockDelete Chance "block-delete", "the line runs or not as the operator's switch stands; it is proven as run";
    /// Something after the end.
    AfterEnd Chance "after-end", "what stands after the end is never run";
}
