//! The most value from one sheet.

use serde_json::Value;
use stock::flat::value::value;
use stock::flat::{Blank, Blemish, Part};
use stock::{Limits, check};

use crate::Options;
use crate::clock::Clock;
use crate::read::{count, int, list};

pub(crate) fn run(file: &str, instances: &[Value], options: &Options) {
    let (mut hit, mut proven, mut sum, mut known, mut worst, mut time) = (0, 0, 0, 0, 0.0_f64, 0.0_f64);
    for instance in instances {
        let (w, h) = (int(&instance["bin"], "w"), int(&instance["bin"], "h"));
        let blemishes = list(instance, "defects").iter().map(|d| {
            let (x0, y0) = (int(d, "x"), int(d, "y"));
            Blemish { x0, y0, x1: x0 + int(d, "w"), y1: y0 + int(d, "h"), hidden_use: false }
        });
        let blank = Blank { w, h, cost: 1, count: 1, best: false, blemishes: blemishes.collect() };
        let unbounded = instance["variant"]["copies"] == "unbounded";
        let part = |i: &Value| {
            let (pw, ph) = (int(i, "w"), int(i, "h"));
            let most = usize::try_from((w / pw) * (h / ph)).unwrap_or(0);
            let worth = i["value"].as_i64().unwrap_or(pw * ph);
            Part {
                w: pw,
                h: ph,
                turns: false,
                count: if unbounded { most } else { count(i, "qty") },
                value: worth,
                shows: true,
                together: false,
            }
        };
        let parts: Vec<Part> = list(instance, "items").iter().map(part).collect();
        let clock = Clock::start(options.cpu);
        let stop = || clock.elapsed() >= options.time;
        let limits = Limits { stop: &stop, threads: options.threads, ..Limits::work(u64::MAX) };
        let mut last = 0.0;
        let found = value(&parts, &blank, &limits, &mut |_| last = clock.elapsed().as_secs_f64());
        let took = clock.elapsed().as_secs_f64();
        time += took;
        let checked = check::blank(&blank, &parts, &found.parts);
        assert!(checked.is_ok(), "{} is laid out wrongly: {checked:?}", instance["name"]);
        assert_eq!(found.parts.iter().map(|p| parts[p.kind].value).sum::<i64>(), found.value);
        let best = int(&instance["known"], "value");
        assert!(found.bound >= best, "{} bound {} below {best}", instance["name"], found.bound);
        hit += usize::from(found.value >= best);
        proven += usize::from(found.value == found.bound);
        sum += found.value;
        known += best;
        worst = worst.max(1.0 - found.value as f64 / best as f64);
        if options.verbose && (found.value != best || took > 1.0) {
            println!(
                "  {} found {} known {best} bound {} gap {:.2} % last at {last:.2} s of {took:.2} s",
                instance["name"],
                found.value,
                found.bound,
                100.0 * (1.0 - found.value as f64 / best as f64)
            );
        }
    }
    println!(
        "{file:28} {:4} instances  at best known {hit:3}  proven {proven:3}  sum {:.3} %  worst {:.2} %  mean {:.2} s",
        instances.len(),
        100.0 * (1.0 - sum as f64 / known.max(1) as f64),
        100.0 * worst,
        time / instances.len().max(1) as f64
    );
}
