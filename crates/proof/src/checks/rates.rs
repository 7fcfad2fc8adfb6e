//! Feeds and speeds within what the tool and the machine allow.

use crate::report::{Finding, Rule};

use super::{Run, at_line};

/// Programs give feeds to few digits; so much over a limit is none, as a share.
const ROUNDING: f64 = 0.01;

const DOWNWARD: &str = "feed downward";

pub(crate) fn rates(run: &Run<'_>, out: &mut Vec<Finding>) {
    let machine = &run.claim.machine;
    let mut last = None;
    let mut before = 0;
    for m in run.reading.motions.iter().filter(|m| !m.rapid) {
        let start = std::mem::replace(&mut before, m.line);
        let Some(tool) = run.tool(m.tool) else { continue };
        let length = m.length();
        if length < 1e-9 {
            continue;
        }
        let down = (m.from[2] - m.to[2]) / length * m.feed;
        let lateral = m.arc.is_some() || m.from[0] != m.to[0] || m.from[1] != m.to[1];
        // The same line of figures again needs no second look.
        let key = (m.tool, m.feed.to_bits(), m.rpm.to_bits(), lateral, down.to_bits());
        if last.replace(key) == Some(key) {
            continue;
        }
        let mut over = |rule, figure: f64, [least, most]: [f64; 2], unit: &str, whose: &str, name: &str| {
            let (limit, end) = if figure > most * (1.0 + ROUNDING) {
                (most, "most")
            } else if figure < least * (1.0 - ROUNDING) {
                (least, "least")
            } else {
                return;
            };
            let what = format!("{name} {figure:.0} {unit}, {whose} takes {limit:.0} at {end}");
            // How steep it runs is said by where it comes from, too.
            let given = if name == DOWNWARD { vec![start] } else { Vec::new() };
            out.push(Finding { given, ..at_line(rule, m.line, figure, limit, what) });
        };
        let whose = format!("T{}", tool.number);
        over(Rule::Feed, m.feed, [0.0, machine.feed], "mm/min", "the machine", "feed");
        let least = if lateral && down <= 0.0 { tool.feed[0] } else { 0.0 };
        let most = if lateral { tool.feed[1] } else { tool.feed[1].max(tool.plunge_feed) };
        over(Rule::Feed, m.feed, [least, most], "mm/min", &whose, "feed");
        over(Rule::Feed, down, [f64::NEG_INFINITY, tool.plunge_feed], "mm/min", &whose, DOWNWARD);
        if m.rpm > 0.0 {
            over(Rule::Speed, m.rpm, tool.rpm, "turns a minute", &whose, "speed");
            over(Rule::Speed, m.rpm, machine.spindle, "turns a minute", "the machine", "speed");
        }
    }
}
