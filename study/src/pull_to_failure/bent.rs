//! A connector that was pulled to a load and unloaded.

use solver::pull_to_failure::{Fields, Reached, Unloaded};

/// A connector that was pulled to a load, unloaded, and pulled again.
#[derive(Clone, Debug)]
pub struct Bent {
    /// Before it was unloaded.
    pub before: Reached,
    /// Its stress and shape then.
    pub fields_before: Fields,
    /// Afterwards, with the second pull.
    pub unloaded: Unloaded,
}
