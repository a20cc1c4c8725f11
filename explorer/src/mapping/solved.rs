//! A solved model, with the time that each step took.

use super::refinement_told::Refinement;
use crate::failure::Failure;
use crate::machine;
use report::findings::Findings;
use report::notes::notes;
use report::numbers::plain;
use solver::findings::{NodalStress, findings};
use solver::refinement;
use solver::response::{Response, RigError};
use solver::strength::{Strengths, beyond};
use solver::system::{System, SystemSettings, unknowns_at};
use std::sync::Arc;
use std::time::{Duration, Instant};
use study::Engine;
use study::model::Model;

/// A model that was meshed, loaded and judged.
#[derive(Debug)]
pub struct Solved {
    /// What does not depend on the rig; others may load it too.
    pub system: Arc<System>,
    /// What its parts hold.
    pub strengths: Strengths,
    /// The loaded connector.
    pub response: Response,
    /// Its recovered stress.
    pub stress: NodalStress,
    /// What was found.
    pub findings: Findings,
    /// How long each step took, in order.
    pub steps: Vec<Step>,
}

/// A step and its duration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What was done.
    pub what: &'static str,
    /// How long it took.
    pub took: Duration,
}

/// Whether memory has room for so many meshes of the size that is asked for, if one is.
///
/// # Errors
/// It has not.
pub fn room_for_meshes(model: &Model, settings: &SystemSettings, at_once: usize) -> Result<(), Failure> {
    if let Some(size) = settings.mesh_size_mm
        && let Some(unknowns) = unknowns_at(&model.connector, model.rig.gate.place(), size)
    {
        let meshes = if at_once > 1 { format!("{at_once} meshes at once") } else { "a mesh".to_owned() };
        let what =
            format!("{meshes} of {} mm with about {:.0} thousand unknowns", plain(size), 1e-3 * unknowns);
        let bytes = machine::PER_UNKNOWN * unknowns * at_once as f64;
        machine::enough(&what, bytes, "ask for a larger --mesh-size")?;
    }
    Ok(())
}

/// Solves a model on the engine's system of it. `progress` is told what is being done.
///
/// # Errors
/// The outline, the mesh or the rig is impossible: what was found and what is allowed.
pub fn solve(
    engine: &Engine,
    model: &Model,
    settings: &SystemSettings,
    progress: &(dyn Fn(&'static str) + Sync),
) -> Result<Solved, Failure> {
    let mut steps = Vec::new();
    let mut clock = Instant::now();
    let mut done = |what: &'static str| {
        let now = Instant::now();
        steps.push(Step { what, took: now - clock });
        clock = now;
    };
    room_for_meshes(model, settings, 1)?;
    progress("mesh and factor");
    let system = engine.system(&model.case(*settings)).map_err(|e| Failure::building(&model.title, &e))?;
    done("outline, mesh, factor");
    progress("contact and load");
    let response = system.respond(&model.rig).map_err(|e| Failure::pulling(&model.title, &e))?;
    done("contact and load");
    let stress = NodalStress::new(&system, &response);
    done("stress");
    progress("findings");
    let findings =
        judge(&system, &response, &stress, model).map_err(|e| Failure::solving(&model.title, &e))?;
    done("findings");
    Ok(Solved { system, strengths: model.strengths(), response, stress, findings, steps })
}

/// The findings of a response, with a word on what would have given way before its load.
///
/// # Errors
/// A further load that the findings need cannot be solved.
pub fn judge(
    system: &System,
    response: &Response,
    stress: &NodalStress,
    model: &Model,
) -> Result<Findings, RigError> {
    let mut found = findings(system, &model.materials, response, stress)?;
    found.beyond = beyond(system, &model.strengths(), response);
    Ok(Findings::new(found, &model.title, &notes(model)))
}

/// Most unknowns of a refined mesh.
const MOST_UNKNOWNS: usize = 200_000;
/// Most rounds of refinement.
const MOST_ROUNDS: usize = 12;

/// Refines a solved model until its trusted peaks move by no more than `accuracy` (a part of one) from one mesh to the
/// next, or the budget is used up; tells which, and every mesh on the way.
///
/// # Errors
/// A finer mesh cannot be made or solved.
pub fn refine(
    solved: Solved,
    model: &Model,
    settings: &SystemSettings,
    accuracy: f64,
) -> Result<(Solved, Refinement), Failure> {
    let clock = Instant::now();
    // The last mesh but one is held beside the last.
    let room = machine::free_bytes().map_or(f64::INFINITY, |free| free / (2.0 * machine::PER_UNKNOWN));
    let unknowns = MOST_UNKNOWNS.min(room as usize);
    let wanted = refinement::Request { accuracy, unknowns, rounds: MOST_ROUNDS };
    let refined = refinement::refine(solved.system, &model.rig, settings, wanted)
        .map_err(|e| Failure::solving(&model.title, &e))?;
    let refinement = Refinement { asked: accuracy, reached: refined.reached, rounds: refined.rounds };
    let (system, response, stress) = (refined.system, refined.response, refined.stress);
    let mut findings =
        judge(&system, &response, &stress, model).map_err(|e| Failure::solving(&model.title, &e))?;
    if !refinement.reached {
        findings.warnings.push(refinement.sentence());
    }
    let mut steps = solved.steps;
    steps.push(Step { what: "refinement", took: clock.elapsed() });
    let strengths = solved.strengths;
    Ok((Solved { system, strengths, response, stress, findings, steps }, refinement))
}

/// Solves a model for its findings alone.
///
/// # Errors
/// As [`solve`].
pub(super) fn solve_quietly(
    engine: &Engine,
    model: &Model,
    settings: &SystemSettings,
) -> Result<Findings, Failure> {
    solve(engine, model, settings, &|_| ()).map(|solved| solved.findings)
}
