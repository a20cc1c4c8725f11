//! Why a comparison cannot be made. Each mistake says what was found, what is allowed and what to do.

use crate::keys;
use crate::mistakes::vary::{changes_nothing, set_as_well};
use crate::mistakes::{hint, problem};
use study::compare::{COUNT, CompareMistake};

/// Slips in what was asked for, each on a line of its own.
#[must_use]
pub fn all(mistakes: &[CompareMistake]) -> String {
    mistakes.iter().map(mistake).collect::<Vec<_>>().join("\n")
}

/// A slip in what was asked for.
#[must_use]
pub fn mistake(mistake: &CompareMistake) -> String {
    match mistake {
        CompareMistake::SeveralModels { found, key } => format!(
            "found --vary with {found} models; allowed: several models, or one model and --vary\n  hint: --set {key}=VALUE \
             applies to each of several models"
        ),
        CompareMistake::ChangesNothing { key, because } => {
            changes_nothing(key, keys::changes_nothing(*because))
        }
        CompareMistake::SetAsWell { key, set } => set_as_well(key, set),
        CompareMistake::Empty { key, list, place } => {
            format!("--vary {key}={list}: value {place} is empty; allowed: KEY=VALUE,VALUE")
        }
        CompareMistake::Twice { key, list, value } => {
            format!("--vary {key}={list}: found {value} twice; allowed: each value once")
        }
        CompareMistake::Word { key, list, problem: wrong, hint: meant } => {
            let meant = meant.as_ref().map_or_else(String::new, |meant| format!("\n  hint: {}", hint(meant)));
            format!("--vary {key}={list}: {}{meant}", problem(wrong))
        }
        CompareMistake::Count { found, lone_model } => {
            let variants = if *found == 1 { "variant" } else { "variants" };
            let hint =
                if *lone_model { "\n  hint: name another model, or add --vary KEY=VALUE,VALUE" } else { "" };
            let [least, most] = COUNT;
            format!("found {found} {variants}; allowed: {least} to {most}{hint}")
        }
    }
}
