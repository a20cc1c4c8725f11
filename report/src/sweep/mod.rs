//! A sweep in words: what is varied, what was taken, why a point could not be computed, a short table, and what it comes to.

mod about;
pub mod folder;
mod mistakes;
mod sentence;
mod table;
mod values;

pub use about::About;
pub use mistakes::{all, mistake};
pub use sentence::sentence;
pub use table::{answer, table};
pub use values::{heading, in_words, key, value};

use crate::{building, mistakes as models, notes};
use study::model::ModelErrors;
use study::sweep::{Plan, PointFailure, Row};

/// A row whose failure is told.
pub type ToldRow = Row<String>;

/// A row with its failure in words.
#[must_use]
pub fn told_row(row: Row) -> ToldRow {
    Row { point: row.point, outcome: row.outcome.map_err(|why| reason(&why)) }
}

/// Why a point could not be computed, on one line.
#[must_use]
pub fn reason(why: &PointFailure) -> String {
    let told = match why {
        PointFailure::Model(errors) => in_short(errors),
        PointFailure::Case(error) => building::case(error).replace('\n', "; "),
    };
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The mistakes of a model without its file's name and lines, which are the same in all rows.
fn in_short(errors: &ModelErrors) -> String {
    let all: Vec<String> = errors.0.iter().map(|m| format!("{}: {}", m.key, models::reason_of(m))).collect();
    all.join("; ")
}

/// The sweep in a line: `nose.notch_depth_mm 2.5 to 9 mm, 40 points`.
#[must_use]
pub fn title(plan: &Plan) -> String {
    let keys: Vec<String> =
        plan.varied.iter().map(|v| format!("{} {}", v.key.path(), in_words(&v.values))).collect();
    format!("{}, {} points", keys.join(" by "), plan.len())
}

/// What was taken where a chosen word left a value untold, each sentence once.
#[must_use]
pub fn taken(plan: &Plan) -> Vec<String> {
    plan.taken().into_iter().map(notes::taken).collect()
}

/// The sweep in a line, and what was taken for it.
#[must_use]
pub fn title_and_taken(plan: &Plan) -> String {
    let all: Vec<String> = std::iter::once(title(plan)).chain(taken(plan)).collect();
    all.join("; ")
}

#[cfg(test)]
mod tests;
