//! How far a piece of work has come, for the page that waits for it.

use serde::Serialize;
use std::sync::{Mutex, MutexGuard, PoisonError};
use study::Step;

/// A piece of work that is waited for.
#[derive(Debug, Default)]
pub struct UnderWay(Mutex<Progress>);

/// How far it has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// Whether its turn has come.
    pub begun: bool,
    /// What is being done.
    pub step: Option<Step>,
    /// How much of what is counted is done.
    pub done: usize,
    /// How much is known to be wanted so far.
    pub of: usize,
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

impl From<Progress> for Told {
    fn from(progress: Progress) -> Self {
        let Progress { begun, step, done, of } = progress;
        Self { working: true, done, of, says: report::page::progress(begun, step, done, of) }
    }
}
