//! How far an answer has come that a page waits for. Asked beside all queues, and answered at once.

use super::api_error::ApiError;
use super::protocol::{self, HowFar};
use super::reply::Reply;
use super::turns::Turns;
use super::under_way::Told;
use serde_json::json;

/// Tells it.
///
/// # Errors
/// The request is not of the form that the protocol describes.
pub fn progress(turns: &Turns, body: &[u8]) -> Result<Reply, ApiError> {
    let (envelope, asked) = protocol::read::<HowFar>(body)?;
    let told = turns.progress(&envelope.session, &asked.of, envelope.ticket).map(Told::from);
    Ok(Reply::Json(json!(told.unwrap_or_default())))
}
