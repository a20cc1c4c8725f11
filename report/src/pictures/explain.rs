//! Words of the picture that weighs causes.

use crate::changes::heading;
use crate::explain::{Explanation, LEAST_OTHERS, RankedCause, goes_on, tie_in_words};
use crate::failure_modes;
use crate::letters::typeset;
use crate::numbers::{kilonewtons, likelihood};

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: what would explain the break")
}

/// The line under the title; `sets`: what was changed.
#[must_use]
pub fn subtitle(rig: &str, sets: &[(String, String)]) -> String {
    format!("As entered: {}", heading(rig, sets))
}

/// What stands at the bar of everything as entered where nothing explains what was seen.
pub const DOES_NOT: &str = "does not explain it";

/// What stands below the rows: what they leave out (a likelihood), what to measure, what reaches the marking.
#[must_use]
pub fn note(found: &Explanation, others: f64) -> String {
    let mut note = match others >= LEAST_OTHERS {
        true => format!("Others: {}. ", likelihood(others)),
        false => String::new(),
    };
    note.extend(found.measure_next.first().map(|measure| format!("Measure next. {measure} ")));
    note.extend(found.marking.first().map(|marking| marking.sentence.clone()));
    typeset(&note)
}

/// What a cause gives: load, part, and what else may be.
#[must_use]
pub fn gives(cause: &RankedCause) -> String {
    let mut gives = format!("{}, {}", kilonewtons(cause.peak_kn), failure_modes::name(cause.fails_first));
    gives.push_str(&tie_in_words(cause));
    if goes_on(cause) {
        gives.push_str(&format!(", pulled on it ends at {}", kilonewtons(cause.pull_ends_at_kn)));
    }
    if !cause.likely.is_empty() {
        gives.push_str(&format!("; likely {}", cause.likely));
    }
    typeset(&gives)
}
