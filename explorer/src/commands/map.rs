//! `pullmap map`: the main job, from model files to pictures and findings.

use crate::args::MapArguments;
use crate::failure::{Failure, Outcome};
use crate::model_file::{Model, load_argument};

/// Maps every model.
///
/// All models are checked before the first is solved: a slip in the last one should not come out after minutes.
///
/// # Errors
/// A model has mistakes, or options do not go together; solving is not there yet.
pub fn run(arguments: &MapArguments) -> Result<Outcome, Failure> {
    if arguments.fields.is_some() && arguments.models.len() > 1 {
        return Err(Failure::Options {
            what: "--fields names one file, and there are several models",
            hint: "map them one at a time",
        });
    }
    let _models: Vec<Model> = arguments
        .models
        .iter()
        .map(|model| load_argument(model, &arguments.change.set))
        .collect::<Result<_, _>>()?;
    Err(Failure::NotYet("map"))
}
