//! `pullmap reach`: where a connector holds a load, and where it does not.

use super::question::Question;
use crate::args::ReachArguments;
use crate::failure::{Failure, Outcome};
use crate::progress::Progress;
use crate::reaching::picture;
use report::reach::{Document, answer, error};
use report::steps;
use solver::system::SystemSettings;
use study::{Engine, Step, Watch, reach};

/// Tries every setting of one model.
///
/// # Errors
/// The model has mistakes, there is no load to hold it against, or a file cannot be written.
pub fn run(arguments: &ReachArguments) -> Result<Outcome, Failure> {
    let question = Question::read(&arguments.question)?;
    let model = &question.model;
    let progress = Progress::new(&question.source.stem);
    progress.say(steps::step(Step::Findings));
    let settings = SystemSettings::default();
    let found = reach::reach(&Engine::default(), model, settings, arguments.load, &Watch::quiet())
        .map_err(|e| Failure::solving(&model.title, &error(&e)))?;
    let drawing = |source: (&str, &str), sets: &[_], size| picture(&found, model, source, sets, size);
    question.answer("reach", &progress, &Document::new(&found, model), drawing, &answer(&found, model))
}
