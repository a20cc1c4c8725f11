//! `pullmap levers`: what one step of each key does to the forecast.

use super::files::{Files, folder_of, json_of};
use crate::args::LeversArguments;
use crate::failure::{Failure, Outcome};
use crate::levering::picture;
use crate::output::print;
use crate::progress::Progress;
use crate::source;
use report::levers::{Document, answer};
use report::steps;
use solver::system::SystemSettings;
use study::{Engine, Watch, levers};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Moves every lever of one model.
///
/// # Errors
/// The model has mistakes, the connector as it is cannot be solved, or a file cannot be written.
pub fn run(arguments: &LeversArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    let folder = folder_of(arguments.out.as_deref(), &source.stem, false);
    if !arguments.json {
        Files::check(&folder)?;
    }
    let total = levers::lever_keys(&model).len() as u64;
    let progress = Progress::counting(&source.stem, total);
    let settings = SystemSettings::default();
    let watch = Watch { done: &|| progress.step(1), stop: &|| false };
    let found = levers::levers(&Engine::default(), &model, settings, &watch, &|base, lever| {
        progress.line_above(&report::levers::on_the_way(lever, base.peak_kn));
    })
    .map_err(|e| Failure::case(&model.title, &e))?;
    let json = json_of(&Document::new(&found, &model))?;
    if arguments.json {
        progress.done();
        print(&json)?;
        return Ok(Outcome::Done);
    }
    let mut files = Files::new(folder)?;
    progress.say(steps::PICTURE);
    let hash = model.inputs_hash(&settings);
    files
        .drawing("levers", &picture(&found, &model, (&source.stem, &hash), &arguments.change.set, PICTURE))?;
    files.text("levers.json", &json)?;
    progress.done();
    files.print_with(&answer(&found, &model))?;
    Ok(Outcome::Done)
}
