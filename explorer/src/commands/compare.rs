//! `pullmap compare`: two to six variants on one scale, and what differs in words.

use super::files::{Files, folder_of, json_of};
use crate::args::CompareArguments;
use crate::comparing::{Compared, comparison, compute, requested};
use crate::failure::{Failure, Outcome};
use crate::mapping::Shown;
use crate::output::print;
use crate::progress::Progress;
use report::compare::{Document, answer};
use report::steps;
use solver::system::SystemSettings;

/// Compares.
///
/// # Errors
/// Too few or too many variants, fewer than two that can be computed, or a file that cannot be written.
pub fn run(arguments: &CompareArguments) -> Result<Outcome, Failure> {
    let asked = requested(&arguments.models, &arguments.change.set, arguments.vary.as_ref())?;
    // Without --out the folder is named for what could be computed.
    if let Some(out) = arguments.out.as_deref().filter(|_| !arguments.json) {
        Files::check(out)?;
    }
    let progress = Progress::new("compare");
    progress.say(steps::SOLVING);
    let compared = compute(asked, &SystemSettings::default())?;
    progress.say(steps::PICTURE);
    let shown: Vec<Shown<'_>> =
        compared.variants.iter().map(|v| Shown::new(&v.mapped, &v.model.title, 0.0)).collect();
    let picture = comparison(&compared, &shown, arguments.field);
    let document = Document::new(&compared, picture.legend_mpa());
    let json = json_of(&document)?;
    if arguments.json {
        progress.done();
        print(&json)?;
        return Ok(Outcome::Done);
    }
    let mut files = Files::new(folder_of(arguments.out.as_deref(), stem(&compared), false))?;
    let [wide, high] = picture.size();
    files.drawing("compare", &picture.drawing(wide, high))?;
    files.text("compare.json", &json)?;
    progress.done();
    files.print_with(&answer(&compared, &document))?;
    Ok(Outcome::Done)
}

/// Beside the model's map when one key varies; else in a folder of its own.
fn stem(compared: &Compared) -> &str {
    match (&compared.key, compared.variants.first()) {
        (Some(_), Some(first)) => &first.stem,
        _ => "compare",
    }
}
