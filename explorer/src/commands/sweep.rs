//! `pullmap sweep`: one or two keys of a model through a range, in one table and its charts.

use crate::args::SweepArguments;
use crate::care::CAUTION;
use crate::failure::{Failure, Outcome};
use crate::model_file::Source;
use crate::output::{Existing, make_folder, print, write_file};
use crate::progress::Progress;
use crate::sweeping::{
    self, ABOUT, MANY_POINTS, MOST_POINTS, Plan, Record, Row, SweepError, SweepMistake, TABLE,
};
use serde_json::json;
use solver::system::SystemSettings;
use std::path::{Path, PathBuf};

/// Unknowns that a point of a sweep is meshed with: half of a map's. Limits move by less than 1 % (see the tests).
const UNKNOWNS: f64 = 8000.0;

/// Runs the sweep.
///
/// # Errors
/// Slips in what was asked for, a folder that holds another sweep, not one point that can be computed, or a file that
/// cannot be written.
pub fn run(arguments: &SweepArguments) -> Result<Outcome, Failure> {
    let plan = plan(arguments)?;
    let folder = arguments.out.clone().unwrap_or_else(|| default_folder(&plan));
    make_folder(&folder)?;
    let (mut record, finished) = Record::open(&folder, &plan, arguments.afresh)?;
    let resumed = finished.len();
    let progress = Progress::counting(&plan.source.stem, plan.len() as u64);
    progress.step(resumed as u64);
    let rows = sweeping::run(&plan, finished, &mut record, &|| progress.step(1))?;
    progress.done();

    let nothing = nothing_done(&rows);
    let drawing = if nothing.is_none() { sweeping::chart(&plan, &rows)? } else { None };
    let csv = folder.join(TABLE);
    write_file(&csv, sweeping::csv(&plan, &rows).as_bytes(), Existing::Replace)?;
    let about = serde_json::to_string_pretty(&about(&plan, &rows)).map_err(Failure::json)? + "\n";
    if let Some(drawing) = drawing {
        let (png, svg) = rayon::join(|| drawing.to_png(), || drawing.to_svg());
        write_file(&folder.join("sweep.png"), &png?, Existing::Replace)?;
        write_file(&folder.join("sweep.svg"), svg?.as_bytes(), Existing::Replace)?;
    }
    write_file(&folder.join(ABOUT), about.as_bytes(), Existing::Replace)?;
    record.remove()?;
    if let Some(reason) = nothing {
        return Err(SweepError::NothingDone { points: rows.len(), csv, reason }.into());
    }
    print(&answer(&plan, &rows, resumed, &folder))?;
    Ok(Outcome::Done)
}

/// Everything that can be judged before the first point, all slips at once.
fn plan(arguments: &SweepArguments) -> Result<Plan, Failure> {
    let asked = sweeping::read(&arguments.vary, &arguments.change.set);
    let source = Source::find(&arguments.model)?;
    let base = source.model(&arguments.change.set);
    let varied = match (asked, &base) {
        (Ok(varied), _) => varied,
        (Err(mistakes), Ok(_)) => return Err(SweepError::Asked(mistakes).into()),
        (Err(mistakes), Err(errors)) => {
            return Err(SweepError::AskedAndModel { asked: mistakes, model: errors.clone() }.into());
        }
    };
    let settings =
        SystemSettings { mesh_size_mm: arguments.mesh_size, unknowns: UNKNOWNS, ..SystemSettings::default() };
    let points = varied.iter().try_fold(1_usize, |n, v| n.checked_mul(v.values.len()));
    let plan =
        Plan { title: source.stem.clone(), source, sets: arguments.change.set.clone(), varied, settings };
    match points {
        Some(points) if points <= MANY_POINTS || (arguments.yes && points <= MOST_POINTS) => {}
        Some(found) if found <= MOST_POINTS => {
            return Err(SweepError::Asked(vec![SweepMistake::TooMany { found }]).into());
        }
        found => {
            let found = found.map_or_else(|| "far too many".to_owned(), |n| n.to_string());
            return Err(SweepError::Asked(vec![SweepMistake::FarTooMany { found }]).into());
        }
    }
    // A model that is wrong by itself may still be right with the values of the sweep, a missing key say; one that is wrong
    // at both ends is told as it is.
    let title = match base {
        Ok(base) => base.title,
        Err(errors) => match plan.model(0).or_else(|_| plan.model(plan.len() - 1)) {
            Ok(model) => model.title,
            Err(_) => return Err(errors.into()),
        },
    };
    Ok(Plan { title, ..plan })
}

fn default_folder(plan: &Plan) -> PathBuf {
    let names: Vec<&str> =
        plan.varied.iter().map(|v| v.key.rsplit('.').next().unwrap_or(v.key.as_str())).collect();
    Path::new("pullmap-out").join(&plan.source.stem).join(format!("sweep-{}", names.join("-by-")))
}

fn nothing_done(rows: &[Row]) -> Option<String> {
    let mut reason = None;
    for row in rows {
        match &row.outcome {
            sweeping::Outcome::Done(_) => return None,
            sweeping::Outcome::Failed(why) => {
                reason.get_or_insert_with(|| why.clone());
            }
        }
    }
    reason
}

fn about(plan: &Plan, rows: &[Row]) -> serde_json::Value {
    let failed = rows.iter().filter(|r| r.found().is_none()).count();
    let varied: Vec<_> = plan
        .varied
        .iter()
        .map(|v| {
            let values: Vec<String> = (0..v.values.len()).map(|i| v.values.text(i)).collect();
            json!({ "key": v.key, "unit": v.unit(), "values": values })
        })
        .collect();
    let sets: Vec<_> = plan.sets.iter().map(|(k, v)| json!([k, v])).collect();
    json!({
        "format": "pullmap-sweep-1",
        "connector": plan.title,
        "model": plan.source.stem,
        "sweep": plan.in_words(),
        "varied": varied,
        "set": sets,
        "points": rows.len(),
        "failed": failed,
        "unknowns_aimed_at": plan.settings.unknowns,
        "mesh_size_mm": plan.settings.mesh_size_mm,
        "inputs": plan.hash(),
        "program": format!("pullmap {}", env!("CARGO_PKG_VERSION")),
        "says": sweeping::sentence(plan, rows),
        "care": CAUTION,
    })
}

fn answer(plan: &Plan, rows: &[Row], resumed: usize, folder: &Path) -> String {
    let mesh = match plan.settings.mesh_size_mm {
        Some(size) => format!("elements of {size} mm in the bars"),
        None => format!(
            "about {:.0} unknowns a point, coarser than a map (--mesh-size for finer)",
            plan.settings.unknowns
        ),
    };
    let mut text = format!("{}\n{}; {mesh}\n", plan.title, plan.in_words());
    if resumed > 0 {
        text.push_str(&format!("Taken up from an earlier run: {resumed} of the {} points.\n", rows.len()));
    }
    text.push('\n');
    text.push_str(&sweeping::short_table(plan, rows));
    text.push('\n');
    text.push_str(&sweeping::sentence(plan, rows));
    if let Some(first) = sweeping::first_failure(plan, rows) {
        text.push_str(&format!("\n{first}"));
    }
    text.push_str(&format!(
        "\nWritten to {}: {TABLE}, {ABOUT}, sweep.png, sweep.svg\n{CAUTION}\n",
        folder.display()
    ));
    text
}
