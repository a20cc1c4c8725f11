//! A model as it was told: the values of its text, read once, and what was put over them. Other values may be put over it as
//! often as wanted.

use super::raw::Table;
use super::to::Set;
use std::sync::Arc;

/// A model as it was told.
#[derive(Clone, Debug)]
pub struct Told {
    /// What messages call the file.
    pub(super) file: String,
    /// Its short name.
    pub(super) stem: String,
    /// The values of the text, without the sets.
    pub(crate) table: Arc<Table>,
    /// What takes their place, later ones over earlier ones.
    pub(crate) sets: Vec<Set>,
}

impl Told {
    /// The same with further sets over those it has.
    #[must_use]
    pub fn with(&self, sets: impl IntoIterator<Item = Set>) -> Self {
        let mut told = self.clone();
        told.sets.extend(sets);
        told
    }
}
