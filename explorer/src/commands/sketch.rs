//! `pullmap sketch`: the connector with its dimensions, without a solve.

use super::files::{Files, folder_of};
use crate::args::SketchArguments;
use crate::failure::{Failure, Outcome};
use crate::output::print;
use crate::sketching::sketch;
use crate::source;
use geometry::caliper::Caliper;
use geometry::outline::Outline;
use report::sketch::answer;
use solver::system::{SystemError, drawn_mass_g};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Draws the connector.
///
/// # Errors
/// The model has mistakes, or a file cannot be written.
pub fn run(arguments: &SketchArguments) -> Result<Outcome, Failure> {
    let source = source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    let outline = Outline::try_new(&model.connector, model.rig.gate.place())
        .map_err(|errors| Failure::building(&model.title, &SystemError::Outline(errors)))?;
    let drawing = sketch(&model, &outline, &arguments.change.set).drawing(PICTURE[0], PICTURE[1]);
    let caliper = Caliper::read(&model.connector).ok();
    let mass_g = drawn_mass_g(&model.connector, &outline, &model.materials).ok();
    let mut files = Files::new(folder_of(arguments.out.as_deref(), &source.stem, false))?;
    files.drawing("sketch", &drawing)?;
    print(&format!("{}{}", answer(&model, caliper.as_ref(), mass_g), files.told()))?;
    Ok(Outcome::Done)
}
