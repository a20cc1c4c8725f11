//! `pullmap sweep`: one or two keys of a model through a range, in one table and its charts.

use super::files::{Files, json_of};
use super::sweep_stopped;
use crate::args::SweepArguments;
use crate::failure::{Failure, Outcome};
use crate::mapping::room_for_meshes;
use crate::progress::Progress;
use crate::source;
use crate::sweeping::{self, ABOUT, ROWS, Record, SweepError, TABLE};
use report::sweep::{About, ToldRow, answer, told_row};
use solver::system::SystemSettings;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use study::Engine;
use study::sweep::{Plan, UNKNOWNS};

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
    let (mut record, mut rows) = Record::open(files.folder(), &plan, arguments.restart)?;
    let resumed = rows.len();
    let progress = Arc::new(Progress::counting(&plan.source.stem, plan.len() as u64));
    progress.step(resumed as u64);
    let kept = Arc::new(AtomicUsize::new(resumed));
    sweep_stopped::listen(&kept, plan.len(), files.folder(), &progress);
    let missing = missing(plan.len(), &rows);
    let keeper = Mutex::new(&mut record);
    rows.extend(study::sweep::run(&plan, &missing, &Engine::default(), &|row| {
        let row = told_row(row);
        keeper.lock().unwrap_or_else(PoisonError::into_inner).add(&row)?;
        kept.fetch_add(1, Ordering::Relaxed);
        progress.step(1);
        Ok::<_, SweepError>(row)
    })?);
    rows.sort_by_key(|row| row.point);
    progress.done();

    let nothing = nothing_done(&rows);
    let drawing = if nothing.is_none() { sweeping::chart(&plan, &rows)? } else { None };
    files.bytes(TABLE, &sweeping::csv(&plan, &rows)?)?;
    if let Some(drawing) = drawing {
        files.drawing("sweep", &drawing)?;
    }
    files.text(ABOUT, &json_of(&About::new(&plan, &rows, &plan.hash()))?)?;
    record.finish(&rows)?;
    files.also(ROWS);
    if let Some(reason) = nothing {
        let csv = files.folder().join(TABLE);
        return Err(SweepError::NothingDone { points: rows.len(), csv, reason }.into());
    }
    files.print_with(&answer(&plan, &rows, resumed, TABLE))?;
    Ok(Outcome::Done)
}

fn plan(arguments: &SweepArguments) -> Result<Plan, Failure> {
    let source = source::find(&arguments.model)?;
    let settings =
        SystemSettings { mesh_size_mm: arguments.mesh_size, unknowns: UNKNOWNS, ..SystemSettings::default() };
    let sets = arguments.change.set.clone();
    let plan = Plan::asked(source, sets, &arguments.vary, settings, arguments.yes);
    Ok(plan.map_err(SweepError::from)?)
}

/// Points that have no row yet.
fn missing(points: usize, rows: &[ToldRow]) -> Vec<usize> {
    let mut finished = vec![false; points];
    for row in rows {
        finished[row.point] = true;
    }
    (0..points).filter(|point| !finished[*point]).collect()
}

/// Named by whole keys: an offset of both ends and one of the upper end only are two sweeps.
fn default_folder(plan: &Plan) -> PathBuf {
    let names: Vec<String> = plan.varied.iter().map(|v| v.key.path()).collect();
    Path::new("pullmap-out").join(&plan.source.stem).join(format!("sweep-{}", names.join("-by-")))
}

/// The first reason, where not one point could be computed.
fn nothing_done(rows: &[ToldRow]) -> Option<String> {
    let first = rows.first()?.outcome.as_ref().err()?;
    rows.iter().all(|row| row.outcome.is_err()).then(|| first.clone())
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
                study::sweep::read(&vary, &[]).unwrap(),
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
