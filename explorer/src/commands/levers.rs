//! `pullmap levers`: what one step of each key does to the forecast.

use super::question::Question;
use crate::args::QuestionArguments;
use crate::failure::{Failure, Outcome};
use crate::levering::picture;
use crate::progress::Progress;
use report::levers::{Document, answer, on_the_way};
use solver::system::SystemSettings;
use study::{Engine, Watch, levers};

/// Moves every lever of one model.
///
/// # Errors
/// The model has mistakes, the connector as it is cannot be solved, or a file cannot be written.
pub fn run(arguments: &QuestionArguments) -> Result<Outcome, Failure> {
    let question = Question::read(arguments)?;
    let model = &question.model;
    let progress = Progress::counting(&question.source.stem, levers::lever_keys(model).len() as u64);
    let watch = Watch { done: &|| progress.step(1), ..Watch::quiet() };
    let found =
        levers::levers(&Engine::default(), model, SystemSettings::default(), &watch, &|base, lever| {
            progress.line_above(&on_the_way(lever, base.peak_kn));
        })
        .map_err(|e| Failure::case(&model.title, &e))?;
    let drawing = |source: (&str, &str), sets: &[_], size| picture(&found, model, source, sets, size);
    question.answer("levers", &progress, &Document::new(&found, model), drawing, &answer(&found, model))
}
