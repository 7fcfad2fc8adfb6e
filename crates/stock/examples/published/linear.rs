//! Bars: fewest of one length.

use std::time::Instant;

use serde_json::Value;
use stock::Limits;
use stock::linear::{Kind, bars};

use crate::Options;
use crate::clock::Clock;
use crate::read::{count, int, list};

pub(crate) fn run(file: &str, instances: &[Value], options: &Options) {
    let (mut sum, mut known, mut above, mut proven, mut slowest) = (0, 0, 0, 0, 0.0_f64);
    let begun = Instant::now();
    for instance in instances {
        let length = int(&instance["bin"], "length");
        let kinds: Vec<Kind> =
            list(instance, "items").iter().map(|i| Kind { length: int(i, "length"), count: count(i, "qty") }).collect();
        let start = Clock::start(options.cpu);
        let stop = || start.elapsed() >= options.time;
        let limits = Limits { stop: &stop, threads: options.threads, ..Limits::work(u64::MAX) };
        let mut steps = 0;
        let Ok(found) = bars(length, &kinds, &limits, &mut |p| steps = p.work) else {
            println!("{} cannot be laid out", instance["name"]);
            continue;
        };
        let took = start.elapsed().as_secs_f64();
        let optimum = count(&instance["known"], "bins");
        for bar in &found.bars {
            assert!(bar.iter().map(|&k| kinds[k].length).sum::<i64>() <= length, "too full");
        }
        for (k, kind) in kinds.iter().enumerate() {
            assert_eq!(found.bars.iter().flatten().filter(|&&p| p == k).count(), kind.count, "quantities");
        }
        assert!(found.bound <= optimum, "{} bound {} above {optimum}", instance["name"], found.bound);
        sum += found.bars.len();
        known += optimum;
        above += usize::from(found.bars.len() > optimum);
        proven += usize::from(found.bars.len() == found.bound);
        slowest = slowest.max(took);
        if options.verbose && (found.bars.len() > found.bound || took > 0.3) {
            println!(
                "  {} found {} known {optimum} bound {} in {took:.2} s, {steps}",
                instance["name"],
                found.bars.len(),
                found.bound
            );
        }
    }
    println!(
        "{file:28} {:4} instances  found {sum:6} known {known:6}  above on {above:3}  proven {proven:3}  mean {:.2} s  most {slowest:.2} s",
        instances.len(),
        begun.elapsed().as_secs_f64() / instances.len().max(1) as f64
    );
}
