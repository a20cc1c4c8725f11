//! `pullmap still`: a picture for a post or a film, with its caption.

use crate::args::StillArguments;
use crate::comparing::{Case, Compared, compute};
use crate::failure::{Failure, Outcome};
use crate::mapping::Shown;
use crate::output::{Existing, make_folder, print, write_file};
use crate::progress::Progress;
use crate::stills::{Asked, asked, caption, still};
use rayon::prelude::*;
use solver::system::SystemSettings;
use std::path::Path;

/// Draws the stills.
///
/// # Errors
/// What was asked for does not go together, a model has mistakes or cannot be solved, or a file cannot be written.
pub fn run(arguments: &StillArguments) -> Result<Outcome, Failure> {
    let Asked { kind, mut variants, key, sizes } = asked(arguments)?;
    let progress = Progress::new("still");
    progress.say("solving");
    let settings = SystemSettings::default();
    let compared = match (variants.len(), variants.pop()) {
        (1, Some(only)) => {
            Compared { cases: vec![Case::solve(only, &settings)?], left_out: Vec::new(), key: None }
        }
        (_, last) => compute(variants.into_iter().chain(last).collect(), key, &settings)?,
    };
    progress.say("pictures");
    let shown: Vec<Shown<'_>> = compared.cases.iter().map(|case| Shown::new(&case.solved, 0.0)).collect();
    let Some(scene) = still(kind, &compared, &shown, arguments.field, arguments.transparent) else {
        return Err(Failure::Options { what: "there is nothing to show", hint: "name a model" });
    };
    let stem = match (compared.cases.as_slice(), &compared.key) {
        ([only], _) => only.stem.as_str(),
        ([first, ..], Some(_)) => first.stem.as_str(),
        _ => "compare",
    };
    let folder = arguments.out.clone().unwrap_or_else(|| Path::new("pullmap-out").join(stem));
    make_folder(&folder)?;
    let pictures: Vec<(String, Vec<u8>, String)> = sizes
        .par_iter()
        .map(|&[width, height]| {
            let drawing = scene.still.drawing(width, height);
            Ok((format!("still-{width}x{height}"), drawing.to_png()?, drawing.to_svg()?))
        })
        .collect::<Result<_, viz::PictureError>>()?;
    let mut written = Vec::new();
    for (name, png, svg) in &pictures {
        write_file(&folder.join(format!("{name}.png")), png, Existing::Replace)?;
        write_file(&folder.join(format!("{name}.svg")), svg.as_bytes(), Existing::Replace)?;
        written.push(format!("{name}.png, {name}.svg"));
    }
    write_file(&folder.join("still.txt"), caption(&scene).as_bytes(), Existing::Replace)?;
    progress.done();
    print(&format!(
        "{}\nWritten to {}: {}, still.txt\n{}\n",
        scene.still.sentence.replace('\u{a0}', " "),
        folder.display(),
        written.join(", "),
        crate::care::CAUTION
    ))?;
    Ok(Outcome::Done)
}
