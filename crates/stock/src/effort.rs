//! How long a search goes on. Work is counted, not timed: a run that its work budget ends gives the same answer on every
//! machine. The caller may also cut a run off (a clock, a key pressed), and then keeps the best so far.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What a search is given.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// Work until the search ends by itself, in steps; a step is about a nanosecond on a machine of 2025.
    pub work: u64,
    /// The same seed and work give the same answer.
    pub seed: u64,
    /// Threads to use, at least one; part of what decides the answer.
    pub threads: usize,
    /// Asked often; `true` ends the search at once with the best so far.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl Limits<'static> {
    /// A budget of work on one thread, never cut off.
    #[must_use]
    pub const fn work(work: u64) -> Self {
        Self { work, seed: 1, threads: 1, stop: &|| false }
    }
}

/// How far a search has come. Units are those of the objective: bars, sheets, area, value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// The best answer so far.
    pub best: i64,
    /// What no answer can beat.
    pub bound: i64,
    /// Work done, in steps.
    pub work: u64,
}

/// Receives progress, on the caller's thread.
pub type Report<'a> = &'a mut dyn FnMut(Progress);

/// A worker's account of its work.
#[derive(Clone)]
pub(crate) struct Effort<'a> {
    left: u64,
    done: u64,
    since_asked: u64,
    stopped: bool,
    stop: &'a (dyn Fn() -> bool + Sync),
}

/// Steps between two questions to the caller.
const ASK_EVERY: u64 = 50_000;

impl<'a> Effort<'a> {
    pub(crate) fn new(work: u64, stop: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Self { left: work, done: 0, since_asked: ASK_EVERY, stopped: false, stop }
    }

    /// Books `steps` of work.
    pub(crate) fn spend(&mut self, steps: usize) {
        let steps = steps as u64;
        self.done += steps;
        self.left = self.left.saturating_sub(steps);
        self.since_asked += steps;
        if self.since_asked >= ASK_EVERY && !self.stopped {
            self.since_asked = 0;
            self.stopped = (self.stop)();
        }
    }

    /// Whether to end: no work left, or cut off.
    pub(crate) const fn over(&self) -> bool {
        self.left == 0 || self.stopped
    }

    pub(crate) const fn done(&self) -> u64 {
        self.done
    }

    /// How much of the work is done, from 0 to 1.
    pub(crate) fn share_done(&self) -> f64 {
        self.done as f64 / (self.done + self.left).max(1) as f64
    }

    /// An account for a part of the work; what it does is to be spent here too.
    pub(crate) fn part(&self, work: u64) -> Self {
        Self { left: self.left().min(work), done: 0, since_asked: 0, stopped: self.stopped, stop: self.stop }
    }

    /// Work left.
    pub(crate) const fn left(&self) -> u64 {
        if self.stopped { 0 } else { self.left }
    }
}

/// Lets each thread of `limits` do a share of the work at once, at most `quantum` steps each, and books it. The answers
/// come in the order of the workers, whichever was first. A worker whose answer `settles` the matter ends those after it.
pub(crate) fn share<T: Send>(
    limits: &Limits<'_>,
    effort: &mut Effort<'_>,
    quantum: u64,
    job: impl Fn(usize, &mut Effort<'_>) -> T + Sync,
    settles: impl Fn(&T) -> bool + Sync,
) -> Vec<T> {
    let threads = limits.threads.max(1);
    let work = quantum.min(effort.left() / threads as u64 + 1);
    let settled = AtomicUsize::new(usize::MAX);
    let run = |worker: usize| {
        let stop = || (limits.stop)() || settled.load(Ordering::Relaxed) < worker;
        let mut own = Effort::new(work, &stop);
        let answer = job(worker, &mut own);
        if settles(&answer) {
            settled.fetch_min(worker, Ordering::Relaxed);
        }
        (answer, own.done)
    };
    let mut answers: Vec<(T, u64)> = Vec::new();
    thread::scope(|scope| {
        let others: Vec<_> = (1..threads)
            .map(|worker| {
                scope.spawn({
                    let run = &run;
                    move || run(worker)
                })
            })
            .collect();
        answers.push(run(0));
        answers.extend(others.into_iter().filter_map(|other| other.join().ok()));
    });
    // How far a worker came that another ended is chance; what is booked must not be.
    let sure = settled.into_inner().min(threads - 1);
    let done = answers.iter().take(sure + 1).map(|a| a.1).max().unwrap_or(0) * threads as u64;
    effort.spend(usize::try_from(done).unwrap_or(usize::MAX).max(1_000));
    answers.into_iter().map(|a| a.0).collect()
}
