//! What the gate's part of the pull hangs on: what `pullmap map --sensitivity` prints of a state.

use super::answer::inputs;
use super::api_error::{ApiError, of_case};
use super::prepared::{Systems, case_of};
use super::reply::Reply;
use super::state::State;
use super::turns::Claim;
use crate::mapping::room_for_meshes;
use report::caution::CAUTION;
use report::sensitivity::{Document, sentence};
use serde_json::json;
use study::sensitivity::sensitivity as vary_each;
use study::{Step, map};

/// One thing varied at a time.
///
/// # Errors
/// The state is impossible, or nobody wants the answer any more.
pub fn sensitivity(systems: &Systems, ticket: u64, state: &State, wanted: &Claim) -> Result<Reply, ApiError> {
    let checked = state.check()?;
    let (model, engine) = (&checked.model, systems.engine());
    wanted.check()?;
    let case = case_of(model);
    let found = wanted
        .watched(|begins, watch| {
            let findings = map::solve(engine, &case, begins)?.findings;
            begins(Step::Variations);
            vary_each(
                engine,
                model,
                &case.mesh,
                &findings,
                &|m, mesh| room_for_meshes(m, mesh, 1).is_ok(),
                &watch,
            )
        })
        .map_err(|error| of_case(&error))?;
    Ok(Reply::Json(json!({
        "ticket": ticket,
        "inputs": inputs(&checked),
        "sensitivity": Document::new(&found),
        "sentence": sentence(&found),
        "caution": CAUTION,
    })))
}
