//! Why a pull cannot be done as it was asked.

use super::ends::end_short;
use super::no_step::no_step;
use crate::building;
use crate::numbers::{kilonewtons, typed};
use study::pull_to_failure::PullError;

/// Why a pull cannot be done as it was asked.
#[must_use]
pub fn error(error: &PullError) -> String {
    match error {
        PullError::Case(reason) => building::case(reason),
        PullError::NoElongation => "material.frame.elongation is missing, and the metal's curve beyond yield stands on it\n  hint: add the \
                                    elongation after fracture, a share of the length (0.11: 11 %), or name a metal that `pullmap \
                                    materials` lists"
            .to_owned(),
        PullError::NoStep(reason) => {
            format!("no equilibrium was found under the first load: {}", no_step(reason))
        }
        PullError::NotReached { asked_kn, highest_kn, end } => format!(
            "{} is not reached: the highest load is {} ({})\n  hint: ask for a load below that",
            kilonewtons(*asked_kn),
            kilonewtons(*highest_kn),
            end_short(end)
        ),
        PullError::SetNotReached { asked_mm, most_mm, end } => format!(
            "a permanent stretch of {} mm is not reached: the whole pull leaves {most_mm:.2} mm ({})\n  hint: measure the distance of \
             the two load centres again, or look for what else bent it",
            typed(*asked_mm),
            end_short(end)
        ),
        PullError::NotUnloaded { from_kn, reason } => format!(
            "the connector could not be unloaded from {}: {}\n  hint: try a load a little below, or another number of --steps",
            kilonewtons(*from_kn),
            no_step(reason)
        ),
        PullError::SetNotFound { asked_mm } => format!(
            "the load that leaves a permanent stretch of {} mm was not found: the connector could not be unloaded from some steps of the \
             pull\n  hint: try another number of --steps",
            typed(*asked_mm)
        ),
    }
}
