//! Forecasts held against the pulls that followed them.

use crate::args::LogScoreArguments;
use crate::commands::files::json_of;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use lab::logbook::Logbook;
use lab::scores::Scores;
use report::caution::CAUTION;
use report::logbook::{ScoreDocument, score as told};
use report::{failure_modes, places};
use solver::strength::FailureMode;
use std::path::Path;

/// Scores forecasts.
///
/// # Errors
/// There is no logbook, or it cannot be read.
pub fn score(logbook: &Path, arguments: &LogScoreArguments) -> Result<Outcome, Failure> {
    let pulls = Logbook::read(logbook)?.pulls(&arguments.filter.filter())?;
    let scores = Scores::of(&pulls, &is_at);
    print(&match arguments.json {
        true => json_of(&ScoreDocument::new(&scores))?,
        false => format!("{}{CAUTION}\n", told(&scores)),
    })?;
    Ok(Outcome::Done)
}

/// Whether what was forecast to fail first may be found broken at the place that was found.
fn is_at(first: &str, found: &str) -> bool {
    let mode = FailureMode::all().into_iter().find(|mode| failure_modes::name(*mode) == first);
    let (Some(mode), Some(place)) = (mode, places::find(found)) else { return false };
    place.may_show(mode)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_belong_to_what_is_forecast_there() {
        for (first, found, is) in [
            ("frame opens", "lower bar", true),
            ("frame opens", "spine", true),
            ("frame opens", "lip", false),
            ("lip of the notch", "lip", true),
            ("lip of the notch", "nose", true),
            ("lip of the notch", "spine", false),
            ("nothing known", "spine", false),
        ] {
            assert_eq!(is_at(first, found), is, "{first} {found}");
        }
    }
}
