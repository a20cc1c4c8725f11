//! Why there is no comparison.

use crate::machine::MachineError;
use crate::source::SourceError;
use report::compare;
use study::compare::{CompareMistake, TooFew};

/// Why a variant is not begun.
#[derive(Debug, thiserror::Error)]
pub enum NotBegun {
    /// Its model cannot be read.
    #[error(transparent)]
    Source(#[from] SourceError),
    /// There is no room for its mesh.
    #[error(transparent)]
    Machine(#[from] MachineError),
}

/// Why there is no comparison.
#[derive(Debug, thiserror::Error)]
pub enum CompareError {
    /// Every mistake in what was typed.
    #[error("{}", compare::all(.0))]
    Asked(Vec<CompareMistake>),
    /// Fewer than two variants can be computed.
    #[error("{}", compare::too_few(.0))]
    TooFew(TooFew<NotBegun>),
}
