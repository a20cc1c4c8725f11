//! What is wrong with a comparison as it was asked for.

use crate::model::hint::Hint;
use crate::model::keys::Idle;
use crate::model::mistake::Problem;

/// Fewest and most variants of a comparison: more than six are too small to tell apart on one page.
pub const COUNT: [usize; 2] = [2, 6];

/// A slip in what was asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum CompareMistake {
    /// Several models beside a key that varies.
    SeveralModels {
        /// How many.
        found: usize,
        /// The key.
        key: String,
    },
    /// A key that no result depends on.
    ChangesNothing {
        /// The key.
        key: String,
        /// Why nothing does.
        because: Idle,
    },
    /// A key that varies and is set as well.
    SetAsWell {
        /// The key that varies.
        key: String,
        /// The key that is set.
        set: String,
    },
    /// A value without a letter.
    Empty {
        /// The key.
        key: String,
        /// Its values as typed.
        list: String,
        /// Which value, counted from one.
        place: usize,
    },
    /// A value that stands twice.
    Twice {
        /// The key.
        key: String,
        /// Its values as typed.
        list: String,
        /// The value.
        value: String,
    },
    /// A word that the key does not know.
    Word {
        /// The key.
        key: String,
        /// Its values as typed.
        list: String,
        /// What is wrong with one of them.
        problem: Problem,
        /// What was meant.
        hint: Option<Hint>,
    },
    /// More or fewer variants than a page shows.
    Count {
        /// How many.
        found: usize,
        /// Whether it is one model without anything that varies.
        lone_model: bool,
    },
}
