//! `pullmap compare`: two to six variants on one scale, and what differs in words.

use super::files::{Files, folder_of, json_of};
use crate::args::CompareArguments;
use crate::comparing::{Compared, Report, comparison, compute, plain, requested, rigs};
use crate::failure::{Failure, Outcome};
use crate::mapping::Shown;
use crate::output::print;
use crate::progress::Progress;
use report::beyond::in_full;
use report::failure_modes;
use report::numbers::kilonewtons;
use solver::system::SystemSettings;

/// Compares.
///
/// # Errors
/// Too few or too many variants, fewer than two that can be computed, or a file that cannot be written.
pub fn run(arguments: &CompareArguments) -> Result<Outcome, Failure> {
    let (variants, key) = requested(&arguments.models, &arguments.change.set, arguments.vary.as_ref())?;
    // Without --out the folder is named for what could be computed.
    if let Some(out) = arguments.out.as_deref().filter(|_| !arguments.json) {
        Files::check(out)?;
    }
    let progress = Progress::new("compare");
    progress.say("solving");
    let compared = compute(variants, key, &SystemSettings::default())?;
    progress.say("picture");
    let shown: Vec<Shown<'_>> =
        compared.cases.iter().map(|case| Shown::new(&case.solved, &case.model.title, 0.0)).collect();
    let picture = comparison(&compared, &shown, arguments.field);
    let report = Report::new(&compared, picture.legend_mpa());
    let json = json_of(&report)?;
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
    files.print_with(&answer(&compared, &report))?;
    Ok(Outcome::Done)
}

/// Beside the model's map when one key varies; else in a folder of its own.
fn stem(compared: &Compared) -> &str {
    match (&compared.key, compared.cases.first()) {
        (Some(_), Some(first)) => &first.stem,
        _ => "compare",
    }
}

fn answer(compared: &Compared, report: &Report) -> String {
    let mut text = format!("{}\n{}\n", plain(&compared.title()), plain(&rigs(compared)));
    let wide = report.variants.iter().map(|v| v.label.chars().count()).max().unwrap_or(0).max(8);
    text.push_str(&format!(
        "{:<wide$}  {:>6} {:>10} {:>12} {:>12} {:>12}  {}\n",
        "", "gate", "spine", "forecast", "first yield", "peak stress", "fails first"
    ));
    for v in &report.variants {
        let kn = |x: Option<f64>| x.map_or_else(|| "-".to_owned(), kilonewtons);
        let peak = v.peak.as_ref().map_or_else(|| "-".to_owned(), |p| format!("{:.0} MPa", p.von_mises_mpa));
        text.push_str(&format!(
            "{:<wide$}  {:>4.0} % {:>10} {:>12} {:>12} {:>12}  {} ({})\n",
            v.label,
            100.0 * v.gate_fraction,
            kn(Some(v.spine_kn)),
            kn(Some(v.peak_kn)),
            kn(v.first_yield_kn),
            peak,
            failure_modes::name(v.fails_first),
            kn(Some(v.fails_at_kn))
        ));
    }
    for difference in &report.differences {
        text.push_str(&difference.sentence);
        text.push('\n');
    }
    for v in report.variants.iter().filter(|v| v.first_yield_kn.is_some_and(|kn| kn > v.fails_at_kn)) {
        text.push_str(&format!(
            "Note: {}: its first yield supposes that what fails first, at {}, still holds\n",
            v.label,
            kilonewtons(v.fails_at_kn)
        ));
    }
    for v in &report.variants {
        for beyond in &v.beyond {
            text.push_str(&format!("Note: {}: {}\n", v.label, in_full(beyond)));
        }
    }
    for note in &report.assumed {
        text.push_str(&format!("Note: {note}\n"));
    }
    for left in &report.left_out {
        text.push_str(&format!("Left out: {}: {}\n", left.label, left.reason));
    }
    text
}
