//! Why there is no comparison.

use crate::source::SourceError;
use report::compare;
use study::compare::{CompareMistake, TooFew};

/// Why there is no comparison.
#[derive(Debug, thiserror::Error)]
pub enum CompareError {
    /// Every mistake in what was typed.
    #[error("{}", compare::all(.0))]
    Asked(Vec<CompareMistake>),
    /// Fewer than two variants can be computed.
    #[error("{}", compare::too_few(.0))]
    TooFew(TooFew<SourceError>),
}
