//! What a state holds, in words and numbers.

use super::answer::{inputs, told};
use super::api_error::ApiError;
use super::prepared::{Prepared, Systems};
use super::state::State;
use super::turns::Claim;
use report::caution::{CAUTION, with_caution};
use report::findings::Findings;
use report::json::LimitsInWords;
use serde_json::{Value as Json, json};
use study::Pulled;
use study::in_use::InUse;
use study::model::Model;

/// Limits of a state, and its complete findings unless it is `quick`.
///
/// # Errors
/// The state is impossible, or nobody wants them any more.
pub fn limits_json(systems: &Systems, state: &State, quick: bool, wanted: &Claim) -> Result<Json, ApiError> {
    let checked = state.check()?;
    let prepared = systems.take(&checked.model)?;
    wanted.check()?;
    let Pulled { response, limits } = prepared.pull(&checked.model)?;
    let mut json =
        json!({ "inputs": inputs(&checked), "limits": LimitsInWords::from(&limits), "caution": CAUTION });
    if !quick {
        wanted.check()?;
        let solved = prepared.judge(&checked.model, response)?;
        let found = &solved.findings;
        let in_use = InUse::of(&checked.model, &limits, found.first_yield_kn, None);
        json["findings"] = json!(with_caution(&Findings::new(found, &checked.model, in_use)));
        json["told"] = json!(told(&checked, &solved));
    }
    Ok(json)
}

/// The load at which each part of a connector reaches its limit.
///
/// # Errors
/// The rig is impossible.
pub fn limits_of(prepared: &Prepared, model: &Model) -> Result<Json, ApiError> {
    Ok(json!(LimitsInWords::from(&prepared.pull(model)?.limits)))
}
