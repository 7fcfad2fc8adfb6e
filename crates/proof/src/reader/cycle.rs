//! The canned cycles G81, G82 and G83 in the XY plane, expanded into the moves they stand for: NISTIR 6556, 3.5.16.
//!
//! Where the report leaves the pecks' small step open ("backed off a bit"), the reference interpreter's 0.254 mm counts;
//! with G98 it goes all the way up at every peck, and so does this.

use super::execute::{Interpreter, Once};
use super::fault::{G, Kind};
use super::line::{Words, whole};
use super::modal::FeedMode;
use super::motion::{Feature, Plane};

/// How far above the last floor a peck begins to feed, mm: 0.010 in.
pub const PECK_STEP: f64 = 0.254;

/// A peck finer than this would go on for ever, mm.
const LEAST_PECK: f64 = 0.01;
/// No line takes more repeats, nor more pecks in all its holes, than this.
const MOST_REPEATS: u16 = 1000;

/// One cycle's levels, mm.
struct Levels {
    r: f64,
    z: f64,
    /// Where it returns to.
    clear: f64,
}

impl Interpreter<'_> {
    pub(super) fn cycle(&mut self, w: &Words, code: u16, at: usize) -> Result<(), (Kind, usize)> {
        let name = G(code);
        self.feature(Feature::CannedCycle, at);
        self.cycle_assumptions(at)?;
        let scale = self.modal.scale();
        let absolute = self.modal.absolute.unwrap_or(true);
        for (axis, letter) in [(0, 'X'), (1, 'Y'), (2, 'Z')] {
            let given = axis < 2 && absolute && w.present.has(letter as u8);
            if !self.modal.known[axis] && !given {
                return Err((Kind::PositionUnknown(letter), at));
            }
        }
        let kept = &mut self.modal.sticky;
        kept.r = w.get(b'R').or(kept.r);
        kept.z = w.get(b'Z').or(kept.z);
        kept.p = w.get(b'P').or(kept.p);
        kept.q = w.get(b'Q').or(kept.q);
        let kept = *kept;
        let missing = |letter| (Kind::CycleWord(name, letter), at);
        let r = kept.r.ok_or_else(|| missing('R'))? * scale;
        let z = kept.z.ok_or_else(|| missing('Z'))? * scale;
        let old = self.modal.at[2];
        let r = if absolute { r } else { old + r };
        let z = if absolute { z } else { r + z };
        if r < z {
            return Err((Kind::CycleBelow, at));
        }
        let peck = match code {
            830 => kept.q.ok_or_else(|| missing('Q'))? * scale,
            _ => r - z,
        };
        if code == 830 && peck < LEAST_PECK {
            return Err((Kind::CyclePeck, at));
        }
        let dwell = if code == 820 { kept.p.ok_or_else(|| missing('P'))? } else { 0.0 };
        let repeats = self.repeats(w)?;
        let pecks = ((r - z) / peck).ceil() * f64::from(repeats);
        if code == 830 && pecks > f64::from(MOST_REPEATS) {
            return Err((Kind::CyclePecks(pecks), at));
        }
        let high = self.modal.return_high.unwrap_or(true);
        let levels = Levels { r, z, clear: if high { old.max(r) } else { r } };
        let feed = self.modal.feed.map_or(0.0, |f| f.value * scale);

        if old < r {
            self.go_to(self.modal.at[0], self.modal.at[1], r, None);
        }
        for _ in 0..repeats {
            let [x, y] = [(0, b'X'), (1, b'Y')].map(|(axis, letter)| {
                let here = self.modal.at[axis];
                w.get(letter).map_or(here, |v| if absolute { v * scale } else { here + v * scale })
            });
            self.place_hole(x, y);
            self.go_to(x, y, levels.r, None);
            self.hole(x, y, &levels, peck, feed);
            self.out.dwell += dwell;
            if self.modal.at[2] != levels.clear {
                self.go_to(x, y, levels.clear, None);
            }
        }
        Ok(())
    }

    fn cycle_assumptions(&mut self, at: usize) -> Result<(), (Kind, usize)> {
        if self.modal.plane.is_none() {
            self.fault_once(Once::Plane, Kind::PlaneAssumed, at);
        }
        if self.modal.plane.is_some_and(|p| p != Plane::Xy) {
            return Err((Kind::CyclePlane, at));
        }
        if self.modal.return_high.is_none() {
            self.fault_once(Once::Return, Kind::ReturnAssumed, at);
        }
        if self.modal.feed_mode == Some(FeedMode::Inverse) {
            return Err((Kind::CycleInverse, at));
        }
        if self.modal.feed.is_none_or(|f| f.value == 0.0) {
            self.fault_once(Once::CycleFeed, Kind::CycleNoFeed, at);
        } else {
            self.feed_kept(at);
        }
        self.turning(at);
        Ok(())
    }

    fn repeats(&self, w: &Words) -> Result<u16, (Kind, usize)> {
        let Some(l) = w.get(b'L') else { return Ok(1) };
        let place = w.place(b'L');
        match whole(l) {
            Some(0) => Err((Kind::CycleRepeats, place)),
            Some(n) if n <= MOST_REPEATS => Ok(n),
            Some(_) => Err((Kind::PastLastSlot('L', l), place)),
            None if l < 0.0 => Err((Kind::Negative('L', l), place)),
            None => Err((Kind::NotWhole('L', l), place)),
        }
    }

    /// To the hole at the present height.
    fn place_hole(&mut self, x: f64, y: f64) {
        let to = [x, y, self.modal.at[2]];
        let mut from = self.modal.at;
        let mut blind = 0;
        for axis in 0..2 {
            if !self.modal.known[axis] {
                from[axis] = to[axis];
                blind |= 1 << axis;
                self.modal.known[axis] = true;
            }
        }
        if from != to || blind != 0 {
            let motion = self.motion(true, blind, from, to, None);
            self.push(motion);
        }
    }

    fn hole(&mut self, x: f64, y: f64, levels: &Levels, peck: f64, feed: f64) {
        let mut floor = (levels.r - peck).max(levels.z);
        self.go_to(x, y, floor, Some(feed));
        while floor > levels.z {
            self.go_to(x, y, levels.clear, None);
            self.go_to(x, y, floor + PECK_STEP, None);
            floor = (floor - peck).max(levels.z);
            self.go_to(x, y, floor, Some(feed));
        }
    }

    /// Straight to a place at a feed, or as a rapid.
    fn go_to(&mut self, x: f64, y: f64, z: f64, feed: Option<f64>) {
        let to = [x, y, z];
        let mut motion = self.motion(feed.is_none(), 0, self.modal.at, to, None);
        motion.feed = feed.unwrap_or(0.0);
        self.push(motion);
    }
}
