//! How sure a forecast is: what `pullmap forecast --json` prints of a state.

use super::answer::inputs;
use super::api_error::{ApiError, of_case};
use super::prepared::{Systems, case_of};
use super::reply::Reply;
use super::state::State;
use super::turns::Claim;
use report::forecast::Forecast;
use serde_json::json;
use study::forecast;

/// The forecast with its range.
///
/// # Errors
/// The state is impossible, or nobody wants the range any more.
pub fn range(systems: &Systems, ticket: u64, state: &State, wanted: &Claim) -> Result<Reply, ApiError> {
    let checked = state.check()?;
    let model = &checked.model;
    wanted.check()?;
    let mesh = case_of(model).mesh;
    let told = wanted
        .watched(|begins, watch| forecast::solve(systems.engine(), model, &mesh, begins, &watch))
        .map_err(|error| of_case(&error))?;
    Ok(Reply::Json(
        json!({ "ticket": ticket, "inputs": inputs(&checked), "forecast": Forecast::new(&told, model) }),
    ))
}
