//! A connector pulled until it fails, told as the command tells it, with the steps that a page shows.

use super::allowed::VERSION;
use super::answer::{end, inputs};
use super::api_error::{ApiError, Fault, of_pull};
use super::blocks::Blocks;
use super::mesh_blocks::MeshBlocks;
use super::pull_steps::Shown;
use super::reply::Reply;
use super::shared::PULL_TIME;
use super::to_failure::ToFailure;
use super::turns::Claim;
use crate::mapping::room_for_pull;
use geometry::outline::Circle;
use report::caution::CAUTION;
use report::page::pulls::out_of_time;
use report::pictures::pull as words;
use report::places::word;
use report::pull_so_far::PullSoFar;
use report::pull_to_failure::{Document, Row, rows};
use report::reason::Reason;
use serde_json::{Value as Json, json};
use solver::causes::Place;
use solver::pull_to_failure::Reached;
use solver::system::Side;
use std::time::{Duration, Instant};
use study::Engine;
use study::pull_to_failure::{Pulled, Ready};

/// Where a page asks for it.
pub const PULL: &str = "/api/pull";
/// After so long a pull is stopped and what it reached is told. What is being sought then may still end, and the answer be written, before its
/// time is over.
pub const STOPPED_AFTER: Duration = PULL_TIME.saturating_sub(Duration::from_secs(60));

/// Pulls a state until something fails, or until it has taken `longest`.
///
/// # Errors
/// The state is impossible or tells too little of its metal, what was asked for is not reached, or nobody wants the answer any more.
pub fn pull(ticket: u64, asked: &ToFailure, wanted: &Claim, longest: Duration) -> Result<Reply, ApiError> {
    let began = Instant::now();
    let (asked_of_it, mesh) = (asked.wanted()?, asked.mesh()?);
    let checked = asked.state.check()?;
    let model = &checked.model;
    let no_room =
        |e: crate::machine::MachineError| ApiError::of_key("mesh_size_mm", Reason::Whole(e.to_string()));
    room_for_pull(model, &mesh, asked_of_it.steps).map_err(no_room)?;
    // On a mesh of its own, as the command's.
    let ready =
        Ready::new(&Engine::default(), model, mesh, &|step| wanted.begins(step)).map_err(|e| of_pull(&e))?;
    wanted.check()?;
    let mut so_far = PullSoFar::default();
    let mut watch = |reached: &Reached| {
        so_far.take(reached);
        wanted.pulls(so_far);
    };
    let late = || began.elapsed() >= longest;
    let stop = || late() || wanted.check().is_err();
    let pulled =
        ready.pull(&asked_of_it, &mut watch, &|step| wanted.begins(step), &stop).map_err(|e| of_pull(&e))?;
    wanted.check()?;
    let failed = |error: serde_json::Error| Fault::Writing(error.to_string());
    let document = Document::new(&pulled, model, &asked_of_it.inputs_hash(model, &mesh));
    let document = serde_json::to_value(document).map_err(failed)?;
    let mut blocks = Blocks::default();
    let mut head = about(&pulled, document, &mut blocks);
    head["ticket"] = json!(ticket);
    head["inputs"] = json!(inputs(&checked));
    head["told"]["stopped"] = json!(pulled.stopped.then(|| out_of_time(longest.as_secs() / 60)));
    head["blocks"] = json!(blocks.list);
    let head = serde_json::to_vec(&head).map_err(failed)?;
    let bytes = blocks.sealed(u16::try_from(VERSION).unwrap_or_default(), &head);
    Ok(Reply::Bytes("application/octet-stream", bytes))
}

fn about(pulled: &Pulled<'_>, mut document: Json, blocks: &mut Blocks) -> Json {
    let ready = pulled.ready;
    let (system, rig) = (&ready.system, ready.rig);
    let mesh = MeshBlocks::new(system);
    blocks.append(&mesh.blocks);
    let shown = Shown::of(pulled);
    let steps = shown.json(blocks);
    for (name, all) in [("curve", pulled.shown()), ("hook", pulled.kept_hook())] {
        let rows = all.iter().flat_map(|s| [s.stretch_mm, s.load_kn, s.gate_fraction]);
        blocks.add_f32(name.to_owned(), 3, rows);
    }
    // The numbers of the steps that travel, as the command has them; the others are on the curve.
    let [with_gate, of_hook] = shown.numbers();
    keep(&mut document, "/steps", &with_gate);
    keep(&mut document, "/hook/steps", &of_hook);
    let axis = system.pull_axis(rig.upper, rig.lower);
    let seats = &system.outline.seats;
    let pin = |place: Place, pin: Circle, on: Side| {
        let on = if on == Side::Gate { "gate" } else { "frame" };
        json!({ "name": word(place), "centre": pin.centre, "radius_mm": pin.radius, "on": on })
    };
    let row = |Row { what, value, more, .. }| json!({ "what": what, "value": value, "more": more });
    let metals = &ready.strengths.materials;
    json!({
        "version": VERSION,
        "pull": document,
        "rows": rows(pulled).into_iter().map(row).collect::<Json>(),
        "shown": steps,
        "marks": shown.marks_json(),
        "told": {
            "curve": words::CURVE,
            "stretch": words::STRETCH,
            "hook": words::hook(pulled),
        },
        "caution": CAUTION,
        "yield_mpa": { "frame": metals.frame.yield_mpa, "gate": metals.gate.yield_mpa },
        "axis": { "lower": axis.lower, "upper": axis.upper, "direction": axis.direction },
        "upper": end(system, &system.upper, rig.upper, axis.upper),
        "lower": end(system, &system.lower, rig.lower, axis.lower),
        "pins": [
            pin(Place::NosePin, seats.nose_pin, system.nose_disc.0),
            pin(Place::HingePin, seats.hinge_pin, Side::Gate),
        ],
        "places": mesh.places,
        "stretches": mesh.stretches,
    })
}

/// Keeps these of a list, where there is one.
fn keep(document: &mut Json, list: &str, numbers: &[usize]) {
    if let Some(all) = document.pointer_mut(list).and_then(Json::as_array_mut) {
        *all = numbers.iter().filter_map(|i| all.get(*i).cloned()).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::turns::Turns;

    #[test]
    fn a_pull_that_takes_too_long_tells_what_it_reached() {
        let asked = json!({ "state": { "model": "oval" }, "steps": 20, "mesh_size_mm": 3 });
        let asked: ToFailure = serde_json::from_value(asked).unwrap();
        let turn = Turns::default().take("page", PULL, 1).unwrap();
        let Reply::Bytes(_, bytes) = pull(1, &asked, &turn.wanted(), Duration::ZERO).unwrap() else {
            panic!("an answer has bytes")
        };
        let length = u32::from_le_bytes(bytes[8..12].try_into().unwrap()) as usize;
        let head: Json = serde_json::from_slice(&bytes[16..16 + length]).unwrap();
        assert_eq!(
            (&head["pull"]["stopped"], &head["pull"]["end"]["kind"]),
            (&json!(true), &json!("stopped"))
        );
        assert_eq!(head["told"]["stopped"], out_of_time(0));
        let shown = head["shown"].as_array().unwrap();
        assert_eq!(shown[shown.len() - 1]["phase"], "stopped");
    }
}
