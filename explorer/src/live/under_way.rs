//! How far a piece of work has come, for the page that waits for it.

use report::page;
use report::pull_so_far::PullSoFar;
use serde::Serialize;
use std::sync::{Mutex, MutexGuard, PoisonError};
use study::Step;

/// A piece of work that is waited for.
#[derive(Debug, Default)]
pub struct UnderWay(Mutex<Progress>);

/// How far it has come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// Whether its turn has come.
    pub begun: bool,
    /// What is being done.
    pub step: Option<Step>,
    /// How much of what is counted is done.
    pub done: usize,
    /// How much is known to be wanted so far.
    pub of: usize,
    /// Of a pull: its last step.
    pub pull: Option<PullSoFar>,
}

/// The same as it travels.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Told {
    /// False when nothing of that ticket is waiting or in work.
    pub working: bool,
    /// How much of what is counted is done.
    pub done: usize,
    /// How much is known to be wanted so far.
    pub of: usize,
    /// The same in words; empty when nothing is in work.
    pub says: String,
}

impl UnderWay {
    fn open(&self) -> MutexGuard<'_, Progress> {
        // Numbers are whole at every moment: a panic elsewhere cannot have left them half changed.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Its turn has come.
    pub fn begin(&self) {
        self.open().begun = true;
    }

    /// A step begins.
    pub fn begins(&self, step: Step) {
        self.open().step = Some(step);
    }

    /// A step of a pull is reached.
    pub fn pulls(&self, pull: PullSoFar) {
        let mut progress = self.open();
        (progress.step, progress.done, progress.pull) = (None, pull.steps, Some(pull));
    }

    /// So much more is wanted.
    pub fn more(&self, count: usize) {
        self.open().of += count;
    }

    /// One more is done.
    pub fn done(&self) {
        self.open().done += 1;
    }

    /// How far it has come.
    pub fn progress(&self) -> Progress {
        *self.open()
    }
}

impl Told {
    /// Tells it. `waiting`: what is said before its turn has come.
    #[must_use]
    pub fn new(progress: Progress, waiting: &str) -> Self {
        let Progress { begun, step, done, of, pull } = progress;
        let says = match (begun, pull, step) {
            (false, ..) => waiting.to_owned(),
            (true, Some(pull), None) => pull.words(),
            (true, Some(pull), Some(step)) => page::pulled(pull.steps, step),
            (true, None, _) => page::progress(step, done, of),
        };
        Self { working: true, done, of, says }
    }
}
