//! Whether there is room for a mesh, asked before it is made.

use crate::machine::{self, MachineError, Need};
use solver::system::{SystemSettings, unknowns_at};
use study::model::Model;

/// Whether memory has room for so many meshes of the size that is asked for, if one is.
///
/// # Errors
/// It has not.
pub fn room_for_meshes(model: &Model, settings: &SystemSettings, at_once: usize) -> Result<(), MachineError> {
    if let Some(size_mm) = settings.mesh_size_mm
        && let Some(unknowns) = unknowns_at(&model.connector, model.rig.gate.place(), size_mm)
    {
        let bytes = machine::PER_UNKNOWN * unknowns * at_once as f64;
        machine::enough(Need::Meshes { at_once, size_mm, unknowns }, bytes)?;
    }
    Ok(())
}

/// What a step of a pull keeps for each unknown, bytes (measured: about 1 MB at 10,000).
const PER_STEP: f64 = 110.0;
/// A pull may take some more steps than are asked for, and its open hook takes as many again.
const MORE_STEPS: f64 = 3.0;

/// Whether memory has room for a pull in about so many steps.
///
/// # Errors
/// It has not.
pub fn room_for_pull(model: &Model, settings: &SystemSettings, steps: u32) -> Result<(), MachineError> {
    room_for_meshes(model, settings, 1)?;
    let of_size = |size_mm| unknowns_at(&model.connector, model.rig.gate.place(), size_mm);
    let unknowns = settings.mesh_size_mm.and_then(of_size).unwrap_or(settings.unknowns);
    let bytes = PER_STEP * unknowns * MORE_STEPS * f64::from(steps);
    machine::enough(Need::Steps { steps, unknowns }, bytes)
}

/// Unknowns of a refined mesh that memory has room for: the last mesh but one is held beside the last.
#[must_use]
pub fn room_for_refining() -> usize {
    machine::free_bytes().map_or(f64::INFINITY, |free| free / (2.0 * machine::PER_UNKNOWN)) as usize
}
