//! What a chart of one key reads at a value, where a row of a sweep would be too slow.

use crate::case::Case;
use crate::pulled::Pulled;
use solver::findings::{gate_kn, hottest_mpa};
use solver::response::RigError;
use solver::strength::Limits;
use solver::system::System;

/// What was read, not rounded.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Gate over load, at the load of the rig.
    pub gate_fraction: f64,
    /// Highest stress away from notch, hinge hole, contacts and sharp corners, MPa.
    pub peak_mpa: Option<f64>,
    /// The limits of the parts, where they were asked for.
    pub limits: Option<Limits>,
}

impl Reading {
    /// Loads a case on its system; `limits`: pulls it to its end as well, which takes several times as long.
    ///
    /// # Errors
    /// [`RigError`]: the rig does not fit, or no forces balance it.
    pub fn of(system: &System, case: &Case, limits: bool) -> Result<Self, RigError> {
        let (response, limits) = if limits {
            let Pulled { response, limits } = Pulled::of(system, case)?;
            (response, Some(limits))
        } else {
            (system.respond(&case.rig)?, None)
        };
        Ok(Self {
            gate_fraction: gate_kn(system, &response) / case.rig.load_kn,
            peak_mpa: hottest_mpa(system, &response),
            limits,
        })
    }
}
