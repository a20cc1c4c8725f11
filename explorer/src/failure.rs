//! Why a command could not do what it was asked, and the exit codes of the program.

use crate::model_file::ModelErrors;
use crate::output::OutputError;

/// How a command ended that did what it was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Done. Exit code 0.
    Done,
    /// Done, and a limit is exceeded. Exit code 1.
    LimitExceeded,
}

impl Outcome {
    /// The exit code.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::LimitExceeded => 1,
        }
    }
}

/// Exit code of a command that could not do what it was asked.
pub const COULD_NOT: u8 = 2;

/// Why a command could not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The model is not one.
    #[error("{0}")]
    Model(#[from] ModelErrors),
    /// Something could not be written.
    #[error("{0}")]
    Output(#[from] OutputError),
    /// A file exists that is not to be overwritten.
    #[error("{0}\n  hint: choose another name, or add --force")]
    NeedsForce(OutputError),
    /// Options that do not go together.
    #[error("{what}\n  hint: {hint}")]
    Options {
        /// What does not go together.
        what: &'static str,
        /// What to do instead.
        hint: &'static str,
    },
    /// A part of the program that is not there yet.
    #[error("{0}: not yet")]
    NotYet(&'static str),
}
