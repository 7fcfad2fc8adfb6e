//! The layouts of a packet, and the time that they may take: the clock, the progress line and Ctrl-C are here, the search
//! itself is not.

use std::io::{self, IsTerminal as _, Write as _};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use case::Case;
use routing::nest;
use stock::{Limits, Progress};
use yard::Plan;

use crate::args::StockArgs;
use crate::input::Input;

/// The plan that comes at once; and, where time is given for it, the best that was found until then. Sheet parts are laid
/// out so that the shop's router can cut them out.
pub(crate) fn plan(case: &Case, input: &Input, args: &StockArgs) -> Plan {
    let around = |thickness| nest::around(&input.machine, &input.tools, case.order.unit, thickness);
    let mut plan = yard::plan(case, input.rack.as_ref(), &around, &Limits { seed: args.seed, ..yard::limits() });
    if let Some(time) = args.time {
        improve(&mut plan, case, args.seed, time);
    }
    plan
}

/// Shares the time out among the layouts that may still get better.
fn improve(plan: &mut Plan, case: &Case, seed: u64, time: Duration) {
    let interrupted = Arc::new(AtomicBool::new(false));
    let heard = Arc::clone(&interrupted);
    // Where no handler can be set, Ctrl-C ends the program as it always does.
    let _ = ctrlc::set_handler(move || {
        // Asked twice, it is meant.
        if heard.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    let end = Instant::now() + time;
    let open = plan.open();
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut line = Line { shown: io::stderr().is_terminal(), last: None };
    for (done, &group) in open.iter().enumerate() {
        let left = u32::try_from(open.len() - done).unwrap_or(1);
        let now = Instant::now();
        let until = now + end.saturating_duration_since(now) / left;
        let stop = || interrupted.load(Ordering::Relaxed) || Instant::now() >= until;
        if stop() {
            continue;
        }
        let of = &plan.groups[group];
        let name = format!("{}, {}", of.material(), of.stock().name(&case.order.ruler));
        let limits = Limits { work: u64::MAX, seed, threads, stop: &stop };
        plan.improve(group, &limits, &mut |progress| line.show(&name, progress, until));
    }
    line.clear();
}

/// One line at a terminal, written over again and again.
struct Line {
    shown: bool,
    last: Option<Instant>,
}

impl Line {
    fn show(&mut self, name: &str, progress: Progress, until: Instant) {
        let now = Instant::now();
        if !self.shown || self.last.is_some_and(|last| now - last < Duration::from_millis(100)) {
            return;
        }
        self.last = Some(now);
        let gap = if progress.best > 0 {
            (progress.best - progress.bound).max(0) as f64 / progress.best as f64 * 100.0
        } else {
            0.0
        };
        let left = until.saturating_duration_since(now).as_secs();
        // A line that cannot be shown is not worth an error.
        let _ =
            write!(io::stderr(), "\r\x1b[K{name}: at most {gap:.1} % above the least, {left} s left; Ctrl-C keeps it");
        let _ = io::stderr().flush();
    }

    fn clear(&self) {
        if self.last.is_some() {
            let _ = write!(io::stderr(), "\r\x1b[K");
        }
    }
}
