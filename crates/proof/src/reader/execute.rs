//! Carries out one line's words in the order of NISTIR 6556, 3.8, Table 8, and refuses what may not stand together.

use super::codes::{
    CHANGE, COOLANT, DISTANCE, DWELL, FEED_MODE, LENGTH, MOTION, OVERRIDE, PATH, PLANE, RADIUS, RETURN, SPINDLE, STOP,
    SYSTEM, UNITS,
};
use super::fault::{Fault, G, Kind};
use super::line::{AXES, Letters, Words, whole};
use super::modal::{Feed, FeedMode, Modal, Mode, Sticky, Turning, Units};
use super::motion::{Feature, Place, Plane, Reading};

/// The interpreter between two lines.
pub(super) struct Interpreter<'t> {
    pub modal: Modal,
    pub out: Reading,
    /// The line in hand, for columns.
    pub text: &'t [u8],
    /// Its number.
    pub number: u32,
    told: u64,
}

/// What is told once rather than on every line.
#[derive(Clone, Copy, Debug)]
pub(super) enum Once {
    Units,
    Plane,
    Distance,
    FeedMode,
    Motion,
    Radius,
    Length,
    System,
    Return,
    CycleFeed,
    Spindle,
    ZUnknown,
    AfterEnd,
}

impl<'t> Interpreter<'t> {
    /// Ready for a program, on a machine that was left in that state.
    pub(super) fn new(modal: Modal) -> Self {
        Self { modal, out: Reading::default(), text: &[], number: 0, told: 0 }
    }

    /// The column, in characters, of a byte of the line in hand.
    pub(super) fn place(&self, at: usize) -> Place {
        let before = &self.text[..at.min(self.text.len())];
        let characters = before.iter().filter(|b| **b & 0xC0 != 0x80).count();
        Place { line: self.number, column: u32::try_from(characters + 1).unwrap_or(u32::MAX) }
    }

    pub(super) fn fault(&mut self, kind: Kind, at: usize) {
        let Place { line, column } = self.place(at);
        self.out.faults.push(Fault { line, column, kind });
    }

    pub(super) fn fault_once(&mut self, once: Once, kind: Kind, at: usize) {
        if self.told & (1 << once as u64) == 0 {
            self.told |= 1 << once as u64;
            self.fault(kind, at);
        }
    }

    const fn forget(&mut self, once: Once) {
        self.told &= !(1 << once as u64);
    }

    pub(super) fn feature(&mut self, feature: Feature, at: usize) {
        if self.out.uses(feature).is_none() {
            let place = self.place(at);
            self.out.note(feature, || place);
        }
    }

    /// Carries the line out; true when it ends the program.
    ///
    /// # Errors
    /// The first fault that keeps the line from being carried out, and its place.
    pub(super) fn run(&mut self, w: &Words) -> Result<bool, (Kind, usize)> {
        let motion = w.g[MOTION].map(|c| (mode(c.number), c));
        let cycle_or_mode = motion.map(|(m, _)| m).or(self.modal.mode);
        if let Some((m, c)) = motion
            && m != Mode::None
            && !w.present.meets(AXES)
        {
            return Err((Kind::NoAxis(G(c.number)), c.at));
        }
        self.check_words(w, cycle_or_mode)?;

        if let Some(c) = w.g[FEED_MODE] {
            let mode = if c.number == 930 { FeedMode::Inverse } else { FeedMode::PerMinute };
            if mode == FeedMode::Inverse {
                self.feature(Feature::InverseTime, c.at);
            }
            self.modal.feed_mode = Some(mode);
        }
        if let Some(value) = w.get(b'F') {
            self.modal.feed = Some(Feed { value, units: self.modal.units, mode: self.modal.feed_mode });
        }
        if let Some(speed) = w.get(b'S') {
            self.modal.speed = speed;
            self.forget(Once::Spindle);
        }
        if w.coded || w.present.has(b'T') {
            self.settle(w)?;
        }
        self.moving(w, motion)?;
        Ok(w.m[STOP].is_some_and(|c| self.stop(c.number, c.at)))
    }

    /// Steps 5 to 18 of Table 8: everything between the speeds and the motion.
    fn settle(&mut self, w: &Words) -> Result<(), (Kind, usize)> {
        if let Some(t) = w.get(b'T') {
            self.modal.selected = Some(slot(w, b'T', t)?);
        }
        if let Some(c) = w.m[CHANGE] {
            self.change_tool(c.at);
        }
        if let Some(c) = w.m[SPINDLE] {
            self.modal.turning = match c.number {
                3 => Turning::Clockwise,
                4 => Turning::Counter,
                _ => Turning::Off,
            };
            self.forget(Once::Spindle);
        }
        if let Some(c) = w.m[COOLANT].filter(|c| c.number != 9) {
            self.feature(Feature::Coolant, c.at);
        }
        if let Some(c) = w.m[OVERRIDE] {
            self.feature(Feature::Rare, c.at);
        }
        if let Some(c) = w.g[DWELL] {
            self.out.dwell += w.get(b'P').ok_or((Kind::NoDwell, c.at))?;
            self.feature(Feature::Dwell, c.at);
        }
        if let Some(c) = w.g[PLANE] {
            self.modal.plane = Some(match c.number {
                170 => Plane::Xy,
                180 => Plane::Zx,
                _ => Plane::Yz,
            });
        }
        if let Some(c) = w.g[UNITS] {
            let units = if c.number == 200 { Units::Inch } else { Units::Millimetre };
            if units == Units::Inch {
                self.feature(Feature::Inch, c.at);
            }
            self.modal.units = Some(units);
            self.out.units.push((self.number, units.mm()));
        }
        self.modal.radius_off |= w.g[RADIUS].is_some();
        if let Some(c) = w.g[LENGTH] {
            self.length_offset(w, c.number == 430, c.at)?;
        }
        if let Some(c) = w.g[SYSTEM] {
            if self.modal.system.is_some_and(|s| s != c.number) {
                return Err((Kind::SecondSystem(G(c.number)), c.at));
            }
            if c.number > 590 {
                self.feature(Feature::Rare, c.at);
            }
            self.modal.system = Some(c.number);
            self.out.systems.push((self.number, G(c.number)));
        }
        if let Some(c) = w.g[PATH].filter(|c| c.number != 610) {
            self.feature(Feature::PathControl, c.at);
        }
        if let Some(c) = w.g[DISTANCE] {
            self.modal.absolute = Some(c.number == 900);
        }
        if let Some(c) = w.g[RETURN] {
            self.modal.return_high = Some(c.number == 980);
        }
        Ok(())
    }

    fn change_tool(&mut self, at: usize) {
        self.feature(Feature::ToolChange, at);
        // The spindle stops (3.6.3), and the new tip is as far down as the tool is long.
        self.modal.turning = Turning::Off;
        self.modal.known[2] = false;
        self.modal.length_set = false;
        for once in [Once::Spindle, Once::ZUnknown, Once::Length] {
            self.forget(once);
        }
        match self.modal.selected {
            Some(t) => {
                self.modal.tool = t;
                self.out.changes.push((self.number, t));
            }
            None => self.fault(Kind::NoToolSelected, at),
        }
    }

    fn length_offset(&mut self, w: &Words, taken_up: bool, at: usize) -> Result<(), (Kind, usize)> {
        self.modal.length_set = true;
        if !taken_up {
            return Ok(());
        }
        self.feature(Feature::LengthOffset, at);
        let h = slot(w, b'H', w.get(b'H').ok_or((Kind::NoOffset, at))?)?;
        if self.modal.tool != 0 && h != self.modal.tool {
            self.fault(Kind::OffsetOfOtherTool(h, self.modal.tool), w.place(b'H'));
        }
        Ok(())
    }

    fn moving(&mut self, w: &Words, motion: Option<(Mode, super::line::Code)>) -> Result<(), (Kind, usize)> {
        let axes = w.present.meets(AXES);
        if let Some((m, _)) = motion {
            if self.modal.mode != Some(m) {
                self.modal.sticky = Sticky::default();
            }
            self.modal.mode = Some(m);
        }
        if !axes {
            return Ok(());
        }
        let at = w.first_axis_place();
        match self.modal.mode {
            Some(Mode::None) => Err((Kind::NoMotion, at)),
            None => {
                self.fault_once(Once::Motion, Kind::MotionAssumed, at);
                Ok(())
            }
            Some(m) => self.go(w, m, at),
        }
    }

    /// After a fault: takes over what the line plainly says, so that one slip does not make every later line one.
    pub(super) fn carry_on(&mut self, w: &Words) {
        if let Some(c) = w.g[MOTION] {
            self.modal.mode = Some(mode(c.number));
        }
        if self.modal.absolute != Some(false) {
            for (axis, letter) in (*b"XYZ").into_iter().enumerate() {
                if let Some(value) = w.get(letter) {
                    self.modal.at[axis] = value * self.modal.scale();
                    self.modal.known[axis] = true;
                }
            }
        }
    }

    /// M0, M1, M2, M30, M60; true at the end.
    fn stop(&mut self, code: u16, at: usize) -> bool {
        match code {
            1 => self.feature(Feature::OptionalStop, at),
            60 => self.feature(Feature::Rare, at),
            2 | 30 => return true,
            _ => {}
        }
        self.out.stops.push(self.number);
        false
    }

    /// No word may stand idle (3.5 and the reference's own list), none may be negative that has no sense so.
    fn check_words(&self, w: &Words, mode: Option<Mode>) -> Result<(), (Kind, usize)> {
        const PLAIN: Letters = Letters::of(b"FSTXYZ");
        if w.present.within(AXES) {
            return Ok(());
        }
        let axes = w.present.meets(AXES);
        let mut used = PLAIN;
        match mode.filter(|_| axes) {
            Some(Mode::Arc { .. }) => used = used.and(Letters::of(b"IJKR")),
            Some(Mode::Cycle(810)) => used = used.and(Letters::of(b"RL")),
            Some(Mode::Cycle(820)) => used = used.and(Letters::of(b"RLP")),
            Some(Mode::Cycle(_)) => used = used.and(Letters::of(b"RLQ")),
            _ => {}
        }
        if w.g[DWELL].is_some() {
            used = used.and(Letters::of(b"P"));
        }
        if w.g[LENGTH].is_some_and(|c| c.number == 430) {
            used = used.and(Letters::of(b"H"));
        }
        if let Some(letter) = w.present.without(used).first() {
            let kind = match letter {
                b'A' | b'B' | b'C' => Kind::Rotary(letter as char),
                _ => Kind::Unused(letter as char, need(letter)),
            };
            return Err((kind, w.place(letter)));
        }
        for letter in *b"FSTPH" {
            if let Some(value) = w.get(letter).filter(|v| *v < 0.0) {
                return Err((Kind::Negative(letter as char, value), w.place(letter)));
            }
        }
        Ok(())
    }
}

const fn need(letter: u8) -> &'static str {
    match letter {
        b'I' | b'J' | b'K' => "an arc (G2 or G3) with an axis word",
        b'R' => "an arc or a canned cycle with an axis word",
        b'P' => "G4 or G82",
        b'Q' => "G83",
        b'L' => "a canned cycle",
        b'H' => "G43",
        _ => "G41 or G42, which are not proven",
    }
}

/// A tool's or an offset's slot.
fn slot(w: &Words, letter: u8, value: f64) -> Result<u32, (Kind, usize)> {
    let n = whole(value).ok_or((Kind::NotWhole(letter as char, value), w.place(letter)))?;
    if n > 9999 {
        return Err((Kind::PastLastSlot(letter as char, value), w.place(letter)));
    }
    Ok(u32::from(n))
}

const fn mode(tenths: u16) -> Mode {
    match tenths {
        0 => Mode::Rapid,
        10 => Mode::Straight,
        20 => Mode::Arc { clockwise: true },
        30 => Mode::Arc { clockwise: false },
        800 => Mode::None,
        cycle => Mode::Cycle(cycle),
    }
}
