//! Time that passed, or time that the processor spent on this thread.

use std::fs;
use std::time::{Duration, Instant};

/// A clock that was started.
pub(crate) enum Clock {
    Wall(Instant),
    Processor(Duration),
}

impl Clock {
    /// Starts a clock of the kind that was asked for.
    pub(crate) fn start(cpu: bool) -> Self {
        if cpu { Self::Processor(processor()) } else { Self::Wall(Instant::now()) }
    }

    /// Time since it was started.
    pub(crate) fn elapsed(&self) -> Duration {
        match self {
            Self::Wall(start) => start.elapsed(),
            Self::Processor(start) => processor().saturating_sub(*start),
        }
    }
}

/// Time on the processor of this thread, as the Linux scheduler counts it; zero elsewhere.
fn processor() -> Duration {
    let text = fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    Duration::from_nanos(text.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or(0))
}
