//! `pullmap map`: the main job, from model files to pictures and findings.

use super::files::{Files, folder_of, json_of};
use crate::args::MapArguments;
use crate::failure::{Failure, Outcome};
use crate::mapping::{
    PictureRequest, fields_files, most_enlarged, room_for_meshes, room_for_refining, stress_map,
};
use crate::output::{Existing, complain, folder_holding, make_folder, print, write_file};
use crate::progress::Progress;
use crate::source;
use crate::stopwatch::Stopwatch;
use report::caution::{CAUTION, with_caution};
use report::findings::Findings;
use report::map::answer;
use report::notes::places_not_entered;
use report::program::options::less_enlarged;
use report::refinement::Refinement;
use report::{sensitivity, steps};
use solver::system::SystemSettings;
use std::path::Path;
use std::time::Instant;
use study::in_use::InUse;
use study::map::{self, Mapped, Wanted};
use study::model::{Model, Source};
use study::sensitivity::sensitivity as vary_each;
use study::{CaseError, Engine, Step, Watch};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Maps every model.
///
/// All models are checked before the first is solved: a slip in the last one should not come out after minutes.
///
/// # Errors
/// A model has mistakes, options do not go together, a connector cannot be solved, or a file cannot be written.
pub fn run(arguments: &MapArguments) -> Result<Outcome, Failure> {
    if arguments.fields.is_some() && arguments.models.len() > 1 {
        return Err(Failure::OneFieldsFile);
    }
    let models: Vec<(Source, Model)> = arguments
        .models
        .iter()
        .map(|argument| {
            let source = source::find(argument)?;
            let model = source.model(&arguments.change.with_working_load(arguments.working_load))?;
            Ok((source, model))
        })
        .collect::<Result<_, Failure>>()?;
    let settings = SystemSettings { mesh_size_mm: arguments.mesh_size, ..SystemSettings::default() };
    let several = models.len() > 1;
    for (source, _) in models.iter().filter(|_| !arguments.json) {
        Files::check(&folder_of(arguments.out.as_deref(), &source.stem, several))?;
    }
    if let (Some(path), Some((source, _))) = (&arguments.fields, models.first()) {
        // The folder of --out is made in any case: field files may go there too.
        let out = folder_of(arguments.out.as_deref(), &source.stem, several);
        // However it is written: `./out/a.vtu` lies in `out`.
        let same = |a: &Path, b: &Path| std::path::absolute(a).ok() == std::path::absolute(b).ok();
        if !arguments.json && path.parent().is_some_and(|folder| same(folder, &out)) {
            make_folder(&out)?;
        }
        folder_holding(path)?;
    }
    let mut printed = String::new();
    let mut all = Vec::new();
    let mut short = false;
    for (source, model) in &models {
        let clock = Instant::now();
        let progress = Progress::new(&source.stem);
        let stopwatch = Stopwatch::default();
        let begins = |step: Step| {
            progress.say(steps::step(step));
            stopwatch.begins(step);
        };
        room_for_meshes(model, &settings, 1)?;
        let engine = Engine::default();
        let refuse = |e: CaseError| Failure::case(&model.title, &e);
        let case = model.case(settings);
        let mut solved = map::solve(&engine, &case, &begins).map_err(refuse)?;
        let refinement = match arguments.accuracy {
            Some(accuracy) => {
                let wanted = Wanted { accuracy, room: room_for_refining() };
                let refined = map::refine(solved, &case, wanted, &begins).map_err(refuse)?;
                solved = refined.mapped;
                short |= !refined.reached;
                Some(Refinement { asked: accuracy, reached: refined.reached, rounds: refined.rounds })
            }
            None => None,
        };
        stopwatch.ends();
        let in_use = InUse::of_map(model, &solved);
        let mut found = Findings::new(&solved.findings, model, in_use);
        found.warnings.extend(refinement.as_ref().filter(|r| !r.reached).map(Refinement::sentence));
        if let Some(path) = &arguments.fields {
            progress.say(steps::FIELD_FILES);
            write_fields(&solved, path)?;
        }
        let sure = if arguments.sensitivity {
            progress.say(steps::SENSITIVITY);
            let fits = |model: &Model, mesh: &SystemSettings| room_for_meshes(model, mesh, 1).is_ok();
            let watch = Watch::quiet();
            Some(vary_each(&engine, model, &settings, &solved.findings, &fits, &watch).map_err(refuse)?)
        } else {
            None
        };
        if arguments.json {
            let findings = serde_json::to_value(with_caution(&found)).map_err(Failure::json)?;
            all.push(if sure.is_some() || refinement.is_some() {
                let mut value = serde_json::json!({ "findings": findings });
                if let Some(sure) = &sure {
                    value["sensitivity"] =
                        serde_json::to_value(sensitivity::Document::new(sure)).map_err(Failure::json)?;
                }
                if let Some(refinement) = &refinement {
                    value["refinement"] = serde_json::to_value(refinement).map_err(Failure::json)?;
                }
                value
            } else {
                findings
            });
        } else {
            let mut files = Files::new(folder_of(arguments.out.as_deref(), &source.stem, several))?;
            progress.say(steps::PICTURE);
            let hash = match arguments.accuracy {
                Some(accuracy) => model.refined_inputs_hash(&settings, accuracy),
                None => model.inputs_hash(&settings),
            };
            let asked = arguments.show_shape.unwrap_or(0.0);
            let most = most_enlarged(&solved);
            let enlarged = asked.min(most);
            let wanted = PictureRequest {
                field: arguments.field,
                enlarged,
                size: PICTURE,
                sets: &arguments.change.set,
            };
            files.drawing("map", &stress_map(&solved, &model.title, (&source.stem, &hash), wanted))?;
            files.text("findings.json", &json_of(&with_caution(&found))?)?;
            if !printed.is_empty() {
                printed.push('\n');
            }
            let yield_mpa = solved.strengths.materials.frame.yield_mpa;
            printed.push_str(&answer(&solved.findings, &found, &model.rig, yield_mpa));
            if let Some(note) = places_not_entered(model, source::typed(source)) {
                printed.push_str(&format!("Note: {note}\n"));
            }
            if asked > most {
                printed.push_str(&less_enlarged(asked, most));
            }
            if let Some(refinement) = &refinement {
                printed.push_str(&refinement.table());
                printed.push('\n');
            }
            if let Some(sure) = &sure {
                printed.push_str(&sensitivity::table(sure));
                printed.push('\n');
            }
            printed.push_str(&files.told());
        }
        progress.done();
        if arguments.timing {
            tell_times(&stopwatch, clock);
        }
    }
    if arguments.json {
        let value = match all.as_mut_slice() {
            [one] => one.take(),
            _ => serde_json::Value::Array(all),
        };
        printed = json_of(&value)?;
    } else {
        printed.push_str(CAUTION);
        printed.push('\n');
    }
    print(&printed)?;
    Ok(if short { Outcome::LimitExceeded } else { Outcome::Done })
}

fn write_fields(solved: &Mapped, path: &Path) -> Result<(), Failure> {
    let (vtu, npz) = fields_files(solved)?;
    write_file(path, &vtu, Existing::Replace)?;
    write_file(&path.with_extension("npz"), &npz, Existing::Replace)?;
    Ok(())
}

fn tell_times(stopwatch: &Stopwatch, clock: Instant) {
    for (step, took) in stopwatch.steps() {
        complain(&steps::took(1e3 * took.as_secs_f64(), steps::step(step)));
    }
    complain(&steps::took(1e3 * clock.elapsed().as_secs_f64(), steps::IN_ALL));
}
