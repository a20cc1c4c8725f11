//! What must be known beside the values of a pull: what in them does not go together.

use super::names::{day, field};
use crate::places;
use lab::logbook::record::{is_break, is_strap};
use lab::logbook::{Field, Pull};
use solver::causes::Place;

/// What in a pull does not go together, in sentences; empty where all does.
#[must_use]
pub fn notes(pull: &Pull) -> Vec<String> {
    [dated_before_forecast(pull), outcome_and_place(pull)].into_iter().flatten().collect()
}

/// A pull that is told to be older than its forecast.
fn dated_before_forecast(pull: &Pull) -> Option<String> {
    if !pull.is_dated_before_forecast() {
        return None;
    }
    let (_, at) = pull.forecast.as_ref()?;
    let told = pull.now.get(Field::PulledOn)?;
    Some(format!(
        "The {} of the pull is {}, before its forecast was recorded on {}: so told, the forecast was not blind. Correct the date if it is \
         wrong.",
        field(Field::PulledOn),
        day(&told),
        day(&at.at)
    ))
}

/// An outcome of the connector with a place at a strap, or the other way round.
fn outcome_and_place(pull: &Pull) -> Option<String> {
    let pulled = pull.now.pulled.as_ref()?;
    let (outcome, place) = (pulled.outcome.as_deref()?, pulled.place.as_deref()?);
    let at_strap = matches!(places::find(place)?, Place::Strap | Place::UpperStrap | Place::LowerStrap);
    let why = match at_strap {
        true if is_break(outcome) => "that place is a strap's, not the connector's",
        false if is_strap(outcome) => "that place is the connector's, not a strap's",
        _ => return None,
    };
    Some(format!(
        "The outcome is \"{outcome}\" and the place of the break \"{place}\": {why}. Correct the one that is wrong."
    ))
}
