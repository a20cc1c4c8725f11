//! Why something of a logbook is not done, as a page is told it: each mistake by its field.

use crate::failure::Failure;
use crate::live::api_error::{ApiError, of_failure};
use crate::live::told::Mistake;
use lab::logbook::{LogbookError, Mistake as Value};
use report::logbook::{error_on_a_page, mistake_on_a_page, parted};
use report::page::records::NOT_DONE;
use report::reason::Reason;

/// Several mistakes.
#[must_use]
pub fn all(mistakes: Vec<Mistake>) -> ApiError {
    ApiError::Refused(NOT_DONE, mistakes)
}

/// Typed values that may not be, each after its field.
#[must_use]
pub fn typed(wrong: Vec<(&'static str, String)>) -> ApiError {
    all(wrong.into_iter().map(|(key, why)| Mistake::about(key, Reason::OfKey(why))).collect())
}

/// A value that a field of the logbook does not take.
#[must_use]
pub fn value(of: &Value) -> Mistake {
    let [says, hint] = mistake_on_a_page(of);
    Mistake { hint, ..Mistake::about(of.field.word(), Reason::OfKey(says)) }
}

/// Why something of a logbook could not be done.
#[must_use]
pub fn logbook(error: LogbookError) -> ApiError {
    match error {
        LogbookError::Values(mistakes) => all(mistakes.iter().map(value).collect()),
        other => {
            let [says, hint] = error_on_a_page(&other);
            all(vec![Mistake { hint, ..Mistake::about("", Reason::Whole(says)) }])
        }
    }
}

/// Why what the commands do was not done.
#[must_use]
pub fn failure(failure: Failure) -> ApiError {
    match failure {
        Failure::Logbook(error) => logbook(error),
        // What to do instead is told there by options, which the page has as fields in sight.
        Failure::Lot(words) => {
            let [says, _] = parted(&words);
            all(vec![Mistake::about("", Reason::Whole(says))])
        }
        other => of_failure(&other),
    }
}
