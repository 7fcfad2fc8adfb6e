//! The scale along the grain, with its breaks: where a long part is drawn shortened.

use paper::scene::Path;

/// From the places of a part along its grain to the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Broken {
    /// Millimetres on the sheet to one of the part.
    pub(crate) ratio: f64,
    /// What is drawn, in the part's mm; breaks lie between.
    kept: Vec<[f64; 2]>,
}

/// Left open between the two lines of a break, mm on the sheet.
const GAP: f64 = 3.0;
/// A stretch with a break in it is no shorter than this on the sheet, mm.
const LEAST: f64 = 14.0;
/// A stretch that is longer by less than this than the broken ones is left whole, mm on the sheet.
const WORTH: f64 = 8.0;

impl Broken {
    /// Drawn whole.
    pub(crate) fn whole(length: f64, ratio: f64) -> Self {
        Self { ratio, kept: vec![[0.0, length]] }
    }

    /// Drawn no longer than `width` mm by breaks between the places of interest, which include both ends and are in
    /// order; stretches that touch `solid` are not broken. Nothing if that cannot be done.
    pub(crate) fn fitted(ratio: f64, places: &[f64], solid: &[[f64; 2]], width: f64) -> Option<Self> {
        let stretches: Vec<[f64; 2]> = places.windows(2).map(|w| [w[0], w[1]]).collect();
        let (first, last) = (*places.first()?, *places.last()?);
        let excess = (last - first) * ratio - width;
        if excess <= 0.0 {
            return Some(Self::whole(last, ratio));
        }
        let free = |s: &[f64; 2]| solid.iter().all(|b| b[1] <= s[0] || s[1] <= b[0]);
        let mut long: Vec<f64> = stretches.iter().filter(|s| free(s)).map(|s| (s[1] - s[0]) * ratio).collect();
        long.sort_by(|a, b| b.total_cmp(a));
        // The longest stretches are shortened to one length, as few of them as will do.
        let (mut sum, mut to) = (0.0, None);
        for (k, stretch) in long.iter().enumerate() {
            sum += stretch;
            let each = (sum - excess) / (k + 1) as f64;
            let next = long.get(k + 1).copied().unwrap_or(0.0);
            if each >= LEAST && each + WORTH >= next && stretch - each >= GAP {
                to = Some((each, *stretch));
                break;
            }
        }
        let (each, shortest) = to?;
        let mut kept = vec![[first, first]];
        for s in &stretches {
            if free(s) && (s[1] - s[0]) * ratio >= shortest {
                let half = (each - GAP) / 2.0 / ratio;
                kept.last_mut()?[1] = s[0] + half;
                kept.push([s[1] - half, s[1]]);
            } else {
                kept.last_mut()?[1] = s[1];
            }
        }
        Some(Self { ratio, kept })
    }

    /// Where a place lies on the sheet, from the datum. What lies in a break lies on its middle.
    pub(crate) fn place(&self, x: f64) -> f64 {
        let mut start = 0.0;
        for (i, [from, to]) in self.kept.iter().enumerate() {
            if i > 0 && x < *from {
                return start - GAP / 2.0;
            }
            if x <= *to || i + 1 == self.kept.len() {
                return start + (x - from) * self.ratio;
            }
            start += (to - from) * self.ratio + GAP;
        }
        start
    }

    /// A place is drawn, and does not lie in a break.
    pub(crate) fn shows(&self, x: f64) -> bool {
        self.kept.iter().any(|[from, to]| (*from..=*to).contains(&x))
    }

    /// Length on the sheet, mm.
    pub(crate) fn length(&self) -> f64 {
        self.place(self.kept.last().map_or(0.0, |k| k[1]))
    }

    /// The stretches that are drawn, in the part's mm.
    pub(crate) fn kept(&self) -> &[[f64; 2]] {
        &self.kept
    }

    /// The two lines of each break, on the sheet from the datum.
    pub(crate) fn breaks(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.kept.windows(2).map(|w| [self.place(w[0][1]), self.place(w[1][0])])
    }
}

/// A line with a kink, where a part is broken off.
pub(crate) fn break_line(x: f64, [foot, top]: [f64; 2]) -> Path {
    let (middle, over) = ((foot + top) / 2.0, 1.5);
    let kink = ((top - foot) / 8.0).min(1.0);
    Path::chain([
        [x, foot - over],
        [x, middle - 1.6 * kink],
        [x - kink, middle - 0.5 * kink],
        [x + kink, middle + 0.5 * kink],
        [x, middle + 1.6 * kink],
        [x, top + over],
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_stretches_are_broken_and_the_rest_keeps_its_scale() {
        let b = Broken::fitted(0.5, &[0.0, 80.0, 100.0, 1400.0, 1500.0], &[], 300.0).unwrap();
        assert_eq!(b.breaks().count(), 1);
        assert!((b.length() - 300.0).abs() < 1e-9);
        assert!((b.place(100.0) - 50.0).abs() < 1e-9 && (b.place(1500.0) - b.place(1400.0) - 50.0).abs() < 1e-9);
        assert!(b.shows(90.0) && !b.shows(700.0));
    }

    #[test]
    fn what_must_stay_whole_is_not_broken() {
        assert_eq!(Broken::fitted(0.5, &[0.0, 50.0, 1450.0, 1500.0], &[[40.0, 1460.0]], 300.0), None);
        assert_eq!(Broken::fitted(0.5, &[0.0, 50.0, 400.0], &[[0.0, 400.0]], 300.0), Some(Broken::whole(400.0, 0.5)));
    }
}
