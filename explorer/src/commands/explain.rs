//! `pullmap explain`: what would explain a peak and a broken place.

use super::question::Question;
use crate::args::ExplainArguments;
use crate::explaining::picture;
use crate::failure::{Failure, Outcome};
use crate::progress::Progress;
use report::explain::{Explanation, answer};
use report::steps;
use solver::causes::Observed;
use study::explain::{coarse_mesh, explain};
use study::{Engine, Step, Watch};

/// Explains a break. One that nothing explains is an answer as well.
///
/// # Errors
/// The model has mistakes, the connector as entered cannot be solved, or a file cannot be written.
pub fn run(arguments: &ExplainArguments) -> Result<Outcome, Failure> {
    let question = Question::read(&arguments.question)?;
    let model = &question.model;
    let progress = Progress::new(&question.source.stem);
    let observed = Observed::new(arguments.broke_at, arguments.place);
    progress.say(steps::step(Step::Mesh));
    let engine = Engine::default();
    let told = model.case(coarse_mesh());
    let system = engine.system(&told).map_err(|reason| Failure::building(&model.title, &reason))?;
    let found = explain(model, &engine, observed, &|step| progress.say(steps::step(step)), Watch::quiet())
        .map_err(|reason| Failure::case(&model.title, &reason))?;
    let found = Explanation::new(&found, model);
    let drawing = |source: (&str, &str), sets: &[_], size| picture(&found, &system, source, sets, size);
    question.answer("explain", &progress, &found, drawing, &answer(&found))
}
