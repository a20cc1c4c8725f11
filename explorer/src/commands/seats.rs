//! `pullmap seats`: where straps and bars come to rest.

use super::question::Question;
use crate::args::QuestionArguments;
use crate::failure::{Failure, Outcome};
use crate::progress::Progress;
use crate::seating::picture;
use report::seats::{Document, answer, error};
use report::steps;
use solver::system::SystemSettings;
use study::{Engine, Step, seats};

/// Finds the rests of one model.
///
/// # Errors
/// The model has mistakes, the connector cannot be solved, a load fits nowhere, or a file cannot be written.
pub fn run(arguments: &QuestionArguments) -> Result<Outcome, Failure> {
    let question = Question::read(arguments)?;
    let model = &question.model;
    let progress = Progress::new(&question.source.stem);
    progress.say(steps::step(Step::Mesh));
    let engine = Engine::default();
    let system = engine
        .system(&model.case(SystemSettings::default()))
        .map_err(|e| Failure::building(&model.title, &e))?;
    progress.say(steps::RESTS);
    let found = seats::find(&engine, model, SystemSettings::default())
        .map_err(|e| Failure::solving(&model.title, &error(&e)))?;
    let drawing =
        |source: (&str, &str), sets: &[_], size| picture(&found, model, &system, source, sets, size);
    question.answer("seats", &progress, &Document::new(&found, model), drawing, &answer(&found, model))
}
