//! What was typed, field by field.

use crate::args::{ResultFields, RigFields, SampleFields};
use crate::failure::Failure;
use lab::logbook::{Field, LogbookError, Mistake, Problem};
use report::places;

/// A field and the text that it was told by.
pub type Told = Vec<(Field, Option<String>)>;

/// Those that were told.
fn told<const N: usize>(all: [(Field, Option<String>); N]) -> Told {
    all.into_iter().filter(|field| field.1.is_some()).collect()
}

/// Pairs as one text.
fn pairs(all: &[String]) -> Option<String> {
    (!all.is_empty()).then(|| all.join("\n"))
}

/// What was told of a sample.
#[must_use]
pub fn of_sample(fields: &SampleFields) -> Told {
    told([
        (Field::Sample, fields.sample.clone()),
        (Field::Kind, fields.kind.clone()),
        (Field::AgeYears, fields.age.clone()),
        (Field::HoursOfUse, fields.hours.clone()),
        (Field::EarlierPulls, fields.earlier_pulls.clone()),
        (Field::MarkedClosedKn, fields.marking.clone()),
        (Field::MarkedOpenKn, fields.marking_open.clone()),
        (Field::Measured, pairs(&fields.measured)),
        (Field::Rig, fields.rig.clone()),
    ])
}

/// What was told of a rig, but for its model.
#[must_use]
pub fn of_rig(fields: &RigFields) -> Told {
    told([
        (Field::Upper, fields.upper.clone()),
        (Field::UpperSizeMm, fields.upper_size.clone()),
        (Field::UpperOffsetMm, fields.upper_offset.clone()),
        (Field::Lower, fields.lower.clone()),
        (Field::LowerSizeMm, fields.lower_size.clone()),
        (Field::LowerOffsetMm, fields.lower_offset.clone()),
        (Field::Gate, fields.gate.clone()),
        (Field::EngagedMm, fields.engaged.clone()),
    ])
}

/// What was told of a result, but for its files. The word of a place is that which a forecast and `explain` have for it.
#[must_use]
pub fn of_result(fields: &ResultFields) -> Told {
    let place = fields.place.as_ref().map(|typed| match places::find(typed) {
        Some(place) => places::word(place).to_owned(),
        None => typed.clone(),
    });
    told([
        (Field::PulledOn, fields.date.clone()),
        (Field::Peak, fields.peak.clone()),
        (Field::Outcome, fields.outcome.clone()),
        (Field::Place, place),
        (Field::Remark, fields.remark.clone()),
    ])
}

/// Whether a word is one of a place.
#[must_use]
pub fn is_place(word: &str) -> bool {
    places::words().contains(&word)
}

/// Refuses what was told wrong, all at once: what the logbook found, and a place that is none.
///
/// # Errors
/// Something was.
pub fn all_right(found: Result<(), Vec<Mistake>>, told: &Told) -> Result<(), Failure> {
    let mut mistakes = found.err().unwrap_or_default();
    let place = told.iter().find(|field| field.0 == Field::Place).and_then(|field| field.1.as_deref());
    if let Some(place) = place.filter(|place| !is_place(place)) {
        mistakes.retain(|mistake| mistake.field != Field::Place);
        mistakes.push(Mistake { field: Field::Place, found: place.to_owned(), problem: Problem::NoPlace });
    }
    match mistakes.is_empty() {
        true => Ok(()),
        false => {
            mistakes.sort_by_key(|mistake| mistake.field);
            Err(LogbookError::Values(mistakes).into())
        }
    }
}
