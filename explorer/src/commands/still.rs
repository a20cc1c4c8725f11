//! `pullmap still`: a picture for a post or a film, with its caption.

use super::files::{Files, Rendered, folder_of, rendered};
use crate::args::{StillArguments, StillKind};
use crate::comparing::{compute, compute_all};
use crate::failure::{Failure, Outcome};
use crate::machine;
use crate::mapping::Shown;
use crate::progress::Progress;
use crate::stills::{StillRequest, requested_still, still};
use rayon::prelude::*;
use report::letters::plain;
use report::steps;
use solver::system::SystemSettings;

/// Draws the stills.
///
/// # Errors
/// What was asked for does not go together, a model has mistakes or cannot be solved, or a file cannot be written.
pub fn run(arguments: &StillArguments) -> Result<Outcome, Failure> {
    let StillRequest { kind, asked, sizes } = requested_still(arguments)?;
    if let Some(out) = &arguments.out {
        Files::check(out)?;
    }
    let pixels = sizes.iter().map(|[width, height]| f64::from(width * height)).sum::<f64>();
    machine::enough(machine::Need::Pictures, machine::PER_PIXEL * pixels)?;
    let progress = Progress::new("still");
    progress.say(steps::SOLVING);
    let settings = SystemSettings::default();
    let compared = match kind {
        StillKind::Compare => compute(asked, &settings)?,
        StillKind::Map | StillKind::Forecast => compute_all(asked, &settings)?,
    };
    progress.say(steps::PICTURES);
    let shown: Vec<Shown<'_>> =
        compared.variants.iter().map(|v| Shown::new(&v.mapped, &v.model.title, 0.0)).collect();
    let Some(scene) = still(kind, &compared, &shown, arguments.field, arguments.transparent) else {
        return Err(Failure::NoModel);
    };
    let stem = match (compared.variants.as_slice(), &compared.key) {
        ([only], _) => only.stem.as_str(),
        ([first, ..], Some(_)) => first.stem.as_str(),
        _ => "compare",
    };
    let mut files = Files::new(folder_of(arguments.out.as_deref(), stem, false))?;
    let pictures: Vec<(String, Rendered)> = sizes
        .par_iter()
        .map(|&[width, height]| {
            Ok((format!("still-{width}x{height}"), rendered(&scene.still.drawing(width, height))?))
        })
        .collect::<Result<_, viz::PictureError>>()?;
    for (name, picture) in &pictures {
        files.picture(name, picture)?;
    }
    files.text("still.txt", &scene.caption())?;
    progress.done();
    files.print_with(&format!("{}\n", plain(&scene.still.sentence)))?;
    Ok(Outcome::Done)
}
