//! The layouts of a packet, and the time that they may take: the clock, the progress line and Ctrl-C are here, the search
//! itself is not.

use std::io::{self, IsTerminal as _, Write as _};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;
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
        let interrupt = Interrupt::listen();
        let line = Line::new(Instant::now() + time);
        thread::scope(|scope| {
            let shown = io::stderr().is_terminal().then(|| scope.spawn(|| line.keep()));
            improve(&mut plan, case, args.seed, time, &interrupt, &mut |name, progress| line.set(name, progress));
            line.over.store(true, Ordering::Relaxed);
            if let Some(shown) = shown {
                shown.thread().unpark();
            }
        });
        // What comes now is not to be kept from ending.
        interrupt.ring();
    }
    plan
}

/// Whether Ctrl-C was pressed.
#[derive(Clone, Default)]
struct Interrupt(Arc<AtomicBool>);

impl Interrupt {
    /// Hears Ctrl-C from now on; pressed again, it ends the program. Where no handler can be set it does so at once.
    fn listen() -> Self {
        let interrupt = Self::default();
        let heard = interrupt.clone();
        let _ = ctrlc::set_handler(move || {
            if heard.ring() {
                std::process::exit(130);
            }
        });
        interrupt
    }

    /// Takes note; whether it had been rung before.
    fn ring(&self) -> bool {
        self.0.swap(true, Ordering::Relaxed)
    }

    fn rung(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Shares the time out among the layouts that may still get better, until it is over or interrupted. Tells of progress: the
/// name of the layout, and how far it is.
fn improve(
    plan: &mut Plan,
    case: &Case,
    seed: u64,
    time: Duration,
    interrupt: &Interrupt,
    tell: &mut dyn FnMut(&str, Progress),
) {
    let end = Instant::now() + time;
    let open = plan.open();
    let threads = thread::available_parallelism().map_or(1, std::num::NonZero::get);
    for (done, &group) in open.iter().enumerate() {
        let left = u32::try_from(open.len() - done).unwrap_or(1);
        let now = Instant::now();
        let until = now + end.saturating_duration_since(now) / left;
        let stop = || interrupt.rung() || Instant::now() >= until;
        if stop() {
            continue;
        }
        let of = &plan.groups[group];
        let name = format!("{}, {}", of.material(), of.stock().name(&case.order.ruler));
        let limits = Limits { work: u64::MAX, seed, threads, stop: &stop };
        plan.improve(group, &limits, &mut |progress| tell(&name, progress));
    }
}

/// One line at a terminal, written over again and again until the search is over.
struct Line {
    end: Instant,
    /// The layout in hand, and how far it is.
    now: Mutex<Option<(String, Progress)>>,
    over: AtomicBool,
}

/// From one writing to the next.
const AGAIN: Duration = Duration::from_millis(200);

impl Line {
    const fn new(end: Instant) -> Self {
        Self { end, now: Mutex::new(None), over: AtomicBool::new(false) }
    }

    fn set(&self, name: &str, progress: Progress) {
        if let Ok(mut now) = self.now.lock() {
            *now = Some((name.to_owned(), progress));
        }
    }

    /// Keeps the line up to date, then clears it. A line that cannot be shown is no error.
    fn keep(&self) {
        while !self.over.load(Ordering::Relaxed) {
            if let Some((name, progress)) = self.now.lock().ok().and_then(|now| now.clone()) {
                let left = self.end.saturating_duration_since(Instant::now());
                // What does not fit is cut off, not wrapped: a second line would stay.
                let _ = write!(io::stderr(), "\r\x1b[?7l\x1b[K{}\x1b[?7h", words(&name, progress, left));
                let _ = io::stderr().flush();
            }
            thread::park_timeout(AGAIN);
        }
        let _ = write!(io::stderr(), "\r\x1b[K");
    }
}

/// How far a layout is.
fn words(name: &str, progress: Progress, left: Duration) -> String {
    let gap = if progress.best > 0 {
        (progress.best - progress.bound).max(0) as f64 / progress.best as f64 * 100.0
    } else {
        0.0
    };
    format!("{name}: at most {gap:.1} % to be saved, {} s left; Ctrl-C keeps the best", left.as_secs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> (Case, Plan) {
        let source = fault::Source::new("order.toml", design::builtin::DEMO_ORDER);
        let (job, resolved) = design::Job::read(&source, &[], |_| unreachable!()).unwrap();
        let case = case::solve(&job, &resolved, &dryfit::check);
        let plan = yard::plan(&case, None, yard::SAWN_OUT, &yard::limits());
        (case, plan)
    }

    #[test]
    fn a_second_ring_is_told_from_the_first() {
        let interrupt = Interrupt::default();
        let heard = interrupt.clone();
        assert!(!interrupt.rung());
        assert!(!heard.ring());
        assert!(interrupt.rung());
        assert!(heard.ring());
    }

    /// With an hour to go on, an interrupt ends the search of this layout and of those after it.
    #[test]
    fn an_interrupt_keeps_the_best_so_far() {
        let (case, mut plan) = demo();
        assert!(!plan.open().is_empty());
        let gaps = |plan: &Plan| -> Vec<_> { plan.groups.iter().map(|g| (g.gap(), g.pieces().len())).collect() };
        let before = gaps(&plan);
        let interrupt = Interrupt::default();
        let mut told = 0;
        improve(&mut plan, &case, 1, Duration::from_secs(3600), &interrupt, &mut |_, _| {
            told += 1;
            interrupt.ring();
        });
        assert!(told > 0);
        for (after, before) in gaps(&plan).iter().zip(&before) {
            assert!(after.0 <= before.0 && after.1 == before.1, "{after:?} is no better than {before:?}");
        }
        // And nothing is begun once it was rung.
        improve(&mut plan, &case, 1, Duration::from_secs(3600), &interrupt, &mut |_, _| panic!("begun"));
    }

    #[test]
    fn the_line_says_what_could_be_saved() {
        let progress = Progress { best: 4_777, bound: 4_394, work: 0 };
        assert_eq!(
            words("white oak, 4/4", progress, Duration::from_millis(9_900)),
            "white oak, 4/4: at most 8.0 % to be saved, 9 s left; Ctrl-C keeps the best"
        );
    }
}
