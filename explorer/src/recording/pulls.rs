//! The forecast before a pull, and its result.

use super::fields::{Told, all_right, of_result};
use super::model::OfSample;
use crate::args::ResultFields;
use crate::failure::Failure;
use lab::logbook::peak::Peak;
use lab::logbook::record::{fill, untold};
use lab::logbook::{Field, Forecast, Logbook, LogbookError, NoTracedPeak, Pull, Record, Traced, dates};
use report::failure_modes;
use report::logbook::{ended_otherwise, trace_contradicts};
use solver::system::SystemSettings;
use std::path::Path;
use study::model::Model;
use study::{CaseError, Engine, Step, Watch, forecast};

/// What is to be recorded of a pull to come: what its model tells, and what was told of the sample.
///
/// # Errors
/// Every value that may not be.
pub fn planned(model: &OfSample, sample: Told) -> Result<Record, Failure> {
    let mut record = Record::default();
    let told = first_then(model.tells(), [model.fields(), sample].concat());
    all_right(fill(&mut record, needed(told.clone(), &[Field::Sample])), &told)?;
    Ok(record)
}

/// The forecast of a model, as `forecast` tells it; `calibration`: the name of that which the model has.
///
/// # Errors
/// It cannot be solved, or nobody wants it any more.
pub fn forecast_of(
    engine: &Engine,
    model: &Model,
    calibration: Option<String>,
    begins: &(dyn Fn(Step) + Sync),
    watch: &Watch<'_>,
) -> Result<Forecast, CaseError> {
    let settings = SystemSettings::default();
    let told = forecast::solve(engine, model, &settings, begins, watch)?;
    let [p5_kn, p50_kn, p95_kn] = told.quantiles_kn();
    Ok(Forecast {
        p5_kn,
        p50_kn,
        p95_kn,
        first: failure_modes::name(told.limits.fails_first).to_owned(),
        program: env!("CARGO_PKG_VERSION").to_owned(),
        inputs: model.inputs_hash(&settings),
        calibration,
    })
}

/// What was told of a result, but for its files; the day is today where none was told.
#[must_use]
pub fn result_of(fields: &ResultFields) -> Told {
    let mut result = of_result(fields);
    if fields.date.is_none() {
        result.push((Field::PulledOn, Some(dates::now())));
    }
    result
}

/// Records the result of a pull that was planned. It belongs to a pull that is there: no logbook is made for it.
///
/// # Errors
/// There is no such pull, it is known by something else than `uid`, it has a result, or the logbook cannot be written.
pub fn finish(
    logbook: &Path,
    (number, uid): (i64, Option<&str>),
    record: Record,
    kept: &[&[u8]],
) -> Result<Pull, LogbookError> {
    let pull = Logbook::read(logbook)?.pull(number)?;
    if uid.is_some_and(|uid| uid != pull.uid) {
        return Err(LogbookError::OtherPull(number));
    }
    let mut open = Logbook::write(logbook)?;
    open.finish(number, &record.pulled.unwrap_or_else(untold), kept)?;
    open.pull(number)
}

/// What a trace says of the peak and of how the pull ended: the peak itself where none was told, else a note where it says another, and
/// one where the load ended otherwise than the outcome has it. Gives the words for it.
///
/// # Errors
/// No peak was told, and the trace gives none.
pub fn peak_of_trace(told: Option<&str>, bytes: &[u8], result: &mut Told) -> Result<String, NoTracedPeak> {
    let mut words = String::new();
    let outcome = result.iter().find(|field| field.0 == Field::Outcome).and_then(|field| field.1.clone());
    if told.is_none() {
        let entered = Traced::peak(bytes)?;
        words += &report::logbook::peak_of_trace(&entered);
        result.push((Field::Peak, Some(entered)));
    }
    // A trace that gives no reading is kept all the same, and a peak that is none is told as such.
    let Ok(traced) = Traced::read(bytes) else { return Ok(words) };
    if let Some(Ok(peak)) = told.map(Peak::read) {
        words += &traced.contradicts(peak.kn).map_or_else(String::new, |kn| trace_contradicts(peak.kn, kn));
    }
    if let Some(outcome) = outcome {
        let outcome = outcome.trim().to_lowercase().replace(['-', '_'], " ");
        words +=
            &traced.ended_otherwise(&outcome).map_or_else(String::new, |end| ended_otherwise(&outcome, end));
    }
    Ok(words)
}

/// What was told, in the place of what follows from a model.
#[must_use]
pub fn first_then(model: Told, told: Told) -> Told {
    let mut all: Told =
        model.into_iter().filter(|field| told.iter().all(|other| other.0 != field.0)).collect();
    all.extend(told);
    all
}

/// What was told, and nothing for what must be told and was not: that is a mistake like any other.
#[must_use]
pub fn needed(mut told: Told, fields: &[Field]) -> Told {
    for field in fields {
        if told.iter().all(|other| other.0 != *field) {
            told.push((*field, None));
        }
    }
    told
}
