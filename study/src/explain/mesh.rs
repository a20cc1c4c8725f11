//! The meshes that causes are solved on.

use crate::Case;
use solver::system::SystemSettings;

/// Unknowns of the mesh for one of many solves: forecasts differ by less than a percent from the default mesh, and ratios
/// between them by less.
const MESH_UNKNOWNS: f64 = 8_000.0;

/// The mesh for one of many solves.
#[must_use]
pub fn coarse_mesh() -> SystemSettings {
    SystemSettings { unknowns: MESH_UNKNOWNS, ..SystemSettings::default() }
}

/// The same case on the default mesh, as `forecast` has it.
pub(super) fn as_forecast(case: &Case) -> Case {
    Case { mesh: SystemSettings::default(), ..case.clone() }
}
