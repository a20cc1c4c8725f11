//! `pullmap seats`: where straps and bars come to rest.

use super::files::{Files, folder_of, json_of};
use crate::args::SeatsArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use crate::seating::picture;
use crate::source;
use report::seats::{Document, answer, error};
use report::steps;
use solver::system::SystemSettings;
use study::{Engine, Step, seats};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Finds the rests of one model.
///
/// # Errors
/// The model has mistakes, the connector cannot be solved, a load fits nowhere, or a file cannot be written.
pub fn run(arguments: &SeatsArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    if !arguments.json {
        Files::check(&folder_of(arguments.out.as_deref(), &source.stem, false))?;
    }
    let progress = Progress::new(&source.stem);
    progress.say(steps::step(Step::Mesh));
    let engine = Engine::default();
    let system = engine
        .system(&model.case(SystemSettings::default()))
        .map_err(|e| Failure::building(&model.title, &e))?;
    progress.say(steps::RESTS);
    let found = seats::find(&engine, &model, SystemSettings::default())
        .map_err(|e| Failure::solving(&model.title, &error(&e)))?;
    let json = json_of(&Document::new(&found, &model))?;
    if arguments.json {
        progress.done();
        print(&json)?;
        return Ok(Outcome::Done);
    }
    let mut files = Files::new(folder_of(arguments.out.as_deref(), &source.stem, false))?;
    progress.say(steps::PICTURE);
    let hash = model.inputs_hash(&SystemSettings::default());
    let drawing = picture(&found, &model, &system, (&source.stem, &hash), &arguments.change.set, PICTURE);
    files.drawing("seats", &drawing)?;
    files.text("seats.json", &json)?;
    progress.done();
    files.print_with(&answer(&found, &model))?;
    Ok(Outcome::Done)
}
