//! `pullmap sketch`: the connector with its dimensions, without a solve.

use crate::args::SketchArguments;
use crate::failure::{Failure, Outcome};
use crate::mapping::gate_place;
use crate::model_file::Source;
use crate::output::{Existing, make_folder, print, write_file};
use crate::sketching::sketch;
use geometry::outline::Outline;
use solver::system::SystemError;
use std::path::Path;

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Draws the connector.
///
/// # Errors
/// The model has mistakes, or a file cannot be written.
pub fn run(arguments: &SketchArguments) -> Result<Outcome, Failure> {
    let source = Source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    let outline = Outline::try_new(&model.connector, gate_place(model.rig.gate))
        .map_err(|errors| Failure::solving(&model.title, &SystemError::Outline(errors)))?;
    let drawing = sketch(&model, &outline).drawing(PICTURE[0], PICTURE[1]);
    let folder = arguments.out.clone().unwrap_or_else(|| Path::new("pullmap-out").join(&source.stem));
    make_folder(&folder)?;
    write_file(&folder.join("sketch.png"), &drawing.to_png()?, Existing::Replace)?;
    write_file(&folder.join("sketch.svg"), drawing.to_svg()?.as_bytes(), Existing::Replace)?;
    print(&format!("Written to {}: sketch.png, sketch.svg\n", folder.display()))?;
    Ok(Outcome::Done)
}
