//! The line that every output carries which shows a strength or a margin.

/// What the program is not.
pub use solver::strength::CARE as CAUTION;
