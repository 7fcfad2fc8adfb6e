//! Straight and circular moves: NISTIR 6556, 3.5.1 to 3.5.3, and where each of them starts and ends.

use super::arc::{self, Format};
use super::execute::{Interpreter, Once};
use super::fault::Kind;
use super::line::{Letters, Words};
use super::modal::{FeedMode, Mode, Turning, Units};
use super::motion::{Arc, Feature, Motion, Plane, WorstArc};

impl Interpreter<'_> {
    /// Carries out the motion in force; the line has an axis word, at `at`.
    pub(super) fn go(&mut self, w: &Words, mode: Mode, at: usize) -> Result<(), (Kind, usize)> {
        self.assumptions(w, at);
        for (axis, letter) in (*b"XYZ").into_iter().enumerate() {
            if w.present.has(letter) {
                self.modal.given[axis] = self.number;
            }
        }
        match mode {
            Mode::None => Ok(()),
            Mode::Rapid => self.straight(w, true, at),
            Mode::Straight => self.straight(w, false, at),
            Mode::Arc { clockwise } => self.arc(w, clockwise, at),
            Mode::Cycle(code) => self.cycle(w, code, at),
        }
    }

    /// What any motion takes for granted.
    fn assumptions(&mut self, w: &Words, at: usize) {
        let m = &self.modal;
        if m.units.is_some() && m.absolute.is_some() && m.radius_off && m.length_set && m.system.is_some() {
            return;
        }
        if m.units.is_none() {
            self.fault_once(Once::Units, Kind::UnitsAssumed, at);
        }
        if self.modal.absolute.is_none() {
            self.fault_once(Once::Distance, Kind::DistanceAssumed, at);
        }
        if !self.modal.radius_off {
            self.fault_once(Once::Radius, Kind::RadiusAssumed, at);
        }
        if !self.modal.length_set && w.present.has(b'Z') {
            self.fault_once(Once::Length, Kind::LengthAssumed, w.place(b'Z'));
        }
        if self.modal.system.is_none() {
            self.fault_once(Once::System, Kind::SystemAssumed, at);
        }
    }

    /// The end of the move, and which axes' starts are unknown.
    fn target(&self, w: &Words) -> Result<([f64; 3], u8), (Kind, usize)> {
        let m = &self.modal;
        let scale = m.scale();
        let absolute = m.absolute.unwrap_or(true);
        let mut to = m.at;
        let mut blind = 0;
        for (axis, letter) in (*b"XYZ").into_iter().enumerate() {
            let Some(value) = w.get(letter) else { continue };
            if absolute {
                to[axis] = value * scale;
                blind |= u8::from(!m.known[axis]) << axis;
            } else if m.known[axis] {
                to[axis] = m.at[axis] + value * scale;
            } else {
                return Err((Kind::PositionUnknown(letter as char), w.place(letter)));
            }
        }
        Ok((to, blind))
    }

    fn straight(&mut self, w: &Words, rapid: bool, at: usize) -> Result<(), (Kind, usize)> {
        let (to, blind) = self.target(w)?;
        let lateral = w.present.meets(Letters::of(b"XY"));
        if lateral && (!self.modal.known[2] || blind & 4 != 0) {
            self.fault_once(Once::ZUnknown, Kind::ZUnknown, at);
        }
        if !rapid {
            self.known_start(w, blind, at)?;
        }
        let mut from = self.modal.at;
        for axis in 0..3 {
            if blind & (1 << axis) != 0 {
                from[axis] = to[axis];
                self.modal.known[axis] = true;
            }
        }
        let mut motion = self.motion(rapid, blind, from, to, None);
        if !rapid {
            motion.feed = self.feed(w, Mode::Straight, motion.length(), at)?;
            self.turning(at);
        }
        self.push(motion);
        Ok(())
    }

    /// A feed move must start from a known place on every axis.
    fn known_start(&self, w: &Words, blind: u8, at: usize) -> Result<(), (Kind, usize)> {
        for (axis, letter) in (*b"XYZ").into_iter().enumerate() {
            if blind & (1 << axis) != 0 || !self.modal.known[axis] {
                let place = if w.present.has(letter) { w.place(letter) } else { at };
                return Err((Kind::PositionUnknown(letter as char), place));
            }
        }
        Ok(())
    }

    fn arc(&mut self, w: &Words, clockwise: bool, at: usize) -> Result<(), (Kind, usize)> {
        if self.modal.plane.is_none() {
            self.fault_once(Once::Plane, Kind::PlaneAssumed, at);
        }
        let plane = self.modal.plane.unwrap_or(Plane::Xy);
        let code = arc::code(clockwise);
        let [a, b, _] = arc::axis_letters(plane);
        if !w.present.has(a) && !w.present.has(b) {
            return Err((Kind::ArcNoAxis(code), at));
        }
        let [i, j, k] = arc::offset_letters(plane);
        if w.present.has(k) {
            return Err((Kind::ArcThirdOffset(k as char), w.place(k)));
        }
        let scale = self.modal.scale();
        let format = match (w.get(b'R'), w.present.meets(Letters::of(b"IJK"))) {
            (Some(_), true) => return Err((Kind::ArcTwoFormats, w.place(b'R'))),
            (Some(r), false) => {
                self.feature(Feature::RadiusArc, w.place(b'R'));
                Format::Radius(r * scale)
            }
            (None, true) => Format::Centre([i, j].map(|l| w.get(l).unwrap_or(0.0) * scale)),
            (None, false) => return Err((Kind::ArcNoCentre(code), at)),
        };
        let (to, blind) = self.target(w)?;
        self.known_start(w, blind, at)?;
        let inch = self.modal.units == Some(Units::Inch);
        let tolerance = if inch { arc::TOLERANCE_INCH } else { arc::TOLERANCE_MM };
        let from = self.modal.at;
        let [u, v, _] = plane.axes();
        let flat = |p: [f64; 3]| [p[u], p[v]];
        let (circle, mismatch) =
            arc::arc(plane, clockwise, flat(from), flat(to), format, tolerance).map_err(|kind| match kind {
                Kind::ArcRadii(start, end, _) => (Kind::ArcRadii(start, end, self.last_line()), at),
                other => (other, at),
            })?;
        self.note_arc(&circle, mismatch, at);
        let mut motion = self.motion(false, 0, from, to, Some(circle));
        motion.feed = self.feed(w, Mode::Arc { clockwise }, motion.length(), at)?;
        self.turning(at);
        self.push(motion);
        Ok(())
    }

    fn note_arc(&mut self, circle: &Arc, mismatch: f64, at: usize) {
        if circle.plane != Plane::Xy {
            self.feature(Feature::OtherPlane, at);
        }
        let turns = circle.sweep.abs() / std::f64::consts::TAU;
        if turns == 1.0 {
            self.feature(Feature::FullCircle, at);
        } else if turns > 0.5 + 1e-9 {
            self.feature(Feature::LongArc, at);
        }
        if self.out.worst_arc.is_none_or(|worst| mismatch > worst.mismatch) {
            self.out.worst_arc = Some(WorstArc { line: self.number, mismatch });
        }
    }

    /// The feed along the path, mm a minute.
    fn feed(&mut self, w: &Words, mode: Mode, length: f64, at: usize) -> Result<f64, (Kind, usize)> {
        let code = match mode {
            Mode::Arc { clockwise } => arc::code(clockwise),
            _ => super::fault::G(10),
        };
        let m = &self.modal;
        if m.feed_mode == Some(FeedMode::Inverse) {
            let turns = w.get(b'F').ok_or((Kind::NoInverseFeed, at))?;
            return if turns > 0.0 { Ok(turns * length) } else { Err((Kind::NoFeed(code), at)) };
        }
        let Some(feed) = m.feed.filter(|f| f.value > 0.0) else {
            return Err((Kind::NoFeed(code), at));
        };
        self.feed_kept(at);
        Ok(feed.value * self.modal.scale())
    }

    /// The feed must have been given under the units and the mode that it is used in.
    pub(super) fn feed_kept(&mut self, at: usize) {
        if self.modal.feed_mode.is_none() {
            self.fault_once(Once::FeedMode, Kind::FeedModeAssumed, at);
        }
        let (units, mode) = (self.modal.units, self.modal.feed_mode);
        let Some(feed) = &mut self.modal.feed else { return };
        let kind = if units.is_some() && feed.units != units {
            Kind::FeedOfOtherUnits
        } else if mode.is_some() && feed.mode != mode {
            Kind::FeedOfOtherMode
        } else {
            return;
        };
        // Told once for each F.
        (feed.units, feed.mode) = (units, mode);
        self.fault(kind, at);
    }

    /// A cut needs a spindle that turns the right way.
    pub(super) fn turning(&mut self, at: usize) {
        let kind = match self.modal.turning {
            Turning::Clockwise if self.modal.speed > 0.0 => return,
            Turning::Off => Kind::SpindleOff,
            Turning::Counter => Kind::SpindleBackward,
            Turning::Clockwise => Kind::SpindleStill,
        };
        self.fault_once(Once::Spindle, kind, at);
    }

    pub(super) fn motion(&self, rapid: bool, blind: u8, from: [f64; 3], to: [f64; 3], arc: Option<Arc>) -> Motion {
        let rpm = if self.modal.turning == Turning::Off { 0.0 } else { self.modal.speed };
        let (line, tool, given) = (self.number, self.modal.tool, self.modal.given);
        Motion { line, rapid, blind, from, to, arc, feed: 0.0, tool, rpm, given }
    }

    /// The line that brought the tool where it is.
    fn last_line(&self) -> u32 {
        self.out.motions.last().map_or(0, |m| m.line)
    }

    pub(super) fn push(&mut self, motion: Motion) {
        self.modal.at = motion.to;
        self.out.motions.push(motion);
    }
}
