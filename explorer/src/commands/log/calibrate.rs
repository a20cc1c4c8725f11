//! What pulls tell of the constants of forecasts, kept under a name.

use crate::args::{LogCalibrateArguments, LogCalibrationsArguments};
use crate::calibrating::{Gathered, OfOneModel, gather, picture, told};
use crate::commands::files::{Files, folder_of, json_of};
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use lab::logbook::{Logbook, LogbookError, calibration_name};
use report::calibration::{
    Document, KeptDocument, Left, Told, answer, kept, kept_as, not_kept, nothing_to_learn,
};
use report::caution::CAUTION;
use report::{building, steps};
use solver::system::SystemSettings;
use std::path::Path;
use study::calibrate::{self, DRAWS, Setup};
use study::{Engine, Watch, inputs};

/// Size of the picture, pixels, and of the same for a phone.
const PICTURES: [[u32; 2]; 2] = [[1600, 1200], [1080, 2340]];

/// Draws the constants as they may be after pulls, and keeps that.
///
/// # Errors
/// The name is none or taken, no pull tells anything, or the logbook cannot be written.
pub fn calibrate(logbook: &Path, arguments: &LogCalibrateArguments) -> Result<Outcome, Failure> {
    let name = calibration_name(&arguments.name).map_err(LogbookError::CalibrationName)?;
    let open = Logbook::read(logbook)?;
    if !arguments.dry_run {
        open.is_free(&name)?;
    }
    let asked = open.pulls(&arguments.filter.filter())?;
    let Gathered { models, left: mut left_out } = gather(&open, &asked)?;
    let stem = format!("calibration-{}", file_stem(&name));
    let folder = folder_of(arguments.out.as_deref(), &stem, false);
    if !arguments.json {
        Files::check(&folder)?;
    }
    let progress = Progress::new(&name);
    let setups = setups(models, &progress, &mut left_out);
    left_out.sort();
    if !setups.iter().flat_map(|setup| &setup.pulls).any(|pull| pull.is_limit) {
        return Err(Failure::Log(nothing_to_learn(asked.len(), &left_out)));
    }
    progress.say(steps::CALIBRATION);
    let found = calibrate::solve(&setups, DRAWS);
    let told = Told { name: &name, found: &found, setups: setups.len(), left: &left_out };
    if !found.doubts.allow() && !arguments.dry_run {
        return Err(Failure::Log(not_kept(&told)));
    }
    let document = json_of(&Document::new(&told))?;
    let draws = serde_json::to_string(&found.calibration).map_err(Failure::json)?;
    let mut written = String::new();
    if !arguments.json {
        progress.say(steps::PICTURES);
        let hash = inputs::digits(&draws);
        let mut files = Files::new(folder)?;
        for (name, size) in ["calibration", "calibration-phone"].into_iter().zip(PICTURES) {
            files.drawing(name, &picture(&told, &hash, size))?;
        }
        files.text("calibration.json", &document)?;
        written = files.told();
    }
    let mut place = String::new();
    if !arguments.dry_run {
        let mut pulls: Vec<i64> =
            setups.iter().flat_map(|setup| &setup.pulls).map(|pull| pull.number).collect();
        pulls.sort_unstable();
        Logbook::write(logbook)?.keep_calibration(&name, env!("CARGO_PKG_VERSION"), &pulls, &draws)?;
        place = kept_as(&name);
    }
    progress.done();
    print(&match arguments.json {
        true => document,
        false => format!("{}{place}{written}{CAUTION}\n", answer(&told)),
    })?;
    Ok(Outcome::Done)
}

/// Solves the models. Pulls of one that cannot be solved are left out.
fn setups(models: Vec<OfOneModel>, progress: &Progress, left_out: &mut Vec<(i64, Left)>) -> Vec<Setup> {
    let (engine, settings) = (Engine::default(), SystemSettings::default());
    let count = models.len();
    let mut setups = Vec::new();
    for (index, OfOneModel { model, pulls }) in models.into_iter().enumerate() {
        progress.tell(steps::model_of(&model.title, index + 1, count));
        let numbers: Vec<i64> = pulls.iter().map(|pull| pull.number).collect();
        match Setup::solve(&engine, &model, pulls, &settings, &Watch::quiet()) {
            Ok(setup) => setups.push(setup),
            Err(error) => {
                let why =
                    Left::Unsolved(building::case(&error).lines().next().unwrap_or_default().to_owned());
                left_out.extend(numbers.into_iter().map(|number| (number, why.clone())));
            }
        }
    }
    setups
}

/// A name as a part of the name of a folder.
fn file_stem(name: &str) -> String {
    let plain = |letter: char| if letter.is_alphanumeric() || "-_.".contains(letter) { letter } else { '-' };
    name.chars().map(plain).collect()
}

/// Lists calibrations.
///
/// # Errors
/// There is no logbook, or it cannot be read.
pub fn calibrations(logbook: &Path, arguments: &LogCalibrationsArguments) -> Result<Outcome, Failure> {
    let all = Logbook::read(logbook)?.calibrations()?;
    let all =
        all.into_iter().map(|kept| Ok((told(&kept)?, kept))).collect::<Result<Vec<_>, LogbookError>>()?;
    let all: Vec<_> = all.into_iter().map(|(told, kept)| (kept, told)).collect();
    print(&match arguments.json {
        true => json_of(&KeptDocument::new(&all))?,
        false => format!("{}{CAUTION}\n", kept(&all)),
    })?;
    Ok(Outcome::Done)
}
