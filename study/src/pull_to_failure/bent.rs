//! A connector that was pulled to a load and unloaded.

use solver::pull_to_failure::{Reached, Unloaded};

/// A connector that was pulled to a load, unloaded, and pulled again.
#[derive(Clone, Debug)]
pub struct Bent {
    /// Before it was unloaded.
    pub before: Reached,
    /// Afterwards, with the second pull.
    pub unloaded: Unloaded,
}
