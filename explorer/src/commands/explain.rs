//! `pullmap explain`: what would explain a peak and a broken place.

use crate::args::ExplainArguments;
use crate::care::CAUTION;
use crate::explaining::{Setting, answer, explain, picture};
use crate::failure::{Failure, Outcome};
use crate::mapping::inputs_hash;
use crate::model_file::Source;
use crate::output::{Existing, make_folder, print, write_file};
use crate::progress::Progress;
use solver::causes::Observed;
use solver::system::SystemSettings;
use std::path::Path;

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Explains a break. One that nothing explains is an answer as well.
///
/// # Errors
/// The model has mistakes, the connector as told cannot be solved, or a file cannot be written.
pub fn run(arguments: &ExplainArguments) -> Result<Outcome, Failure> {
    let source = Source::find(&arguments.model)?;
    let sets = &arguments.change.set;
    let model = source.model(sets)?;
    let progress = Progress::new(&source.stem);
    let observed = Observed { broke_at_kn: arguments.broke_at, place: arguments.place };
    progress.say("mesh and factor");
    let told =
        Setting { connector: model.connector.clone(), materials: model.materials.clone(), rig: model.rig };
    let system = told.system().map_err(|reason| Failure::solving(&model.title, &reason))?;
    let found = explain(&source, &model, sets, &system, observed, &|what| progress.say(what))?;
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
    let drawing = picture(&found, &system, (&source.stem, &hash), PICTURE);
    let (png, svg) = rayon::join(|| drawing.to_png(), || drawing.to_svg());
    write_file(&folder.join("explain.png"), &png?, Existing::Replace)?;
    write_file(&folder.join("explain.svg"), svg?.as_bytes(), Existing::Replace)?;
    write_file(&folder.join("explain.json"), json.as_bytes(), Existing::Replace)?;
    progress.done();
    print(&format!(
        "{}Written to {}: explain.png, explain.svg, explain.json\n{CAUTION}\n",
        answer(&found),
        folder.display()
    ))?;
    Ok(Outcome::Done)
}
