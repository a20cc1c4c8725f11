//! `pullmap pull`: a connector pulled until it fails.

use super::files::{Files, folder_of, json_of};
use super::pull_stopped;
use crate::args::PullArguments;
use crate::failure::{Failure, Outcome};
use crate::mapping::room_for_pull;
use crate::output::print;
use crate::progress::Progress;
use crate::pulling::{csv, curve, film, maps, unloaded};
use crate::source;
use report::pull_so_far::PullSoFar;
use report::pull_to_failure::{Document, answer, error, stopped};
use report::steps;
use solver::pull_to_failure::Reached;
use solver::system::SystemSettings;
use std::sync::atomic::Ordering;
use study::Engine;
use study::pull_to_failure::{Ready, UNKNOWNS, Wanted};

/// Size of the picture, pixels.
const PICTURE: [u32; 2] = [1600, 1200];

/// Size of the same picture for a phone.
const PHONE: [u32; 2] = [1080, 2340];

/// Size of the strip of maps.
const STRIP: [u32; 2] = [1600, 1000];

/// Pulls one model.
///
/// # Errors
/// The model has mistakes or tells too little of its metal, what was asked for is not reached, or a file cannot be written.
pub fn run(arguments: &PullArguments) -> Result<Outcome, Failure> {
    let question = &arguments.question;
    let source = source::find(&question.model)?;
    let model = source.model(&question.change.set)?;
    let folder = folder_of(question.out.as_deref(), &source.stem, false);
    if !question.json {
        Files::check(&folder)?;
    }
    let settings =
        SystemSettings { mesh_size_mm: arguments.mesh_size, unknowns: UNKNOWNS, ..SystemSettings::default() };
    room_for_pull(&model, &settings, arguments.steps)?;
    let wanted = Wanted {
        steps: arguments.steps,
        until_kn: arguments.until,
        unload_from_kn: arguments.unload_from,
        set_found_mm: arguments.set_found,
    };
    let progress = Progress::new(&source.stem);
    let stop = pull_stopped::listen();
    let refuse = |e| Failure::solving(&model.title, &error(&e));
    let ready = Ready::new(&Engine::default(), &model, settings, &|step| progress.say(steps::step(step)))
        .map_err(refuse)?;
    let mut so_far = PullSoFar::default();
    let pulled = ready
        .pull(
            &wanted,
            &mut |reached: &Reached| {
                so_far.take(reached);
                progress.tell(so_far.words());
            },
            &|step| progress.say(steps::step(step)),
            &|| stop.load(Ordering::Relaxed),
        )
        .map_err(refuse)?;
    let hash = wanted.inputs_hash(&model, &settings);
    let document = json_of(&Document::new(&pulled, &model, &hash))?;
    if question.json {
        progress.done();
        print(&document)?;
    } else {
        progress.say(steps::PICTURES);
        let mut files = Files::new(folder)?;
        let sets = &question.change.set;
        let on_picture = (source.stem.as_str(), hash.as_str());
        files.drawing("pull", &curve(&pulled, &model, on_picture, sets, PICTURE)?)?;
        files.drawing("pull-phone", &curve(&pulled, &model, on_picture, sets, PHONE)?)?;
        files.drawing("pull-maps", &maps(&pulled, &model, on_picture, sets, STRIP))?;
        files.bytes("pull-film.png", &film(&pulled, &model)?)?;
        if let Some(bent) = &pulled.bent {
            files.drawing("pull-unloaded", &unloaded(&pulled, bent, &model, on_picture, sets, PICTURE))?;
        }
        files.bytes("pull.csv", &csv(&pulled.course).map_err(Failure::table)?)?;
        files.text("pull.json", &document)?;
        progress.done();
        files.print_with(&answer(&pulled, &model))?;
    }
    if let Some(reason) = &pulled.not_unloaded {
        return Err(Failure::solving(&model.title, &error(reason)));
    }
    if pulled.stopped {
        crate::output::complain(&stopped(&pulled));
        return Ok(Outcome::Stopped);
    }
    Ok(Outcome::Done)
}
