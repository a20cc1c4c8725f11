//! A pull that happened, explained as the command explains it.

use super::api_error::{ApiError, Fault, of_case};
use super::protocol::Pull;
use super::reply::Reply;
use super::turns::Claim;
use report::explain::Explanation;
use report::places;
use report::reason::Reason;
use serde_json::json;
use solver::causes::Observed;
use study::Engine;
use study::explain::explain;

/// What may differ from what was entered.
///
/// # Errors
/// The load, the place or the state is impossible, or nobody wants the answer any more.
pub fn explained(ticket: u64, asked: &Pull, wanted: &Claim) -> Result<Reply, ApiError> {
    let broke_at_kn = asked.broke_at_kn.kn("broke_at_kn")?;
    let place = match asked.place.trim() {
        "" => None,
        word => Some(places::typed(word).map_err(|says| ApiError::of_key("where", Reason::OfKey(says)))?),
    };
    let observed = Observed::new(broke_at_kn, place);
    let model = asked.state.check()?.model;
    wanted.check()?;
    // On the mesh that the command takes, so that both say the same.
    let engine = Engine::default();
    let found = wanted
        .watched(|begins, watch| explain(&model, &engine, observed, begins, watch))
        .map_err(|error| of_case(&error))?;
    let mut json =
        serde_json::to_value(Explanation::new(&found, &model)).map_err(|e| Fault::Writing(e.to_string()))?;
    json["ticket"] = json!(ticket);
    Ok(Reply::Json(json))
}
