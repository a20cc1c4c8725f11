//! `pullmap explain`: what would explain a peak and a broken place.

use super::files::{Files, folder_of, json_of};
use crate::args::ExplainArguments;
use crate::explaining::picture;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::progress::Progress;
use crate::source;
use report::explain::{Explanation, answer};
use report::steps;
use solver::causes::Observed;
use solver::system::SystemSettings;
use study::explain::{coarse_mesh, explain};
use study::{Engine, Step};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Explains a break. One that nothing explains is an answer as well.
///
/// # Errors
/// The model has mistakes, the connector as entered cannot be solved, or a file cannot be written.
pub fn run(arguments: &ExplainArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    let sets = &arguments.change.set;
    let model = source.model(sets)?;
    if !arguments.json {
        Files::check(&folder_of(arguments.out.as_deref(), &source.stem, false))?;
    }
    let progress = Progress::new(&source.stem);
    let observed = Observed::new(arguments.broke_at, arguments.place);
    progress.say(steps::step(Step::Mesh));
    let engine = Engine::default();
    let told = model.case(coarse_mesh());
    let system = engine.system(&told).map_err(|reason| Failure::building(&model.title, &reason))?;
    let found = explain(&model, &engine, observed, &|step| progress.say(steps::step(step)))
        .map_err(|reason| Failure::case(&model.title, &reason))?;
    let found = Explanation::new(&found, &model);
    let json = json_of(&found)?;
    if arguments.json {
        progress.done();
        print(&json)?;
        return Ok(Outcome::Done);
    }
    let mut files = Files::new(folder_of(arguments.out.as_deref(), &source.stem, false))?;
    progress.say(steps::PICTURE);
    let hash = model.inputs_hash(&SystemSettings::default());
    let drawing = picture(&found, &system, (&source.stem, &hash), &arguments.change.set, PICTURE);
    files.drawing("explain", &drawing)?;
    files.text("explain.json", &json)?;
    progress.done();
    files.print_with(&answer(&found))?;
    Ok(Outcome::Done)
}
