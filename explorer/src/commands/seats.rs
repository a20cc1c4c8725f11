//! `pullmap seats`: where straps and bars come to rest.

use crate::args::SeatsArguments;
use crate::care::CAUTION;
use crate::failure::{Failure, Outcome};
use crate::mapping::inputs_hash;
use crate::model_file::Source;
use crate::output::{Existing, make_folder, print, write_file};
use crate::progress::Progress;
use crate::seating::{answer, picture, seats, system_of};
use solver::system::SystemSettings;
use std::path::Path;

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Finds the rests of one model.
///
/// # Errors
/// The model has mistakes, the connector cannot be solved, a load fits nowhere, or a file cannot be written.
pub fn run(arguments: &SeatsArguments) -> Result<Outcome, Failure> {
    let source = Source::find(&arguments.model)?;
    let model = source.model(&arguments.change.set)?;
    let progress = Progress::new(&source.stem);
    progress.say("mesh and factor");
    let system = system_of(&model)?;
    progress.say("rests and forecasts");
    let found = seats(&model, &system)?;
    let mut json = serde_json::to_string_pretty(&found).map_err(Failure::json)?;
    json.push('\n');
    if arguments.json {
        progress.done();
        print(&json)?;
        return Ok(Outcome::Done);
    }
    let folder = arguments.out.clone().unwrap_or_else(|| Path::new("pullmap-out").join(&source.stem));
    make_folder(&folder)?;
    progress.say("picture");
    let hash = inputs_hash(&model, &SystemSettings::default());
    let drawing = picture(&found, &model, &system, (&source.stem, &hash), PICTURE);
    let (png, svg) = rayon::join(|| drawing.to_png(), || drawing.to_svg());
    write_file(&folder.join("seats.png"), &png?, Existing::Replace)?;
    write_file(&folder.join("seats.svg"), svg?.as_bytes(), Existing::Replace)?;
    write_file(&folder.join("seats.json"), json.as_bytes(), Existing::Replace)?;
    progress.done();
    print(&format!(
        "{}Written to {}: seats.png, seats.svg, seats.json\n{CAUTION}\n",
        answer(&found, &model.rig),
        folder.display()
    ))?;
    Ok(Outcome::Done)
}
