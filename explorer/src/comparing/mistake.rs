//! Why there is no comparison.

use report::compare;
use study::compare::CompareMistake;

/// Why there is no comparison.
#[derive(Debug, thiserror::Error)]
pub enum CompareError {
    /// Every mistake in what was typed.
    #[error("{}", compare::all(.0))]
    Asked(Vec<CompareMistake>),
    /// Fewer than two variants can be computed.
    #[error("a comparison needs two variants that can be computed, found {found} of {asked}\n{}", .reasons.join("\n"))]
    TooFew {
        /// How many can be.
        found: usize,
        /// How many were asked for.
        asked: usize,
        /// Why the others cannot be.
        reasons: Vec<String>,
    },
}
