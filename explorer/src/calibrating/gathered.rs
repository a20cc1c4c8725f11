//! The pulls of a logbook that tell something, by the model and the rig that they were done with.

use crate::recording::OfSample;
use lab::logbook::{Field, Logbook, LogbookError, Pull};
use report::calibration::Left;
use report::places;
use study::calibrate::Observed;
use study::model::{Model, Source};

/// A model in its rig, with its pulls.
#[derive(Debug)]
pub struct OfOneModel {
    /// The model.
    pub model: Model,
    /// Its pulls.
    pub pulls: Vec<Observed>,
}

/// Pulls by their models, and those that were left out.
#[derive(Debug, Default)]
pub struct Gathered {
    /// The former, in the order of their first pulls.
    pub models: Vec<OfOneModel>,
    /// The latter by their numbers.
    pub left: Vec<(i64, Left)>,
}

/// Gathers pulls.
///
/// # Errors
/// The logbook is damaged.
pub fn gather(logbook: &Logbook, pulls: &[Pull]) -> Result<Gathered, LogbookError> {
    let mut gathered = Gathered::default();
    // Which model each stands for: its text and what was set over it.
    let mut known: Vec<(String, Vec<String>)> = Vec::new();
    for pull in pulls {
        match of_one(logbook, pull)? {
            Err(why) => gathered.left.push((pull.number, why)),
            Ok((key, model, observed)) => match known.iter().position(|one| *one == key) {
                Some(index) => gathered.models[index].pulls.push(observed),
                None => {
                    known.push(key);
                    gathered.models.push(OfOneModel { model, pulls: vec![observed] });
                }
            },
        }
    }
    Ok(gathered)
}

type Found = ((String, Vec<String>), Model, Observed);

fn of_one(logbook: &Logbook, pull: &Pull) -> Result<Result<Found, Left>, LogbookError> {
    let Some(pulled) = &pull.now.pulled else { return Ok(Err(Left::NotPulled)) };
    let Some(is_limit) = pull.broke() else { return Ok(Err(Left::NoOutcome)) };
    let plan = &pull.now.plan;
    let Some((name, hash)) = plan.model.as_ref().and_then(|file| Some((&file.name, file.sha256.as_ref()?)))
    else {
        return Ok(Err(Left::NoModel));
    };
    let text = logbook.content(hash)?;
    let source = Source::of(name, &String::from_utf8_lossy(&text));
    let sets: Vec<(String, String)> = plan
        .sets
        .iter()
        .filter_map(|set| set.split_once('='))
        .map(|(key, value)| (key.to_owned(), value.to_owned()))
        .collect();
    let model = match source.model(&sets) {
        Ok(model) => model,
        Err(mistakes) => {
            let told = report::mistakes::errors(&mistakes);
            return Ok(Err(Left::Mistakes(told.lines().next().unwrap_or_default().to_owned())));
        }
    };
    let of_sample = OfSample::of(source, model, sets);
    let told = of_sample.tells();
    let says = |field: Field| told.iter().find(|one| one.0 == field).and_then(|one| one.1.clone());
    // An offset that the model does not tell may have been measured beside the bench.
    let is_open =
        |field: Field| matches!(field, Field::UpperOffsetMm | Field::LowerOffsetMm) && says(field).is_none();
    let of_rig = Field::before().filter(|field| field.is_of_rig() && !is_open(*field));
    let differ: Vec<Field> = of_rig.filter(|field| says(*field) != pull.now.get(*field)).collect();
    if !differ.is_empty() {
        return Ok(Err(Left::OtherRig(differ)));
    }
    let observed = Observed {
        number: pull.number,
        peak_kn: pulled.peak.kn,
        is_limit,
        place: pulled.place.as_deref().filter(|_| is_limit).and_then(places::find),
    };
    Ok(Ok(((hash.clone(), plan.sets.clone()), of_sample.model, observed)))
}
