//! From the linear program to whole bars: fillings are fixed one after another, the program solved again after each, and
//! a choice after which the program can no longer stay within the wanted number of bars is taken back.

use super::fit::{self, Layout};
use super::knapsack::Pattern;
use super::patterns::{Patterns, Reached};
use crate::effort::Effort;
use crate::random::Random;

/// Choices taken back before the dive is given up: one of these.
const PATIENCE: [usize; 3] = [6, 15, 60];
/// At most the so-manieth part of the bars is fixed at once: one of these, so that some dives are careful.
const BATCH: [usize; 3] = [8, 20, 1000];

/// A program's value may be over the wanted number by this, and is then taken to be within.
const SLIGHT: f64 = 1e-3;
/// Fillings used this much are fixed many at once.
const SURE: f64 = 0.75;

/// A layout in at most `wanted` bars, or `None` if this dive found none.
pub(super) fn dive(
    root: &Patterns,
    length: i64,
    wanted: usize,
    random: &mut Random,
    effort: &mut Effort<'_>,
) -> Option<Layout> {
    let noise = 0.3 * random.unit();
    let (patience, part) = (PATIENCE[random.below(3)], BATCH[random.below(3)]);
    let mut patterns = root.clone();
    let mut bars = Layout::new();
    let mut failures = 0;
    loop {
        let sure: Vec<(usize, usize)> =
            patterns.usable().into_iter().map(|(j, x)| (j, whole_part(x + 1e-4))).filter(|c| c.1 > 0).collect();
        bars.extend(sure.iter().flat_map(|&(j, n)| std::iter::repeat_n(patterns.bar(j), n)));
        patterns.fix(&sure, effort);
        let left = wanted.checked_sub(bars.len())?;
        if let Some(rest) = finish(length, &patterns, left, random, effort) {
            bars.extend(rest);
            return Some(bars);
        }
        if let Some(small) = patterns.compact() {
            patterns = small;
            if patterns.converge(left as f64 + SLIGHT, effort) != Reached::Within {
                return None;
            }
            continue;
        }
        let mut choices = patterns.usable();
        let sure = choices.iter().filter(|c| c.1 > SURE).count();
        for choice in &mut choices {
            choice.1 += noise * random.unit();
        }
        choices.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        // Many at once while that goes well, fewer after each failure.
        let mut batch = sure.clamp(1, left.div_ceil(part).max(1));
        let mut choices = choices.into_iter().map(|c| c.0).peekable();
        loop {
            let first = *choices.peek()?;
            let mut demand = patterns.demand().to_vec();
            let taken: Vec<(usize, usize)> = std::iter::once(first)
                .chain(choices.clone().skip(1))
                .filter(|&j| take(&mut demand, &patterns.fillings[j]))
                .take(batch)
                .map(|j| (j, 1))
                .collect();
            let mut tried = patterns.clone();
            let enough = left.checked_sub(taken.len())? as f64 + SLIGHT;
            if tried.fix(&taken, effort) && tried.converge(enough, effort) == Reached::Within {
                bars.extend(taken.iter().map(|&(j, _)| patterns.bar(j)));
                patterns = tried;
                break;
            }
            if batch > 1 {
                batch = batch.div_ceil(3);
            } else {
                choices.next();
                patterns.close(first);
                failures += 1;
                if failures > patience || patterns.converge(left as f64 + SLIGHT, effort) != Reached::Within {
                    return None;
                }
            }
            if effort.over() {
                return None;
            }
        }
    }
}

/// Takes a filling out of the demand, if that still has all of it.
fn take(demand: &mut [usize], filling: &Pattern) -> bool {
    let fits = filling.iter().all(|&(k, n)| n <= demand[k]);
    if fits {
        filling.iter().for_each(|&(k, n)| demand[k] -= n);
    }
    fits
}

/// The rest by quick layouts, if these stay within `bars`.
fn finish(
    length: i64,
    patterns: &Patterns,
    bars: usize,
    random: &mut Random,
    effort: &mut Effort<'_>,
) -> Option<Layout> {
    let (kinds, demand) = (patterns.kinds(), patterns.demand());
    effort.spend(demand.len() * 20);
    let mut rest = fit::best_fit(length, kinds, demand);
    if rest.len() > bars + 2 {
        return None;
    }
    if rest.len() > bars {
        rest = fit::fullest(length, kinds, demand, random, effort);
    }
    for part in rest.iter_mut().flatten() {
        *part = patterns.name(*part);
    }
    (rest.len() <= bars).then_some(rest)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "amounts are small and not negative")]
fn whole_part(x: f64) -> usize {
    x.max(0.0) as usize
}
