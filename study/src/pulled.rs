//! A case pulled: its response to the load of its rig, and the limits of its parts.

use crate::case::Case;
use solver::response::{Pull, Response, RigError};
use solver::strength::{Limits, limits_of};
use solver::system::System;

/// Both of one pull.
#[derive(Clone, Debug)]
pub struct Pulled {
    /// The response at the load of the rig: displacements in mm, forces in N.
    pub response: Response,
    /// The load at which each part reaches its limit.
    pub limits: Limits,
}

impl Pulled {
    /// Pulls a case on its system.
    ///
    /// # Errors
    /// [`RigError`]: the rig does not fit, or no forces balance it.
    pub fn of(system: &System, case: &Case) -> Result<Self, RigError> {
        let mut pull = Pull::new(system, &case.rig)?;
        let response = pull.respond(case.rig.load_kn)?;
        let limits = limits_of(&mut pull, &case.strengths(), &response)?;
        Ok(Self { response, limits })
    }
}
