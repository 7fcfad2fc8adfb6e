//! Quick layouts of bars: first fit and best fit by falling length, and filling bar after bar as full as it goes.

use super::Kind;
use crate::effort::Effort;
use crate::random::Random;

/// Bars as kinds, each kind once for every part of it.
pub(super) type Layout = Vec<Vec<usize>>;

/// Best fit by falling length; `count` overrides the kinds' own counts.
pub(super) fn best_fit(length: i64, kinds: &[Kind], count: &[usize]) -> Layout {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by_key(|&k| -kinds[k].length);
    let mut bars: Layout = Vec::new();
    let mut by_room: std::collections::BTreeSet<(i64, usize)> = std::collections::BTreeSet::new();
    for k in order {
        for _ in 0..count[k] {
            let found = by_room.range((kinds[k].length, 0)..).next().copied();
            let (room, bar) = found.unwrap_or((length, bars.len()));
            if found.is_some() {
                by_room.remove(&(room, bar));
            } else {
                bars.push(Vec::new());
            }
            bars[bar].push(k);
            by_room.insert((room - kinds[k].length, bar));
        }
    }
    bars
}

/// Bar after bar: the longest part left, then whatever fills the bar best; equal fillings by `random`.
///
/// **Reference** The minimum bin slack heuristic, Gupta & Ho 1999; Fleszar & Hindi 2002, Comput. Oper. Res. 29:821–839.
pub(super) fn fullest(
    length: i64,
    kinds: &[Kind],
    count: &[usize],
    random: &mut Random,
    effort: &mut Effort<'_>,
) -> Layout {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by_key(|&k| -kinds[k].length);
    let mut left = count.to_vec();
    let mut bars = Layout::new();
    while let Some(&first) = order.iter().find(|&&k| left[k] > 0) {
        left[first] -= 1;
        let sorted: Vec<usize> = order.iter().copied().filter(|&k| left[k] > 0).collect();
        let skip = random.below(4);
        let mut filling = Filling {
            kinds,
            order: &sorted,
            left: &mut left,
            chosen: Vec::new(),
            best: Vec::new(),
            room: i64::MAX,
            steps: 3000,
        };
        filling.from(0, length - kinds[first].length, skip);
        let used = 3000 - filling.steps;
        let best = filling.best;
        effort.spend(used * 4 + sorted.len());
        for &k in &best {
            left[k] -= 1;
        }
        let mut bar = vec![first];
        bar.extend(best);
        bars.push(bar);
        order.retain(|&k| left[k] > 0);
    }
    bars
}

struct Filling<'a> {
    kinds: &'a [Kind],
    order: &'a [usize],
    left: &'a mut [usize],
    chosen: Vec<usize>,
    best: Vec<usize>,
    room: i64,
    steps: usize,
}

impl Filling<'_> {
    /// Depth first, long parts first; `skip` parts are passed over at the first choice, for variety.
    fn from(&mut self, start: usize, room: i64, skip: usize) {
        if room < self.room {
            self.room = room;
            self.best.clone_from(&self.chosen);
        }
        let fits = start + self.order[start..].partition_point(|&k| self.kinds[k].length > room);
        for i in (fits + skip).min(self.order.len())..self.order.len() {
            if self.room == 0 || self.steps == 0 {
                return;
            }
            self.steps -= 1;
            let k = self.order[i];
            if self.left[k] > 0 {
                self.left[k] -= 1;
                self.chosen.push(k);
                self.from(i, room - self.kinds[k].length, 0);
                self.chosen.pop();
                self.left[k] += 1;
            }
        }
    }
}
