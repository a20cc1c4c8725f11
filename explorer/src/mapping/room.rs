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

/// Unknowns of a refined mesh that memory has room for: the last mesh but one is held beside the last.
#[must_use]
pub fn room_for_refining() -> usize {
    machine::free_bytes().map_or(f64::INFINITY, |free| free / (2.0 * machine::PER_UNKNOWN)) as usize
}
