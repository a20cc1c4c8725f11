//! Why a problem could not be run.

use thiserror::Error;

/// Why a problem could not be run.
#[derive(Clone, Debug, Error)]
#[error("{problem}: {reason}")]
pub struct ProblemError {
    /// Which problem.
    pub problem: &'static str,
    /// What went wrong.
    pub reason: String,
}
