//! The case that the examples start from.

use geometry::connector::Connector;
use solver::material::{Materials, library};
use solver::rig::{GateState, Loader, Rig};
use solver::system::SystemSettings;
use study::Case;

/// The example connector of 7075-T6 with pins of 4340 steel, pulled with 10 kN by straps of 12 mm in the middle.
///
/// # Errors
/// A metal that the library does not have.
pub fn case() -> Result<Case, &'static str> {
    let metal = |key: &str| library::find(key).map(|found| found.material()).ok_or("no such metal");
    let strap =
        Loader::Strap { width_mm: 12.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Ok(Case {
        connector: Connector::example(),
        materials: Materials { frame: metal("7075-t6")?, gate: metal("7075-t6")?, pins: metal("4340-180")? },
        rig: Rig { load_kn: 10.0, gate: GateState::Closed, friction: 0.2, upper: strap, lower: strap },
        constants: solver::strength::Constants::default(),
        mesh: SystemSettings::default(),
    })
}
