//! Finer meshes until the peaks stand still.

use super::Mapped;
use crate::{Case, CaseError, Step};
use solver::refinement::{self, RefinementError, Request, Round};

/// Most unknowns of a refined mesh.
const MOST_UNKNOWNS: usize = 200_000;
/// Most rounds of refinement.
const MOST_ROUNDS: usize = 12;

/// What is asked of a refinement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Largest change of a trusted peak from one mesh to the next, as a part of the peak.
    pub accuracy: f64,
    /// Unknowns that there is room for.
    pub room: usize,
}

/// What came of a refinement.
#[derive(Debug)]
pub struct Refined {
    /// The case on the last mesh.
    pub mapped: Mapped,
    /// True when the last mesh keeps to what was asked.
    pub reached: bool,
    /// The meshes, coarsest first.
    pub rounds: Vec<Round>,
}

/// Refines a solved case until its trusted peaks move by no more than is asked from one mesh to the next, or the budget is
/// used up; tells which, and every mesh on the way. `begins` is told when it begins.
///
/// # Errors
/// [`CaseError`]: a finer mesh cannot be made or solved.
pub fn refine(
    mapped: Mapped,
    case: &Case,
    wanted: Wanted,
    begins: &(dyn Fn(Step) + Sync),
) -> Result<Refined, CaseError> {
    begins(Step::Refinement);
    let unknowns = MOST_UNKNOWNS.min(wanted.room);
    let request = Request { accuracy: wanted.accuracy, unknowns, rounds: MOST_ROUNDS };
    let refined = refinement::refine(mapped.system, &case.rig, &case.mesh, request).map_err(|e| match e {
        RefinementError::System(reason) => CaseError::System(reason),
        RefinementError::Rig(reason) => CaseError::Rig(reason),
    })?;
    let mapped = Mapped::judged(refined.system, case, refined.response, refined.stress)?;
    Ok(Refined { mapped, reached: refined.reached, rounds: refined.rounds })
}
