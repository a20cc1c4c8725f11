//! What is wrong with a comparison as it was asked for.

use report::{keys, mistakes};
use study::model::hint::Hint;
use study::model::keys::Idle;
use study::model::mistake::Problem;

/// Fewest and most variants of a comparison: more than six are too small to tell apart on one page.
pub const COUNT: [usize; 2] = [2, 6];

/// A slip in what was asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CompareMistake {
    /// Several models beside a key that varies.
    #[error(
        "found --vary with {found} models; allowed: several models, or one model and --vary\n  hint: --set {key}=VALUE \
         applies to each of several models"
    )]
    SeveralModels {
        /// How many.
        found: usize,
        /// The key.
        key: String,
    },
    /// A key that no result depends on.
    #[error(
        "--vary {key}: found a key that changes nothing: {}; allowed: a key that a result depends on",
        keys::changes_nothing(*.because)
    )]
    ChangesNothing {
        /// The key.
        key: String,
        /// Why nothing does.
        because: Idle,
    },
    /// A value without a letter.
    #[error("--vary {key}={list}: value {place} is empty; allowed: KEY=VALUE,VALUE")]
    Empty {
        /// The key.
        key: String,
        /// Its values as typed.
        list: String,
        /// Which value, counted from one.
        place: usize,
    },
    /// A value that stands twice.
    #[error("--vary {key}={list}: found {value} twice; allowed: each value once")]
    Twice {
        /// The key.
        key: String,
        /// Its values as typed.
        list: String,
        /// The value.
        value: String,
    },
    /// A word that the key does not know.
    #[error(
        "--vary {key}={list}: {}{}",
        mistakes::problem(.problem),
        .hint.as_ref().map_or_else(String::new, |hint| format!("\n  hint: {}", mistakes::hint(hint)))
    )]
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
    #[error(
        "found {found} {}; allowed: {} to {}{}",
        if *.found == 1 { "variant" } else { "variants" },
        COUNT[0],
        COUNT[1],
        if *.lone_model { "\n  hint: name another model, or add --vary KEY=VALUE,VALUE" } else { "" }
    )]
    Count {
        /// How many.
        found: usize,
        /// Whether it is one model without anything that varies.
        lone_model: bool,
    },
}

/// Why there is no comparison.
#[derive(Debug, thiserror::Error)]
pub enum CompareError {
    /// Every mistake in what was typed.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
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
