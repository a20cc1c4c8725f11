//! `pullmap sketch`: the connector with its dimensions, without a solve.

use crate::args::SketchArguments;
use crate::failure::{Failure, Outcome};
use crate::model_file::load_argument;

/// Draws the connector.
///
/// # Errors
/// The model has mistakes; drawing is not there yet.
pub fn run(arguments: &SketchArguments) -> Result<Outcome, Failure> {
    let _model = load_argument(&arguments.model, &arguments.change.set)?;
    Err(Failure::NotYet("sketch"))
}
