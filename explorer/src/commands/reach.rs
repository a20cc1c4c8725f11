//! `pullmap reach`: where a connector holds a load, and where it does not.

use super::files::{Files, folder_of, json_of};
use crate::args::ReachArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use crate::reaching::picture;
use crate::source;
use report::reach::{Document, answer, error};
use report::steps;
use solver::system::SystemSettings;
use study::{Engine, Step, Watch, reach};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Tries every setting of one model.
///
/// # Errors
/// The model has mistakes, there is no load to hold it against, or a file cannot be written.
pub fn run(arguments: &ReachArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    let folder = folder_of(arguments.out.as_deref(), &source.stem, false);
    if !arguments.json {
        Files::check(&folder)?;
    }
    let progress = Progress::new(&source.stem);
    progress.say(steps::step(Step::Findings));
    let settings = SystemSettings::default();
    let found = reach::reach(&Engine::default(), &model, settings, arguments.load, &Watch::quiet())
        .map_err(|e| Failure::solving(&model.title, &error(&e)))?;
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
        .drawing("reach", &picture(&found, &model, (&source.stem, &hash), &arguments.change.set, PICTURE))?;
    files.text("reach.json", &json)?;
    progress.done();
    files.print_with(&answer(&found, &model))?;
    Ok(Outcome::Done)
}
