//! What the page says where the command names an option, or another command.

use super::error::{error, why_not};
use super::forecast::forecast_of;
use super::recorded::is_planned;
use crate::caution::HAZARD;
use lab::logbook::{Field, LogbookError, Mistake, Problem, Pull};

/// What stands before what to do.
const HINT: &str = "\n  hint: ";

/// Words of a command in two: what is wrong, and what to do where that is told.
#[must_use]
pub fn parted(words: &str) -> [String; 2] {
    let (says, hint) = words.split_once(HINT).unwrap_or((words, ""));
    [says, hint].map(str::to_owned)
}

/// A value that a field does not take, which is told beside it: what is wrong, and what to do.
#[must_use]
pub fn mistake_on_a_page(mistake: &Mistake) -> [String; 2] {
    match (&mistake.problem, mistake.field) {
        (Problem::Needed, Field::Peak) => [
            "missing; allowed: a load in kN, or with its unit, such as 21.3 or 5400 lbf".to_owned(),
            String::new(),
        ],
        (Problem::Needed, Field::Sample) => {
            ["missing; allowed: the name of the sample, such as ring 7".to_owned(), String::new()]
        }
        _ => parted(&why_not(&mistake.problem, &mistake.found, mistake.field)),
    }
}

/// Why something of a logbook could not be done, and what to do.
#[must_use]
pub fn error_on_a_page(of: &LogbookError) -> [String; 2] {
    match of {
        LogbookError::NotThere(path) => [
            format!("There is no logbook yet: {}.", path.display()),
            "\"Record this forecast\" begins it; so does pullmap log add.".to_owned(),
        ],
        LogbookError::NothingInIt(path) => [
            format!("Nothing was recorded in {} yet.", path.display()),
            "\"Record this forecast\" begins it; so does pullmap log add.".to_owned(),
        ],
        other => parted(&error(other)),
    }
}

/// That a pull is planned, sentence by sentence.
#[must_use]
pub fn planned_on_a_page(pull: &Pull) -> Vec<String> {
    let locked = "Recorded before the pull; once there is a result it cannot be changed.";
    let forecast = forecast_of(pull);
    [is_planned(pull)].into_iter().chain(forecast).chain([locked, HAZARD].map(str::to_owned)).collect()
}
