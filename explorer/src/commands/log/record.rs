//! What is recorded. A number is printed once it is on the disk, never before.

use super::attached;
use crate::args::{
    LogAddArguments, LogAmendArguments, LogPlanArguments, LogWithdrawArguments, ResultFields, RigFields,
};
use crate::calibrating::calibration_of;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use crate::recording::{
    OfSample, Told, all_right, finish, first_then, forecast_of, needed, of_result, of_rig, of_sample,
    peak_of_trace, planned, result_of,
};
use lab::logbook::record::{fill, untold};
use lab::logbook::{Field, Logbook, Pull, Record};
use report::caution::CAUTION;
use report::logbook::{
    added, amended, no_model, no_traced_peak, not_for_a_planned_pull, nothing_to_amend, open_plans,
    planned as told_plan, withdrawn,
};
use report::steps;
use std::path::Path;
use study::model::Source;
use study::{Engine, Watch};

/// Records a pull to come, with its forecast.
///
/// # Errors
/// The model has mistakes, a value may not be, the forecast cannot be solved, or the logbook cannot be written.
pub fn plan(logbook: &Path, arguments: &LogPlanArguments) -> Result<Outcome, Failure> {
    let model = OfSample::read(&arguments.model, &arguments.change)?;
    let record = planned(&model, of_sample(&arguments.sample))?;
    // A logbook that cannot be written is told before anything is computed.
    let mut open = Logbook::write(logbook)?;
    let model = match &arguments.calibration {
        None => model,
        Some(name) => model.calibrated(&calibration_of(&open, name)?),
    };
    let progress = Progress::new(&model.source.stem);
    let begins = |step| progress.say(steps::step(step));
    let forecast = forecast_of(
        &Engine::default(),
        &model.model,
        arguments.calibration.clone(),
        &begins,
        &Watch::quiet(),
    )
    .map_err(|error| Failure::case(&model.model.title, &error))?;
    let number = open.plan(&record.plan, Some(&forecast), &[model.source.text.as_bytes()])?;
    progress.done();
    print(&format!("{}{CAUTION}\n", told_plan(&open.pull(number)?)))?;
    Ok(Outcome::Done)
}

/// Records a pull, or the result of one that was planned.
///
/// # Errors
/// A value may not be, a file cannot be read, or the logbook cannot be written.
pub fn add(logbook: &Path, arguments: &LogAddArguments) -> Result<Outcome, Failure> {
    let before = [of_sample(&arguments.sample), of_rig(&arguments.rig)].concat();
    if let Some(number) = arguments.number {
        let mut fields: Vec<Field> = before.iter().map(|field| field.0).collect();
        fields.extend(of_model(&arguments.rig));
        if !fields.is_empty() {
            return Err(Failure::Log(not_for_a_planned_pull(number, &fields)));
        }
    }
    let mut kept: Vec<Vec<u8>> = Vec::new();
    let mut result = result_of(&arguments.result);
    result.extend(files(&arguments.result, &mut kept)?);
    let said = said_of_trace(&arguments.result, kept.last().map(Vec::as_slice), &mut result)?;
    let mut record = Record { pulled: Some(untold()), ..Record::default() };
    let words = match arguments.number {
        Some(number) => {
            all_right(fill(&mut record, needed(result.clone(), &[Field::Peak])), &result)?;
            added(&finish(logbook, (number, None), record, &slices(&kept))?)
        }
        None => {
            if arguments.rig.model.is_none() && !arguments.rig.change.set.is_empty() {
                return Err(Failure::Log(no_model()));
            }
            let model = model_of(&arguments.rig, &mut kept)?;
            let told = model.map_or_else(Vec::new, |model| [model.tells(), model.fields()].concat());
            let told = first_then(told, [before, result].concat());
            all_right(fill(&mut record, needed(told.clone(), &[Field::Sample, Field::Peak])), &told)?;
            let mut open = Logbook::write(logbook)?;
            let number = open.add(&record.plan, &record.pulled.unwrap_or_else(untold), &slices(&kept))?;
            let pull = open.pull(number)?;
            let planned = open.planned_of(&pull.now.plan.sample)?;
            format!("{}{}", added(&pull), open_plans(&pull, &planned))
        }
    };
    print(&format!("{words}{said}{CAUTION}\n"))?;
    Ok(Outcome::Done)
}

/// What a trace says of the peak, in words.
fn said_of_trace(
    arguments: &ResultFields,
    bytes: Option<&[u8]>,
    result: &mut Told,
) -> Result<String, Failure> {
    let (Some(path), Some(bytes)) = (&arguments.trace, bytes) else { return Ok(String::new()) };
    peak_of_trace(arguments.peak.as_deref(), bytes, result)
        .map_err(|why| Failure::Log(no_traced_peak(path.display(), &why)))
}

/// Corrects values of a pull.
///
/// # Errors
/// There is no such pull, a value may not be or is the same, or the logbook cannot be written.
pub fn amend(logbook: &Path, arguments: &LogAmendArguments) -> Result<Outcome, Failure> {
    let mut kept: Vec<Vec<u8>> = Vec::new();
    let mut changes =
        [of_sample(&arguments.sample), of_rig(&arguments.rig), of_result(&arguments.result)].concat();
    if !of_model(&arguments.rig).is_empty() {
        let pull = Logbook::read(logbook)?.pull(arguments.number)?;
        changes.extend(other_model(logbook, &pull, &arguments.rig, &mut kept)?);
    }
    changes.extend(files(&arguments.result, &mut kept)?);
    changes.extend(arguments.clear.iter().filter_map(|word| Some((Field::of(word)?, None))));
    if changes.is_empty() {
        return Err(Failure::Log(nothing_to_amend()));
    }
    let mut any = Record { pulled: Some(untold()), ..Record::default() };
    all_right(fill(&mut any, changes.clone()), &changes)?;
    Logbook::read(logbook)?;
    Logbook::write(logbook)?.amend(arguments.number, &changes, &arguments.why, &slices(&kept))?;
    let fields: Vec<Field> = changes.iter().map(|change| change.0).collect();
    print(&format!("{}{CAUTION}\n", amended(arguments.number, &fields)))?;
    Ok(Outcome::Done)
}

/// Withdraws a pull. What stands there stays on record.
///
/// # Errors
/// There is no such pull, it is withdrawn already, or the logbook cannot be written.
pub fn withdraw(logbook: &Path, arguments: &LogWithdrawArguments) -> Result<Outcome, Failure> {
    Logbook::read(logbook)?;
    Logbook::write(logbook)?.withdraw(arguments.number, &arguments.why)?;
    print(&format!("{}{CAUTION}\n", withdrawn(arguments.number)))?;
    Ok(Outcome::Done)
}

/// Another model, or other sets over the one that is kept. Sets belong to their model: with another one those that were go.
fn other_model(
    logbook: &Path,
    pull: &Pull,
    rig: &RigFields,
    kept: &mut Vec<Vec<u8>>,
) -> Result<Told, Failure> {
    let old_sets = pull.now.get(Field::Sets);
    if let Some(model) = model_of(rig, kept)? {
        let mut fields = model.fields();
        if rig.change.set.is_empty() && old_sets.is_some() {
            fields.push((Field::Sets, None));
        }
        let is_new = |field: &(Field, Option<String>)| {
            field.0 != Field::Model || pull.now.get(Field::Model) != field.1
        };
        fields.retain(is_new);
        return Ok(fields);
    }
    let Some(model) = &pull.now.plan.model else { return Err(Failure::Log(no_model())) };
    let text = Logbook::read(logbook)?.content(model.sha256.as_deref().unwrap_or_default())?;
    let sets = &rig.change.set;
    Source::of(&model.name, &String::from_utf8_lossy(&text)).model(sets)?;
    let sets: Vec<String> = sets.iter().map(|(key, value)| format!("{key}={value}")).collect();
    Ok(vec![(Field::Sets, Some(sets.join("\n")))])
}

fn slices(kept: &[Vec<u8>]) -> Vec<&[u8]> {
    kept.iter().map(Vec::as_slice).collect()
}

/// The fields that name a model.
fn of_model(rig: &RigFields) -> Vec<Field> {
    let model = rig.model.as_ref().map(|_| Field::Model);
    let sets = (!rig.change.set.is_empty()).then_some(Field::Sets);
    model.into_iter().chain(sets).collect()
}

/// The model that was named, its text among what is kept.
fn model_of(rig: &RigFields, kept: &mut Vec<Vec<u8>>) -> Result<Option<OfSample>, Failure> {
    let Some(argument) = &rig.model else { return Ok(None) };
    let model = OfSample::read(argument, &rig.change)?;
    kept.push(model.source.text.clone().into_bytes());
    Ok(Some(model))
}

/// Photo and trace as fields, the bytes of the trace among what is kept.
fn files(result: &ResultFields, kept: &mut Vec<Vec<u8>>) -> Result<Told, Failure> {
    let mut fields = Vec::new();
    if let Some(path) = &result.photo {
        fields.push((Field::Photo, Some(attached::photo(path))));
    }
    if let Some(path) = &result.trace {
        let (bytes, named) = attached::trace(path)?;
        kept.push(bytes);
        fields.push((Field::Trace, Some(named)));
    }
    Ok(fields)
}
