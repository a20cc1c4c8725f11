//! A model as it was told: the values of its text, read once, and what was put over them. Other values may be put over it as
//! often as wanted.

use super::raw::Table;
use super::to::Set;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What stands behind a value that is still the example's, after the sign of a comment.
pub const MARK: &str = "example's";

/// The lines of a text that end with the mark, counted from one.
#[must_use]
pub fn marked_lines(text: &str) -> BTreeSet<usize> {
    let is_marked = |line: &str| line.rsplit_once('#').is_some_and(|(_, comment)| comment.trim() == MARK);
    (1..).zip(text.lines()).filter(|(_, line)| is_marked(line)).map(|(at, _)| at).collect()
}

/// A model as it was told.
#[derive(Clone, Debug)]
pub struct Told {
    /// What messages call the file.
    pub(super) file: String,
    /// Its short name.
    pub(super) stem: String,
    /// The values of the text, without the sets.
    pub(crate) table: Arc<Table>,
    /// Lines of the text whose values are marked as those of the example that it was made from.
    pub(super) marked: Arc<BTreeSet<usize>>,
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
