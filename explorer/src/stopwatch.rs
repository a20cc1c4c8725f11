//! How long each step of an answer takes.

use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use study::Step;

/// The steps that have begun, and when.
#[derive(Debug)]
pub struct Stopwatch {
    /// Each step with its beginning; `None` for the end of the last.
    begun: Mutex<Vec<(Option<Step>, Instant)>>,
}

impl Default for Stopwatch {
    fn default() -> Self {
        Self { begun: Mutex::new(Vec::new()) }
    }
}

impl Stopwatch {
    fn begun(&self) -> MutexGuard<'_, Vec<(Option<Step>, Instant)>> {
        // The list is whole at every moment: a panic elsewhere cannot have left it half changed.
        self.begun.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A step begins, and with that the one before it ends.
    pub fn begins(&self, step: Step) {
        self.begun().push((Some(step), Instant::now()));
    }

    /// The last step ends.
    pub fn ends(&self) {
        self.begun().push((None, Instant::now()));
    }

    /// How long each step took, in order.
    pub fn steps(&self) -> Vec<(Step, Duration)> {
        let begun = self.begun();
        let each = begun.windows(2).filter_map(|pair| Some((pair[0].0?, pair[1].1 - pair[0].1)));
        each.collect()
    }
}
