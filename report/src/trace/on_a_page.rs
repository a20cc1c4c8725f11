//! What the page tells of a trace where the command names an option.

use super::{Found, Row, Told, rows, understood};
use lab::trace::pull::Pull;
use lab::trace::recording::Channel;

/// The option of the command, and the field of the page.
const RATE: [&str; 2] = ["--rate", "the field Samples a second"];

fn by_field(words: &str) -> String {
    words.replace(RATE[0], RATE[1])
}

/// The table of a pull.
#[must_use]
pub fn rows_on_a_page(pull: &Pull, channel: &Channel) -> Vec<Row> {
    rows(pull, channel).into_iter().map(|row| Row { more: by_field(&row.more), ..row }).collect()
}

/// What was understood of a file; nothing is told of a list of peaks.
#[must_use]
pub fn understood_on_a_page(told: &Told) -> Vec<String> {
    match &told.found {
        Found::Pull(recording, pulls) => {
            understood(recording, pulls).iter().map(|one| by_field(one)).collect()
        }
        Found::Peaks(_) => Vec::new(),
    }
}
