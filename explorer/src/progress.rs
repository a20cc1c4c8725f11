//! What is being done, on the standard error, silent when that is not a terminal.

use crate::output::harmless;
use indicatif::{ProgressBar, ProgressStyle};
use report::steps::COUNTED;

/// A line that tells what is being done to one model.
#[derive(Debug)]
pub struct Progress {
    line: ProgressBar,
}

impl Progress {
    /// A line for a model.
    #[must_use]
    pub fn new(name: &str) -> Self {
        let line = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{prefix}: {msg}") {
            line.set_style(style);
        }
        line.set_prefix(harmless(name).into_owned());
        Self { line }
    }

    /// A bar that counts to `total`.
    #[must_use]
    pub fn counting(name: &str, total: u64) -> Self {
        let line = ProgressBar::new(total);
        if let Ok(style) = ProgressStyle::with_template(COUNTED) {
            line.set_style(style);
        }
        line.set_prefix(harmless(name).into_owned());
        Self { line }
    }

    /// Counts on.
    pub fn step(&self, by: u64) {
        self.line.inc(by);
    }

    /// Tells what is being done now.
    pub fn say(&self, what: &'static str) {
        self.line.set_message(what);
        self.line.tick();
    }

    /// Tells how far it has come.
    pub fn tell(&self, words: String) {
        self.line.set_message(words);
        self.line.tick();
    }

    /// Leaves a line above, for what is known already.
    pub fn line_above(&self, words: &str) {
        self.line.println(harmless(words));
    }

    /// Takes the line away.
    pub fn done(&self) {
        self.line.finish_and_clear();
    }
}
