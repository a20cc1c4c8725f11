//! `pullmap sweep`: one or two keys of a model through a range, in one table and its charts.

use super::files::{Files, json_of};
use super::sweep_stopped;
use crate::args::SweepArguments;
use crate::failure::{Failure, Outcome};
use crate::mapping::room_for_meshes;
use crate::progress::Progress;
use crate::source;
use crate::sweeping::{
    self, ABOUT, MANY_POINTS, MOST_POINTS, Plan, ROWS, Record, Row, SweepError, SweepMistake, TABLE, Values,
    Varied,
};
use report::caution::CAUTION;
use serde_json::json;
use solver::rig::GateState;
use solver::system::SystemSettings;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use study::model::{Model, ModelErrors};

/// Unknowns that a point of a sweep is meshed with: half of a map's. No limit that ends a pull moves by 1 %; a first yield,
/// which is read off the stress at nodes, by up to 5 % (both tested below).
const UNKNOWNS: f64 = 8000.0;

/// Runs the sweep.
///
/// # Errors
/// Slips in what was asked for, a folder that holds another sweep, not one point that can be computed, or a file that
/// cannot be written.
pub fn run(arguments: &SweepArguments) -> Result<Outcome, Failure> {
    let plan = plan(arguments)?;
    room_for_meshes(
        &plan.source.model(&arguments.change.set)?,
        &plan.settings,
        rayon::current_num_threads(),
    )?;
    let mut files = Files::new(arguments.out.clone().unwrap_or_else(|| default_folder(&plan)))?;
    let (mut record, finished) = Record::open(files.folder(), &plan, arguments.restart)?;
    let resumed = finished.len();
    let progress = Arc::new(Progress::counting(&plan.source.stem, plan.len() as u64));
    progress.step(resumed as u64);
    let kept = Arc::new(AtomicUsize::new(resumed));
    sweep_stopped::listen(&kept, plan.len(), files.folder(), &progress);
    let rows = sweeping::run(&plan, finished, &mut record, &|| {
        kept.fetch_add(1, Ordering::Relaxed);
        progress.step(1);
    })?;
    progress.done();

    let nothing = nothing_done(&rows);
    let drawing = if nothing.is_none() { sweeping::chart(&plan, &rows)? } else { None };
    files.bytes(TABLE, &sweeping::csv(&plan, &rows)?)?;
    if let Some(drawing) = drawing {
        files.drawing("sweep", &drawing)?;
    }
    files.text(ABOUT, &json_of(&about(&plan, &rows))?)?;
    record.finish(&rows)?;
    files.also(ROWS);
    if let Some(reason) = nothing {
        let csv = files.folder().join(TABLE);
        return Err(SweepError::NothingDone { points: rows.len(), csv, reason }.into());
    }
    files.print_with(&answer(&plan, &rows, resumed))?;
    Ok(Outcome::Done)
}

/// Everything that can be judged before the first point, all slips at once.
fn plan(arguments: &SweepArguments) -> Result<Plan, Failure> {
    let asked = sweeping::read(&arguments.vary, &arguments.change.set);
    let source = source::find(&arguments.model)?;
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
    if let Some(mistake) = idle_depth(&varied, &base) {
        return Err(SweepError::Asked(vec![mistake]).into());
    }
    let mut plan = Plan::try_new(source, arguments.change.set.clone(), varied, settings)?;
    // A model that is wrong by itself may still be right with the values of the sweep, a missing key say; one that is wrong
    // at both ends is told as it is.
    plan.title = match base {
        Ok(base) => base.title,
        Err(errors) => match plan.model(0).or_else(|_| plan.model(plan.len() - 1)) {
            Ok(model) => model.title,
            Err(_) => return Err(errors.into()),
        },
    };
    Ok(plan)
}

/// A depth of engagement varied beside a gate that is never half shut.
fn idle_depth(varied: &[Varied], base: &Result<Model, ModelErrors>) -> Option<SweepMistake> {
    let varies = |key: &str| varied.iter().find(|v| v.key == key);
    varies("rig.engaged_mm")?;
    let half = match (varies("rig.gate").map(|gate| &gate.values), base) {
        (Some(Values::Words(words)), _) => words.iter().any(|word| word == "half"),
        (_, Ok(model)) => matches!(model.rig.gate, GateState::Half { .. }),
        // Told as it is.
        (_, Err(_)) => true,
    };
    (!half).then(|| SweepMistake::ChangesNothing {
        key: "rig.engaged_mm".to_owned(),
        because: "the gate is not half shut",
        hint: Some("add --set rig.gate=half"),
    })
}

/// Named by whole keys: an offset of both ends and one of the upper end only are two sweeps.
fn default_folder(plan: &Plan) -> PathBuf {
    let names: Vec<&str> = plan.varied.iter().map(|v| v.key.as_str()).collect();
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
        "format": "pullmap-sweep-2",
        "connector": plan.title,
        "model": plan.source.stem,
        "sweep": plan.in_words(),
        "varied": varied,
        "set": sets,
        "assumed": plan.taken(),
        "points": rows.len(),
        "failed": failed,
        "unknowns_aimed_at": plan.settings.unknowns,
        "mesh_size_mm": plan.settings.mesh_size_mm,
        "inputs": plan.hash(),
        "program": format!("pullmap {}", env!("CARGO_PKG_VERSION")),
        "says": sweeping::sentence(plan, rows),
        "caution": CAUTION,
    })
}

fn answer(plan: &Plan, rows: &[Row], resumed: usize) -> String {
    let mesh = match plan.settings.mesh_size_mm {
        Some(size) => format!("elements of {size} mm in the bars"),
        None => format!(
            "about {:.0} unknowns a point, coarser than a map (--mesh-size for finer)",
            plan.settings.unknowns
        ),
    };
    let mut text = format!("{}\n{}; {mesh}\n", plan.title, plan.in_words());
    if resumed == rows.len() {
        text.push_str(&format!(
            "Kept from an earlier run: all {resumed} points; nothing was computed anew (--restart does).\n"
        ));
    } else if resumed > 0 {
        text.push_str(&format!("Taken up from an earlier run: {resumed} of the {} points.\n", rows.len()));
    }
    text.push('\n');
    text.push_str(&sweeping::short_table(plan, rows));
    text.push('\n');
    text.push_str(&sweeping::sentence(plan, rows));
    for note in plan.taken() {
        text.push_str(&format!("\nNote: {note}"));
    }
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{builtin, load_argument};
    use report::failure_modes;
    use solver::strength::{LimitKind, limits};
    use solver::system::System;

    #[test]
    fn each_key_has_a_folder_of_its_own() {
        let folder = |vary: &[(&str, &str)]| {
            let vary: Vec<_> = vary.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
            let plan = Plan::try_new(
                source::find("oval").unwrap(),
                Vec::new(),
                sweeping::read(&vary, &[]).unwrap(),
                SystemSettings::default(),
            )
            .unwrap();
            default_folder(&plan)
        };
        let both = folder(&[("rig.both.offset_mm", "0,1")]);
        assert_eq!(both, Path::new("pullmap-out/oval/sweep-rig.both.offset_mm"));
        assert_ne!(both, folder(&[("rig.upper.offset_mm", "0,1")]));
        let two = folder(&[("rig.gate", "open,closed"), ("rig.load_kn", "5,10")]);
        assert_eq!(two, Path::new("pullmap-out/oval/sweep-rig.gate-by-rig.load_kn"));
    }

    #[test]
    fn limits_on_the_mesh_of_a_sweep_are_those_of_a_map() {
        let mut moved = Vec::new();
        for (name, _) in builtin::MODELS {
            let model = load_argument(name, &[]).unwrap();
            let [coarse, fine] = [UNKNOWNS, SystemSettings::default().unknowns].map(|unknowns| {
                let settings = SystemSettings { unknowns, ..SystemSettings::default() };
                let place = model.rig.gate.place();
                let system = System::try_new(&model.connector, place, &model.materials, &settings).unwrap();
                limits(&system, &model.strengths(), &model.rig).unwrap()
            });
            assert_eq!(coarse.fails_first, fine.fails_first, "{name}");
            let mut compare = |what: &str, a: f64, b: f64, most: f64| {
                let near = (a / b - 1.0).abs() < most;
                if !near {
                    moved.push(format!("{name}, {what}: {a} kN and {b} kN"));
                }
            };
            compare("forecast", coarse.peak_kn, fine.peak_kn, 0.01);
            compare("permanently bent", coarse.bends_at_kn, fine.bends_at_kn, 0.01);
            for limit in &fine.limits {
                let most = if limit.kind == LimitKind::Yields { 0.05 } else { 0.01 };
                let other = coarse.limits.iter().find(|l| l.what == limit.what).unwrap();
                if let (Some(a), Some(b)) = (other.at_kn, limit.at_kn) {
                    compare(failure_modes::name(limit.what), a, b, most);
                }
            }
        }
        assert_eq!(moved, Vec::<String>::new());
    }
}
