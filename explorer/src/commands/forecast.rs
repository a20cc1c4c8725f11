//! `pullmap forecast`: what fails first, at which load, and how sure that is, for one model or a day's batch.

use super::files::{Files, folder_of, json_of};
use super::forecast_pulled::Pulling;
use crate::args::ForecastArguments;
use crate::calibrating::calibration_of;
use crate::failure::{Failure, Outcome};
use crate::forecasting::picture;
use crate::output::print;
use crate::progress::Progress;
use crate::source;
use lab::logbook::Logbook;
use report::caution::CAUTION;
use report::forecast::{Forecast, answer, asked, summary};
use report::notes::places_not_entered;
use report::steps;
use solver::system::SystemSettings;
use study::model::{Model, Source};
use study::{Engine, Watch, forecast};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Forecasts every model.
///
/// All models are checked before the first is solved: a slip in the last one should not come out after minutes.
///
/// # Errors
/// A model has mistakes, a connector cannot be solved, or a file cannot be written.
pub fn run(arguments: &ForecastArguments) -> Result<Outcome, Failure> {
    let calibration = match &arguments.calibration {
        None => None,
        Some(name) => {
            let logbook = Logbook::read(&arguments.logbook)?;
            let kept = logbook.calibration(name)?;
            Some((logbook.changed_since(&kept)?, calibration_of(&logbook, name)?, kept))
        }
    };
    let models: Vec<(Source, Model)> = arguments
        .models
        .iter()
        .map(|argument| {
            let source = source::find(argument)?;
            let model = source.model(&arguments.change.with_working_load(arguments.working_load))?;
            let model = match &calibration {
                None => model,
                Some((_, told, _)) => model.calibrated(told),
            };
            Ok((source, model))
        })
        .collect::<Result<_, Failure>>()?;
    for (source, _) in models.iter().filter(|_| !arguments.json) {
        Files::check(&folder_of(arguments.out.as_deref(), &source.stem, models.len() > 1))?;
    }
    let by_a_pull = arguments.pulled.then(Pulling::listen);
    if by_a_pull.is_some() {
        for (_, model) in &models {
            Pulling::check(model)?;
        }
    }
    let (engine, settings) = (Engine::default(), SystemSettings::default());
    let mut printed = String::new();
    let mut all = Vec::new();
    for (source, model) in &models {
        let progress = Progress::new(&source.stem);
        let begins = |step| progress.say(steps::step(step));
        let told = forecast::solve(&engine, model, &settings, &begins, &Watch::quiet())
            .map_err(|e| Failure::case(&model.title, &e))?;
        let forecast = match &by_a_pull {
            None => Forecast::new(&told, model),
            Some(pulling) => match pulling.beside(&engine, model, &told, &progress)? {
                Some(forecast) => forecast,
                None => return Ok(Outcome::Stopped),
            },
        };
        let forecast = match &calibration {
            None => forecast,
            Some((changed, told, kept)) => forecast.calibrated(kept, changed, told),
        };
        if !arguments.json {
            let folder = folder_of(arguments.out.as_deref(), &source.stem, models.len() > 1);
            let mut files = Files::new(folder)?;
            progress.say(steps::PICTURE);
            let hash = model.inputs_hash(&settings);
            files.drawing(
                "forecast",
                &picture(&told, &forecast, (&source.stem, &hash), &arguments.change.set, PICTURE),
            )?;
            files.text("forecast.json", &json_of(&forecast)?)?;
            let places = places_not_entered(model, source::typed(source))
                .map_or_else(String::new, |note| format!("Note: {note}\n"));
            printed.push_str(&format!("{}{places}\n{}\n", answer(&forecast, &told), files.told()));
        }
        progress.done();
        all.push((source.stem.clone(), forecast));
    }
    let below: Vec<&(String, Forecast)> =
        all.iter().filter(|(_, f)| arguments.at_least.is_some_and(|kn| f.holds_kn < kn)).collect();
    if arguments.json {
        let values: Vec<&Forecast> = all.iter().map(|a| &a.1).collect();
        printed = match values.as_slice() {
            [one] => json_of(one)?,
            several => json_of(several)?,
        };
    } else {
        if all.len() > 1 {
            printed.push_str(&summary(&all, arguments.at_least));
            printed.push('\n');
        }
        if let Some(kn) = arguments.at_least {
            printed.push_str(&asked(kn, &all));
            printed.push('\n');
        }
        printed.push_str(CAUTION);
        printed.push('\n');
    }
    print(&printed)?;
    Ok(if below.is_empty() { Outcome::Done } else { Outcome::LimitExceeded })
}
