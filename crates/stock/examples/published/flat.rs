//! Sheets and boards: fewest, or least area.

use serde_json::Value;
use stock::flat::sheets::{Sheets, sheets};
use stock::flat::{Blank, Part};
use stock::{Limits, check};

use crate::Options;
use crate::clock::Clock;
use crate::read::{count, int, list};

/// The parts of an instance; `turns` where a part does not say itself whether it may be turned.
pub(crate) fn parts(instance: &Value, turns: bool) -> Vec<Part> {
    list(instance, "items")
        .iter()
        .map(|i| {
            let (w, h) = (int(i, "w"), int(i, "h"));
            Part {
                w,
                h,
                turns: i["rotate"].as_bool().unwrap_or(turns),
                count: count(i, "qty"),
                value: w * h,
                shows: true,
                together: false,
            }
        })
        .collect()
}

pub(crate) fn run(file: &str, instances: &[Value], turns: bool, options: &Options) {
    let (mut sum, mut known, mut lower, mut above, mut proven, mut time) = (0, 0, 0, 0, 0, 0.0_f64);
    for instance in instances {
        let blank = Blank {
            w: int(&instance["bin"], "w"),
            h: int(&instance["bin"], "h"),
            cost: 1,
            count: 100_000,
            best: false,
            blemishes: vec![],
        };
        let parts = parts(instance, turns);
        let other =
            list(instance, "known_other").iter().find(|k| k["variant"] == serde_json::json!({"rotation": true}));
        let target = if turns { other.unwrap_or(&instance["known"]) } else { &instance["known"] };
        let clock = Clock::start(options.cpu);
        let stop = || clock.elapsed() >= options.time;
        let limits = Limits { stop: &stop, threads: options.threads, ..Limits::work(u64::MAX) };
        let mut last = 0.0;
        let mut steps = 0;
        let found = sheets(&parts, std::slice::from_ref(&blank), &limits, &mut |p| {
            last = clock.elapsed().as_secs_f64();
            steps = p.work;
        });
        time += clock.elapsed().as_secs_f64();
        recount(&instance["name"], &parts, std::slice::from_ref(&blank), &found);
        let best = int(target, "bins");
        assert!(found.bound <= best, "{} bound {} above {best}", instance["name"], found.bound);
        sum += found.cost;
        known += best;
        lower += found.bound;
        above += usize::from(found.cost > best);
        proven += usize::from(found.cost == found.bound);
        if options.verbose && found.cost != best {
            println!(
                "  {} found {} known {best} bound {} last at {last:.2} s {steps}",
                instance["name"], found.cost, found.bound
            );
        }
    }
    println!(
        "{file:28} {:4} instances  turned {turns}  found {sum:6} known {known:6} bound {lower:6}  above on {above:3}  proven {proven:3}  mean {:.2} s",
        instances.len(),
        time / instances.len().max(1) as f64
    );
}

/// Checks every sheet and all quantities.
pub(crate) fn recount(name: &Value, parts: &[Part], blanks: &[Blank], found: &Sheets) {
    let mut left: Vec<usize> = parts.iter().map(|p| p.count).collect();
    for used in &found.used {
        let checked = check::blank(&blanks[used.blank], parts, &used.parts);
        assert!(checked.is_ok(), "{name} is laid out wrongly: {checked:?}");
        used.parts.iter().for_each(|p| left[p.kind] -= 1);
    }
    assert_eq!(left, found.missing, "{name}: quantities");
}
