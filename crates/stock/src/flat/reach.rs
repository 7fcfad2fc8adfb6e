//! What blanks can cost together: a bound between two such sums is as good as the upper one, and the next better layout costs
//! no more than the sum below.

use super::Blank;

/// More steps than this are not gone through.
const STEPS: i64 = 1_000_000;

/// The sums of the costs of blanks up to some cost.
pub(super) struct Reach {
    /// All costs are multiples of it.
    step: i64,
    /// By cost in steps; empty where there would be too many.
    sums: Vec<bool>,
}

impl Reach {
    pub(super) fn new(blanks: &[Blank], most: i64) -> Self {
        let step = blanks.iter().map(|b| b.cost).fold(0, gcd).max(1);
        let Some(size) = usize::try_from(most / step).ok().filter(|_| most / step <= STEPS) else {
            return Self { step, sums: Vec::new() };
        };
        let mut sums = vec![false; size + 1];
        sums[0] = true;
        for blank in blanks {
            let cost = usize::try_from(blank.cost / step).unwrap_or(0);
            if cost == 0 {
                continue;
            }
            let mut used = vec![0; sums.len()];
            for sum in cost..sums.len() {
                if !sums[sum] && sums[sum - cost] && used[sum - cost] < blank.count {
                    sums[sum] = true;
                    used[sum] = used[sum - cost] + 1;
                }
            }
        }
        Self { step, sums }
    }

    /// The least sum that is no less than a cost; the cost itself where none is known.
    pub(super) fn up(&self, cost: i64) -> i64 {
        let Some(from) = usize::try_from((cost + self.step - 1) / self.step).ok() else { return cost };
        let found = (from..self.sums.len()).find(|&i| self.sums[i]);
        found.and_then(|i| i64::try_from(i).ok()).map_or(cost, |i| i * self.step)
    }

    /// The greatest sum that is less than a cost.
    pub(super) fn below(&self, cost: i64) -> i64 {
        let to = usize::try_from((cost - 1) / self.step + 1).ok().filter(|to| *to <= self.sums.len());
        let found = (0..to.unwrap_or(0)).rev().find(|&i| self.sums[i]);
        found.and_then(|i| i64::try_from(i).ok()).map_or(cost - self.step, |i| i * self.step)
    }
}

const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::super::Blank;
    use super::Reach;

    fn blank(cost: i64, count: usize) -> Blank {
        Blank { w: 1, h: 1, cost, count, best: false, blemishes: Vec::new() }
    }

    #[test]
    fn sums_are_those_of_the_blanks_there_are() {
        // A third of 30 would make 90.
        let reach = Reach::new(&[blank(30, 2), blank(50, 1)], 110);
        let up: Vec<i64> = [1, 30, 31, 51, 61, 81, 111].map(|c| reach.up(c)).into();
        assert_eq!(up, [30, 30, 50, 60, 80, 110, 111]);
        assert_eq!([110, 80, 60, 30].map(|c| reach.below(c)), [80, 60, 50, 0]);
        // Beyond what was gone through only the step is known.
        assert_eq!(reach.below(130), 120);
    }

    #[test]
    fn too_many_sums_leave_the_step() {
        let reach = Reach::new(&[blank(2_000_002, 9), blank(2_000_004, 9)], 9_000_000);
        assert_eq!((reach.up(3), reach.below(8_000_000)), (3, 7_999_998));
    }
}
